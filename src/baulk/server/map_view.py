"""The units of a site as columns, for a map of thousands of them."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.record import Station, Unit
from baulk.server.record_view import Shown

__all__ = ["SiteMap", "StationMark", "site_map"]


class StationMark(BaseModel):
    """A control point."""

    id: str
    number: str
    easting: float
    northing: float


class SiteMap(BaseModel):
    """Units and control points in the site's own quantity; of the units one entry a unit in every column."""

    ids: list[str]
    numbers: list[str]
    corners: list[list[tuple[float, float]]] = Field(description="Easting and northing of each corner, in order round the unit.")
    open: list[bool] = Field(description="Whether the unit is still open.")
    unplaced: int = Field(description="Units without corners; they are on no map.")
    stations: list[StationMark]


def site_map(shown: Shown) -> SiteMap:
    """Return the units that have corners, in natural order of number, and the control points that have places."""
    record = shown.record
    units = record.all(Unit)
    placed = [unit for unit in units if unit.corners and len(unit.corners) >= 3]
    return SiteMap(
        ids=[unit.id for unit in placed],
        numbers=[unit.number or "" for unit in placed],
        corners=[[(place[0], place[1]) for place in unit.corners or ()] for unit in placed],
        open=[unit.closed is None for unit in placed],
        unplaced=len(units) - len(placed),
        stations=[
            StationMark(id=one.id, number=one.number or "", easting=one.easting, northing=one.northing)
            for one in record.all(Station)
            if one.easting is not None and one.northing is not None
        ],
    )
