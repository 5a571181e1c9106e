"""Published figures of the aids to dating: ceramics, pipes, glass, timber, bottles, bricks.

Marks: [R] read, [M] from memory, [C] computed from the stated formula; H, M, L how sure.
"""

from __future__ import annotations

import numpy as np
import pytest

from baulk.dating.bricks import brick_dates
from baulk.dating.glass import window_glass_dates
from baulk.dating.mean_ceramic import mean_ceramic_date, resampled_interval
from baulk.dating.nails_bottles import making_date
from baulk.dating.pipes import FORMULAS, mean_bore, pipe_dates, sixty_fourths
from baulk.dating.remembered_types import REMEMBERED_TYPES
from baulk.dating.sapwood import SAPWOOD, felling
from baulk.dating.types import DatedType, TypeTable, read_types
from baulk.dating.years import named
from baulk.ground.brick_size import STATUTES, absorption, absorption_classes, size_statistics

# R. Z. Selden Jr. 2020, "Mean ceramic dates for Caddo sites in the Neches River Basin", public repository, MIT licence [R] H.
# Each line: site, printed date, printed ends of its resampled interval: counts. 48 of its 49 sites; the slip stands below. The
# source's table of counts calls 41AN201 41HE7.
SELDEN = """
41SM56 1116.666667 1087.276 1142.656: cantoninc 1; dunkininc 1; hickoryeng 1
41SM55 1250.000000 1250.000 1250.000: monkstownfingimp 1
41SM77 1548.750000 1519.683 1571.960: bullardbr 1; hoodeng 1; humeeng 1; pattoneng 2; poynorbr 1; poynoreng 14
41SM73 1206.250000 1017.563 1425.294: cantoninc 1; hollyknowepin 1; poynoreng 1; wechesfingimp 1
41SM93 1538.500000 1531.767 1543.948: bullardbr 2; hoodeng 4; killoughpin 1; poynoreng 2; tayloreng 1
41SM151 1540.000000 1540.000 1540.000: bullardbr 1; hoodeng 2
41SM249 1535.000000 1525.015 1544.372: bullardbr 1; hoodeng 1; poynoreng 1
41SM150 1346.666667 1241.254 1457.998: maydelleinc 2; nacogdocheseng 2; washingtonsqp 2
41SM355 1540.000000 1540.000 1540.000: killoughpin 1
41HE114 1535.263158 1531.049 1539.059: hoodeng 8; maydelleinc 1; poynoreng 8; tayloreng 2
41HE4 1532.500000 1524.298 1539.783: hoodeng 1; killoughpin 1; poynoreng 2
41HE75 1531.666667 1527.597 1536.620: bullardbr 1; hoodeng 2; humepunc 1; poynorbr 5
41HE82 1540.000000 1540.000 1540.000: humeeng 1
41AN201 1528.750000 1522.902 1535.363: hoodeng 1; poynoreng 3
41CE4 1532.142857 1528.647 1535.434: humeeng 4; humepl 3; killoughpin 3; poynoreng 11
41CE15 1601.666667 1481.303 1681.214: bullardbr 1; pattoneng 1; poynoreng 1
41CE17 1530.192308 1527.330 1532.749: bullardbr 2; hoodeng 3; hoodpl 1; humeeng 1; maydelleinc 2; poynoreng 14; poynorpl 3
41CE23 1535.000000 1529.279 1539.802: bullardbr 2; killoughpin 1; maydelleinc 1; poynoreng 2
41CE25 1547.000000 1523.716 1573.092: fairpl 2; humeeng 6; pattoneng 2; poynoreng 14; tayloreng 1
41CE421 1525.000000 1525.000 1525.000: poynoreng 1
41AN1 1532.758621 1529.827 1535.522: bullardbr 2; hoodeng 3; humeeng 4; killoughpin 4; laruenb 1; maydelleinc 1; poynoreng 14
41AN13 1692.692308 1645.078 1732.253: bullardbr 2; pattoneng 10; poynoreng 1
41AN14 1527.727273 1523.858 1530.706: bullardbr 2; poynoreng 9
41AN18 1532.500000 1521.201 1544.412: hoodeng 1; poynoreng 1
41AN184 1596.666667 1474.738 1727.371: pattoneng 1; poynoreng 2
41AN2 1555.625000 1529.171 1592.985: bullardbr 1; hoodeng 1; humeeng 1; humepl 1; pattoneng 2; poynorbr 1; poynoreng 8; poynorpl 1
41AN32 1538.750000 1520.581 1557.072: bullardbr 1; hoodeng 1; humeeng 1; humepl 1; pattoneng 1; poynoreng 13; poynorpl 2
41AN34 1540.277778 1517.978 1566.115: bullardbr 2; hoodeng 1; humeeng 1; pattoneng 1; poynoreng 13
41AN39 1529.285714 1524.071 1534.501: killoughpin 1; maydelleinc 1; poynoreng 5
41AN44 1535.909091 1531.424 1540.060: hoodeng 6; maydelleinc 2; poynoreng 3
41AN48 1532.500000 1520.588 1543.799: humeeng 1; poynoreng 1
41AN54 1545.714286 1517.055 1577.727: bullardbr 2; hoodeng 1; killoughpin 1; maydelleinc 1; pattoneng 1; poynoreng 8
41AN56 1540.000000 1540.000 1540.000: bullardbr 1
41AN57 1525.000000 1525.000 1525.000: poynoreng 1
41AG66 1250.000000 1250.000 1250.000: pinelandpunctinc 1
41SM90 1530.625000 1525.552 1536.081: hoodeng 3; poynoreng 5
41SM158 1532.500000 1522.260 1542.127: maydelleinc 1; poynoreng 1
41SM2 1525.000000 1525.000 1525.000: poynoreng 1
41HE78 1525.000000 1525.000 1525.000: poynorbr 1
41CE12 1589.134615 1569.582 1609.040: averyeng 1; bullardbr 4; hoodeng 4; humeeng 10; kenotr 1; killoughpin 3; pattoneng 13;
poynoreng 12; simmseng 4
41CE14 1528.571429 1527.161 1529.673: bullardbr 2; hoodeng 7; humeeng 3; humepl 4; killoughpin 5; laruenb 1; maydelleinc 3;
poynorbr 3; poynoreng 74; poynorpl 3
41CE6 1645.833333 1561.123 1717.516: hodgeseng 1; hoodeng 1; pattoneng 3; poynoreng 1
41AN16 1525.000000 1525.000 1525.000: poynoreng 1
41AN21 1525.000000 1525.000 1525.000: poynoreng 1
41AN26 1716.111111 1692.691 1741.480: pattoneng 23; pattoninc 1; poynoreng 3
41AN38 1528.750000 1524.994 1532.608: killoughpin 1; maydelleinc 2; poynoreng 7; poynorpl 2
41AN53 1525.000000 1525.000 1525.000: poynoreng 4
41AN67 1525.000000 1525.000 1525.000: poynoreng 1
"""
# The same source's years of making, type by type.
SELDEN_TYPES = """
averyeng 1300 1700; bowlescreekpl 900 1300; bullardbr 1400 1680; cantoninc 900 1300; crockettcurvinc 900 1300; davisinc
900 1300; dunkininc 900 1400; durennb 900 1300; fairpl 1400 1650; hickoryeng 900 1300; hodgeseng 1500 1680; hollyeng 900
1300; hollyknowepin 900 1300; hoodeng 1400 1680; hoodpl 1400 1680; humeeng 1400 1680; humepl 1400 1680; humepunc 1400
1680; kenotr 1400 1830; kiaminc 900 1300; killoughpin 1400 1680; laruenb 1400 1680; maydelleinc 1400 1680;
monkstownfingimp 1100 1400; nacogdocheseng 1100 1400; pattoneng 1650 1830; pattoninc 1650 1830; penningtonpunctinc 900
1300; pinelandpunctinc 1100 1400; poynorbr 1400 1650; poynoreng 1400 1650; poynorpl 1400 1650; simmseng 1300 1830;
tayloreng 1430 1680; washingtonsqp 1100 1400; wechesfingimp 900 1300
"""
SELDEN_SITES = [line.split(": ") for line in SELDEN.strip().replace(";\n", "; ").splitlines()]
# The 49th site as its table of counts has it: one type stands there as penningtonpuctinc, in the table of years as
# penningtonpunctinc.
SELDEN_SLIP = """
bowlescreekpl 3; crockettcurvinc 2; davisinc 1; dunkininc 3; durennb 1; hickoryeng 5; hollyeng 20; kiaminc 1; penningtonpuctinc
6; wechesfingimp 2
"""
# C. T. Davis's treatise on bricks, 13 days under water: dry lb oz, wet lb oz, per cent as printed [R], recomputed [C] H.
DAVIS = """
5 0 5 2 2.5; 4 15 5 7 10.12; 4 14 5 10 15.4; 4 14 5 12 17.95; 2 4 2 6 5.55; 4 13 5 7 13.0; 2 8 3 1 22.5; 5 3 5 15 14.46;
5 5 6 3 16.47; 5 3 6 0 15.66; 5 8 6 8 18.18; 4 8 5 8 22.22; 4 10 5 8 18.91; 4 12 5 8 15.78; 4 8 5 7 20.83; 4 13 5 9
15.58; 4 11 5 2 9.33; 4 10 5 3 12.16; 4 3 4 6 4.47; 4 2 4 12 15.15
"""


