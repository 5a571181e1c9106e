"""Laid pieces as a whole: their rectangles, their axis, what they turn round, and their rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError
from baulk.ground.axial import Directions, axial_statistics
from baulk.ground.rows import Rows, offsets_across, rows_of
from baulk.ground.turning import AlongAxis, TurningPlace, axis_along, concentric_place, turning_place

__all__ = ["Laying", "Pieces", "Round", "laying_of", "pieces_of"]

Floats = NDArray[np.float64]
_TOO_SQUARE = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Rectangles of laid pieces, in metres and degrees.

    Parameters
    ----------
    centres : numpy.ndarray of shape (n, 2)
        Easting and northing of each middle; NaN where no outline was drawn.
    bearings : numpy.ndarray of shape (n,)
        Axis of the longer side, 0 to 180; NaN where the piece is as broad as long (within a twentieth, house value).
    longer, shorter : numpy.ndarray of shape (n,)
        Sides of the smallest rectangle about the outline.
    """

    centres: Floats
    bearings: Floats
    longer: Floats
    shorter: Floats


def pieces_of(rings: Sequence[ArrayLike | None]) -> Pieces:
    """Return the smallest rectangle about each outline.

    Parameters
    ----------
    rings : sequence of array_like of shape (k, 2) or None
        Outlines in metres, the first point not repeated; None where none was drawn.

    Raises
    ------
    MeasureError
        An outline has no area or a point that is not a number.
    """
    shapes = np.array([None if ring is None else _shape(ring, place) for place, ring in enumerate(rings)], dtype=object)
    boxes = shapely.minimum_rotated_rectangle(shapes)
    drawn = np.array([ring is not None for ring in rings], dtype=bool)
    corners = np.full((len(rings), 5, 2), np.nan)
    corners[drawn] = shapely.get_coordinates(boxes[drawn]).reshape(-1, 5, 2)
    sides = np.diff(corners[:, :3], axis=1)
    lengths = np.hypot(sides[..., 0], sides[..., 1])
    along = np.where((lengths[:, 0] >= lengths[:, 1])[:, None], sides[:, 0], sides[:, 1])
    bearings = np.degrees(np.arctan2(along[:, 0], along[:, 1])) % 180
    longer, shorter = lengths.max(axis=1, initial=-np.inf), lengths.min(axis=1, initial=np.inf)
    bearings[shorter > _TOO_SQUARE * longer] = np.nan
    return Pieces(corners[:, :4].mean(axis=1), bearings, longer, shorter)


def _shape(ring: ArrayLike, place: int) -> shapely.Polygon:
    held = np.asarray(ring, dtype=np.float64)
    shape = shapely.Polygon(held) if held.ndim == 2 and len(held) >= 3 and np.isfinite(held).all() else None
    if shape is None or not shape.area > 0:
        raise MeasureError(
            f"The outline of piece {place + 1} encloses no area. Draw at least three corners that are not in one line."
        )
    return shape


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """The place that pieces turn round by two ways that do not share their errors: their axes, and the circles they stand on.

    Parameters
    ----------
    easting, northing : float
        By whichever of the two has the smaller ellipse.
    within : float
        Metres: the place lies within this, so far as both ways know; it reaches the far side of both 95 % ellipses.
    by_axes : TurningPlace
        By the axes.
    by_rows : tuple or None
        By the rows, as `baulk.ground.turning.concentric_place` returns it.
    """

    easting: float
    northing: float
    within: float
    by_axes: TurningPlace
    by_rows: tuple[float, float, tuple[float, float], float, float] | None

    @property
    def apart(self) -> float:
        """Metres between the two answers; NaN when there is only one."""
        if self.by_rows is None:
            return float("nan")
        return float(np.hypot(self.by_axes.easting - self.by_rows[0], self.by_axes.northing - self.by_rows[1]))

    @property
    def words(self) -> str:
        """The place in a sentence."""
        head = f"They turn round {self.easting:.3f} E {self.northing:.3f} N, within {self.within:.3f} m."
        if self.by_rows is None:
            return f"{head} By the axes alone: no check from the rows."
        axes, rows = self.by_axes, self.by_rows
        return (
            f"{head} By their axes {axes.easting:.3f} E {axes.northing:.3f} N (95 % ellipse {axes.half_axes[0]:.3f} × "
            f"{axes.half_axes[1]:.3f} m), by their rows {rows[0]:.3f} E {rows[1]:.3f} N ({rows[2][0]:.3f} × {rows[2][1]:.3f} m): "
            f"{self.apart:.3f} m apart."
        )


@dataclass(frozen=True, slots=True, eq=False)
class Laying:
    """How pieces are laid.

    Parameters
    ----------
    axis : Directions
        Axial statistics of all pieces.
    turning : TurningPlace
        Whether they turn, by their axes.
    place : Round or None
        What they turn round; None when they do not turn or it cannot be told.
    rows : Rows
        Rows across the axis, or by distance from the place.
    along : tuple of AlongAxis
        For each row of two or more, how its axis runs.
    """

    axis: Directions
    turning: TurningPlace
    place: Round | None
    rows: Rows
    along: tuple[AlongAxis | None, ...]


def laying_of(pieces: Pieces) -> Laying:
    """Return the axis, the turning, the rows, and the axis along each row.

    Raises
    ------
    MeasureError
        No piece has an axis.
    """
    axis = axial_statistics(pieces.bearings)
    turning = turning_place(pieces.centres, pieces.bearings)
    if turning.turns:
        far = np.hypot(*(pieces.centres - np.array([turning.easting, turning.northing])).T)
        across = pieces.shorter if turning.how == "round" else pieces.longer
        rows = rows_of(far, float(np.nanmedian(across)))
        place = _round(pieces.centres, rows, turning)
    else:
        bearing = axis.mean if isfinite(axis.mean) else 0.0
        rows = rows_of(offsets_across(pieces.centres, bearing)[1], float(np.nanmedian(pieces.shorter)))
        place = None
    return Laying(axis, turning, place, rows, _along(pieces, rows))


def _along(pieces: Pieces, rows: Rows) -> tuple[AlongAxis | None, ...]:
    found: list[AlongAxis | None] = []
    for number in range(len(rows.counts)):
        held = (rows.row == number) & np.isfinite(pieces.bearings)
        found.append(axis_along(pieces.centres[held], pieces.bearings[held]) if held.sum() > 1 else None)
    return tuple(found)


def _round(centres: Floats, rows: Rows, turning: TurningPlace) -> Round:
    known = rows.row >= 0
    by_rows = concentric_place(centres[known], rows.row[known]) if known.sum() else None
    best = (turning.easting, turning.northing)
    reach = turning.half_axes[0]
    if by_rows is None:
        return Round(*best, reach, turning, None)
    apart = float(np.hypot(best[0] - by_rows[0], best[1] - by_rows[1]))
    if by_rows[2][0] < reach:
        return Round(by_rows[0], by_rows[1], max(by_rows[2][0], apart + reach), turning, by_rows)
    return Round(*best, max(reach, apart + by_rows[2][0]), turning, by_rows)
