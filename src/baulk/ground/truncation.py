"""Pieces cut through: those that end at a line where their neighbours run on, and the edge that the cut left in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.circle import Circle, geometric_circle

__all__ = ["CutEdge", "cut_end", "fit_cut_edge", "pieces_at_edge"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CutEdge:
    """The edge of a cut, fitted to the ends of the pieces that it cut.

    Parameters
    ----------
    form : str
        ``straight`` or ``round``.
    bearing : float
        Of a straight edge, degrees from 0 to 180; NaN for a round one.
    bearing_error : float
        Its standard error in degrees; NaN for two points.
    middle : tuple of two float
        Middle of the ends fitted.
    circle : Circle or None
        The round edge.
    scatter : float
        Standard deviation of an end from the edge in metres; NaN when there is no check.
    count : int
        Ends fitted.
    """

    form: str
    bearing: float
    bearing_error: float
    middle: tuple[float, float]
    circle: Circle | None
    scatter: float
    count: int

    @property
    def words(self) -> str:
        """The edge in a sentence."""
        if self.form == "round" and self.circle is not None:
            low, high = self.circle.radius_interval
            return (
                f"A round edge of radius {self.circle.radius:.2f} m ({low:.2f} to {high:.2f}, 95 %) about "
                f"{self.circle.easting:.2f} E {self.circle.northing:.2f} N "
                f"through {self.count} ends, which miss it by {1000 * self.scatter:.0f} mm."
            )
        check = "no check" if np.isnan(self.scatter) else f"which miss it by {1000 * self.scatter:.0f} mm"
        error = "" if np.isnan(self.bearing_error) else f" ± {self.bearing_error:.1f}°"
        return f"A straight edge of bearing {self.bearing:.1f}°{error} through {self.count} ends, {check}."


def pieces_at_edge(
    rings: Sequence[ArrayLike], edge: ArrayLike, *, reach: float = 0.02, full_length: float | None = None
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which pieces end at a line, and which it crosses.

    Parameters
    ----------
    rings : sequence of array_like of shape (k, 2)
        Outlines in metres.
    edge : array_like of shape (m, 2)
        The cut's edge; a ring repeats its first point last.
    reach : float
        A piece ends at the edge when it is within this distance of it without being crossed (house value: 20 mm, a joint and the
        drawing's own error); one is crossed when more than this length of the edge runs inside it.
    full_length : float or None
        Length of a whole piece in metres; a piece then ends there only if it is shorter by more than `reach`. None leaves touching
        alone to tell, as where the pieces are of no one length.

    Returns
    -------
    two numpy.ndarray of bool of shape (n,)

    Notes
    -----
    A piece drawn across the edge of a later cut was either drawn as it once was, or is later than the cut, or one of the two is
    drawn wrongly: a person has to say which.
    """
    line = shapely.linestrings(np.asarray(edge, dtype=np.float64))
    shapes = np.array([shapely.polygons(np.asarray(ring, dtype=np.float64)) for ring in rings], dtype=object)
    crossed = shapely.length(shapely.intersection(shapes, line)) > reach
    near = (shapely.distance(shapes, line) <= reach) & ~crossed
    if full_length is not None:
        boxes = [shapely.get_coordinates(box)[:3] for box in shapely.minimum_rotated_rectangle(shapes)]
        lengths = np.array([np.hypot(*np.diff(box, axis=0).T).max() for box in boxes])
        near &= lengths < full_length - reach
    return np.asarray(near, dtype=np.bool_), np.asarray(crossed, dtype=np.bool_)


def cut_end(ring: ArrayLike, edge: ArrayLike) -> tuple[float, float]:
    """Return the middle of the side of a piece nearest to a cut's edge, or of the edge's run inside it where it is crossed."""
    held = np.asarray(ring, dtype=np.float64)
    line = shapely.linestrings(np.asarray(edge, dtype=np.float64))
    inside: BaseGeometry = shapely.Polygon(held).intersection(shapely.LineString(np.asarray(edge, dtype=np.float64)))
    if inside.length > 0:
        middle = inside.centroid
        return float(middle.x), float(middle.y)
    middles = (held + np.roll(held, -1, axis=0)) / 2
    nearest = middles[int(np.argmin(shapely.distance(shapely.points(middles), line)))]
    return float(nearest[0]), float(nearest[1])


def fit_cut_edge(ends: ArrayLike) -> CutEdge:
    """Return the edge through the ends of cut pieces: straight, or round where that halves the scatter and there are five or more.

    Parameters
    ----------
    ends : array_like of shape (n, 2)
        Middles of the cut ends in metres; at least two.

    Raises
    ------
    MeasureError
        Fewer than two ends, or all at one place.

    Notes
    -----
    Straight: total least squares; the bearing's standard error is s/√Σd², d along the edge. The rule of one half is a house value.
    """
    held = np.asarray(ends, dtype=np.float64)
    if held.ndim != 2 or len(held) < 2 or not np.isfinite(held).all() or not np.ptp(held, axis=0).any():
        raise MeasureError(f"{len(held)} cut ends are given for an edge. It takes two that lie apart, and three to check them.")
    middle = held.mean(axis=0)
    _, spread, directions = np.linalg.svd(held - middle, full_matrices=False)
    along = directions[0]
    bearing = float(np.degrees(np.arctan2(along[0], along[1])) % 180)
    spare = len(held) - 2
    scatter = float(spread[1] / np.sqrt(spare)) if spare else float("nan")
    error = float(np.degrees(scatter / spread[0])) if spare else float("nan")
    centre = (float(middle[0]), float(middle[1]))
    if len(held) >= 5 and spread[1] > 1e-9 * spread[0]:
        circle = geometric_circle(held)
        if circle.scatter < scatter / 2:
            return CutEdge("round", float("nan"), float("nan"), centre, circle, circle.scatter, len(held))
    return CutEdge("straight", bearing, error, centre, None, scatter, len(held))