def _selden_table() -> TypeTable:
    rows = [one.split() for one in SELDEN_TYPES.replace("\n", " ").strip().split("; ")]
    return TypeTable("Selden", "2020", tuple(DatedType(name, int(b), int(e), "Selden 2020", "high", "read") for name, b, e in rows))


def _counts(text: str) -> dict[str, float]:
    return {name: float(number) for name, number in (one.split() for one in text.split("; "))}


@pytest.mark.parametrize(("head", "counts"), SELDEN_SITES, ids=[head.split()[0] for head, _ in SELDEN_SITES])
def test_mean_ceramic_dates_are_those_printed(head: str, counts: str) -> None:
    """48 sites of the mean ceramic date: each comes out as printed, to a thousandth of a year."""
    found = mean_ceramic_date(_counts(counts), _selden_table())
    assert found.year == pytest.approx(float(head.split()[1]), abs=1e-3)
    assert found.left_out == ()


def test_a_worked_site_given_in_words() -> None:
    """41SM90: 3 hoodeng and 5 poynoreng are printed as 1530.625 [R] H."""
    assert mean_ceramic_date({"hoodeng": 3, "poynoreng": 5}, _selden_table()).year == 1530.625


def test_resampled_intervals_have_the_printed_width() -> None:
    """Multinomial draws give each printed width within a quarter (its own draws were 1000) and on the whole within a tenth.

    The printed ends do not lie evenly about the date, ours do by the rule (mean ± 1.96 standard deviations), so widths are
    compared.
    """
    ratios = []
    for head, counts in SELDEN_SITES:
        found = mean_ceramic_date(_counts(counts), _selden_table())
        interval = resampled_interval(found, np.random.default_rng(41), replicates=4000)
        printed = float(head.split()[3]) - float(head.split()[2])
        if len(found.types) > 1 and printed > 0:
            ratios.append((interval.end - interval.begin) / printed)
        else:
            assert (interval.begin, interval.end, printed) == (found.year, found.year, 0)  # one middle gives no width
    assert len(ratios) == 34
    assert all(0.75 < ratio < 1.25 for ratio in ratios)
    assert np.median(ratios) == pytest.approx(1, abs=0.1)


