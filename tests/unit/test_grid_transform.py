"""The similarity from the site grid to a projected grid."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.points import GridPoint, ProjectedPoint
from baulk.grid.transform import Similarity


def test_a_bearing_of_ninety_degrees():
    """With the site's north bearing 90°, a step north on the site grid is a step east on the projected one."""
    operation = Similarity(easting=1000, northing=2000, scale=1.0, bearing=90)
    assert operation.forward([GridPoint(0, 5), GridPoint(5, 0)]) == pytest.approx(np.array([[1005, 2000], [1000, 1995]]))
    assert operation.rotation == -90


def test_the_formula_of_method_9621():
    """The matrix form equals the two formulas written out."""
    q, m, e, n = math.radians(33.0), 0.9996, 12.5, -7.25
    expected = (500 + e * m * math.cos(q) + n * m * math.sin(q), 600 - e * m * math.sin(q) + n * m * math.cos(q))
    assert Similarity(500, 600, m, 33.0).forward([[e, n]])[0] == pytest.approx(expected)


def test_the_inverse_takes_projected_points():
    """A projected point comes back to the site grid."""
    operation = Similarity(easting=1000, northing=2000, scale=2.0, bearing=0)
    assert operation.inverse([ProjectedPoint(1010, 2020)])[0].tolist() == [5.0, 10.0]


@pytest.mark.parametrize("parts", [(0, 0, 0, 0), (0, 0, -1, 0), (math.nan, 0, 1, 0), (0, 0, 1, math.inf)])
def test_what_cannot_be_turned_back(parts):
    """A place without numbers or with a scale of nothing is refused."""
    with pytest.raises(MeasureError, match=r"All four are numbers and the scale is above zero: fill in what is missing\."):
        Similarity(*parts)
