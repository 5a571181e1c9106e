"""Spellings, blanks and refusals of Munsell colours."""

from __future__ import annotations

import pytest

from baulk.errors import MeasureError
from baulk.ground import colour_difference, lab_of, srgb_of


@pytest.mark.parametrize("spelling", ["10YR 4/3", "10yr4/3", " 10 YR 4 / 3 "])
def test_one_colour_in_any_spelling(spelling: str) -> None:
    """Case and spaces do not change a colour."""
    assert srgb_of(spelling) == "#735C41"


@pytest.mark.parametrize("blank", [None, "", "  "])
def test_blank_colour_stays_blank(blank: str | None) -> None:
    """No colour is invented for a blank."""
    assert srgb_of(blank) is None


def test_chroma_nought_is_a_neutral() -> None:
    """A hue with chroma 0 is the neutral of that value, and near-greys come near it."""
    assert srgb_of("10YR 4/0") == srgb_of("N 4/") == srgb_of("N4")
    assert colour_difference(lab_of("N 4"), lab_of("10YR 4/1")) < colour_difference(lab_of("N 4"), lab_of("10YR 4/2"))


@pytest.mark.parametrize(("value", "lightness"), [(0, 0.0), (0.5, 4.6), (9.5, 95.5), (10, 100.0)])
def test_values_beyond_the_book_stay_in_order(value: float, lightness: float) -> None:
    """Black and white and the values next to them are read without a jump (lightness by hand from the value function)."""
    assert lab_of(f"N {value:g}")[0] == pytest.approx(lightness, abs=0.8)
    assert srgb_of(f"10YR {value:g}/1")


@pytest.mark.parametrize("given", ["brown", "11YR 4/3", "10YR 14/3", "10ZR 4/3", "4/3"])
def test_unreadable_colour_is_refused_in_words(given: str) -> None:
    """The refusal repeats what was given, says the rule and what to do."""
    with pytest.raises(MeasureError, match=rf"“{given}” is given as a soil colour\..*Read it again or leave it blank\."):
        srgb_of(given)


def test_chroma_beyond_the_chips_is_refused_with_the_limit() -> None:
    """A chroma that no chip has is refused and the largest is named."""
    with pytest.raises(MeasureError, match="No chip of that hue and value has a chroma above 12"):
        srgb_of("10YR 5/30")
