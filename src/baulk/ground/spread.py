"""Where the levels of a surface lie: one place, a line, or spread over the ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["Spread", "distances_of", "one_level_a_place"]

Floats = NDArray[np.float64]

_IN_LINE = 0.04
"""Levels lie in one line when their spread across it is less than this share of the spread along it, or 2 cm."""
_SAME_PLACE = 0.002


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Places of levels, with the directions in which they spread.

    Parameters
    ----------
    places : (n, 2) array
        Easting and northing, metres.
    centre : (2,) array
        Their mean.
    centred : (n, 2) array
        Places less the mean.
    axes : (2, 2) array
        Unit vectors along and across the greatest spread, as rows.
    directions : int
        0 when all lie in one place, 1 when they lie in one line, else 2.
    diameter : float
        Twice the greatest distance from the mean, metres.
    """

    places: Floats
    centre: Floats
    centred: Floats
    axes: Floats
    directions: int
    diameter: float

    @property
    def count(self) -> int:
        """Number of levels."""
        return len(self.places)

    @classmethod
    def of(cls, places: ArrayLike) -> Spread:
        """Return the spread of places (n × 2, metres)."""
        given = np.ascontiguousarray(places, dtype=float)
        centre = given.mean(axis=0)
        centred = given - centre
        size, turn = np.linalg.eigh(centred.T @ centred / len(given))
        along, across = float(np.sqrt(max(size[1], 0.0))), float(np.sqrt(max(size[0], 0.0)))
        directions = 0 if along < _SAME_PLACE else (1 if across < max(_IN_LINE * along, 0.02) else 2)
        diameter = 2.0 * float(np.sqrt((centred**2).sum(axis=1).max()))
        return cls(given, centre, centred, np.ascontiguousarray(turn.T[::-1]), directions, diameter)


def distances_of(places: Floats) -> Floats:
    """Return the distances between places (n × 2) as n × n."""
    apart = places[:, None, :] - places[None, :, :]
    return np.ascontiguousarray(np.sqrt((apart**2).sum(axis=2)))


def one_level_a_place(points: ArrayLike, levels: ArrayLike) -> tuple[Floats, Floats, str]:
    """Return places and levels with those within 2 mm of each other averaged, and words on what was averaged.

    Parameters
    ----------
    points : (n, 2) array
        Easting and northing in metres.
    levels : (n,) array
        Levels in metres.

    Returns
    -------
    places, levels, says
        `says` is empty when nothing was averaged.

    Raises
    ------
    MeasureError
        When there is no level, the shapes differ, or a figure is not a number.
    """
    places, heights = np.asarray(points, float), np.asarray(levels, float)
    if heights.size == 0:
        raise MeasureError("A surface was asked for from no levels. A surface needs at least one: take a level on it.")
    if places.shape != (heights.size, 2) or heights.ndim != 1:
        raise MeasureError(
            f"{heights.size} levels came with places of shape {places.shape}. Each level needs one easting and one northing."
        )
    bad = np.flatnonzero(~(np.isfinite(places).all(axis=1) & np.isfinite(heights)))
    if bad.size:
        first = int(bad[0])
        raise MeasureError(
            f"Level {first + 1} of {heights.size} is {heights[first]} at {places[first, 0]}, {places[first, 1]}: not a number. "
            "Leave out what was not measured, with the reason, or level it again."
        )
    cells = np.round(places / _SAME_PLACE).astype(np.int64)
    _, group = np.unique(cells, axis=0, return_inverse=True)
    group = group.ravel()
    counts = np.bincount(group)
    if counts.size == heights.size:
        return places, heights, ""
    merged = np.column_stack([np.bincount(group, places[:, axis]) / counts for axis in (0, 1)])
    mean = np.bincount(group, heights) / counts
    apart = float(np.abs(heights - mean[group]).max()) * 2000
    return merged, mean, f"{heights.size - counts.size} levels at the place of another were averaged (up to {apart:.0f} mm apart)"
