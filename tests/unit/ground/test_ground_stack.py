"""Surfaces kept from crossing: the nearest heights in order, and the levels that pushed."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scipy.optimize import minimize
from sklearn.isotonic import isotonic_regression

from baulk.errors import MeasureError
from baulk.ground.stack import keep_from_crossing, uncross
from baulk.ground.surface import fit_surface
from baulk.ground.thickness import cells_over

SQUARE = shapely.box(0, 0, 2, 2)
CORNERS = np.array([(0.1, 0.1), (1.9, 0.1), (1.9, 1.9), (0.1, 1.9), (1, 1)])


def test_a_chain_is_isotonic_regression() -> None:
    """For surfaces one above the other the heights are those of an independent isotonic regression, cell by cell."""
    rng = np.random.default_rng(5)
    heights, deviation = rng.normal(0, 1, (6, 40)), rng.uniform(0.2, 2, (6, 40))
    found = uncross(heights, deviation, [(k, k + 1) for k in range(5)])
    assert found.unsettled == 0
    for cell in range(40):
        other = isotonic_regression(heights[:, cell], sample_weight=1 / deviation[:, cell] ** 2, increasing=False)
        np.testing.assert_allclose(found.heights[:, cell], other, rtol=0, atol=1e-3)


def test_any_order_is_the_least_change_that_keeps_it() -> None:
    """For a branching order the sum of squares is that of a general constrained minimiser, and no pair crosses."""
    rng = np.random.default_rng(6)
    pairs = [(0, 1), (0, 2), (1, 3), (2, 3), (3, 4)]
    for _ in range(10):
        heights, deviation = rng.normal(0, 1, (5, 1)), rng.uniform(0.3, 1.5, (5, 1))
        found = uncross(heights, deviation, pairs).heights[:, 0]
        best = minimize(
            lambda x, z=heights[:, 0], s=deviation[:, 0]: (((x - z) / s) ** 2).sum(),
            np.linspace(1, -1, 5),
            constraints=[{"type": "ineq", "fun": lambda x, a=a, b=b: x[a] - x[b]} for a, b in pairs],
            method="SLSQP",
            options={"ftol": 1e-12},
        )
        np.testing.assert_allclose(found, best.x, rtol=0, atol=2e-3)
        assert all(found[a] - found[b] > -1e-4 for a, b in pairs)


def test_what_does_not_cross_is_not_touched() -> None:
    """Cells in order keep their heights to the last bit; a surface that is not there holds nothing."""
    heights = np.array([[2.0, 2.0, np.nan], [1.0, 2.5, 5.0], [0.0, 0.0, 1.0]])
    found = uncross(heights, np.full((3, 3), 0.1), [(0, 1), (1, 2)])
    np.testing.assert_array_equal(found.heights[:, 0], heights[:, 0])
    np.testing.assert_allclose(found.heights[:2, 1], [2.25, 2.25], atol=1e-5)
    np.testing.assert_array_equal(found.heights[1:, 2], heights[1:, 2])


def test_pairs_that_make_no_sense_are_refused() -> None:
    """A pair beyond the surfaces and deviations of another shape are refused in words."""
    with pytest.raises(MeasureError, match="A pair names surface 7, and there are 2"):
        uncross(np.zeros((2, 3)), np.ones((2, 3)), [(0, 7)])
    with pytest.raises(MeasureError, match="they must be alike"):
        uncross(np.zeros((2, 3)), np.ones((2, 2)), [])


def test_the_level_that_pushed_is_named_with_how_far_it_is_off() -> None:
    """A level entered 200 mm too high makes its surface cross; that level, and no other, is named, with both distances."""
    levels = np.array([9.90, 9.91, 9.92, 9.90, 9.91])
    wrong = levels.copy()
    wrong[4] += 0.2
    upper = fit_surface(CORNERS, levels + 0.05)
    places = cells_over(SQUARE, 0.1).places
    clean = keep_from_crossing([upper, fit_surface(CORNERS, levels)], [SQUARE] * 2, [(0, 1)], places)
    assert clean.crossings == ()
    assert clean.most_moved(0) == 0.0
    pushed = keep_from_crossing([upper, fit_surface(CORNERS, wrong)], [SQUARE] * 2, [(0, 1)], places)
    (crossing,) = pushed.crossings
    faults = [(one.surface, one.level) for one in crossing.levels]
    assert (1, 4) in faults
    assert crossing.levels[0].by == pytest.approx(0.15, abs=0.02)
    named = next(one for one in crossing.levels if one.surface == 1)
    assert named.from_own == pytest.approx(0.2, abs=0.05)
    assert pushed.most_moved(0) + pushed.most_moved(1) == pytest.approx(crossing.deepest, abs=0.01)
    assert (pushed.heights[0] - pushed.heights[1] > -1e-4).all()


def test_what_stands_firm_is_draped_over() -> None:
    """A structure's top keeps its levels; the base of what lies on it takes the whole move."""
    base, top = fit_surface(CORNERS, np.full(5, 10.0)), fit_surface(CORNERS, np.full(5, 10.1))
    places = cells_over(SQUARE, 0.2).places
    found = keep_from_crossing([base, top], [SQUARE] * 2, [(0, 1)], places, held=[1])
    assert found.most_moved(1) < 1e-4
    assert found.most_moved(0) == pytest.approx(0.1, abs=1e-3)
