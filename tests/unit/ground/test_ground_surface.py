"""Surfaces from spot levels: planes, triangles, splines and kriging, each held against an independent library."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from scipy.interpolate import LinearNDInterpolator, RBFInterpolator
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

from baulk.errors import MeasureError
from baulk.ground.covariance import EXPONENTIAL, SMOOTH, restricted_likelihood
from baulk.ground.hull import beyond_hull
from baulk.ground.kriging import krige
from baulk.ground.spline import Spline, fit_spline
from baulk.ground.spread import Spread, distances_of
from baulk.ground.surface import KINDS, fit_surface
from baulk.ground.tin import triangulate
from baulk.ground.variogram import Variogram, fit_variogram


def ground(seed: int, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return places in two metres and levels on a wavy slope."""
    rng = np.random.default_rng(seed)
    places = rng.uniform((112, 204), (114, 206), (count, 2))
    local = places - [113, 205]
    return places, 29.5 + 0.03 * local[:, 0] + 0.02 * np.sin(3 * local[:, 1]) + rng.normal(0, 0.004, count)


ASKED = np.random.default_rng(9).uniform((112.1, 204.1), (113.9, 205.9), (30, 2))


@pytest.mark.parametrize("smoothing", [0.0, 0.001, 0.1])
@pytest.mark.parametrize("count", [5, 17, 50])
def test_spline_agrees_with_scipy(count: int, smoothing: float) -> None:
    """The thin-plate spline and its left-out errors are those of scipy's general interpolator."""
    places, levels = ground(count, count)
    spread = Spread.of(places)
    spline = fit_spline(spread, levels, smoothing)
    scaled = (places - spread.centre) / spread.diameter
    other = RBFInterpolator(scaled, levels, smoothing=smoothing, kernel="thin_plate_spline")
    np.testing.assert_allclose(spline.weights(ASKED) @ levels, other((ASKED - spread.centre) / spread.diameter), rtol=0, atol=1e-7)
    rest = np.arange(count) != 3
    without = RBFInterpolator(scaled[rest], levels[rest], smoothing=smoothing, kernel="thin_plate_spline")(scaled[3:4])
    missed = spline.left_out(levels)
    assert missed is not None
    assert missed[3] == pytest.approx(levels[3] - without[0], abs=1e-6)


def test_smoothing_is_the_one_with_the_least_left_out_error() -> None:
    """No other smoothing of the list tried leaves levels out with a smaller error."""
    places, levels = ground(4, 25)
    levels = levels + np.random.default_rng(4).normal(0, 0.02, 25)
    spread = Spread.of(places)
    chosen = fit_spline(spread, levels)

    def error(spline: Spline) -> float:
        missed = spline.left_out(levels)
        assert missed is not None
        return float(np.mean(missed**2))

    assert error(chosen) <= min(error(fit_spline(spread, levels, one)) for one in np.logspace(-5, 2, 15)) * (1 + 1e-6)
    assert chosen.smoothing > 0


@pytest.mark.parametrize("family", [EXPONENTIAL, SMOOTH])
def test_kriging_agrees_with_gaussian_process_regression(family: int) -> None:
    """Kriging's heights and variances are those of Gaussian-process regression with a flat, very wide prior on the mean."""
    places, levels = ground(2, 20)
    known = Variogram(family, 0.8, 0.0004, 0.00003, 10.0, "given")
    surface = fit_surface(places, levels, kind="kriging")
    spread = Spread.of(places)
    kriging = krige(spread, known)
    wide = 10.0  # variance of the mean, m²: 25,000 times the sill
    kernel = ConstantKernel(known.sill, "fixed") * Matern(known.reach, "fixed", nu=0.5 if family == EXPONENTIAL else 1.5)
    other = GaussianProcessRegressor(kernel + ConstantKernel(wide, "fixed"), alpha=known.nugget, optimizer=None)
    other.fit(places, levels - levels.mean())
    mean, deviation = other.predict(ASKED, return_std=True)
    np.testing.assert_allclose(kriging.weights(ASKED) @ levels, mean + levels.mean(), rtol=0, atol=2e-5)
    ours = type(surface)(
        "kriging", kriging, spread, levels, known, 5.0, "", (), surface.settings
    ).at(ASKED).deviation  # fmt: skip
    np.testing.assert_allclose(ours, deviation, rtol=0, atol=2e-5)


