"""A context as a closed solid: triangles over its top, its base, and the walls between them along its outline."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError

__all__ = ["ContextSolid", "Solid", "joined_solids", "open_edges", "solid_between"]

Floats = NDArray[np.float64]
Corners = NDArray[np.int64]
HeightsAt = Callable[[Floats], Floats]

_THIN = 1e-4
"""Metres; where top and base come nearer than this there is no body."""
_MOST_CELLS = 40_000


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A body bounded by triangles.

    Parameters
    ----------
    vertices : (n, 3) array
        Easting, northing, level in metres.
    triangles : (m, 3) array of int
        Corners of each triangle, anticlockwise as seen from outside.
    tops : int
        The first so many triangles are its upper side.
    """

    vertices: Floats
    triangles: Corners
    tops: int

    @property
    def volume(self) -> float:
        """Cubic metres: a sixth of the sum of a · (b × c) over the triangles; right for a closed solid."""
        if not len(self.triangles):
            return 0.0
        a, b, c = (self.vertices[self.triangles[:, corner]] - self.vertices[0] for corner in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)

    @property
    def area_in_plan(self) -> float:
        """Square metres of its upper side, seen from above."""
        a, b, c = (self.vertices[self.triangles[: self.tops, corner], :2] for corner in range(3))
        u, v = b - a, c - a
        return float((u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum() / 2)


@dataclass(frozen=True, slots=True, eq=False)
class ContextSolid:
    """The solid of a context of the record.

    Parameters
    ----------
    context : str
        Id of the context.
    parts : tuple of Solid
        Its body: what lies outside every later cut first, then what is left beneath cuts.
    rank : int
        How many solids lie one on another beneath it: 0 for the lowest.
    says : tuple of str
        Where its surfaces come from, and what to know about it.
    """

    context: str
    parts: tuple[Solid, ...]
    rank: int
    says: tuple[str, ...] = ()

    @property
    def solid(self) -> Solid:
        """The whole body as one."""
        return joined_solids(self.parts)


def solid_between(ground: BaseGeometry, top: HeightsAt, base: HeightsAt, *, step: float) -> Solid:
    """Return the closed solid between two surfaces inside an outline.

    Parameters
    ----------
    ground : shapely Polygon or MultiPolygon
        Outline, metres.
    top, base : callable
        Heights in metres at places (m × 2); NaN where the surface is not carried: no body stands there.
    step : float
        Side of the squares into which the outline is cut, metres.

    Returns
    -------
    Solid
        Without triangles where nothing lies between the surfaces.

    Raises
    ------
    MeasureError
        When the outline has no area, or there would be more than 40,000 squares.

    Notes
    -----
    The outline and the lines of a square grid are joined into one net, so that neighbouring faces share whole edges; each face is
    cut into triangles without new corners. Base and top have the same triangles; a wall stands on each edge that one face alone
    has. Where the base comes out above the top both are put half-way: the body ends there.
    """
    if ground.is_empty or not ground.area > 0:
        raise MeasureError("An outline has no area, so no solid can stand on it. Enter at least three corners not in one line.")
    places, faces = _net(ground, step)
    upper, lower = np.asarray(top(places), float), np.asarray(base(places), float)
    crossed = upper < lower
    upper[crossed] = lower[crossed] = (upper[crossed] + lower[crossed]) / 2
    thick = upper - lower
    there = np.isfinite(thick[faces]).all(axis=1) & (thick[faces].max(axis=1) > _THIN)
    return _closed(places, faces[there], upper, lower)


def joined_solids(parts: Sequence[Solid]) -> Solid:
    """Return several closed solids as one: their corners are not shared, so each stays closed."""
    if not parts:
        return Solid(np.zeros((0, 3)), np.zeros((0, 3), np.int64), 0)
    shift = np.cumsum([0, *(len(part.vertices) for part in parts)])
    moved = [part.triangles + start for part, start in zip(parts, shift, strict=False)]
    tops = [held[: part.tops] for part, held in zip(parts, moved, strict=True)]
    rest = [held[part.tops :] for part, held in zip(parts, moved, strict=True)]
    return Solid(np.vstack([part.vertices for part in parts]), np.vstack([*tops, *rest]), sum(part.tops for part in parts))


def open_edges(solid: Solid) -> int:
    """Return how many edges are not run through once in each direction: 0 for a closed solid whose faces all look outward."""
    if not len(solid.triangles):
        return 0
    edges = np.vstack([solid.triangles[:, [0, 1]], solid.triangles[:, [1, 2]], solid.triangles[:, [2, 0]]])
    size = int(edges.max()) + 1
    there, back = edges[:, 0] * size + edges[:, 1], edges[:, 1] * size + edges[:, 0]
    keys, counts = np.unique(there, return_counts=True)
    facing = np.isin(keys, back)
    return int((counts != 1).sum() + (~facing).sum())


def _net(ground: BaseGeometry, step: float) -> tuple[Floats, Corners]:
    """Return places and triangles (anticlockwise) that cover an outline, cut along a grid of squares."""
    west, south, east, north = ground.bounds
    if not step > 0 or ((east - west) / step + 1) * ((north - south) / step + 1) > _MOST_CELLS:
        raise MeasureError(
            f"Squares of {step:g} m over {east - west:.1f} × {north - south:.1f} m were asked for: at most "
            f"{_MOST_CELLS:,} make a solid."
        )
    across = np.arange(np.floor(west / step) + 1, np.ceil(east / step)) * step
    along = np.arange(np.floor(south / step) + 1, np.ceil(north / step)) * step
    lines = [shapely.LineString([(one, south - step), (one, north + step)]) for one in across]
    lines += [shapely.LineString([(west - step, one), (east + step, one)]) for one in along]
    edge = shapely.boundary(ground)
    net = shapely.union_all([edge, *(shapely.intersection(line, ground) for line in lines)], grid_size=1e-6)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(net)))
    faces = faces[shapely.contains(ground.buffer(1e-6), shapely.point_on_surface(faces))]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(faces))
    rings = shapely.get_coordinates(shapely.orient_polygons(triangles)).reshape(-1, 4, 2)[:, :3]
    keys = np.round(rings.reshape(-1, 2), 6)
    places, corner = np.unique(keys, axis=0, return_inverse=True)
    corners = corner.reshape(-1, 3)
    distinct = (corners[:, 0] != corners[:, 1]) & (corners[:, 1] != corners[:, 2]) & (corners[:, 2] != corners[:, 0])
    return places, corners[distinct]