def test_the_printed_slip_is_not_repeated() -> None:
    """Site 41CE19 is printed 1076.2727 and should be 1103.4091: a misspelt type had no years and was summed all the same [R]+[C] H.

    Six of its 44 vessels are named, with the near name, and enter no sum; spelt as in the table they count.
    """
    counts = _counts(SELDEN_SLIP.strip().replace("\n", " "))
    found = mean_ceramic_date(counts, _selden_table())
    assert found.year == pytest.approx((35 * 1100 + 3 * 1150) / 38)
    assert abs(found.year - 1076.2727) > 25
    assert len(found.left_out) == 1
    assert found.left_out[0].startswith("6 of “penningtonpuctinc” is not in the table Selden, version 2020.")
    assert "Did you mean penningtonpunctinc" in found.left_out[0]
    assert "Left out: 6 of “penningtonpuctinc”" in found.aid().words
    right = {name.replace("puctinc", "punctinc"): count for name, count in counts.items()}
    assert sum(right.values()) == 44
    assert mean_ceramic_date(right, _selden_table()).year == pytest.approx(1103.4091, abs=5e-5)


def _middle(table: TypeTable, name: str) -> float:
    one = table.dated(name)
    assert one is not None and one.middle is not None, name
    return one.middle


def test_a_teaching_example_and_its_confirmed_medians() -> None:
    """31 deep creamware (1771), 22 Littler's blue (1758), 56 scratch blue (1760): inputs [R], 192137/109 = 1762.7248 [C]."""
    table = read_types(REMEMBERED_TYPES).with_memory()
    counts = {"deeper yellow creamware": 31.0, "Littler's blue": 22.0, "scratch blue": 56.0}
    medians = [float(np.floor(_middle(table, name) + 0.5)) for name in counts]
    assert medians == [1771, 1758, 1760]  # halves go up, as in the book (from memory)
    year = float(np.dot(medians, list(counts.values())) / 109)
    assert year == pytest.approx(192137 / 109)
    ours = mean_ceramic_date(counts, table)  # keeps the halves: 1757.5 and 1759.5
    assert year - ours.year == pytest.approx((22 + 56) * 0.5 / 109)


