"""Radiocarbon: what is refused in words, bounds that may not cut, other curves, inversions."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.dating.calibration import calibrate, years_of_limit
from baulk.dating.curve import Curve, curve_of, intcal20
from baulk.dating.radiocarbon_age import age_below_reservoir, inversions, pooled_age, read_age
from baulk.errors import InputError


def _straight() -> Curve:
    """Return a curve on which radiocarbon age and years are the same, with an error of 1."""
    years = np.arange(0, 4001)
    return curve_of("straight", "test", "made for the test", cal_bp=years, age=years, error=np.ones(len(years)))


def test_on_a_straight_curve_a_date_is_a_normal() -> None:
    """With μ(t) = t and errors 29 and 1, the piece at 68.27 % runs 29.02 years to both sides, across the change of era as well."""
    found = calibrate(1000, 29, curve=_straight())
    (piece,) = found.pieces(0.6827)
    assert (piece.begin, piece.end) == (921, 979)
    (era,) = calibrate(1950, 29, curve=_straight()).pieces(0.6827)
    assert (era.begin, era.end) == (-30, 29)
    assert "straight (test; made for the test)" in found.words


def test_a_date_is_pieces_and_never_a_mean() -> None:
    """230 ± 30 has four pieces at 95.45 %, its aid has no middle, and it says where the curve stops it."""
    found = calibrate(230, 30)
    assert len(found.pieces()) == 4
    assert found.aid.middle is None
    assert "outermost years of several pieces" in found.aid.words
    assert "The curve ends at 1950, within this date: later years are not ruled out." in found.words


def test_bounds_that_cut_off_a_date_are_refused() -> None:
    """A grid that begins in 1700 would lose two fifths of 230 ± 30; one that holds it all gives the same answer."""
    with pytest.raises(InputError, match=r"The years 1700 to 1950 cut off \d+\.\d per cent of 230 ± 30 BP\. Bounds that are too"):
        calibrate(230, 30, begin=1700)
    whole, bounded = calibrate(230, 30), calibrate(230, 30, begin=1400)
    assert bounded.years[0] == 1400
    assert whole.pieces() == bounded.pieces()


@pytest.mark.parametrize(
    ("age", "error", "said"),
    [
        (60_000, 500, "It has no calendar date by this curve"), (-300, 20, "It is of the years after 1950"),
        (230, 0, "A radiocarbon age has an error above 0"),
    ],
)  # fmt: skip
def test_dates_beyond_the_curve_are_refused_in_words(age: float, error: float, said: str) -> None:
    """Older and younger than the curve, and no error, are each told."""
    with pytest.raises(InputError, match=said):
        calibrate(age, error)


def test_a_level_is_a_share() -> None:
    """95 in place of 0.95 is told."""
    with pytest.raises(InputError, match="It is a share between 0 and 1"):
        calibrate(230, 30).pieces(95)


def test_an_old_date_at_the_end_of_the_curve_says_so() -> None:
    """50,000 ± 800 runs into the early end of IntCal20."""
    assert "The curve begins at 53051 BC, within this date: earlier years are not ruled out." in calibrate(50_000, 800).words


def test_another_curve_may_fall_and_has_to_be_whole() -> None:
    """Columns in falling order are turned; a column cut short, a blank and a repeated year are told."""
    turned = curve_of("c", "1", "s", cal_bp=[20, 10, 0], age=[3, 2, 1], error=[1, 1, 1])
    assert turned.age.tolist() == [1, 2, 3]
    with pytest.raises(InputError, match="A curve has one age and one error for each of two years or more"):
        curve_of("c", "1", "s", cal_bp=[0, 1], age=[1], error=[1, 1])
    for years, errors in (([0, 0], [1, 1]), ([0, np.nan], [1, 1]), ([0, 1], [1, 0])):
        with pytest.raises(InputError, match="The curve c has a blank, an error that is not above 0, or one year twice"):
            curve_of("c", "1", "s", cal_bp=years, age=[1, 2], error=errors)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1050±40 ", (1050, 40, None, None)), ("1,050 +/- 40 BP", (1050, 40, None, None)), ("<200yr ", (None, None, 200, None)),
        (">45,000 BP", (None, None, None, 45_000)), ("≤ 120 years", (None, None, 120, None)),
    ],
)  # fmt: skip
def test_ages_as_laboratories_write_them(text: str, expected: tuple[float | None, ...]) -> None:
    """Ages with errors, and limits, are read."""
    found = read_age(text)
    assert (found.age, found.error, found.younger_than, found.older_than) == expected


def test_limits_are_said_and_not_calibrated() -> None:
    """“<200yr” is kept as a limit of about AD 1650 or later, with the word weak; a limit at the old end as well."""
    assert "It has no error, so it cannot be calibrated" in read_age("<200yr").words
    assert "at the limit of the laboratory" in read_age(">45000").words
    assert read_age("230±30").words == "230 ± 30 BP"
    said = years_of_limit(200)
    assert said.startswith("Below 200 BP: about 166")
    assert "use it as a weak terminus only" in said
    assert years_of_limit(50).startswith("No year of IntCal20")


@pytest.mark.parametrize(("text", "said"), [("modern", "is no radiocarbon age"), ("230±0", "has no error above 0")])
def test_what_is_no_age_is_refused(text: str, said: str) -> None:
    """A word, and an error of 0, are told."""
    with pytest.raises(InputError, match=said):
        read_age(text)


def test_a_reservoir_is_taken_off() -> None:
    """1200 ± 30 less 400 ± 40 is 800 ± 50; an error below 0 is told."""
    assert age_below_reservoir(1200, 30, offset=400, offset_error=40) == (800, 50)
    with pytest.raises(InputError, match="give both as published"):
        age_below_reservoir(1200, 30, offset=400, offset_error=-1)


def test_pooling_takes_two_and_errors() -> None:
    """One age alone, and an age without error, are told."""
    with pytest.raises(InputError, match="Pooling takes two ages or more of one thing"):
        pooled_age([1000], [30])
    with pytest.raises(InputError, match="leave out what is a limit only"):
        pooled_age([1000, 1010], [30, 0])


def test_inversions_are_told_strongest_first() -> None:
    """Of a pile 0 over 1 over 2 over 3 with ages 900, 800, 300 and a limit, 1 and 2 are too young below 0, and 2 below 1."""
    found = inversions([900, 800, 300, np.nan], [30, 30, 40, np.nan], [0, 1, 0, 2], [1, 2, 2, 3])
    assert [(one.later, one.earlier, one.difference) for one in found] == [(0, 2, 600), (1, 2, 500), (0, 1, 100)]
    assert inversions([800, 900], [30, 30], [0], [1]) == ()


def test_a_limit_below_an_older_sample_is_an_inversion() -> None:
    """“<200” under 510 ± 75 is 310 years, four deviations, too young; above an older sample it is in order."""
    ages, errors, limits = [510, np.nan, 310], [75, np.nan, 100], [np.nan, 200, np.nan]
    (found,) = inversions(ages, errors, [0, 0, 1], [1, 2, 2], younger_than=limits)
    assert (found.later, found.earlier, found.difference) == (0, 1, 310)
    assert found.deviations == pytest.approx(310 / 75)


def test_the_packed_curve_is_not_altered_by_use() -> None:
    """The curve is held once; its yearly form runs from 0 to 55,000 and keeps the points."""
    years, ages, errors = intcal20().yearly()
    assert (len(years), ages[250], errors[250]) == (55_001, 110, 9)
    assert intcal20() is intcal20()
