"""The surveyors' volume formulas, each by its own name."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from baulk.errors import MeasureError

__all__ = ["borrow_pit", "end_area", "frustum", "prismoidal", "triangle_prisms"]


def end_area(length: float, first: float, last: float) -> float:
    """Return the volume between two end areas, L(A₁ + A₂)/2, in the cube of the length's own quantity.

    Notes
    -----
    Too much for anything that tapers in both directions (half as much again for a pyramid).

    Examples
    --------
    >>> end_area(10.0, 4.0, 6.0)
    50.0
    """
    return length * (first + last) / 2


def prismoidal(length: float, first: float, middle: float, last: float) -> float:
    """Return the volume of a prismoid, L(A₁ + 4Aₘ + A₂)/6, in the cube of the length's own quantity.

    Parameters
    ----------
    length : float
        Between the end areas.
    first, middle, last : float
        Areas at both ends and half-way; 0 for a point or an edge.

    References
    ----------
    hpmuseum.org/forum/archive/index.php?thread-13022.html (read), with its pyramid of 160 and sphere of 113.1.

    Examples
    --------
    >>> prismoidal(10.0, 48.0, 12.0, 0.0)
    160.0
    """
    return length * (first + 4 * middle + last) / 6


def frustum(height: float, first: float, last: float) -> float:
    """Return the volume between two similar end areas, h(A₁ + A₂ + √(A₁A₂))/3 (from memory; similar ends only)."""
    return height * (first + last + math.sqrt(first * last)) / 3


def borrow_pit(depths: ArrayLike, cell_area: float) -> float:
    """Return the volume under a grid of depths, (A/4)(Σh₁ + 2Σh₂ + 3Σh₃ + 4Σh₄) (from memory).

    Parameters
    ----------
    depths : (r, c) array
        Depth at each corner of the grid; NaN where there is no corner. A cell counts when all its four corners are there.
    cell_area : float
        Area of one cell.

    Raises
    ------
    MeasureError
        When there are fewer than two rows or columns.

    Notes
    -----
    The index is the number of cells that meet at the corner: the sum is that of the mean depths of the cells times their area.

    Examples
    --------
    >>> borrow_pit([[1.0, 1.0, 1.0], [1.0, 1.0, 1.0]], 4.0)
    8.0
    """
    grid = np.asarray(depths, float)
    if grid.ndim != 2 or min(grid.shape) < 2:
        raise MeasureError(f"Depths of shape {grid.shape} hold no cell. The grid formula needs at least two rows and two columns.")
    cells = grid[:-1, :-1] + grid[1:, :-1] + grid[:-1, 1:] + grid[1:, 1:]
    return float(np.nansum(cells) * cell_area / 4)


def triangle_prisms(points: ArrayLike, depths: ArrayLike, triangles: ArrayLike) -> float:
    """Return the volume under triangles, Σ plan area × mean depth of the three corners (from memory).

    Parameters
    ----------
    points : (n, 2) array
        Easting and northing.
    depths : (n,) array
        Depth at each point; NaN makes the volume NaN.
    triangles : (k, 3) array
        Indices of the corners.
    """
    places, deep, corners = np.asarray(points, float), np.asarray(depths, float), np.asarray(triangles, int)
    a, b, c = places[corners[:, 0]], places[corners[:, 1]], places[corners[:, 2]]
    area = np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])) / 2
    return float(area @ deep[corners].mean(axis=1))
