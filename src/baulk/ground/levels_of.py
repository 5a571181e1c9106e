"""Spot levels and outlines of contexts, from the record to arrays in metres."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.ground.volume import Outlined
from baulk.record import Level, Outline, SiteRecord, Unit

__all__ = ["SpotLevels", "levels_of", "outline_of", "unit_ground"]

Floats = NDArray[np.float64]
_ON_EDGE = 0.001


@dataclass(frozen=True, slots=True, eq=False)
class SpotLevels:
    """Levels on one surface of a context.

    Parameters
    ----------
    points : (n, 2) array
        Easting and northing, metres.
    levels : (n,) array
        Levels, metres.
    ids : tuple of str
        Id of the level record, one for each.
    set_aside : tuple of str
        Ids of level records without a place or a height: they cannot be used.
    """

    points: Floats
    levels: Floats
    ids: tuple[str, ...]
    set_aside: tuple[str, ...] = ()

    def __len__(self) -> int:
        """Return the number of levels."""
        return len(self.ids)


def levels_of(record: SiteRecord, context: str, surface: str = "top") -> SpotLevels:
    """Return the levels of one surface of a context.

    Parameters
    ----------
    record : SiteRecord
        Void levels are left out.
    context : str
        Id of the context.
    surface : {"top", "base"}
        Which surface; a level whose surface is blank counts as one on the top, as the record's own default does.
    """
    found = [one for one in record.pointing_at(Level, "context", context) if (one.surface or "top") == surface]
    used = [one for one in found if one.level is not None and one.easting is not None and one.northing is not None]
    rows = np.array([(one.easting, one.northing, one.level) for one in used], float).reshape(-1, 3) * record.metres
    ids = {one.id for one in used}
    aside = tuple(one.id for one in found if one.id not in ids)
    return SpotLevels(np.ascontiguousarray(rows[:, :2]), np.ascontiguousarray(rows[:, 2]), tuple(one.id for one in used), aside)


def outline_of(record: SiteRecord, context: str) -> Outlined | None:
    """Return the extent of a context in metres, all its outlines joined, with its edges; None when none is drawn.

    A ring that crosses itself is mended by taking the area it goes round.
    """
    drawn = [one for one in record.pointing_at(Outline, "context", context) if one.ring]
    if not drawn:
        return None
    rings = [np.array(one.ring, float) * record.metres for one in drawn]
    ground = _areas(shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings]))
    if ground.is_empty:
        return None
    edges = [row for one, ring in zip(drawn, rings, strict=True) for row in _edge_rows(ring, one.edges)]
    if len(drawn) > 1:
        middles = shapely.points([((a + c) / 2, (b + d) / 2) for (a, b, c, d), _ in edges])
        on = shapely.distance(shapely.boundary(ground), middles) < _ON_EDGE
        edges = [edge for edge, kept in zip(edges, on.tolist(), strict=True) if kept]
    return Outlined(ground, tuple(edges))


def _areas(ground: BaseGeometry) -> BaseGeometry:
    if ground.geom_type in ("Polygon", "MultiPolygon"):
        return ground
    return shapely.union_all([part for part in shapely.get_parts(ground) if part.geom_type == "Polygon"])


def _edge_rows(ring: Floats, kinds: tuple[str, ...] | None) -> Iterable[tuple[tuple[float, float, float, float], str]]:
    known = kinds if kinds and len(kinds) == len(ring) else ("uncertain",) * len(ring)
    for start, end, kind in zip(ring, np.roll(ring, -1, axis=0), known, strict=True):
        yield (float(start[0]), float(start[1]), float(end[0]), float(end[1])), kind


def unit_ground(record: SiteRecord, unit: Unit) -> BaseGeometry | None:
    """Return the area of a unit in metres; None when its corners are not on record."""
    if not unit.corners:
        return None
    return _areas(shapely.make_valid(shapely.Polygon(np.array(unit.corners, float) * record.metres)))
