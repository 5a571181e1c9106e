"""The projected reference system of a site: its north against true north, and longitude and latitude; no network.

pyproj carries its own tables. Nothing is fetched: where a shift between datums needs a grid file that is not
installed, the accuracy told beside the result says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from pyproj import CRS, Proj, Transformer
from pyproj.exceptions import CRSError

from baulk.errors import MeasureError, shorten
from baulk.grid.points import Floats, ProjectedPoint, positions, read_only
from baulk.grid.transform import Similarity

__all__ = [
    "GeographicPositions",
    "meridian_convergence",
    "projected_crs",
    "site_north_from_true_north",
    "to_longitude_latitude",
]


@dataclass(frozen=True, slots=True, eq=False)
class GeographicPositions:
    """Longitudes and latitudes.

    Parameters
    ----------
    longitude, latitude : numpy.ndarray
        Degrees on WGS 84, east and north positive.
    accuracy : float
        Metres, as stated for the operation used; NaN when none is stated.
    operation : str
        Name of the operation.
    """

    longitude: Floats
    latitude: Floats
    accuracy: float
    operation: str


def projected_crs(text: str) -> CRS:
    """Return the projected reference system that `text` names.

    Parameters
    ----------
    text : str
        An EPSG code ("EPSG:27700"), a name or a WKT text.

    Returns
    -------
    pyproj.CRS

    Raises
    ------
    MeasureError
        The text names no known system, or one that is not projected or whose axes do not run east and north.
    """
    try:
        crs = CRS.from_user_input(text)
    except CRSError as fault:
        raise MeasureError(
            f"The reference system is given as “{shorten(text)}”, which is not known. Give an EPSG code of "
            "a projected system, such as EPSG:32630."
        ) from fault
    if not crs.is_projected:
        raise MeasureError(
            f"The reference system “{shorten(crs.name)}” is not projected. A site grid is tied to eastings "
            "and northings: "
            "give a projected system, such as a national grid or a UTM zone."
        )
    if {axis.direction for axis in crs.axis_info[:2]} != {"east", "north"}:
        raise MeasureError(
            f"The axes of “{shorten(crs.name)}” do not run east and north. Eastings and northings are "
            "computed here: give a system with such axes."
        )
    return crs


def to_longitude_latitude(points: Sequence[ProjectedPoint] | ArrayLike, crs: CRS) -> GeographicPositions:
    """Return longitude and latitude on WGS 84 of projected positions.

    Parameters
    ----------
    points : sequence of ProjectedPoint, or array_like of shape (n, 2)
        Easting and northing in metres, also where the system counts in feet.
    crs : pyproj.CRS
        From `projected_crs`.

    Returns
    -------
    GeographicPositions

    Raises
    ------
    MeasureError
        A position lies outside what the projection can turn back.
    """
    given = positions(points, "projected positions") / _metres(crs)
    transformer = Transformer.from_crs(crs, CRS.from_epsg(4326), always_xy=True)
    longitude, latitude = transformer.transform(given[:, 0], given[:, 1])
    found = np.column_stack([longitude, latitude])
    bad = np.flatnonzero(~np.isfinite(found).all(axis=1))
    if bad.size:
        easting, northing = given[bad[0]] * _metres(crs)
        raise MeasureError(
            f"Easting {easting:.0f} m, northing {northing:.0f} m lies outside “{shorten(crs.name)}”. See "
            "that the system and the order of the numbers are right."
        )
    stated = float(transformer.accuracy)
    accuracy = stated if stated >= 0 else math.nan
    return GeographicPositions(read_only(found[:, 0]), read_only(found[:, 1]), accuracy, transformer.description)


def meridian_convergence(point: ProjectedPoint, crs: CRS) -> float:
    """Return the bearing of the projected grid's north from true north at a point.

    Parameters
    ----------
    point : ProjectedPoint
        Metres.
    crs : pyproj.CRS

    Returns
    -------
    float
        Degrees; positive where grid north lies east of true north. True bearing = grid bearing + convergence.
    """
    easting, northing = positions([point], "projected positions")[0] / _metres(crs)
    geodetic = crs.geodetic_crs
    if geodetic is None:
        raise MeasureError(
            f"“{shorten(crs.name)}” says nothing of the earth's figure, so true north cannot be found. Give an EPSG code."
        )
    back = Transformer.from_crs(crs, geodetic, always_xy=True)
    longitude, latitude = back.transform(easting, northing)
    return float(Proj(crs).get_factors(longitude, latitude).meridian_convergence)


def site_north_from_true_north(similarity: Similarity, crs: CRS) -> float:
    """Return the bearing of the site grid's north from true north, in degrees, 0 ≤ b < 360, at the grid's origin."""
    origin = ProjectedPoint(similarity.easting, similarity.northing)
    return (similarity.bearing + meridian_convergence(origin, crs)) % 360.0


def _metres(crs: CRS) -> float:
    """Return the metres in one unit of the system's axes."""
    return float(crs.axis_info[0].unit_conversion_factor)
