"""A point from two tapes."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.points import GridPoint
from baulk.grid.tapes import Side, two_tapes

A, B = GridPoint(100.0, 200.0), GridPoint(105.0, 200.0)


def test_left_and_right():
    """Looking from the first mark to the second, left is left; exchanging the marks exchanges the hands."""
    found = two_tapes(A, B, from_first=3, from_second=4)
    assert found.on(Side.LEFT).position.northing == pytest.approx(202.4)
    assert found.on(Side.RIGHT).position.northing == pytest.approx(197.6)
    turned = two_tapes(B, A, from_first=4, from_second=3)
    assert turned.right.position.northing == pytest.approx(202.4)


def test_the_error_agrees_with_simulation():
    """The stated standard deviations are those of points from tapes with that much noise (20,000 draws, fixed seed)."""
    rng = np.random.default_rng(1742)
    fix = two_tapes(A, B, from_first=3.5, from_second=4.2, tape_sd=0.01).left
    draws = []
    for one, other in 0.01 * rng.standard_normal((20_000, 2)):
        along = ((3.5 + one) ** 2 - (4.2 + other) ** 2 + 25) / 10
        draws.append((along, math.sqrt((3.5 + one) ** 2 - along**2)))
    found = np.cov(np.array(draws).T)
    assert fix.covariance == pytest.approx(found, rel=0.03, abs=1e-6)
    wrong = two_tapes(A, B, from_first=3.5, from_second=4.2, tape_sd=0.011).left
    assert wrong.covariance != pytest.approx(found, rel=0.03, abs=1e-6)  # negative control


def test_the_ellipse():
    """A flat triangle is weak across the base line: the long axis points north and is the larger deviation."""
    fix = two_tapes(A, B, from_first=math.hypot(2.5, 0.3), from_second=math.hypot(2.5, 0.3)).left
    assert fix.semi_major == pytest.approx(fix.sd_northing)
    assert fix.semi_minor == pytest.approx(fix.sd_easting)
    assert fix.major_bearing % 180 == pytest.approx(0.0, abs=1e-6)


def test_a_weak_angle_is_said():
    """A thin triangle carries a warning with its angle and the remedy; a good one none."""
    reach = math.hypot(2.5, 0.3)
    assert two_tapes(A, B, from_first=reach, from_second=reach).left.warning == (
        "The tapes cross at 166°, a thin triangle: the point is weak. Tape from marks that give an angle between 30° and 150°, "
        "or add a third tape."
    )
    assert two_tapes(A, B, from_first=3, from_second=4).left.warning == ""


def test_tapes_that_just_touch():
    """Tapes that meet on the base line give one point without any hold across it: the deviation is infinite, not small."""
    found = two_tapes(A, B, from_first=2, from_second=3)
    assert found.left.position == found.right.position
    assert math.isinf(found.left.sd_northing)
    assert "thin triangle" in found.left.warning


@pytest.mark.parametrize(
    ("first", "second", "message"),
    [
        (
            1.0,
            2.0,
            "The tapes of 1.000 m and 2.000 m from marks 5.000 m apart do not meet: they leave a gap of 2.000 m. Tape both again",
        ),
        (9.0, 2.0, "do not meet: the longer one reaches 2.000 m beyond the shorter."),
        (0.0, 2.0, "The first tape is given as 0 m. It is a length above zero"),
        (1e200, 2.0, "The first tape is given as 1e+200 m."),
        (1.0, math.nan, "The second tape is given as nan m."),
    ],
)
def test_tapes_without_a_point(first, second, message):
    """Tapes that do not meet are refused with the gap."""
    with pytest.raises(MeasureError) as caught:
        two_tapes(A, B, from_first=first, from_second=second)
    assert message in str(caught.value)


def test_one_mark_only():
    """Two tapes from one mark are refused."""
    with pytest.raises(
        MeasureError, match=r"Both tapes start at the same mark\. Two tapes fix a point only from two different marks"
    ):
        two_tapes(A, A, from_first=1, from_second=2)


def test_a_standard_deviation_of_nothing():
    """A tape without error is refused."""
    with pytest.raises(MeasureError, match=r"The standard deviation is given as 0 m"):
        two_tapes(A, B, from_first=3, from_second=4, tape_sd=0)
