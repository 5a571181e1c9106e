"""The projected reference system: true north, longitude and latitude, without a network."""

import math

import pytest
from pyproj import Transformer

from baulk.errors import MeasureError
from baulk.grid.points import ProjectedPoint
from baulk.grid.projection import (
    meridian_convergence,
    projected_crs,
    site_north_from_true_north,
    to_longitude_latitude,
)
from baulk.grid.transform import Similarity


def test_there_and_back():
    """Longitude and latitude lead back to the same easting and northing."""
    crs = projected_crs("EPSG:32630")
    found = to_longitude_latitude([ProjectedPoint(431_250.0, 5_864_300.0)], crs)
    back = Transformer.from_crs(4326, crs, always_xy=True).transform(found.longitude[0], found.latitude[0])
    assert back == pytest.approx((431_250.0, 5_864_300.0), abs=1e-6)
    assert -4.1 < found.longitude[0] < -3.9
    assert 52 < found.latitude[0] < 54


def test_a_system_that_counts_in_feet_takes_metres():
    """Positions are metres even where the system counts in US survey feet."""
    crs = projected_crs("EPSG:2263")  # New York Long Island, US survey feet
    metres = 1200 / 3937
    found = to_longitude_latitude([ProjectedPoint(984_250.0 * metres, 200_000.0 * metres)], crs)
    raw = Transformer.from_crs(crs, 4326, always_xy=True).transform(984_250.0, 200_000.0)
    assert (found.longitude[0], found.latitude[0]) == pytest.approx(raw, abs=1e-9)


def test_convergence_is_the_bearing_of_grid_north():
    """A step true north has the grid bearing minus the convergence, on either side of the central meridian."""
    crs = projected_crs("EPSG:27700")
    forward = Transformer.from_crs(crs.geodetic_crs, crs, always_xy=True)
    for longitude, sign in ((-4.0, -1), (0.5, 1)):
        here, north = forward.transform(longitude, 53.0), forward.transform(longitude, 53.0001)
        grid_bearing = math.degrees(math.atan2(north[0] - here[0], north[1] - here[1]))
        found = meridian_convergence(ProjectedPoint(*here), crs)
        assert found == pytest.approx(-grid_bearing, abs=1e-4)
        assert math.copysign(1, found) == sign


def test_site_north_from_true_north():
    """The site's north is its bearing on the projected grid and the convergence together."""
    crs = projected_crs("EPSG:27700")
    place = Similarity(easting=266_000.0, northing=350_000.0, scale=1.0, bearing=359.0)
    expected = (359.0 + meridian_convergence(ProjectedPoint(266_000.0, 350_000.0), crs)) % 360
    assert site_north_from_true_north(place, crs) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("EPSG:999999", "The reference system is given as “EPSG:999999”, which is not known. Give an EPSG code"),
        ("", "which is not known"),
        ("EPSG:4326", "The reference system “WGS 84” is not projected. A site grid is tied to eastings and northings"),
        ("EPSG:2048", "do not run east and north"),
    ],
)
def test_systems_that_are_refused(text, message):
    """A system that is unknown, geographic or turned to the south is refused in words."""
    with pytest.raises(MeasureError) as caught:
        projected_crs(text)
    assert message in str(caught.value)


def test_a_position_off_the_map():
    """A position the projection cannot turn back is named."""
    with pytest.raises(MeasureError, match=r"lies outside “WGS 84 / UTM zone 30N”\. See that the system and the order"):
        to_longitude_latitude([[9e7, 9e7]], projected_crs("EPSG:32630"))
