"""Munsell notation to colour on paper and screen, and the difference between two readings.

A soil colour is read against a book under daylight. The book's chips are known as CIE xyY under illuminant C; here they are carried
to D65 and to sRGB so that a deposit can be drawn in its own colour.
"""

from __future__ import annotations

import re
from functools import cache
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

from baulk.errors import MeasureError, shorten
from baulk.ground.munsell_table import RENOTATION
from baulk.record import normal_munsell

__all__ = ["Colour", "colour_difference", "lab_of", "luminance_of", "srgb_of"]

Colour = tuple[float, float, float]
"""Three co-ordinates of one colour in the space that the name beside it tells."""

ILLUMINANT_C = (0.31006, 0.31616)
D65 = (0.3127, 0.3290)
_HUES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
_PARTS = re.compile(r"^([\d.]+)([A-Z]+) ([\d.]+)/([\d.]+)$")

# Bradford cone response and the sRGB primaries (IEC 61966-2-1), from memory; the reference test compares the whole chain.
_BRADFORD = ((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296))
_BRADFORD_BACK = (
    (0.9869929, -0.1470543, 0.1599627),
    (0.4323053, 0.5183603, 0.0492912),
    (-0.0085287, 0.0400428, 0.9684867),
)
_TO_SRGB = ((3.2404542, -1.5371385, -0.4985314), (-0.9692660, 1.8760108, 0.0415560), (0.0556434, -0.2040259, 1.0572252))


def srgb_of(munsell: str | None) -> str | None:
    """Return a Munsell colour as ``#RRGGBB``, or None when the colour is blank.

    Parameters
    ----------
    munsell : str or None
        Notation as `baulk.record.normal_munsell` reads it; None or blank text means that no colour was recorded.

    Raises
    ------
    MeasureError
        When the notation cannot be read or its chroma lies beyond the renotation's chips.

    Notes
    -----
    Hue, value and chroma → xyY under illuminant C → Bradford adaptation to D65 → linear sRGB → sRGB transfer curve. What lies
    outside sRGB is clipped channel by channel.

    Examples
    --------
    >>> srgb_of("10YR 4/3"), srgb_of(None)
    ('#735C41', None)
    """
    if munsell is None or not munsell.strip():
        return None
    linear = _times(_TO_SRGB, _xyz_of(munsell))
    return "#" + "".join(f"{round(255 * _encoded(channel)):02X}" for channel in linear)


def lab_of(munsell: str) -> Colour:
    """Return a Munsell colour as CIE L*, a*, b* under D65.

    Raises
    ------
    MeasureError
        When the notation cannot be read or its chroma lies beyond the renotation's chips.

    Examples
    --------
    >>> [round(part, 1) for part in lab_of("10YR 4/6")]
    [40.8, 10.2, 37.4]
    """
    white = _xyz(*D65, 1.0)
    fx, fy, fz = (_lab_curve(part / of_white) for part, of_white in zip(_xyz_of(munsell), white, strict=True))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def luminance_of(srgb: str) -> float:
    """Return the relative luminance, 0 black to 1 white, of ``#RRGGBB``.

    Examples
    --------
    >>> luminance_of("#FFFFFF")
    1.0
    """
    red, green, blue = (_linear(int(srgb[place : place + 2], 16) / 255) for place in (1, 3, 5))
    return round(0.2126 * red + 0.7152 * green + 0.0722 * blue, 6)


def colour_difference(first: Colour, second: Colour) -> float:
    """Return the CIEDE2000 difference of two colours given as L*, a*, b*.

    Two recorders' readings of one soil differ by a chip or so; neighbouring chips of a soil book lie about 4 to 10 apart.

    References
    ----------
    Sharma, G., Wu, W. & Dalal, E. N. 2005: The CIEDE2000 color-difference formula. *Color Research and Application* 30, 21-30
    (formula from memory, checked against the test pairs of that paper).

    Examples
    --------
    >>> colour_difference((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485)).__round__(4)
    2.0425
    """
    mean_chroma = (hypot(*first[1:]) + hypot(*second[1:])) / 2
    stretch = 1 + 0.5 * (1 - sqrt(mean_chroma**7 / (mean_chroma**7 + 25.0**7)))
    one, two = _polar(first, stretch), _polar(second, stretch)
    turn, mean_hue = _hue_step(one, two)
    chroma, light = (one[1] + two[1]) / 2, (one[0] + two[0]) / 2
    weight = (
        1
        - 0.17 * cos(radians(mean_hue - 30))
        + 0.24 * cos(radians(2 * mean_hue))
        + 0.32 * cos(radians(3 * mean_hue + 6))
        - 0.20 * cos(radians(4 * mean_hue - 63))
    )
    step_light = (two[0] - one[0]) / (1 + 0.015 * (light - 50) ** 2 / sqrt(20 + (light - 50) ** 2))
    step_chroma = (two[1] - one[1]) / (1 + 0.045 * chroma)
    step_hue = 2 * sqrt(one[1] * two[1]) * sin(radians(turn) / 2) / (1 + 0.015 * chroma * weight)
    rotation = -2 * sqrt(chroma**7 / (chroma**7 + 25.0**7)) * sin(radians(60 * exp(-(((mean_hue - 275) / 25) ** 2))))
    return sqrt(max(0.0, step_light**2 + step_chroma**2 + step_hue**2 + rotation * step_chroma * step_hue))


