"""Records to GeoJSON (RFC 7946): WGS 84 when a transform is handed in, or the plain site grid, marked as outside the standard."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from typing import Any

from baulk.errors import InputError
from baulk.exchange.names import namer
from baulk.exchange.withheld import fields_given, given_from, withheld
from baulk.record import Entity, Position, Quantity, SiteRecord, facts_of, kind_named

__all__ = ["ToWgs84", "give_geojson"]

ToWgs84 = Callable[[Position], tuple[float, float]]
"""From a position on the site grid to longitude and latitude in degrees (WGS 84)."""

_DECIMALS = 9
"""Decimals of a degree kept: a tenth of a millimetre on the ground."""

Point = tuple[float, float]


def give_geojson(
    record: SiteRecord,
    kinds: Iterable[str],
    *,
    to_wgs84: ToWgs84 | None = None,
    plain: bool = False,
    restricted: bool = False,
    public: bool = False,
) -> dict[str, Any]:
    """Return the records of some kinds as a GeoJSON FeatureCollection.

    Parameters
    ----------
    record : SiteRecord
        The record.
    kinds : iterable of str
        Kinds that have a place on the site grid.
    to_wgs84 : callable, optional
        From a site-grid position to longitude and latitude; GeoJSON knows no other co-ordinates.
    plain : bool
        True to write site-grid co-ordinates as they are; the collection then says that it is outside the standard.
    restricted, public : bool
        As for `give_csv`.

    Returns
    -------
    dict
        Features with the record's fields as properties (references as numbers), a null geometry where nothing was measured, and
        under ``withheld`` in words what was kept back. Levels are properties and no third co-ordinate: RFC 7946 means heights
        above the ellipsoid there.

    Raises
    ------
    InputError
        A kind has no place on the grid; neither a transform nor `plain` is given, or both are.

    References
    ----------
    RFC 7946 (August 2016): 3.1.6 rings closed and right-handed (anticlockwise outside), 4 WGS 84 only, 6.1 foreign members.
    """
    found = [kind_named(kind) for kind in kinds]
    for kind in found:
        if not kind.SHAPE:
            raise InputError(f"A {kind.TITLE} has no place of its own on the site grid: give it as CSV, not as GeoJSON.")
    if to_wgs84 is None and not plain:
        raise InputError(
            "GeoJSON holds longitude and latitude (WGS 84), and the site grid is not tied to a projected grid yet. Tie it with "
            "control points, or ask for plain site-grid co-ordinates, which is outside the standard."
        )
    if to_wgs84 is not None and plain:
        raise InputError("Both a transform and plain site-grid co-ordinates are asked for. Choose one of them.")
    given = given_from(record, restricted=restricted, public=public)
    features = []
    for kind in found:
        describe = _describer(given, kind, fields_given(kind, restricted=restricted, public=public))
        for entity in given.entities.get(kind.KIND, ()):
            if entity.void is None:
                geometry = _geometry(entity, to_wgs84)
                features.append({"type": "Feature", "id": entity.id, "geometry": geometry, "properties": describe(entity)})
    collection: dict[str, Any] = {"type": "FeatureCollection", "features": features}
    if plain:
        collection["coordinates_in"] = (
            f"site grid, {record.length_unit.value}; outside RFC 7946, which has longitude and latitude only"
        )
    kept_back = withheld(record, found, restricted=restricted, public=public)
    if kept_back:
        collection["withheld"] = list(kept_back)
    return collection


def _describer(record: SiteRecord, kind: type[Entity], names: Sequence[str]) -> Callable[[Entity], dict[str, Any]]:
    called = {name: namer(record, facts_of(kind, name).refers) for name in names if facts_of(kind, name).refers}
    shapes = {name for name in names if facts_of(kind, name).quantity in (Quantity.POLYGON, Quantity.PATH)}

    def describe(entity: Entity) -> dict[str, Any]:
        properties: dict[str, Any] = {"kind": kind.KIND} if "kind" not in names else {"record": kind.KIND}
        for name in names:
            value = entity.absences.get(name, getattr(entity, name))
            if name in shapes or name in ("id", "void") or value is None or value == ():
                continue
            if name in called and name not in entity.absences:
                value = [called[name](item) for item in value] if isinstance(value, tuple) else called[name](value)
            properties[name] = list(value) if isinstance(value, tuple) else value
        return properties

    return describe


def _geometry(entity: Entity, to_wgs84: ToWgs84 | None) -> dict[str, Any] | None:
    positions = entity.positions()
    if not positions:
        return None
    points = [_turned(position, to_wgs84) for position in positions]
    if entity.SHAPE == "point":
        return {"type": "Point", "coordinates": list(points[0])}
    if entity.SHAPE == "line":
        return {"type": "LineString", "coordinates": [list(point) for point in points]}
    return {"type": "Polygon", "coordinates": [[list(point) for point in _ring(points)]]}


def _turned(position: Position, to_wgs84: ToWgs84 | None) -> Point:
    if to_wgs84 is None:
        return (position.easting, position.northing)
    longitude, latitude = to_wgs84(position)
    if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):
        raise InputError(
            f"A position on the site grid ({position.easting:g}, {position.northing:g}) comes out at longitude {longitude:g} and "
            f"latitude {latitude:g}, which is not on the Earth. See the control points and the projected grid of the site."
        )
    return (round(longitude, _DECIMALS), round(latitude, _DECIMALS))


def _ring(points: Sequence[Point]) -> list[Point]:
    """Return the ring anticlockwise, the first position repeated last."""
    closed = [*points, points[0]]
    from_first = [(point[0] - points[0][0], point[1] - points[0][1]) for point in closed]
    doubled = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(from_first))
    return closed if doubled >= 0 else closed[::-1]
