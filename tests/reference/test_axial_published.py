"""Directions, axes and circles against published figures and scipy (numbers of the reference, part 9).

Marks: [OUTSIDE] a published figure read where said; [C] computed from the stated formula; [M] from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from baulk.ground.axial import axial_statistics, circular_statistics, concentration, rayleigh_p
from baulk.ground.circle import algebraic_circle, arc_radius, geometric_circle

SAND_GRAINS = [244, 262, 246, 290, 284, 314, 326, 340, 371, 401, 382, 332, 322, 295, 230, 256, 263, 281]
"""Mardia 1972 table 1.2 (Curray 1956), 18 classes with centres 5 to 175 degrees; data [OUTSIDE] pycircstat2 data.py."""

LATHS = [
    176, 162, 49, 174, 174, 49, 54, 63, 59, 61, 66, 104, 97, 58, 121, 5, 178, 3, 168, 0, 18, 39, 140, 63, 55, 170, 169, 37, 152, 73,
    53, 176, 72,
    170, 113, 56, 87, 161, 164, 21, 50, 6, 59, 140, 54, 64, 56, 38, 61, 143, 51, 144, 148, 44, 60, 98, 86, 145, 38, 168,
    39, 134, 68, 57, 129, 68, 132, 82, 54, 119, 131, 50, 93, 160, 127, 124, 65, 108, 52, 61, 86, 37, 132, 83, 163, 58, 144, 29, 80,
    172, 144, 138, 10, 45, 137, 11, 145, 103, 69, 124, 54, 121, 1, 39, 111, 153, 13, 5, 5, 107, 104, 39, 133, 36, 63, 4, 21, 51, 30,
    52, 90, 143, 13, 50, 109, 12, 170, 5, 14, 91, 132, 12, 1,
]  # fmt: skip
"""133 feldspar laths, Fisher 1993; list [OUTSIDE] pycircstat2 data.py fisher_ex2_ch2."""


def test_grouped_directions() -> None:
    """Zar 26.3: n 105, r .55064, mean 161.565, angular deviation 54, circular sd 63; grouped correction .556976. [OUTSIDE]."""
    centres, counts = np.arange(15, 360, 30), [0, 6, 9, 13, 15, 22, 17, 12, 8, 3, 0, 0]
    found = circular_statistics(centres, counts)
    assert (found.count, found.mean) == (105, pytest.approx(161.565, abs=5e-3))
    assert found.length == pytest.approx(0.55064, abs=1e-5)
    assert (found.angular_deviation, found.deviation) == (pytest.approx(54, abs=0.5), pytest.approx(63, abs=0.5))
    assert circular_statistics(centres, counts, class_width=30).length == pytest.approx(0.556976, abs=1e-5)


def test_mean_and_its_interval() -> None:
    """Zar 27.2: 66 … 130 have r .95214, mean 94 and a half-width of 13 degrees. [OUTSIDE]."""
    found = circular_statistics([66, 75, 86, 88, 88, 93, 97, 101, 118, 130])
    assert found.length == pytest.approx(0.95214, abs=1e-5)
    assert found.mean == pytest.approx(94, abs=0.5)
    assert found.half_width == pytest.approx(13, abs=0.5)


def test_roulette() -> None:
    """Mardia & Jupp example 1.1: mean 51.050, R̄ .71099; scipy gives the same mean and variance. [OUTSIDE]."""
    angles = [43, 45, 52, 61, 75, 88, 88, 279, 357]
    found = circular_statistics(angles)
    assert found.mean == pytest.approx(51.050, abs=5e-3)
    assert found.length == pytest.approx(0.71099, abs=1e-5)
    assert np.radians(found.mean) == pytest.approx(stats.circmean(np.radians(angles)))
    assert 1 - found.length == pytest.approx(stats.circvar(np.radians(angles)))
    assert np.radians(found.deviation) == pytest.approx(stats.circstd(np.radians(angles)))


def test_axes_of_sand_grains() -> None:
    """5,439 axes: 90.389, R̄ .10183, κ .20473, p 2.8e-25: strongly significant though nearly uniform. Data [OUTSIDE], result [C]."""
    found = axial_statistics(np.arange(5, 180, 10), SAND_GRAINS)
    assert (found.count, found.mean) == (5439, pytest.approx(90.389, abs=1e-3))
    assert found.length == pytest.approx(0.10183, abs=1e-5)
    assert found.kappa == pytest.approx(0.20473, abs=1e-4)
    assert found.p == pytest.approx(2.8e-25, rel=0.05)
    assert "R̄ 0.102" in found.words


def test_axes_of_laths_favour_none() -> None:
    """133 laths: 35.947, R̄ .11868, p .1537, so that no mean axis is drawn. Data [OUTSIDE], result [C]."""
    found = axial_statistics(LATHS)
    assert (found.count, found.mean) == (133, pytest.approx(35.947, abs=1e-3))
    assert found.length == pytest.approx(0.11868, abs=1e-5)
    assert found.count * found.length**2 == pytest.approx(1.8733, abs=1e-3)
    assert found.p == pytest.approx(0.1537, abs=5e-4)
    assert not found.has_mean
    assert "none is drawn" in found.words


def test_axes_are_no_directions() -> None:
    """5 and 175 have the axis 0 with R̄ .98481, not 90; 80 … 100 have 90 with R̄ .96980; scipy agrees with its high of 180. [C]."""
    found = axial_statistics([5, 175])
    assert min(found.mean, 180 - found.mean) == pytest.approx(0, abs=1e-9)
    assert found.length == pytest.approx(0.98481, abs=1e-5)
    level = axial_statistics([80, 85, 90, 95, 100])
    assert (level.mean, level.length) == (pytest.approx(90), pytest.approx(0.96980, abs=1e-5))
    rng = np.random.default_rng(0)
    for _ in range(20):
        axes = rng.normal(rng.uniform(0, 180), 20, 30) % 180
        ours = axial_statistics(axes)
        theirs = np.degrees(stats.circmean(np.radians(axes), high=np.pi))
        assert abs((ours.mean - theirs + 90) % 180 - 90) < 1e-9
        assert ours.deviation == pytest.approx(np.degrees(stats.circstd(np.radians(axes), high=np.pi)), rel=1e-9)


def test_concentration() -> None:
    """Fisher's κ is within half a per cent of scipy's maximum likelihood; the correction for few lowers it. [C] and scipy."""
    for true in (0.3, 1.0, 3.0, 12.0):
        sample = stats.vonmises.rvs(true, size=4000, random_state=1)
        length = 1 - stats.circvar(sample)
        likely = stats.vonmises.fit(sample, fscale=1)[0]
        assert concentration(length) == pytest.approx(likely, rel=6e-3)
    assert concentration(0.85, 10) < concentration(0.85)
    assert concentration(1.0) == float("inf")


def test_rayleigh_p_stays_within_bounds() -> None:
    """For n 10 and R̄ .952 the usual series for small samples falls below nought; ours stays from 0 to 1 everywhere. [C]."""
    n, length = 10, 0.952
    z = n * length**2
    series = np.exp(-z) * (1 + (2 * z - z**2) / (4 * n) - (24 * z - 132 * z**2 + 76 * z**3 - 9 * z**4) / (288 * n**2))
    assert series == pytest.approx(-1.0e-5, abs=2e-6)
    assert 0 < rayleigh_p(n, length) < 1e-4
    for count in (1, 2, 3, 5, 10, 1000):
        for share in np.linspace(0, 1, 41):
            assert 0 <= rayleigh_p(count, share) <= 1


def test_rayleigh_p_is_uniform_when_nothing_is_favoured() -> None:
    """Over 4,000 samples of twelve directions without a favourite, p falls below .05 in 5 %, and in nearly all with one."""
    rng = np.random.default_rng(11)
    below = np.mean([circular_statistics(rng.uniform(0, 360, 12)).p < 0.05 for _ in range(4000)])
    assert below == pytest.approx(0.05, abs=0.012)
    favoured = np.mean([circular_statistics(rng.normal(40, 30, 12)).p < 0.05 for _ in range(300)])
    assert favoured > 0.95


SIX = np.array([(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)], float)
"""Gander, Golub & Strebel 1994, BIT 34: 558-578 (points read; printed results [M], reproduced)."""


def test_circle_of_six_points() -> None:
    """Geometric 4.7398 2.9835 4.7142 with Σd² 1.2276; algebraic on squared distances 4.742331 3.835123 4.108762. [OUTSIDE][C]."""
    found = geometric_circle(SIX)
    assert (found.easting, found.northing, found.radius) == pytest.approx((4.739782, 2.983533, 4.714226), abs=1e-6)
    assert found.scatter**2 * found.spare == pytest.approx(1.2275991, abs=1e-6)
    assert algebraic_circle(SIX) == pytest.approx((4.742331, 3.835123, 4.108762), abs=1e-6)


def test_three_points_and_chord() -> None:
    """(0,0) (4,0) (0,3) have centre (2, 1.5) and radius 2.5, without a check; chord 41.0424 and sagitta 3.6184 give 60. [C]."""
    found = geometric_circle([(0, 0), (4, 0), (0, 3)])
    assert (found.easting, found.northing, found.radius) == pytest.approx((2, 1.5, 2.5))
    assert found.covariance is None
    assert np.isnan(found.radius_interval[0])
    assert arc_radius(41.0424, 3.6184) == pytest.approx(60.00, abs=5e-3)


def test_short_rim_needs_an_interval() -> None:
    """A 40° rim of true radius 60, rounded to 1 mm, is fitted 5 % small (56.928); its interval holds the truth. [C]."""
    rim = [(21, 56), (16, 58), (10, 59), (5, 60), (0, 60), (-5, 60), (-10, 59), (-16, 58), (-21, 56)]
    found = geometric_circle(rim)
    assert found.radius == pytest.approx(56.928, abs=1e-3)
    assert algebraic_circle(rim)[2] == pytest.approx(56.368, abs=1e-3)
    low, high = found.radius_interval
    assert low < 60 < high
    assert found.arc == pytest.approx(43, abs=1)
