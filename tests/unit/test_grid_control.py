"""The fit of the site grid to control points."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.control import fit_control
from baulk.grid.transform import Similarity

SITE = np.array([[100.0, 200.0], [140.0, 200.0], [140.0, 230.0], [100.0, 230.0], [120.0, 245.0], [90.0, 215.0]])
TRUTH = Similarity(easting=431_250.0, northing=264_300.0, scale=0.99972, bearing=347.25)
NOISE = np.array([[4, -2], [-3, 5], [1, 2], [-5, -1], [2, 3], [1, -6]]) / 1000


def test_the_truth_is_found_back():
    """Exact control points give back shift, turn and scale, far from the origin too."""
    fit = fit_control(SITE, TRUTH.forward(SITE))
    assert fit.similarity.bearing == pytest.approx(347.25, abs=1e-7)
    assert fit.similarity.scale == pytest.approx(0.99972, abs=1e-10)
    assert (fit.similarity.easting, fit.similarity.northing) == pytest.approx((431_250.0, 264_300.0), abs=1e-6)
    assert fit.warnings == ()


def test_two_points_have_no_check():
    """Two control points fix everything and check nothing, and the statement says so."""
    fit = fit_control(SITE[:2], TRUTH.forward(SITE[:2]))
    assert fit.degrees_of_freedom == 0
    assert math.isnan(fit.sd_of_unit_weight)
    assert fit.statement == "Two control points fix the site grid exactly: no check. Tie it to a third point."


@pytest.mark.parametrize("place", range(6))
def test_the_point_that_is_wrong_is_named(place):
    """One of six points 0.25 m off is named, with how far it lies off the others."""
    given = TRUTH.forward(SITE) + NOISE
    given[place] += [0.15, -0.20]
    fit = fit_control(SITE, given, names=list("ABCDEF"))
    assert fit.suspect == place
    assert f"Point {'ABCDEF'[place]} does not belong to the others: it lies 0.2" in fit.statement


def test_good_points_are_rarely_named():
    """With noise of 5 mm on all, about one fit in a hundred names a point; with one point 0.1 m off nearly all do."""
    rng = np.random.default_rng(1742)
    exact = TRUTH.forward(SITE)
    named = sum(fit_control(SITE, exact + 0.005 * rng.standard_normal(SITE.shape)).suspect is not None for _ in range(500))
    assert named <= 15
    exact[3] += [0.1, 0.0]
    hit = sum(fit_control(SITE, exact + 0.005 * rng.standard_normal(SITE.shape)).suspect == 3 for _ in range(100))
    assert hit >= 90  # negative control


def test_three_points_cannot_say_which():
    """With three points a misfit shows in s0 but no point is named."""
    given = TRUTH.forward(SITE[:3])
    given[1] += [0.3, 0.0]
    fit = fit_control(SITE[:3], given)
    assert fit.suspect is None
    assert fit.sd_of_unit_weight > 0.05
    assert fit.statement.endswith("Three points cannot say which one is off.")


@pytest.mark.parametrize(
    ("scale", "words"),
    [
        (0.3048, "it seems that the site grid is in feet and the projected grid in metres"),
        (1 / 0.3048, "it seems that the site grid is in metres and the projected grid in feet"),
        (1200 / 3937, "the site grid is in feet"),
    ],
)
def test_feet_beside_metres_are_seen(scale, words):
    """A scale of 0.3048 or 3.2808 is called what it is."""
    fit = fit_control(SITE, Similarity(0, 0, scale, 12).forward(SITE))
    (warning,) = fit.warnings
    assert words in warning
    assert "Turn both into metres and fit again." in warning


@pytest.mark.parametrize(("scale", "count"), [(0.9996, 0), (1.0019, 0), (1.0021, 1), (0.97, 1)])
def test_a_scale_far_from_one_is_doubted(scale, count):
    """A scale beyond what a projection does is doubted; a usual one is not."""
    assert len(fit_control(SITE, Similarity(0, 0, scale, 12).forward(SITE)).warnings) == count


def test_exchanged_columns_are_seen():
    """Easting and northing exchanged on one side are recognised."""
    fit = fit_control(SITE[:, ::-1], TRUTH.forward(SITE) + NOISE)
    assert any("with easting and northing exchanged on one side" in warning for warning in fit.warnings)
    assert fit_control(SITE, TRUTH.forward(SITE) + NOISE).warnings == ()  # negative control


@pytest.mark.parametrize(
    ("site", "projected", "message"),
    [
        (SITE[:1], SITE[:1], "The site grid is tied by 1 control point. Shift, turn and scale need two, and a third to check them"),
        (SITE[:3], SITE[:2], "There are 3 control points on the site grid, 2 on the projected grid and 3 names."),
        (SITE[[0, 0]], SITE[:2], "All control points lie in one place on the site grid."),
        (SITE[:2], SITE[[1, 1]], "All control points lie in one place on the projected grid."),
        ([[0, 0], [1, math.nan]], SITE[:2], "Number 2 of the control points on the site grid is given as easting 1, northing nan."),
        (
            [[1, 0], [-1, 0], [0, 1], [0, -1]],
            [[1, 0], [-1, 0], [0, -1], [0, 1]],
            "The control points do not correspond: no turn and scale brings one list near the other.",
        ),
    ],
)
def test_what_is_refused(site, projected, message):
    """Control that cannot tie the grid is refused in words."""
    with pytest.raises(MeasureError) as caught:
        fit_control(site, projected)
    assert message in str(caught.value)
