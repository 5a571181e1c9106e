"""The drawings of dates, read back: lanes in order, bounds, ranges and lenses where their years are, counts beside means."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

from baulk.dating.aid import DateAid
from baulk.dating.calibration import calibrate
from baulk.dating.curve import intcal20
from baulk.dating.mean_ceramic import mean_ceramic_date
from baulk.dating.posterior import EventDate
from baulk.dating.types import DatedType, TypeTable
from baulk.drawing import to_svg
from baulk.drawing.date_aids import AidsDrawn, aids_drawing
from baulk.drawing.date_panels import CarbonDrawn
from baulk.drawing.dates import MOST_LINES, DateLine, dates_drawing
from baulk.drawing.year_axis import axis_over
from baulk.record import Context, SiteRecord
from tests.drawings.read_svg import area_of, groups, lines, read, words

YEARS = np.arange(1700, 1900)


def two_humps(name: str) -> EventDate:
    """Return a date that lies in one of two stretches, 1740-1749 three times as likely as 1820-1829, before it anywhere."""
    chance = np.zeros(len(YEARS))
    chance[40:50], chance[120:130] = 0.075, 0.025
    return EventDate(name, YEARS, 1, chance, np.full(len(YEARS), 1 / len(YEARS)))


def site() -> SiteRecord:
    """Return a deposit with a soil colour, a cut and a structure."""
    return SiteRecord.of([
        Context(id="a", number="101", kind="deposit", colour_moist="10YR 3/2", texture="loam"),
        Context(id="b", number="102", kind="cut"), Context(id="c", number="103", kind="structure", material="setts"),
    ])  # fmt: skip


def drawn(*given: DateLine, **more: Any) -> ElementTree.Element:
    """Return the drawing of some lanes."""
    return read(to_svg(dates_drawing(site(), given, **more)))


def years_of(root: ElementTree.Element) -> tuple[float, float]:
    """Return millimetres to a year, and where the year 0 would lie, from the years written over the axis."""
    texts = [text for text in groups(root, "years")[0].iter("{http://www.w3.org/2000/svg}text")]
    spots = sorted({(float(text.text or 0), float(text.get("x") or 0)) for text in texts})
    (first, left), (last, right) = spots[0], spots[-1]
    scale = (right - left) / (last - first)
    return scale, left - first * scale


def across(root: ElementTree.Element, year: float) -> float:
    """Return where a year lies."""
    scale, start = years_of(root)
    return start + scale * year


def test_lanes_stand_in_the_order_given() -> None:
    """The first lane lies over the second, each with its record's id and number."""
    root = drawn(DateLine("c", 1800), DateLine("a", 1700, 1850))
    lanes = groups(root, "dated")
    assert [(lane.get("data-record"), lane.get("data-name")) for lane in lanes] == [("c", "103"), ("a", "101")]
    posts = [lines(lane, "baulk-line-bound")[0][0][1] for lane in lanes]
    assert posts[0] < posts[1]


def test_bounds_stand_at_their_years_and_point_inwards() -> None:
    """A TPQ's post stands at its year with barbs to later years, a TAQ's with barbs to earlier ones; both name what set them."""
    root = drawn(DateLine("a", 1762, 1792, "find 17, plate", "document 1, rental"))
    for role, year, way, said in (("tpq", 1762, 1, "or later: find 17"), ("taq", 1792, -1, "or earlier: document 1")):
        (post,) = groups(root, role)
        upright, *barbs = lines(post, "baulk-line-bound")
        assert upright[0][0] == pytest.approx(across(root, year), abs=0.01)
        assert all((barb[1][0] - barb[0][0]) * way > 0 for barb in barbs)
        assert said in (post.findtext("{http://www.w3.org/2000/svg}title") or "")
    assert any("1762 or later: find 17, plate; 1792 or earlier: document 1, rental" in text for text in words(root))


def test_the_years_between_bounds_are_dotted_and_no_range() -> None:
    """Without a chronology the lane shows the bounds with a dotted line, open to the end where there is no bound."""
    root = drawn(DateLine("a", 1762), DateLine("b", 1700, 1800))
    runs = [lines(group, "baulk-line-dotted")[0] for group in groups(root, "between-bounds")]
    assert runs[0][0][0] == pytest.approx(across(root, 1762), abs=0.01)
    assert runs[0][1][0] > across(root, 1800)
    assert runs[1][1][0] == pytest.approx(across(root, 1800), abs=0.01)
    assert not groups(root, "range-outer")


