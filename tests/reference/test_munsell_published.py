"""Munsell colours against published figures and against a general colour library.

Marks: [OUTSIDE] a published figure read at its source; [C] computed with the general library colour-science 0.4.7; [M] from memory.
"""

from __future__ import annotations

import warnings
from itertools import product

import pytest

from baulk.errors import MeasureError
from baulk.ground import colour_difference, lab_of, luminance_of, srgb_of
from baulk.ground.colour import _chips, _value_luminance

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science says at import that it cannot plot here
    import colour
    from colour.notation.munsell import MUNSELL_COLOURS_ALL

_SOIL_HUES = ("5R", "7.5R", "10R", "2.5YR", "5YR", "7.5YR", "10YR", "2.5Y", "5Y", "7.5Y", "10Y", "5GY", "5BG", "10B")
_SOIL_CHIPS = [
    f"{hue} {value:g}/{chroma}"
    for hue, value, chroma in product(_SOIL_HUES, (2, 2.5, 3, 4, 5, 6, 7, 8, 8.5, 9), (1, 2, 3, 4, 6, 8))
]


def _bytes(srgb: str) -> list[int]:
    return [int(srgb[place : place + 2], 16) for place in (1, 3, 5)]


def _library_xyz(munsell: str) -> object:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        xyz = colour.xyY_to_XYZ(colour.munsell_colour_to_xyY(munsell))
        white_c, white_d = ((*colour.xy_to_XYZ(white),) for white in ((0.31006, 0.31616), (0.3127, 0.3290)))
        return colour.chromatic_adaptation(xyz, white_c, white_d, method="Von Kries", transform="Bradford")


def test_published_srgb_of_a_soil_chip() -> None:
    """10YR 4/6 is sRGB 0.5002233, 0.3489249, 0.1287694 in the vignette; ours agrees within 0.003 a channel.

    [OUTSIDE] vignette "Munsell color conversion" of the soil science package at ncss-tech.github.io/aqp.
    """
    found = [level / 255 for level in _bytes(srgb_of("10YR 4/6"))]
    assert found == pytest.approx([0.5002233, 0.3489249, 0.1287694], abs=0.003)
    assert found != pytest.approx([0.4471, 0.3608, 0.2549], abs=0.003)  # 10YR 4/3, two chips away


@pytest.mark.parametrize(
    ("munsell", "published"),
    [("10YR 4/6", (40.95021, 10.31088, 37.49513)), ("10YR 5/6", (51.4337, 9.917916, 38.6889))],
)
def test_published_lab(munsell: str, published: tuple[float, float, float]) -> None:
    """L*, a*, b* lie within 0.6 of the published ones, seen as one distance.

    [OUTSIDE] the same vignette; the tolerance is that of its own rounding and white point.
    """
    apart = sum((ours - theirs) ** 2 for ours, theirs in zip(lab_of(munsell), published, strict=True)) ** 0.5
    assert apart < 0.6
    neighbour = sum((ours - theirs) ** 2 for ours, theirs in zip(lab_of("10YR 4/4"), published, strict=True)) ** 0.5
    assert neighbour > 5


@pytest.mark.parametrize(
    ("munsell", "hexadecimal"),
    [
        ("10YR 2/1", "#373029"), ("10YR 4/3", "#735C41"), ("10YR 5/6", "#9B7237"), ("7.5YR 2.5/1", "#443A34"),
        ("5YR 4/6", "#88532F"), ("2.5YR 5/8", "#B3653D"), ("2.5Y 6/2", "#9E927A"), ("N 3/0", "#474848"), ("N 8/0", "#C8C8C8"),
        ("5BG 4/1", "#576261"), ("10B 4/1", "#5A6166"),
    ],
)  # fmt: skip
def test_computed_soil_chips(munsell: str, hexadecimal: str) -> None:
    """Chips of the soil book have the sRGB bytes computed with the general library, to one level in 255. [C]."""
    assert all(abs(a - b) <= 1 for a, b in zip(_bytes(srgb_of(munsell)), _bytes(hexadecimal), strict=True))


