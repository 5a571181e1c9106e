"""Lines of equal value over a grid of cells."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from baulk.ground.thickness import Cells

__all__ = ["contour_lines"]

Floats = NDArray[np.float64]
_NUDGE = 1e-12
"""A value that is exactly the contour's counts as this much above it, so that no line runs through a corner twice."""


def contour_lines(cells: Cells, values: Floats, level: float) -> tuple[Floats, ...]:
    """Return the lines along which values on the middles of cells equal a level, each as easting and northing, metres.

    Parameters
    ----------
    cells : Cells
        The grid.
    values : (rows, columns) array
        Value at the middle of each cell; NaN where there is none, and no line is drawn beside it.
    level : float
        The value asked for.

    Notes
    -----
    Four neighbouring middles are taken as two triangles, in each of which the value is a plane; a plane's contour is straight.

    Examples
    --------
    >>> cells = Cells(np.array([0.5, 1.5]), np.array([0.5, 1.5]), 1.0)
    >>> [line.tolist() for line in contour_lines(cells, np.array([[0.0, 1.0], [0.0, 1.0]]), 0.25)]
    [[[0.75, 0.5], [0.75, 0.75], [0.75, 1.5]]]
    """
    east, north = np.meshgrid(cells.eastings, cells.northings)
    grid = np.dstack([east, north, np.where(values == level, level + max(abs(level), 1.0) * _NUDGE, values) - level])
    south_west, south_east, north_west, north_east = grid[:-1, :-1], grid[:-1, 1:], grid[1:, :-1], grid[1:, 1:]
    triangles = np.concatenate([
        np.stack([south_west, south_east, north_east], axis=2).reshape(-1, 3, 3),
        np.stack([south_west, north_east, north_west], axis=2).reshape(-1, 3, 3),
    ])  # fmt: skip
    over = triangles[:, :, 2] > 0
    crossed = np.isfinite(triangles[:, :, 2]).all(axis=1) & over.any(axis=1) & ~over.all(axis=1)
    triangles, over = triangles[crossed], over[crossed]
    if not len(triangles):
        return ()
    alone = np.where(over.sum(axis=1) == 1, over.argmax(axis=1), (~over).argmax(axis=1))
    rows = np.arange(len(triangles))
    apex = triangles[rows, alone]
    ends = [_between(apex, triangles[rows, (alone + step) % 3]) for step in (1, 2)]
    merged = shapely.line_merge(shapely.union_all(shapely.linestrings(np.stack(ends, axis=1))))
    return tuple(shapely.get_coordinates(part) for part in shapely.get_parts(merged))


def _between(apex: Floats, other: Floats) -> Floats:
    """Return where the value is nought on the edges between two corners, rounded so that neighbours meet."""
    share = apex[:, 2] / (apex[:, 2] - other[:, 2])
    found: Floats = np.round(apex[:, :2] + share[:, None] * (other[:, :2] - apex[:, :2]), 9)
    return found