def _polar(lab: Colour, stretch: float) -> Colour:
    red = lab[1] * stretch
    return lab[0], hypot(red, lab[2]), degrees(atan2(lab[2], red)) % 360 if red or lab[2] else 0.0


def _hue_step(one: Colour, two: Colour) -> tuple[float, float]:
    """Return the hue difference and the mean hue in degrees, the short way round."""
    if one[1] * two[1] == 0:
        return 0.0, one[2] + two[2]
    turn = (two[2] - one[2] + 180) % 360 - 180
    if abs(two[2] - one[2]) <= 180:
        return two[2] - one[2], (one[2] + two[2]) / 2
    total = one[2] + two[2]
    return turn, (total + 360) / 2 if total < 360 else (total - 360) / 2


def _xyz_of(munsell: str) -> Colour:
    """Return X, Y, Z under D65, the white's Y being 1."""
    try:
        notation = normal_munsell(munsell)
    except ValueError as refusal:
        raise MeasureError(f"“{shorten(munsell)}” is given as a soil colour. {refusal} Read it again or leave it blank.") from None
    east, north, luminance = _xy_luminance(notation)
    from_white, to_white = (_times(_BRADFORD, _xyz(*white, 1.0)) for white in (ILLUMINANT_C, D65))
    cone = _times(_BRADFORD, _xyz(east, north, luminance))
    adapted = [part * new / old for part, new, old in zip(cone, to_white, from_white, strict=True)]
    return _times(_BRADFORD_BACK, (adapted[0], adapted[1], adapted[2]))


def _xy_luminance(notation: str) -> Colour:
    parts = _PARTS.match(notation)
    if parts is None:  # a neutral: N value/0
        return *ILLUMINANT_C, _value_luminance(float(notation[2:].partition("/")[0]))
    hue = _HUES.index(parts[2]) * 10 + float(parts[1])
    value, chroma = float(parts[3]), float(parts[4])
    low = min(max(int(value), 1), 9)
    under, over = _chromaticity(hue, low, chroma, notation), ILLUMINANT_C
    if low < 9 and value > low:
        over = _chromaticity(hue, low + 1, chroma, notation)
    low_light, high_light, light = _value_luminance(low), _value_luminance(low + 1), _value_luminance(value)
    share = min(max((light - low_light) / (high_light - low_light), 0.0), 1.0)
    return under[0] + share * (over[0] - under[0]), under[1] + share * (over[1] - under[1]), light


def _chromaticity(hue: float, value: int, chroma: float, notation: str) -> tuple[float, float]:
    """Return x and y at a whole value, straight between the chips round about."""
    table = _chips()
    before = int(hue // 2.5)
    share = hue / 2.5 - before
    ends = [
        _along_chroma(table[(place - 1) % 40, value], chroma, notation) for place in ((before, before + 1) if share else (before,))
    ]
    if not share:
        return ends[0]
    return ends[0][0] + share * (ends[1][0] - ends[0][0]), ends[0][1] + share * (ends[1][1] - ends[0][1])


def _along_chroma(chips: tuple[tuple[float, float], ...], chroma: float, notation: str) -> tuple[float, float]:
    place = int(chroma // 2)
    share = chroma / 2 - place
    if place + (share > 0) >= len(chips):
        raise MeasureError(
            f"“{notation}” is given as a soil colour. No chip of that hue and value has a chroma above {2 * (len(chips) - 1)}. "
            "Read the colour again; hue comes first, then value, then chroma."
        )
    low = chips[place]
    if not share:
        return low
    high = chips[place + 1]
    return low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1])


@cache
def _chips() -> dict[tuple[int, int], tuple[tuple[float, float], ...]]:
    """Return x, y by hue (0 is 2.5R, 1 is 5R, ... 39 is 10RP) and value; the first of each is the grey of illuminant C."""
    table: dict[tuple[int, int], tuple[tuple[float, float], ...]] = {}
    for place, row in enumerate(RENOTATION.split("\n")[1:-1]):
        cells = row.split()[2:]
        table[place // 9, place % 9 + 1] = (ILLUMINANT_C, *((int(cell[:4]) / 1e4, int(cell[4:]) / 1e4) for cell in cells))
    return table


def _value_luminance(value: float) -> float:
    """Return the luminance of a Munsell value, white 1: the quintic of ASTM D1535 (from memory, compared in the reference test)."""
    return value * (1.1914 + value * (-0.22533 + value * (0.23352 + value * (-0.020484 + value * 0.00081939)))) / 100


def _xyz(east: float, north: float, luminance: float) -> Colour:
    return east * luminance / north, luminance, (1 - east - north) * luminance / north


def _times(matrix: tuple[Colour, Colour, Colour], vector: Colour) -> Colour:
    one, two, three = (sum(weight * part for weight, part in zip(row, vector, strict=True)) for row in matrix)
    return one, two, three


def _encoded(linear: float) -> float:
    clipped = min(max(linear, 0.0), 1.0)
    return 12.92 * clipped if clipped <= 0.0031308 else 1.055 * clipped ** (1 / 2.4) - 0.055


def _linear(encoded: float) -> float:
    return encoded / 12.92 if encoded <= 0.04045 else ((encoded + 0.055) / 1.055) ** 2.4


def _lab_curve(share: float) -> float:
    return share ** (1 / 3) if share > 216 / 24389 else (24389 / 27 * share + 16) / 116
