"""A place on the site grid as a GeoPackage geometry.

Notes
-----
GeoPackage binary: the letters GP, version 0, one byte of flags, the number of the reference system as int32, an envelope (least and
greatest easting, least and greatest northing) for all but points, then well-known binary. All little-endian. Well-known binary adds
1000 to the type of a geometry with heights.

References
----------
OGC 12-128r17, *GeoPackage Encoding Standard* 1.3, clause 2.1.3. ISO/IEC 13249-3:2016 for well-known binary (from memory).
"""

from __future__ import annotations

import struct
from collections.abc import Sequence

from baulk.record import Entity, Position

__all__ = ["GEOMETRY_TYPES", "SITE_GRID", "has_levels", "shape_of"]

SITE_GRID = -1
"""The reference system "undefined Cartesian": the site grid, in the site's own quantity."""

GEOMETRY_TYPES = {"point": "POINT", "line": "LINESTRING", "polygon": "POLYGON"}
"""Name of the geometry by the shape of a kind."""

_LITTLE_ENDIAN, _WITH_ENVELOPE = 0b1, 0b10
_POINT, _LINE, _POLYGON, _WITH_LEVEL = 1, 2, 3, 1000


def has_levels(kind: type[Entity]) -> bool:
    """Tell whether points of a kind may carry a level."""
    return kind.SHAPE == "point" and "level" in kind.model_fields


def shape_of(entity: Entity) -> bytes | None:
    """Return the geometry of a record, or None when it has no place or its place is blank.

    Examples
    --------
    >>> from baulk.record import Level
    >>> shape_of(Level(id="a", context="b", easting=1.0, northing=2.0))[:8].hex()
    '47500001ffffffff'
    """
    if not entity.SHAPE:
        return None
    places = entity.positions()
    if not places:
        return None
    if entity.SHAPE == "point":
        level = getattr(entity, "level", None) if has_levels(type(entity)) else None
        return _header(()) + _point(places[0], level)
    if entity.SHAPE == "line":
        return _header(places) + struct.pack("<BII", 1, _LINE, len(places)) + _pairs(places)
    ring = (*places, places[0])
    return _header(ring) + struct.pack("<BIII", 1, _POLYGON, 1, len(ring)) + _pairs(ring)


def _header(places: Sequence[Position]) -> bytes:
    if not places:
        return struct.pack("<2sBBi", b"GP", 0, _LITTLE_ENDIAN, SITE_GRID)
    eastings, northings = zip(*places, strict=True)
    envelope = (min(eastings), max(eastings), min(northings), max(northings))
    return struct.pack("<2sBBi4d", b"GP", 0, _LITTLE_ENDIAN | _WITH_ENVELOPE, SITE_GRID, *envelope)


def _point(place: Position, level: float | None) -> bytes:
    if level is None:
        return struct.pack("<BIdd", 1, _POINT, place.easting, place.northing)
    return struct.pack("<BIddd", 1, _POINT + _WITH_LEVEL, place.easting, place.northing, level)


def _pairs(places: Sequence[Position]) -> bytes:
    return struct.pack(f"<{2 * len(places)}d", *(number for place in places for number in place))
