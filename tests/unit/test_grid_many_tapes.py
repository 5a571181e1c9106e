"""A point from three or more tapes."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.many_tapes import many_tapes
from baulk.grid.points import GridPoint

MARKS = [GridPoint(0, 0), GridPoint(10, 0), GridPoint(10, 8), GridPoint(0, 8), GridPoint(5, -3)]
TARGET = (3.2, 4.1)


def _tapes(marks=MARKS, target=TARGET):
    return np.array([math.dist((mark.easting, mark.northing), target) for mark in marks])


def test_true_tapes_meet():
    """Tapes without error give the point and no residual."""
    fit = many_tapes(MARKS, _tapes())
    assert (fit.fix.position.easting, fit.fix.position.northing) == pytest.approx(TARGET, abs=1e-7)
    assert np.abs(fit.residuals).max() < 1e-7
    assert fit.degrees_of_freedom == 3
    assert fit.suspect is None


@pytest.mark.parametrize("place", range(5))
def test_the_wrong_tape_is_named(place):
    """One of five tapes read 0.3 m too long is named by its mark."""
    tapes = _tapes()
    tapes[place] += 0.3
    fit = many_tapes(MARKS, tapes, names=["A", "B", "C", "D", "E"])
    assert fit.suspect == place
    assert fit.statement.endswith(f"Too much for tapes of ±10 mm: tape again from mark {'ABCDE'[place]} first.")


def test_three_tapes_cannot_say_which():
    """With three tapes a misfit is seen, all standardised residuals are alike, and no tape is accused."""
    tapes = _tapes(MARKS[:3])
    tapes[1] += 0.2
    fit = many_tapes(MARKS[:3], tapes)
    assert fit.suspect is None
    assert np.abs(fit.standardised) == pytest.approx(np.full(3, abs(fit.standardised[0])), rel=1e-3)
    assert fit.statement.endswith("three tapes cannot say which is wrong: add a fourth.")


def test_good_tapes_are_rarely_accused():
    """With noise as stated, far fewer than one fit in fifty accuses a tape; with three times the noise many do."""
    rng = np.random.default_rng(1890)
    true = _tapes()

    def accused(noise):
        return sum(many_tapes(MARKS, true + noise * rng.standard_normal(5)).suspect is not None for _ in range(200))

    assert accused(0.01) <= 4
    assert accused(0.03) > 20  # negative control


def test_the_error_agrees_with_simulation():
    """The stated deviations are those of fits to tapes with that much noise (600 fits, fixed seed)."""
    rng = np.random.default_rng(1740)
    true = _tapes()
    fixes = [many_tapes(MARKS, true + 0.01 * rng.standard_normal(5)).fix.position for _ in range(600)]
    stated = many_tapes(MARKS, true).fix
    found = np.std([(p.easting, p.northing) for p in fixes], axis=0)
    assert (stated.sd_easting, stated.sd_northing) == pytest.approx(tuple(found), rel=0.12)


def test_marks_on_one_line_leave_two_places():
    """Marks along one wall are refused without a hint of the side, and the hint chooses it."""
    marks = [GridPoint(0, 0), GridPoint(4, 0), GridPoint(9, 0)]
    tapes = _tapes(marks)
    with pytest.raises(MeasureError) as caught:
        many_tapes(marks, tapes)
    assert "The tapes fit two places as well" in str(caught.value)
    assert "Say roughly where the point is, or tape from a mark to one side." in str(caught.value)
    fit = many_tapes(marks, tapes, near=GridPoint(3, -2))
    assert (fit.fix.position.easting, fit.fix.position.northing) == pytest.approx((3.2, -4.1), abs=1e-6)


@pytest.mark.parametrize(
    ("marks", "tapes", "more", "message"),
    [
        (MARKS[:2], [5, 6], {}, "There are 2 tapes. A fit with a check needs three or more"),
        (MARKS, [5, 6, 7], {}, "There are 5 marks, 3 tapes and 5 names."),
        (MARKS[:3], [5, -6, 7], {"names": ["A", "B", "C"]}, "The tape from mark B is given as -6 m."),
        (MARKS[:3], [5, 6, math.nan], {}, "The tape from mark 3 is given as nan m."),
        ([MARKS[0]] * 3, [5, 6, 7], {}, "All tapes start at the same place."),
        (MARKS[:3], [5, 6, 7], {"tape_sd": 0}, "The standard deviation of a tape is given as 0 m."),
    ],
)
def test_what_is_refused(marks, tapes, more, message):
    """Lists that cannot be worked with are refused in words."""
    with pytest.raises(MeasureError) as caught:
        many_tapes(marks, tapes, **more)
    assert message in str(caught.value)
