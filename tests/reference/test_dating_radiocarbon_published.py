"""Published figures of radiocarbon: points of the curve, pooled means; calibrations recomputed by the stated formula.

Marks: [R] read, [M] from memory, [C] computed from the stated formula; H, M, L how sure.
"""

from __future__ import annotations

from math import exp

import numpy as np
import pytest

from baulk.dating.calibration import Calibrated, calibrate
from baulk.dating.curve import CITATION, intcal20
from baulk.dating.radiocarbon_age import pooled_age

# Reimer et al. 2020, Radiocarbon 62(4): 725-757 (CC BY 4.0) [R] H: cal BP, age, error.
POINTS = """
0 199 11; 50 96 10; 100 124 10; 120 98 9; 150 167 10; 160 228 10; 200 177 10; 235 96 9; 250 110 9; 300 252 10; 320 326 10; 350
355 10; 400 309 10; 450 355 10; 500 429 10; 600 590 10; 750 879 11; 1000 1126 13; 1175 1203 9; 1500 1583 11; 2000 2070 14; 3000
2889 16; 5000 4439 15; 5005 4432 16; 10000 8872 21; 15000 12595 38; 25000 20706 47; 55000 50100 1024
"""


@pytest.mark.parametrize("point", " ".join(POINTS.split()).split("; "))
def test_points_of_the_curve(point: str) -> None:
    """28 points of IntCal20 as published."""
    cal_bp, age, error = (int(part) for part in point.split())
    curve = intcal20()
    place = int(np.flatnonzero(curve.cal_bp == cal_bp)[0])
    assert (curve.age[place], curve.error[place]) == (age, error)


def test_the_whole_curve() -> None:
    """9,501 points from 0 to 55,000; sums of ages and errors as in two independent copies [R]+[C] H."""
    curve = intcal20()
    assert (len(curve.cal_bp), curve.cal_bp[0], curve.cal_bp[-1]) == (9501, 0, 55000)
    assert (curve.age.sum(), curve.error.sum()) == (100_142_442, 488_502)
    assert np.unique(np.diff(curve.cal_bp), return_counts=True)[1].tolist() == [5000, 2000, 1000, 1500]
    assert CITATION in curve.title


@pytest.mark.parametrize(("cal_bp", "delta"), [(250, 16.68), (300, 4.93), (1000, -19.03), (5000, 53.61)])
def test_ages_agree_with_the_third_column(cal_bp: int, delta: float) -> None:
    """1000·(exp(-A/8033)·exp(t/8267) - 1) gives the published Δ14C but for the rounding of A [C] H."""
    age = float(np.interp(cal_bp, intcal20().cal_bp, intcal20().age))
    assert 1000 * (exp(-age / 8032.93) * exp(cal_bp / 8266.64) - 1) == pytest.approx(delta, abs=0.02)


@pytest.mark.parametrize(
    ("ages", "errors", "printed", "statistic", "agree", "exact"),
    [
        ((646, 750, 676), (31, 30, 24), (689, 16), 6.4, False, (689.12, 16.04, 6.352)),
        ((927, 940, 941), (32, 30, 23), (937, 16), 0.1, True, (937.28, 15.85, 0.138)),
        ((1995, 1980, 1940), (46, 35, 30), (1964, 20), 1.3, True, (1964.44, 20.41, 1.303)),
        ((722, 755, 685), (43, 30, 34), (724, 20), 2.4, True, (723.85, 19.93, 2.386)),
    ],
)  # fmt: skip
def test_pooled_means_of_four_samples(
    ages: tuple[int, ...],
    errors: tuple[int, ...],
    printed: tuple[int, int],
    statistic: float,
    agree: bool,
    exact: tuple[float, ...],
) -> None:
    """Damon et al. 1989, Nature 337: 611-615, table 2 [M]: means and T as printed; recomputed [C] H; the limit is 5.99."""
    found = pooled_age(ages, errors)
    assert (round(found.age), round(found.error), round(found.statistic, 1)) == (*printed, statistic)
    assert (found.age, found.error, found.statistic) == pytest.approx(exact, abs=0.006)
    assert found.limit == pytest.approx(5.99, abs=0.005)
    assert found.agree is agree
    assert ("may not be used" in found.words) is not agree


def test_the_chance_of_the_disagreeing_sample() -> None:
    """Sample 1 of the same table: p = 0.0418 [C] H."""
    assert pooled_age((646, 750, 676), (31, 30, 24)).p == pytest.approx(0.0418, abs=5e-5)


