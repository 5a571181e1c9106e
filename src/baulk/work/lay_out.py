"""Where the site grid lies: the tie to a projected grid from the site's own control points."""

from __future__ import annotations

from collections.abc import Callable

from baulk.errors import InputError
from baulk.grid.control import ControlFit, fit_control
from baulk.grid.points import GridPoint, ProjectedPoint
from baulk.grid.projection import projected_crs, to_longitude_latitude
from baulk.record import Position, SiteRecord, Station

__all__ = ["grid_tie", "to_wgs84"]


def grid_tie(record: SiteRecord) -> ControlFit:
    """Return the site grid fitted to the stations that have both a site and a projected position.

    Raises
    ------
    InputError
        When fewer than two stations have both.
    MeasureError
        When the stations cannot be fitted.
    """
    tied = [
        station
        for station in record.all(Station)
        if None not in (station.easting, station.northing, station.projected_easting, station.projected_northing)
        and station.status != "destroyed"
    ]
    if len(tied) < 2:
        raise InputError(
            f"The site grid is not tied to a projected grid: {len(tied)} stations have both positions, and two are the least, "
            "three the least that can be checked. Enter where the stations lie on the projected grid."
        )
    here = [GridPoint((s.easting or 0.0) * record.metres, (s.northing or 0.0) * record.metres) for s in tied]
    there = [ProjectedPoint(s.projected_easting or 0.0, s.projected_northing or 0.0) for s in tied]
    return fit_control(here, there, names=[s.number or s.id for s in tied])


def to_wgs84(record: SiteRecord) -> Callable[[Position], tuple[float, float]]:
    """Return the way from a site-grid position to longitude and latitude in degrees.

    Raises
    ------
    InputError
        When the site names no projected grid, or is not tied to it.
    MeasureError
        When that grid is not known.
    """
    if not record.site.crs:
        raise InputError(
            "The site names no projected grid: enter its code, as in EPSG:27700, before asking for longitude and latitude."
        )
    crs, fit = projected_crs(record.site.crs), grid_tie(record)

    def turned(position: Position) -> tuple[float, float]:
        point = fit.similarity.forward([GridPoint(position.easting * record.metres, position.northing * record.metres)])
        found = to_longitude_latitude(point, crs)
        return float(found.longitude[0]), float(found.latitude[0])

    return turned