def test_every_soil_chip_agrees_with_the_general_library() -> None:
    """Soil chips agree with colour-science to one level in 255, values 2.5 and 8.5 too; a chip that it lacks is refused here."""
    worst = compared = 0
    for munsell in _SOIL_CHIPS:
        try:
            xyz = _library_xyz(munsell)
        except ValueError:
            with pytest.raises(MeasureError):
                srgb_of(munsell)
            continue
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            theirs = colour.XYZ_to_sRGB(xyz)
        compared += 1
        bytes_of = [round(255 * min(max(float(channel), 0.0), 1.0)) for channel in theirs]
        worst = max(worst, *(abs(a - b) for a, b in zip(_bytes(srgb_of(munsell)), bytes_of, strict=True)))
    assert compared > 830
    assert worst <= 1


def test_hues_between_the_books_agree_closely() -> None:
    """A hue between two books, as in 8.75YR, lies within ΔE 1 of the general library's curve."""
    for munsell in ("8.75YR 4/4", "1.25Y 5/3", "6YR 3/6", "3.75Y 6/4", "1R 4/2"):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            theirs = colour.XYZ_to_Lab(_library_xyz(munsell), (0.3127, 0.3290))
        assert colour_difference(lab_of(munsell), (float(theirs[0]), float(theirs[1]), float(theirs[2]))) < 1


def test_table_is_the_renotation_chip_by_chip() -> None:
    """Every chip of the shipped table is the renotation's, to four decimals, and no chip of a row is skipped.

    Newhall, Nickerson & Judd 1943, *J. Opt. Soc. Am.* 33, 385-418, as kept by colour-science.
    """
    theirs = {
        (hue, float(value), float(chroma)): (float(xyy[0]), float(xyy[1])) for (hue, value, chroma), xyy in MUNSELL_COLOURS_ALL
    }
    letters = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
    checked = 0
    for (hue, value), chips in _chips().items():
        name = f"{('2.5', '5', '7.5', '10')[hue % 4]}{letters[hue // 4]}"
        for place, chip in enumerate(chips[1:], start=1):
            assert chip == pytest.approx(theirs[name, float(value), 2.0 * place], abs=5.1e-5)
            checked += 1
    assert checked > 2000


@pytest.mark.parametrize(("value", "luminance"), [(5, 19.272), (4, 11.701), (3, 6.391), (2.5, 4.499)])
def test_luminance_of_value(value: float, luminance: float) -> None:
    """The quintic of ASTM D1535 gives the luminances of the whole values. [M], and as the general library returns [C]."""
    assert 100 * _value_luminance(value) == pytest.approx(luminance, abs=0.001)


@pytest.mark.parametrize(
    ("first", "second", "difference"),
    [
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
        ((50.0, -1.0, 2.0), (50.0, 0.0, 0.0), 2.3669),
        ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0011), 7.2195),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_difference_of_the_published_pairs(first: tuple[float, ...], second: tuple[float, ...], difference: float) -> None:
    """Test pairs of Sharma, Wu & Dalal 2005, table 1 (from memory), and the general library gives the same. [M][C]."""
    assert colour_difference(first, second) == pytest.approx(difference, abs=1e-4)
    assert colour_difference(second, first) == pytest.approx(difference, abs=1e-4)
    assert float(colour.difference.delta_E_CIE2000(first, second)) == pytest.approx(difference, abs=1e-4)


def test_luminance_of_black_grey_and_white() -> None:
    """Relative luminance runs from 0 to 1 and middle grey #777777 is 0.1845 (from memory). [M]."""
    assert luminance_of("#000000") == 0
    assert luminance_of("#FFFFFF") == 1
    assert luminance_of("#777777") == pytest.approx(0.1845, abs=5e-4)