def test_a_date_in_two_stretches_is_drawn_in_two() -> None:
    """Both ranges have their pieces where their years are, the gap between them stays free, and their shares are told."""
    root = drawn(DateLine("a", date=two_humps("101")))
    outer = [lines(group, "baulk-line-broken")[0] for group in groups(root, "range-outer")]
    first, second = two_humps("101").pieces(0.95)
    assert second.begin - first.end > 50
    ends = [(across(root, one.begin), across(root, one.end + 1)) for one in (first, second)]
    for run, (begin, end) in zip(outer, ends, strict=True):
        assert run[0][0] == pytest.approx(begin, abs=0.01)
        assert run[1][0] == pytest.approx(end, abs=0.01)
    assert len(groups(root, "range-inner")) == 1
    assert [group.get("data-name") for group in groups(root, "range-outer")] == [
        f"{one.begin} to {one.end}" for one in (first, second)
    ]


def test_the_posterior_is_a_dark_lens_on_a_light_prior() -> None:
    """The lens is as high as the year is likely: three to one between the stretches; the prior is lighter and drawn first."""
    root = drawn(DateLine("a", date=two_humps("101")))
    (posterior,) = groups(root, "posterior")
    (ring,) = lines(posterior, "baulk-soil")
    middle = ring[0][1]
    heights = {round((x - across(root, 0)) / years_of(root)[0] - 0.5): middle - y for x, y in ring if y < middle}
    assert heights[1745] / heights[1825] == pytest.approx(3, rel=0.01)
    (prior,) = groups(root, "prior")
    fills = [re.findall(r"#[0-9A-F]{6}", ElementTree.tostring(group, "unicode"))[0] for group in (prior, posterior)]
    assert int(fills[0][1:3], 16) > int(fills[1][1:3], 16)
    drawn_order = [group.get("class") for group in root.iter("{http://www.w3.org/2000/svg}g")]
    assert drawn_order.index("baulk-prior") < drawn_order.index("baulk-posterior")
    assert area_of(ring) < area_of(lines(prior, "baulk-soil")[0]) * 2


def test_a_contradiction_is_drawn_and_said() -> None:
    """A TPQ after the TAQ has a line of its own kind, a word, and no dotted line."""
    root = drawn(DateLine("a", 1905, 1850, "find 7, bottle", "document 1, map"))
    (between,) = groups(root, "between-bounds")
    assert lines(between, "baulk-line-contradicted")
    assert not lines(between, "baulk-line-dotted")
    assert any(text.startswith("contradicted: 1905 or later") for text in words(root))


def test_a_withheld_context_has_no_soil() -> None:
    """Of a withheld context neither colour nor name is drawn; number and kind are."""
    root = drawn(DateLine("a", 1762), withheld=("a",))
    (lane,) = groups(root, "dated")
    told = lane.find("{http://www.w3.org/2000/svg}title")
    assert told is not None
    assert (told.text or "").startswith("101: deposit; withheld")
    assert "baulk-soil" not in ElementTree.tostring(lane, "unicode")
    assert "baulk-soil" in ElementTree.tostring(groups(drawn(DateLine("a", 1762)), "dated")[0], "unicode")


def test_a_large_site_is_cut_with_words() -> None:
    """Beyond the most lanes a sheet holds the rest is counted in a note."""
    record = SiteRecord.of([Context(id=f"c{place}", number=str(place), kind="deposit") for place in range(MOST_LINES + 5)])
    root = read(to_svg(dates_drawing(record, [DateLine(f"c{place}", 1700 + place) for place in range(MOST_LINES + 5)])))
    assert len(groups(root, "dated")) == MOST_LINES
    assert any("5 earlier contexts are not drawn on this sheet" in text for text in words(root))


def test_an_axis_holds_its_years_and_skips_the_year_0() -> None:
    """The years written go from 1 BC to AD 1 without a year 0 between them."""
    axis = axis_over([-20.0, None, 20.0], 0.0, 100.0)
    root = read(to_svg(dates_drawing(site(), [DateLine("a", -40, 30)])))
    told = words(groups(root, "years")[0])
    assert axis.at(-20.0) < axis.at(20.0)
    assert "21 BC" in told
    assert "20" in told
    assert "1 BC" in told
    assert "0" not in told


