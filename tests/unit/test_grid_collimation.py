"""The two-peg test."""

import math

import pytest

from baulk.errors import MeasureError
from baulk.grid.collimation import TWO_PEG_LIMIT, two_peg

GOOD = {"middle_a": 1.500, "middle_b": 1.300, "uneven_a": 1.400, "uneven_b": 1.200, "distance_a": 2.0, "distance_b": 42.0}


def test_a_level_in_order():
    """The same difference from both set-ups means no error."""
    found = two_peg(**GOOD)
    assert found.error_per_metre == pytest.approx(0.0)
    assert found.true_difference == pytest.approx(0.200)
    assert found.within


@pytest.mark.parametrize(
    ("error", "within"), [(0.9 * TWO_PEG_LIMIT, True), (1.1 * TWO_PEG_LIMIT, False), (-1.1 * TWO_PEG_LIMIT, False)]
)
def test_a_known_error_is_found_back(error, within):
    """Readings spoiled by a known tilt give back the tilt, its sign and the true readings."""
    spoiled = GOOD | {
        "uneven_a": 1.400 + error * 2,
        "uneven_b": 1.200 + error * 42,
        "middle_a": 1.5 + 20 * error,
        "middle_b": 1.3 + 20 * error,
    }
    found = two_peg(**spoiled)
    assert found.error_per_metre == pytest.approx(error)
    assert (found.corrected_a, found.corrected_b) == pytest.approx((1.400, 1.200))
    assert found.within is within
    assert found.arc_seconds == pytest.approx(math.degrees(error) * 3600, rel=1e-6)


def test_the_statement():
    """The report's sentence says which way, how much, and what to do."""
    assert two_peg(**(GOOD | {"uneven_b": 1.220})).statement == (
        "The line of sight points upwards by 50.0 mm in 100 m (103″), outside the limit of 2.5 mm in 100 m: have it adjusted, "
        "and keep backsight and foresight the same length until then."
    )


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"uneven_b": math.nan}, "The two-peg test lacks a reading or a distance. It needs four staff readings and two distances"),
        ({"distance_a": -1.0}, "The sight lengths are given as -1 m and 42 m. A length is not negative"),
        (
            {"distance_a": 42.0},
            "Both sights of the second set-up are 42 m. From equal distances the error cancels and cannot be seen",
        ),
    ],
)
def test_what_is_refused(changed, message):
    """A test that shows nothing is refused with what to do."""
    with pytest.raises(MeasureError) as caught:
        two_peg(**(GOOD | changed))
    assert message in str(caught.value)