@pytest.mark.parametrize(
    ("begin", "end", "middle"),
    [(1790, 1830, 1810), (1830, 1950, 1890), (1901, 1930, 1915.5), (1840, 1860, 1850), (1817, 1835, 1826), (-10, 10, 0.5)],
)
def test_middles_keep_their_halves(begin: int, end: int, middle: float) -> None:
    """Sites Homestead, Illinois, table 2 [R]: halves are kept. 1817-1835 is 1826, printed 1825.5 in a mailing list [R]: a slip."""
    assert DatedType("t", begin, end, "s", "high", "read").middle == middle


def test_the_remembered_table_is_whole_and_off() -> None:
    """48 types after South are kept, all of them from memory [M] M, and none is used unasked."""
    table = read_types(REMEMBERED_TYPES)
    assert len(table.types) == 48
    assert {one.mark for one in table.types} == {"from memory"}
    assert all(table.dated(one.name) is None for one in table.types)
    assert "from memory only, and such rows are off" in (table.why_not("creamware") or "")
    assert table.with_memory().dated("Creamware") is not None


@pytest.mark.parametrize(
    ("bore", "binford", "heighton_deagan"),
    [
        (4.0, 1778.81, 1782.76), (5.0, 1740.55, 1742.72), (6.0, 1702.29, 1710.00), (7.0, 1664.03, 1682.34), (8.0, 1625.77, 1658.37),
        (9.0, 1587.51, 1637.23),
    ],
)  # fmt: skip
def test_stem_formulas(bore: float, binford: float, heighton_deagan: float) -> None:
    """Binford 1962 ([R] H) and Heighton and Deagan 1972 ([M] H) at six mean bores [C]."""
    years = {found.name: found.middle for found in pipe_dates([bore])}
    assert years["pipe stems, Binford"] == pytest.approx(binford, abs=0.005)
    assert years["pipe stems, Heighton and Deagan"] == pytest.approx(heighton_deagan, abs=0.005)


def test_the_doubtful_line_is_left_out() -> None:
    """Hanson's line of 1620-1680, as remembered, disagrees with the data behind it [M]: it is not among the formulas."""
    names = {one.name for one in FORMULAS}
    assert "Hanson 1620-1680" not in names
    assert sum(name.startswith("Hanson") for name in names) == 6


@pytest.mark.parametrize(
    ("shares", "mean"),
    [
        ({9: 20, 8: 59, 7: 21}, 7.99), ({8: 25, 7: 57, 6: 18}, 7.07), ({7: 16, 6: 72, 5: 12}, 6.04), ({6: 15, 5: 72, 4: 13}, 5.02),
        ({6: 3, 5: 20, 4: 77}, 4.26),
    ],
)  # fmt: skip
def test_mean_bores_of_harrington(shares: dict[int, int], mean: float) -> None:
    """Harrington 1954, shares of bores by period ([R] for the first two, the rest [M] M): mean bores [C]."""
    assert mean_bore(list(shares), list(shares.values())) == pytest.approx(mean, abs=0.005)


