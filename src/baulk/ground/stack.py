"""Surfaces of ordered contexts kept from crossing, with what moved, by how much, and which levels pushed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.compiled import compiled
from baulk.ground.surface import Surface

__all__ = ["Crossing", "LevelAtFault", "Stacked", "Uncrossed", "keep_from_crossing", "uncross"]

Floats = NDArray[np.float64]
_TOLERANCE = 1e-5
_SWEEPS = 20_000
_HELD = 0.01
"""A surface that stands firm counts as so much surer."""


@compiled
def _sweep(heights: Floats, variance: Floats, upper: NDArray[np.int64], lower: NDArray[np.int64], held: float, most: int) -> int:
    """Move heights (surface × cell) in place until no pair crosses by more than `held`; return how many cells did not settle."""
    unsettled = 0
    push = np.zeros(upper.shape[0])
    for cell in range(heights.shape[1]):
        wrong = False
        for pair in range(upper.shape[0]):
            if heights[lower[pair], cell] - heights[upper[pair], cell] > held:
                wrong = True
        if not wrong:
            continue
        push[:] = 0.0
        settled = False
        for _ in range(most):
            largest = 0.0
            for pair in range(upper.shape[0]):
                high, low = upper[pair], lower[pair]
                both = variance[high, cell] + variance[low, cell]
                by = heights[low, cell] - heights[high, cell]
                if np.isnan(by) or not both > 0.0:
                    continue
                step = max(by / both, -push[pair])
                push[pair] += step
                heights[high, cell] += variance[high, cell] * step
                heights[low, cell] -= variance[low, cell] * step
                largest = max(largest, abs(step * both))
            if largest < held:
                settled = True
                break
        if not settled:
            unsettled += 1
    return unsettled


@dataclass(frozen=True, slots=True, eq=False)
class Uncrossed:
    """Heights (surface × cell) that keep to the order, and how far each was moved, metres; NaN where a surface is not."""

    heights: Floats
    moved: Floats
    unsettled: int


def uncross(heights: ArrayLike, deviation: ArrayLike, above: Sequence[tuple[int, int]]) -> Uncrossed:
    """Return the heights nearest to those given that keep each surface above those it must lie above.

    Parameters
    ----------
    heights : (k, m) array
        Height of surface k in cell m, metres; NaN where the surface is not there: it then holds nothing.
    deviation : (k, m) array
        Standard deviation, metres: the surer surface moves less. NaN with the height.
    above : sequence of (int, int)
        Pairs of surfaces, the upper first; without loops.

    Returns
    -------
    Uncrossed
        `unsettled` counts cells that did not settle to 0.01 mm: 0 unless pairs contradict one another.

    Raises
    ------
    MeasureError
        When the shapes differ or a pair names a surface that is not there.

    Notes
    -----
    In each cell: minimise Σ (xₖ − zₖ)²/σₖ² with x_upper ≥ x_lower for each pair, by Hildreth's method on the pushes between pairs;
    for a single chain this is isotonic regression.

    References
    ----------
    Hildreth (1957), Naval Research Logistics Quarterly 4, 79; from memory.
    """
    given = np.array(heights, float)
    variance = np.array(deviation, float) ** 2
    if given.ndim != 2 or given.shape != variance.shape:
        raise MeasureError(f"Heights of shape {given.shape} came with deviations of shape {variance.shape}: they must be alike.")
    pairs = np.array(above, np.int64).reshape(-1, 2)
    if pairs.size and (pairs.min() < 0 or pairs.max() >= len(given)):
        raise MeasureError(f"A pair names surface {int(pairs.max())}, and there are {len(given)}, counted from 0.")
    variance = np.maximum(variance, 1e-10)
    found = given.copy()
    unsettled = _sweep(found, variance, np.ascontiguousarray(pairs[:, 0]), np.ascontiguousarray(pairs[:, 1]), _TOLERANCE, _SWEEPS)
    return Uncrossed(found, found - given, int(unsettled))


@dataclass(frozen=True, slots=True)
class LevelAtFault:
    """One level that stands on the wrong side of another surface.

    Parameters
    ----------
    surface, other : int
        The surface it belongs to, and the one it crosses.
    level : int
        Its index among the levels of its surface.
    by : float
        Metres on the wrong side.
    from_own : float or None
        How far it lies from what its own surface expects without it, metres; None without a check.
    """

    surface: int
    other: int
    level: int
    by: float
    from_own: float | None


@dataclass(frozen=True, slots=True)
class Crossing:
    """A pair of surfaces that crossed: share of their common cells, the greatest depth in metres, and the levels that push."""

    upper: int
    lower: int
    share: float
    deepest: float
    levels: tuple[LevelAtFault, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Stacked:
    """Surfaces on one grid, kept from crossing.

    Parameters
    ----------
    places : (m, 2) array
        Middles of the cells, metres.
    heights, moved, deviation : (k, m) arrays
        Fitted height, how far it was moved, and standard deviation as modelled, metres; NaN outside a surface's outline.
    crossings : tuple of Crossing
        What crossed before, deepest first.
    unsettled : int
        Cells in which the pairs contradict one another.
    """

    places: Floats
    heights: Floats
    moved: Floats
    deviation: Floats
    crossings: tuple[Crossing, ...]
    unsettled: int

    def most_moved(self, surface: int) -> float:
        """Return the greatest move of a surface, metres; 0 when it is in no cell."""
        own = np.abs(self.moved[surface])
        return float(np.nanmax(own)) if np.isfinite(own).any() else 0.0


def keep_from_crossing(
    surfaces: Sequence[Surface],
    outlines: Sequence[BaseGeometry],
    above: Sequence[tuple[int, int]],
    places: Floats,
    held: Sequence[int] = (),
) -> Stacked:
    """Return surfaces fitted to their order on a shared grid, with the levels that pushed named.

    Parameters
    ----------
    surfaces : sequence of Surface
        As fitted one by one.
    outlines : sequence of shapely geometry
        Where each surface is.
    above : sequence of (int, int)
        Pairs of surfaces, the upper first.
    places : (m, 2) array
        Middles of the cells, metres.
    held : sequence of int
        Surfaces that stand firm, such as the top of a structure: what lies on it drapes over it.
    """
    heights, deviation = np.full((2, len(surfaces), len(places)), np.nan)
    for row, (surface, outline) in enumerate(zip(surfaces, outlines, strict=True)):
        inside = shapely.contains_xy(outline, places[:, 0], places[:, 1])
        if inside.any():
            found = surface.at(places[inside])
            heights[row, inside], deviation[row, inside] = found.levels, found.deviation
    sure = deviation.copy()
    sure[list(held)] *= _HELD
    fitted = uncross(heights, sure, above)
    crossings = [_crossing(surfaces, outlines, pair, heights) for pair in above]
    found_crossings = sorted((one for one in crossings if one), key=lambda one: -one.deepest)
    return Stacked(places, fitted.heights, fitted.moved, deviation, tuple(found_crossings), fitted.unsettled)


def _crossing(
    surfaces: Sequence[Surface], outlines: Sequence[BaseGeometry], pair: tuple[int, int], heights: Floats
) -> Crossing | None:
    upper, lower = pair
    by = heights[lower] - heights[upper]
    common = np.isfinite(by)
    wrong = by[common] > 5e-4
    levels = (*_at_fault(surfaces, outlines, upper, lower, -1.0), *_at_fault(surfaces, outlines, lower, upper, 1.0))
    if not wrong.any() and not levels:
        return None
    deepest = max([float(by[common].max()) if common.any() else 0.0, *(one.by for one in levels)])
    share = float(wrong.mean()) if common.any() else 0.0
    return Crossing(upper, lower, share, deepest, tuple(sorted(levels, key=lambda one: -one.by)))


def _at_fault(
    surfaces: Sequence[Surface], outlines: Sequence[BaseGeometry], own: int, other: int, sign: float
) -> tuple[LevelAtFault, ...]:
    """Return the levels of `own` that stand on the wrong side of `other` by more than twice the deviation of both."""
    mine, theirs = surfaces[own], surfaces[other]
    inside = shapely.contains_xy(shapely.buffer(outlines[other], 0.01), mine.spread.places[:, 0], mine.spread.places[:, 1])
    if not inside.any():
        return ()
    there = theirs.at(mine.spread.places)
    by = sign * (mine.levels - there.levels)
    sure = 2.0 * np.sqrt(there.deviation**2 + mine.settings.reading**2)
    missed = mine.left_out
    return tuple(
        LevelAtFault(own, other, int(one), float(by[one]), None if missed is None else float(missed[one]))
        for one in np.flatnonzero(inside & (by > sure))
    )