def test_kriging_left_out_in_closed_form_is_kriging_without_the_level() -> None:
    """The closed form gives what kriging the other levels gives, with the same variogram."""
    places, levels = ground(3, 14)
    known = Variogram(SMOOTH, 0.9, 0.0003, 0.00002, 10.0, "given")
    missed = krige(Spread.of(places), known).left_out(levels)
    rest = np.arange(14) != 5
    other = krige(Spread.of(places[rest]), known).weights(places[5:6]) @ levels[rest]
    assert missed is not None
    assert missed[5] == pytest.approx(levels[5] - other[0], abs=1e-9)


def test_restricted_likelihood_agrees_with_the_dense_formula() -> None:
    """The compiled likelihood is the textbook formula worked with numpy's own inverse and determinants."""
    places, levels = ground(7, 12)
    drift = np.hstack([np.ones((12, 1)), places - places.mean(axis=0)])
    centred = levels - levels.mean()
    likelihood, sill = restricted_likelihood(distances_of(places), drift, centred, np.array([0.7]), np.array([0.1]), 0.02**2, 3.0)
    alike = np.exp(-distances_of(places) / 0.7) + 0.1 * np.eye(12)
    inverse = np.linalg.inv(alike)
    normal = drift.T @ inverse @ drift
    rest = inverse - inverse @ drift @ np.linalg.inv(normal) @ drift.T @ inverse
    whole = 3.0 * 0.02**2 + centred @ rest @ centred
    expected = -0.5 * (np.linalg.slogdet(alike)[1] + np.linalg.slogdet(normal)[1] + 12.0 * np.log(whole))
    assert likelihood[EXPONENTIAL, 0, 0] == pytest.approx(expected, rel=1e-10)
    assert sill[EXPONENTIAL, 0, 0] == pytest.approx(whole / 12.0, rel=1e-10)


def test_variogram_of_many_levels_is_nearly_their_own() -> None:
    """From 120 levels of a known field, relief comes back within a third, the scatter of single levels within a factor of two."""
    rng = np.random.default_rng(11)
    places = rng.uniform(0, 4, (120, 2))
    alike = np.exp(-distances_of(places) / 0.8)
    levels = np.linalg.cholesky(0.03**2 * alike + 0.008**2 * np.eye(120)) @ rng.normal(size=120)
    found = fit_variogram(Spread.of(places), levels)
    assert found.sill**0.5 == pytest.approx(0.03, rel=0.34)
    assert found.nugget**0.5 == pytest.approx(0.008, rel=1.0)
    few = fit_variogram(Spread.of(places[:3]), levels[:3])
    assert few.says.startswith("default relief")


def test_triangles_agree_with_scipy_between_the_levels_and_follow_the_plane_beyond() -> None:
    """Between levels the height is scipy's linear one; on a plane the carried-on height is the plane's."""
    places, levels = ground(5, 20)
    tin = triangulate(Spread.of(places))
    other = LinearNDInterpolator(places - places.mean(axis=0), levels)(ASKED - places.mean(axis=0))
    inside = np.isfinite(other)
    assert inside.sum() > 10
    np.testing.assert_allclose((tin.weights(ASKED) @ levels)[inside], other[inside], rtol=0, atol=1e-9)
    plane = 29 + 0.1 * places[:, 0] - 0.05 * places[:, 1]
    far = np.array([[110.0, 203.0], [116.0, 208.0], [113.0, 210.0]])
    np.testing.assert_allclose(tin.weights(far) @ plane, 29 + 0.1 * far[:, 0] - 0.05 * far[:, 1], rtol=0, atol=1e-9)


@pytest.mark.parametrize(
    ("count", "kind", "words"),
    [
        (1, "plane", "one level: no slope known; no check"),
        (2, "plane", "two levels: the slope along them, no check"),
        (3, "plane", "three levels: a plane, no check"),
        (4, "spline", "4 levels: a thin-plate spline"),
        (9, "spline", "9 levels: a thin-plate spline"),
        (30, "", "meet"),
        (200, "triangles", "dense enough to join by triangles"),
    ],
)
def test_the_kind_follows_from_the_levels_and_says_why(count: int, kind: str, words: str) -> None:
    """The number of levels chooses the kind, and the reason stands in words."""
    surface = fit_surface(*ground(8, count))
    assert surface.kind == kind or (not kind and surface.kind in ("spline", "kriging"))
    assert words in surface.says
    assert (surface.left_out_error is None) == (count <= 3)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_gives_a_plane_back(kind: str) -> None:
    """Levels on a plane give the plane back: exactly, and by kriging within its own deviation."""
    places, _ = ground(1, 24)
    levels = 29 + 0.02 * places[:, 0] + 0.01 * places[:, 1]
    found = fit_surface(places, levels, kind=kind).at(ASKED)
    truth = 29 + 0.02 * ASKED[:, 0] + 0.01 * ASKED[:, 1]
    tolerance = 2 * found.deviation if kind == "kriging" else 1e-6
    assert (np.abs(found.levels - truth) <= tolerance).all()