# Yearly grid, straight lines, flat prior, highest density [C]: regression values, not published. Pieces: begin end per cent.
CALIBRATIONS = [
    (100, 30, 0.9545, "1684 1734 26.0; 1757 1759 0.4; 1803 1927 68.8; 1935 1936 0.2"),
    (100, 30, 0.6827, "1695 1724 20.3; 1812 1837 17.7; 1846 1850 2.7; 1859 1860 1.1; 1867 1871 2.7; 1879 1915 24.4"),
    (150, 25, 0.9545, "1668 1709 16.0; 1720 1781 27.0; 1797 1823 10.3; 1832 1891 22.8; 1906 1948 19.3"),
    (200, 30, 0.6827, "1659 1681 17.9; 1739 1753 10.7; 1762 1800 30.8; 1940 1950 9.3"),
    (230, 30, 0.6827, "1643 1670 35.8; 1768 1770 1.8; 1779 1797 24.9; 1944 1950 5.8"),
    (500, 30, 0.6827, "1413 1437 68.6"),
    (1000, 30, 0.6827, "995 1006 12.3; 1013 1045 38.7; 1085 1093 6.2; 1105 1119 11.4"),
    (200, 30, 0.9545, "1644 1693 25.3; 1726 1810 52.7; 1840 1841 0.2; 1874 1876 0.2; 1918 1950 17.0"),
    (230, 30, 0.9545, "1530 1537 1.2; 1636 1685 42.7; 1732 1804 42.2; 1928 1950 9.5"),
    (300, 30, 0.9545, "1495 1602 69.3; 1610 1656 26.2"),
    (300, 30, 0.6827, "1522 1577 49.4; 1622 1645 19.2"),
    (350, 25, 0.9545, "1460 1464 1.2; 1468 1528 38.8; 1540 1546 1.8; 1550 1634 53.7"),
    (500, 30, 0.9545, "1399 1449 95.6"),
    (1000, 30, 0.9545, "994 1050 56.6; 1081 1153 38.9"),
]


@pytest.mark.parametrize(("age", "error", "level", "expected"), CALIBRATIONS)
def test_calibrations_against_recomputed_ranges(age: int, error: int, level: float, expected: str) -> None:
    """Every piece lies within three years of the recomputed one and holds its share within one per cent [C]."""
    pieces = calibrate(age, error).pieces(level)
    wanted = [tuple(float(part) for part in one.split()) for one in expected.split("; ")]
    assert len(pieces) == len(wanted)
    for piece, (begin, end, share) in zip(pieces, wanted, strict=True):
        assert piece.begin == pytest.approx(begin, abs=3)
        assert piece.end == pytest.approx(end, abs=3)
        assert 100 * piece.share == pytest.approx(share, abs=1)


def test_a_tie_at_the_edge_of_a_range() -> None:
    """350 ± 25 at 68 per cent was 1481-1522, 1576-1623, 1627-28 [C]: 1575, 1624, 1627, 1628 are equally likely, ours has two."""
    found = calibrate(350, 25)
    tied = [float(found.probability[found.years == year][0]) for year in (1575, 1624, 1627, 1628)]
    assert max(tied) - min(tied) < 1e-12
    assert [(one.begin, one.end) for one in found.pieces(0.6827)] == [(1481, 1522), (1575, 1624)]


def test_a_flat_stretch_gives_ten_pieces() -> None:
    """150 ± 25 falls into ten pieces at 68 per cent [C]: no mean, and no one range, tells of it."""
    assert len(calibrate(150, 25).pieces(0.6827)) == 10


@pytest.mark.parametrize(
    ("age", "error", "year"),
    [
        (100, 30, 1838), (150, 25, 1806), (200, 30, 1768), (230, 30, 1744), (300, 30, 1563), (350, 25, 1561), (500, 30, 1425),
        (1000, 30, 1038),
    ],
)  # fmt: skip
def test_medians(age: int, error: int, year: int) -> None:
    """Half of the distribution lies on either side of the recomputed year [C]; the median itself is never told as a date."""
    found = calibrate(age, error)
    assert found.years[int(np.searchsorted(np.cumsum(found.probability), 0.5))] == pytest.approx(year, abs=2)


def test_a_chance_in_a_century() -> None:
    """P(AD 1600-1700 | 230 ± 30) = 0.4341 [C]."""
    assert calibrate(230, 30).chance(1600, 1700) == pytest.approx(0.4341, abs=0.0005)


def test_the_curve_changes_the_answer_so_it_is_named() -> None:
    """689 ± 16 was 1260-1390 at 95 % by the curve of 1986 [R], 1279-1302 and 1369-1379 by IntCal20 [C]: answers name it."""
    found = calibrate(689, 16)
    assert [(one.begin, one.end) for one in found.pieces(0.9545)] == [(1279, 1302), (1369, 1379)]
    assert "IntCal20 (2020; Reimer et al. 2020" in found.words


def _at_the_age_itself(age: int, error: int) -> Calibrated:
    """Return what comes of taking the radiocarbon age for years: a wrong way."""
    years = np.arange(-50, 1951)
    weight = np.exp(-((1950 - years - age) ** 2) / (2 * error**2))
    return Calibrated(age, error, "none", years, weight / weight.sum())


def test_without_a_curve_the_check_fails() -> None:
    """Negative control: years taken from the age itself fall outside of the recomputed ranges."""
    (piece,) = _at_the_age_itself(350, 25).pieces(0.9545)
    assert abs(piece.begin - 1460) > 3
