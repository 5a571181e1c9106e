"""How two phases or lots of contexts stand in time, and how likely a context is of some years, from a record."""

from __future__ import annotations

import pytest

from baulk.errors import InputError, UnknownRecord
from baulk.record import Context, Find, Relation, SiteRecord, View
from baulk.work.chronology_answers import DatedSite, within_told
from baulk.work.chronology_spans import spans_told
from baulk.work.study import Study

LAYER = {"kind": "deposit", "reliability": "good", "contamination": "none seen"}


@pytest.fixture(scope="module")
def dated() -> DatedSite:
    """Return white ware over creamware in two phases, the lower of two layers, and a third phase that nothing dates."""
    record = SiteRecord.of([
        Context(id="a", number="1", phase=3, recorded_on="2026-05-11", **LAYER), Context(id="b", number="2", phase=2, **LAYER),
        Context(id="c", number="3", phase=2, **LAYER), Context(id="n", number="4", phase=1, kind="deposit", natural=True),
        Relation(id="r1", later="a", earlier="b", how="overlies"), Relation(id="r2", later="b", earlier="c", how="overlies"),
        Relation(id="r3", later="c", earlier="n", how="overlies"),
        Find(id="f1", number="1", context="a", material="ceramic", type="whiteware", count=9, begin=1820, end=1900),
        Find(id="f2", number="2", context="b", material="ceramic", type="creamware", count=40, begin=1762, end=1820),
    ])  # fmt: skip
    return Study(record).dating.dated(View.CREW)


def test_phases_and_contexts_by_number_stand_alike(dated: DatedSite) -> None:
    """Phase 2 is the contexts 2 and 3: asked for either way it is over before phase 3 begins, nearly always with years between."""
    by_phase, by_number = spans_told(dated, "phase 2", "Phase 3"), spans_told(dated, "3, 2", "1")
    assert (by_phase.first, by_phase.second, by_number.first) == ("phase 2", "phase 3", "3, 2")
    assert by_phase.between == by_number.between
    assert by_phase.ways[0].name == "precedes"
    assert by_phase.ways[0].says == "Phase 2 is over before phase 3 begins, with years between"
    assert {way.name for way in by_phase.ways} <= {
        "precedes",
        "meets",
        "overlaps",
        "finished by",
        "starts",
        "equals",
    }, "the order leaves no other"
    assert sum(way.chance.value for way in by_phase.ways) == pytest.approx(1)
    assert "They share a year: " in by_phase.says and "in whole years" in by_phase.says


def test_what_cannot_stand_side_by_side_is_refused_in_words(dated: DatedSite) -> None:
    """A phase without a dated context, one context on both sides, and a number that is not on record."""
    with pytest.raises(InputError, match=r"No context of phase 1 is in the chronology. Phases on the sheets: 1, 2, 3."):
        spans_told(dated, "phase 1", "phase 2")
    with pytest.raises(InputError, match=r"2 would stand on both sides. Ask for two phases, or two lots of contexts"):
        spans_told(dated, "phase 2", "2")
    with pytest.raises(UnknownRecord):
        spans_told(dated, "phase 2", "99")


def test_the_chance_of_some_years_stands_beside_that_before_the_evidence(dated: DatedSite) -> None:
    """What is in, before and after the years adds up; the order and span alone say less; wrong years are refused."""
    told = within_told(dated, "2", 1750, 1850)
    assert told.chance.value + told.earlier.value + told.later.value == pytest.approx(1)
    assert told.chance.value > told.before
    assert told.says.startswith("2 is of 1750 to 1850: ")
    assert "By order and span alone" in told.says
    whole = within_told(dated, "2", dated.site.chronology.window.begin, dated.site.chronology.window.end)
    assert whole.chance.value == pytest.approx(1)
    for begin, end in ((1850, 1750), (0, 1800)):
        with pytest.raises(InputError, match="Give the earlier first; years before Christ are negative, and there is no year 0"):
            within_told(dated, "2", begin, end)