def test_aids_stand_over_the_same_years() -> None:
    """Spans and single years of aids lie where their years are; one outside of its validity is dotted and named in a note."""
    aids = (
        DateAid("latest ceramic", 1780, None, None, "any", (), "s", "read"),
        DateAid("pipe stems, Binford", None, None, 1754.3, "1680 to 1760", (), "s", "read"),
        DateAid("pipe stems, Hanson", None, None, 1735.0, "1620 to 1710", (), "s", "read", False),
    )
    root = read(to_svg(aids_drawing(site(), "101", AidsDrawn(DateLine("a", 1799), aids))))
    by_name = {group.get("data-name"): group for group in groups(root, "aid")}
    assert lines(by_name["latest ceramic"], "baulk-line-firm")[0][0][0] == pytest.approx(across(root, 1780), abs=0.01)
    assert lines(by_name["pipe stems, Binford"], "baulk-line-middle")[0][0][0] == pytest.approx(across(root, 1754.3), abs=0.01)
    assert lines(by_name["pipe stems, Hanson"], "baulk-line-dotted")[0][0][0] == pytest.approx(across(root, 1735), abs=0.01)
    assert not lines(by_name["pipe stems, Hanson"], "baulk-line-middle")
    assert any("not to be used: pipe stems, Hanson" in text for text in words(root))


def test_ceramics_are_as_high_as_they_are_many() -> None:
    """Bars span the years of making and are high by count; the mean stands at its year, and what has no date is a note."""
    types = (DatedType("creamware", 1762, 1820, "s", "low", "x"), DatedType("pearlware", 1780, 1830, "s", "low", "x"))
    found = mean_ceramic_date({"creamware": 5, "pearlware": 20, "redware": 3}, TypeTable("t", "1", types))
    root = read(to_svg(aids_drawing(site(), "101", AidsDrawn(DateLine("a"), (), ceramics=found))))
    bars = {group.get("data-name"): lines(group, "baulk-soil")[0] for group in groups(root, "ceramic")}
    high = {name: ring[2][1] - ring[0][1] for name, ring in bars.items()}
    assert high["pearlware"] / high["creamware"] == pytest.approx(4, rel=0.01)
    assert bars["creamware"][0][0] == pytest.approx(across(root, 1762), abs=0.01)
    assert bars["creamware"][1][0] == pytest.approx(across(root, 1821), abs=0.01)
    (mean,) = groups(root, "mean")
    assert lines(mean, "baulk-line-mean")[0][0][0] == pytest.approx(across(root, found.year), abs=0.01)
    assert any("Left out of the mean: 3 of “redware”" in text for text in words(root))


def test_bores_are_counted_beside_their_mean() -> None:
    """Bars are high by number of stems, wide bores on the left; the mean lies between its neighbours by share."""
    root = read(to_svg(aids_drawing(site(), "101", AidsDrawn(DateLine("a"), (), stems={5.0: 9, 4.0: 3}))))
    bars = {group.get("data-name"): lines(group, "baulk-soil")[0] for group in groups(root, "bore")}
    assert (bars["5"][2][1] - bars["5"][0][1]) / (bars["4"][2][1] - bars["4"][0][1]) == pytest.approx(3, rel=0.01)
    five, four = ((ring[0][0] + ring[1][0]) / 2 for ring in (bars["5"], bars["4"]))
    (mean,) = groups(root, "mean")
    where = lines(mean, "baulk-line-mean")[0][0][0]
    assert (where - five) / (four - five) == pytest.approx(0.25, abs=0.01)


def test_a_radiocarbon_age_stands_on_its_curve() -> None:
    """The curve runs through its published points, the age's band is twice its error high, and the pieces lie at their years."""
    one = CarbonDrawn("result 4", calibrate(205, 25), intcal20())
    aid = DateAid("radiocarbon (result 4)", 1649, 1950, None, "air", (), "s", "read")
    root = read(to_svg(aids_drawing(site(), "101", AidsDrawn(DateLine("a", 1640, 1990), (aid,), carbon=(one,)))))
    curve = lines(groups(root, "curve")[0], "baulk-line-curve")[0]
    (band,) = lines(groups(root, "age")[0], "baulk-soil")
    per_year_bp = (band[2][1] - band[0][1]) / 50
    middle = (band[2][1] + band[0][1]) / 2
    for year in (1700, 1790, 1800, 1900):
        age = float(np.interp(1950 - year, intcal20().cal_bp, intcal20().age))
        nearest = min(curve, key=lambda spot: abs(spot[0] - across(root, year)))
        assert nearest[1] == pytest.approx(middle + (205 - age) * per_year_bp, abs=0.05)
    told = [group.get("data-name") for group in groups(root, "carbon-piece")]
    assert [name.split(",")[0] for name in told if name] == ["1649 to 1685", "1731 to 1805", "1927 to 1950"]
    lane = next(group for group in groups(root, "aid") if group.get("data-name") == aid.name)
    assert len(lines(lane, "baulk-line-broken")) == 3
