"""Positions: on the site grid, on a projected (national) grid, and levels above the site's datum.

The two grids have different types so that one is never taken for the other. All are in metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NewType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["FARTHEST", "Floats", "GridPoint", "Level", "ProjectedPoint", "is_length", "positions", "read_only"]

FARTHEST = 1e8
"""Metres; no position, tape or side on the earth is larger, so a larger figure is a slip and is refused."""

Floats = NDArray[np.float64]
"""An array of 64-bit floats."""

Level = NewType("Level", float)
"""A height above the site's vertical datum in metres, upwards positive."""


@dataclass(frozen=True, slots=True)
class GridPoint:
    """A position on the site grid.

    Parameters
    ----------
    easting, northing : float
        Metres on the site grid.
    """

    easting: float
    northing: float


@dataclass(frozen=True, slots=True)
class ProjectedPoint:
    """A position on a projected co-ordinate reference system, such as a national grid.

    Parameters
    ----------
    easting, northing : float
        Metres, also where the reference system itself counts in feet.
    """

    easting: float
    northing: float


def is_length(metres: float) -> bool:
    """Return whether `metres` is a length that can be measured on the earth: above zero and not endless."""
    return 0.0 < metres <= FARTHEST  # NaN and infinity compare false


def read_only(values: ArrayLike) -> Floats:
    """Return a copy of `values` as floats that cannot be written to."""
    held = np.array(values, dtype=np.float64)
    held.setflags(write=False)
    return held


def positions(points: Sequence[GridPoint] | Sequence[ProjectedPoint] | ArrayLike, what: str) -> Floats:
    """Return `points` as an array of easting and northing, refusing any that is not a position.

    Parameters
    ----------
    points : sequence of GridPoint or ProjectedPoint, or array_like of shape (n, 2)
        Metres; NaN is refused.
    what : str
        What the points are, in words for the message, such as "control points on the site grid".

    Returns
    -------
    numpy.ndarray of shape (n, 2)
        Easting, northing.

    Raises
    ------
    MeasureError
        The shape is another one, or a number is missing or not finite (the position's place in the list is named).
    """
    if isinstance(points, Sequence) and points and isinstance(points[0], GridPoint | ProjectedPoint):
        rows = [(p.easting, p.northing) for p in points if isinstance(p, GridPoint | ProjectedPoint)]
        given = np.array(rows, dtype=np.float64)
    else:
        given = np.array(points, dtype=np.float64)
    if given.ndim != 2 or given.shape[1] != 2:
        raise MeasureError(
            f"The {what} are given as an array of shape {given.shape}. "
            "Each position is one easting and one northing: give one row of two numbers for each."
        )
    bad = np.flatnonzero(~(np.abs(given) <= FARTHEST).all(axis=1))
    if bad.size:
        easting, northing = given[bad[0]]
        raise MeasureError(
            f"Number {bad[0] + 1} of the {what} is given as easting {easting:g}, northing {northing:g}. "
            "A position needs both numbers, and both on the earth: fill in what is missing, or leave this one out."
        )
    return given