def test_levels_in_one_line_know_no_slope_across() -> None:
    """Across a line of levels the deviation grows with the slope that no level shows, and the words say so."""
    places = np.column_stack([np.linspace(0, 2, 6), np.full(6, 1.0)])
    surface = fit_surface(places, 10 + 0.1 * places[:, 0])
    assert "no slope known across it" in surface.says
    near, far = surface.at([(1.0, 1.05), (1.0, 1.9)]).deviation
    assert far > near + 0.02


def test_a_surface_is_marked_beyond_its_levels_and_ends() -> None:
    """Beyond the outermost levels a height is marked and surer nowhere; beyond the stated reach there is none."""
    places = np.array([(0, 0), (1, 0), (1, 1), (0, 1), (0.5, 0.5)], float)
    surface = fit_surface(places, [10, 10.02, 10.01, 10, 10.01], shapely.box(-0.3, 0, 1, 1))
    found = surface.at([(0.5, 0.6), (-0.3, 0.5), (-2.0, 0.5)])
    assert found.extrapolated.tolist() == [False, True, True]
    assert found.deviation[1] > found.deviation[0]
    assert np.isnan(found.levels[2]) and np.isnan(found.deviation[2])
    assert "23% of the outline lies outside the outermost levels; the surface is carried at most 0.71 m" in surface.says


def test_levels_at_one_place_are_averaged_and_said() -> None:
    """Two levels at one place count as one, their mean, and the words tell how far apart they were."""
    surface = fit_surface([(0, 0), (1, 0), (1, 1), (0, 0)], [10.0, 10.0, 10.0, 10.02])
    assert surface.spread.count == 3
    assert "1 levels at the place of another were averaged (up to 20 mm apart)" in surface.says


@pytest.mark.parametrize(
    ("points", "levels", "words"),
    [
        (np.zeros((0, 2)), [], "needs at least one: take a level on it"),
        ([(0, 0), (1, 1)], [1.0, float("nan")], "Level 2 of 2 is nan at 1.0, 1.0: not a number"),
        ([(0, 0)], [1.0, 2.0], "Each level needs one easting and one northing"),
    ],
)
def test_what_is_not_a_level_is_refused(points: Any, levels: list[float], words: str) -> None:
    """No levels, a level that is no number, and levels without places are refused in words."""
    with pytest.raises(MeasureError, match=words):
        fit_surface(points, levels)


def test_a_kind_that_cannot_be_had_is_refused() -> None:
    """A spline or triangles from levels in a line, and an unknown kind, are refused with the way out."""
    line = [(0, 0), (1, 0), (2, 0)]
    with pytest.raises(MeasureError, match="It needs three that do not: use a plane, or take a level to one side"):
        fit_surface(line, [1, 2, 3], kind="spline")
    with pytest.raises(MeasureError, match="They need three that do not"):
        fit_surface(line, [1, 2, 3], kind="triangles")
    with pytest.raises(MeasureError, match="There are plane, triangles, spline, kriging"):
        fit_surface(line, [1, 2, 3], kind="wavelet")


@pytest.mark.parametrize("count", [1, 2, 3, 12])
def test_distance_beyond_the_levels_is_that_to_their_hull(count: int) -> None:
    """The compiled distance is shapely's own to a point, a line and a polygon, and 0 inside."""
    places = ground(count, count)[0]
    hull = shapely.MultiPoint(places).convex_hull
    asked = np.random.default_rng(3).uniform((110, 202), (116, 208), (300, 2))
    corners = shapely.get_coordinates(shapely.orient_polygons(hull) if count > 2 else hull)
    found = beyond_hull(asked, np.ascontiguousarray(corners[:-1] if count > 2 else corners))
    np.testing.assert_allclose(found, shapely.distance(hull, shapely.points(asked)), rtol=0, atol=1e-12)
    surface = fit_surface(*ground(count, count))
    np.testing.assert_allclose(surface.beyond(asked), found, rtol=0, atol=1e-12)
