"""Positions and their arrays."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.points import GridPoint, ProjectedPoint, is_length, positions, read_only


def test_points_become_rows_of_easting_and_northing():
    """Points of either grid and arrays give the same rows, easting first."""
    expected = [[1.0, 2.0], [3.0, 4.0]]
    assert positions([GridPoint(1, 2), GridPoint(3, 4)], "pegs").tolist() == expected
    assert positions([ProjectedPoint(1, 2), ProjectedPoint(3, 4)], "pegs").tolist() == expected
    assert positions(np.array(expected), "pegs").tolist() == expected


def test_a_position_with_a_gap_is_refused():
    """A position that lacks a number is named by its place in the list."""
    with pytest.raises(MeasureError) as caught:
        positions([GridPoint(1, 2), GridPoint(3, math.nan)], "pegs")
    assert str(caught.value) == (
        "Number 2 of the pegs is given as easting 3, northing nan. A position needs both numbers, and both on the earth: fill "
        "in what is missing, or leave this one out."
    )


@pytest.mark.parametrize("given", [[], [1.0, 2.0], [[1.0, 2.0, 3.0]]])
def test_another_shape_is_refused(given):
    """An array that is no list of positions is refused with its shape."""
    with pytest.raises(MeasureError, match=r"Each position is one easting and one northing"):
        positions(given, "pegs")


def test_read_only_is_a_copy():
    """The frozen array does not change with the one it was made from, and cannot be written to."""
    given = np.zeros(2)
    held = read_only(given)
    given[0] = 1.0
    assert held[0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        held[0] = 1.0


@pytest.mark.parametrize(
    ("metres", "good"),
    [(2.0, True), (1e-6, True), (0.0, False), (-1.0, False), (1e300, False), (math.inf, False), (math.nan, False)],
)
def test_what_a_length_is(metres, good):
    """A length is above zero and fits on the earth."""
    assert is_length(metres) is good


def test_a_position_off_the_earth_is_refused():
    """A figure too large for the earth is refused before it can spoil a sum of squares."""
    with pytest.raises(MeasureError, match=r"Number 1 of the pegs is given as easting 1e\+200, northing 2\."):
        positions([GridPoint(1e200, 2)], "pegs")