def _rim(faces: Corners) -> Corners:
    """Return the edges that one face alone has, the body on their left."""
    count = int(faces.max()) + 1
    edges = np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    found: Corners = edges[~np.isin(edges[:, 0] * count + edges[:, 1], edges[:, 1] * count + edges[:, 0])]
    return found


def _unpinched(faces: Corners) -> tuple[Corners, Corners]:
    """Return faces in which no corner is touched by the rim twice, and which corner each corner is a copy of.

    Where an outline touches itself in a point, the faces on either side get a corner of their own: two walls would else share one
    upright edge.
    """
    faces, copied = faces.copy(), list(range(int(faces.max()) + 1))
    starts, times = np.unique(_rim(faces)[:, 0], return_counts=True)
    for corner in starts[times > 1].tolist():
        left = np.flatnonzero((faces == corner).any(axis=1)).tolist()
        first = True
        while left:
            fan = {left.pop()}
            reached = set(faces[next(iter(fan))].tolist()) - {corner}
            while more := [face for face in left if reached & set(faces[face].tolist())]:
                fan |= set(more)
                left = [face for face in left if face not in fan]
                reached |= {other for face in more for other in faces[face].tolist()} - {corner}
            if not first:
                rows = np.array(sorted(fan))
                faces[rows] = np.where(faces[rows] == corner, len(copied), faces[rows])
                copied.append(corner)
            first = False
    return faces, np.array(copied)


def _closed(places: Floats, faces: Corners, upper: Floats, lower: Floats) -> Solid:
    """Return the solid on some of the faces: top, base turned over, and walls on the edges that one face alone has."""
    used, corner = np.unique(faces, return_inverse=True)
    if not len(used):
        return Solid(np.zeros((0, 3)), np.zeros((0, 3), np.int64), 0)
    faces, copied = _unpinched(corner.reshape(-1, 3))
    used = used[copied]
    count = len(used)
    rim = _rim(faces)
    start, end = rim[:, 0], rim[:, 1]
    walls = np.vstack([np.column_stack([start, start + count, end + count]), np.column_stack([start, end + count, end])])
    vertices = np.vstack([np.column_stack([places[used], held[used]]) for held in (upper, lower)])
    return Solid(vertices, np.vstack([faces, faces[:, ::-1] + count, walls]), len(faces))