HARRINGTON = {
    (1620, 1650): {9: 20, 8: 59, 7: 21}, (1650, 1680): {8: 25, 7: 57, 6: 18}, (1680, 1710): {7: 16, 6: 72, 5: 12},
    (1710, 1750): {6: 15, 5: 72, 4: 13}, (1750, 1800): {6: 3, 5: 20, 4: 77},
}  # fmt: skip


@pytest.mark.parametrize(
    ("begin", "end", "constant", "slope"),
    [
        (1620, 1710, 1881.18, 30.74), (1620, 1750, 1888.18, 31.69), (1650, 1710, 1870.92, 29.13), (1650, 1750, 1888.26, 31.70),
        (1680, 1800, 1959.84, 44.35),
    ],
)  # fmt: skip
def test_lines_of_hanson_against_the_shares_behind_them(begin: int, end: int, constant: float, slope: float) -> None:
    """Least squares of the periods' middles on Harrington's mean bores gives each remembered line but for half a year [C].

    The line of 1620-1680 as remembered, 1891.64 - 32.90 X, is off by more than 5 years in its bores, and is left out.
    """
    periods = [period for period in HARRINGTON if begin <= period[0] and period[1] <= end]
    bores = [mean_bore(list(HARRINGTON[period]), list(HARRINGTON[period].values())) for period in periods]
    fitted_slope, fitted = np.polyfit(bores, [sum(period) / 2 for period in periods], 1)
    assert fitted == pytest.approx(constant, abs=0.01)
    assert -fitted_slope == pytest.approx(slope, abs=0.005)
    line = next(one for one in FORMULAS if one.name == f"Hanson {begin}-{end}")
    assert all(line.year(bore) == pytest.approx(fitted + fitted_slope * bore, abs=0.5) for bore in bores)
    assert all(abs(1891.64 - 32.90 * bore - (1895.54 - 32.61 * bore)) > 5 for bore in bores)


@pytest.mark.parametrize(("bore", "mm"), [(5, 1.98), (6, 2.38), (7, 2.78), (8, 3.18), (9, 3.57)])
def test_bores_in_millimetres(bore: int, mm: float) -> None:
    """The millimetres printed beside a pipe page are n × 25.4/64 [R]."""
    assert sixty_fourths(mm) == pytest.approx(bore, abs=0.02)


@pytest.mark.parametrize(
    ("mm", "year"), [(1.0, 1796.9), (1.25, 1818.0), (1.5, 1839.0), (1.75, 1860.1), (2.0, 1881.1), (2.25, 1902.2), (2.4, 1914.8)]
)
def test_window_glass_of_moir(mm: float, year: float) -> None:
    """Moir 1987 [M] M at seven thicknesses [C]; outside of 1810 to 1915 the answer says that it is not to be used."""
    moir, _ = window_glass_dates([mm] * 40)
    assert moir.middle == pytest.approx(year, abs=0.06)
    assert moir.in_validity == (1810 <= year <= 1915)
    assert ("not to be used" in moir.words) == (year < 1810)


def test_stacks_of_ten_sherds_agree_with_ontario() -> None:
    """Ten sherds stack to 13 mm before 1850 and 19 mm after ([R] H): Moir gives 1822 and 1873 for them, on either side [C]."""
    for each, year, begin, end in ((1.3, 1822, None, 1850), (1.9, 1873, 1850, None)):
        moir, ontario = window_glass_dates([each] * 40)
        assert round(moir.middle or 0) == year
        assert (ontario.begin, ontario.end) == (begin, end)


def test_the_door_post_of_pikes_farm() -> None:
    """Last ring 1451 at the edge of the heartwood, 11 to 41 sapwood rings: printed 1462-92 (Worthington and Miles 2007/24) [R]."""
    found = felling(1451, estimate=SAPWOOD[1], sapwood=0)
    assert (found.begin, found.end) == (1462, 1492)
    with_two = felling(1451, estimate=SAPWOOD[1], sapwood=2)  # the other reading of the printed "1451(2)"
    assert (with_two.begin, with_two.end) == (1460, 1490)


