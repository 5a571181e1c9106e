"""A section of the modelled ground along any line, and the faces of a unit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.surface import Surface

__all__ = ["Body", "Face", "Section", "section_along", "unit_faces"]

Floats = NDArray[np.float64]
_ON_EDGE = 0.02
"""A context drawn to the limit of excavation is on the face although pegs and tapes differ by a centimetre or two."""


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One context as modelled: id, surfaces (None where it has no levels) and extent in plan."""

    context: str
    top: Surface | None
    base: Surface | None
    ground: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """One face of a unit as seen from inside: its name and both ends, left then right, metres."""

    name: str
    ends: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """Heights of contexts along a line.

    Parameters
    ----------
    distance : (m,) array
        Metres from the left end.
    places : (m, 2) array
        Easting and northing, metres.
    contexts : tuple of str
        Ids, one a row.
    top, base : (k, m) arrays
        Heights in metres; NaN where the context is not on the line or its surface is not carried.
    top_deviation, base_deviation : (k, m) arrays
        Standard deviations in metres; NaN with the height.
    extrapolated : (k, m) bool array
        Where top or base lies outside the outermost levels.
    """

    distance: Floats
    places: Floats
    contexts: tuple[str, ...]
    top: Floats
    base: Floats
    top_deviation: Floats
    base_deviation: Floats
    extrapolated: NDArray[np.bool_]


def section_along(line: ArrayLike, bodies: Sequence[Body], spacing: float = 0.05) -> Section:
    """Return the section of the modelled ground along a line.

    Parameters
    ----------
    line : (k, 2) array
        Easting and northing of its corners, metres, from left to right.
    bodies : sequence of Body
        The contexts.
    spacing : float
        Distance between heights, metres; both ends are always among them.

    Raises
    ------
    MeasureError
        When the line has no length or the spacing is not above 0.
    """
    path = shapely.LineString(np.asarray(line, float))
    if not path.length > 0 or not spacing > 0:
        raise MeasureError(
            f"A section {path.length:g} m long every {spacing:g} m was asked for. Give two different ends and a spacing."
        )
    distance = np.linspace(0.0, path.length, max(2, int(np.ceil(path.length / spacing)) + 1))
    places = np.ascontiguousarray(shapely.get_coordinates(shapely.line_interpolate_point(path, distance)))
    shape = (len(bodies), len(distance))
    top, base, top_dev, base_dev = (np.full(shape, np.nan) for _ in range(4))
    beyond = np.zeros(shape, bool)
    for row, body in enumerate(bodies):
        near = shapely.buffer(body.ground, _ON_EDGE)
        on = np.flatnonzero(shapely.contains_xy(near, places[:, 0], places[:, 1]))
        for surface, heights, deviation in ((body.top, top, top_dev), (body.base, base, base_dev)):
            if surface is not None and on.size:
                found = surface.at(places[on])
                heights[row, on], deviation[row, on] = found.levels, found.deviation
                beyond[row, on] |= found.extrapolated
    return Section(distance, places, tuple(body.context for body in bodies), top, base, top_dev, base_dev, beyond)


def unit_faces(corners: ArrayLike) -> tuple[Face, ...]:
    """Return the faces of a unit, each left to right as seen from inside, named by the way they look.

    Parameters
    ----------
    corners : (k, 2) array
        Corners in metres, either way round.

    Raises
    ------
    MeasureError
        When there are fewer than three corners.

    Examples
    --------
    >>> [(face.name, face.ends.tolist()) for face in unit_faces([(0, 0), (2, 0), (2, 2), (0, 2)])][0]
    ('south', [[2.0, 0.0], [0.0, 0.0]])
    """
    ring = np.asarray(corners, float)
    if ring.ndim != 2 or len(ring) < 3:
        raise MeasureError(f"A unit with {len(ring)} corners has no faces. Enter at least three corners.")
    after = np.roll(ring, -1, axis=0)
    turning = float((ring[:, 0] * after[:, 1] - after[:, 0] * ring[:, 1]).sum())
    starts, ends = (after, ring) if turning > 0 else (ring, after)
    faces = []
    for left, right in zip(starts, ends, strict=True):
        along = right - left
        out = np.array([-along[1], along[0]])  # to the left of left-to-right, which is away from the digger
        name = ("north" if out[1] > 0 else "south") if abs(out[1]) >= abs(out[0]) else ("east" if out[0] > 0 else "west")
        faces.append(Face(name, np.array([left, right])))
    return tuple(faces)