def test_the_chimney_lintel_of_pikes_farm() -> None:
    """D-3: 1532 with 44 sapwood rings and 13 not measured is not before 1545 (printed about 1546) [R] H; 41 do not bind it."""
    found = felling(1532, estimate=SAPWOOD[1], sapwood=44, unmeasured=13)
    assert (found.begin, found.end, found.in_validity) == (1545, None, False)
    assert "does not bind it" in found.words


def test_sapwood_figures() -> None:
    """Ranges at 95 per cent as listed: 19-50 [R] H, 11-41 [M] H, 9-41 [M] H, 12-45 [M] M, 15-35 [R] L, 15-50 [R] L, 10-46 [M] M."""
    assert [(one.least, one.most) for one in SAPWOOD] == [(19, 50), (11, 41), (9, 41), (12, 45), (15, 35), (15, 50), (10, 46)]


def test_the_suction_scar_is_a_terminus_of_1905() -> None:
    """T-8: Owens machine, licences from late 1904 (Miller and McNichol 2002, in a copy) [R] H; usually after 1910."""
    found = making_date("Bottle, suction scar")
    assert (found.begin, found.end) == (1905, None)
    assert "usually after 1910" in found.words
    assert (making_date("mortar of Portland cement").begin, making_date("wrought nail").begin) == (1824, None)


@pytest.mark.parametrize("row", " ".join(DAVIS.split()).split("; "))
def test_absorption_of_twenty_bricks(row: str) -> None:
    """All 20 percentages come out as printed to a unit of the last printed digit; 16 are cut off there, 4 rounded."""
    dry_pounds, dry_ounces, wet_pounds, wet_ounces, printed = row.split()
    dry, wet = (16 * int(pounds) + int(ounces) for pounds, ounces in ((dry_pounds, dry_ounces), (wet_pounds, wet_ounces)))
    digits = len(printed.split(".")[1].rstrip("0"))
    taken = absorption(dry, wet) * 10**digits
    assert round(float(printed) * 10**digits) in {int(np.floor(taken + 1e-9)), int(np.round(taken))}


BURNS = (
    "hard dark light salmon very-hard dark salmon dark dark light salmon salmon light hard salmon light hard hard dark light"
)  # fmt: skip


def test_each_brick_lies_in_the_range_of_its_own_burn() -> None:
    """Burns overlap, so an absorption is no class: each brick's own burn is among those told, and some have another beside it."""
    burns = [one.replace("-", " ") for one in BURNS.split()]
    several = 0
    for burn, row in zip(burns, " ".join(DAVIS.split()).split("; "), strict=True):
        dry_pounds, dry_ounces, wet_pounds, wet_ounces, _ = row.split()
        taken = absorption(16 * int(dry_pounds) + int(dry_ounces), 16 * int(wet_pounds) + int(wet_ounces))
        assert burn in absorption_classes(taken), (row, taken)
        several += len(absorption_classes(taken)) > 1
    assert several >= 10


def test_each_size_of_law_is_found_by_its_own_bricks() -> None:
    """Bricks of a listed size are told to be near it, whatever else lies within a quarter of an inch; none gives years."""
    for size in STATUTES:
        near = brick_dates(size_statistics([size.millimetres] * 20))
        assert f"brick size, {size.when}" in {one.name for one in near}
        assert all((one.begin, one.end, one.in_validity) == (None, None, False) for one in near)


def test_statute_bricks_to_the_ton() -> None:
    """J. Harris 1723: 1000 statute bricks weigh 5500 lb, about 407 to the ton of 2240 lb [R], which agree; the size is found."""
    to_the_ton = 2240 / (5500 / 1000)
    assert to_the_ton == pytest.approx(407.27, abs=0.005)
    near = brick_dates(size_statistics([[9 * 25.4, 4.5 * 25.4, 2.5 * 25.4]] * 20))
    harris = next(found for found in near if found.name == "brick size, 1723")
    assert (harris.begin, harris.end, harris.in_validity) == (None, None, False)
    assert "Weak evidence" in harris.words


def test_no_year_0_between_the_eras() -> None:
    """AD 1 is counted as 1 and 1 BC as 0, so the two are a year apart."""
    assert [named(count) for count in (1, 0, -1)] == [1, -1, -2]
