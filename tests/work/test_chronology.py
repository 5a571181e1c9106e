"""From a record to a chronology: events, order, evidence, what is absent, the window, and what is left out with its reason."""

from __future__ import annotations

from typing import Any

import pytest

from baulk.dating.evidence import CarbonDate, CarbonLimit, Documented, FindMade, NoneLater
from baulk.dating.intrusion import Disturbance
from baulk.dating.types import read_types
from baulk.errors import InputError
from baulk.record import Context, DatingResult, DatingSettings, Document, Entity, Find, Relation, SiteRecord
from baulk.store import open_site
from baulk.work.chronology import SiteChronology, site_chronology
from baulk.work.chronology_evidence import disturbance_of
from baulk.work.chronology_settings import ChronologySettings, PhaseUse, settings_of
from baulk.work.demo import DemoSites
from baulk.work.order import site_order


def _over(later: str, earlier: str, **more: Any) -> Relation:
    return Relation(id=f"r{later}{earlier}", later=later, earlier=earlier, how="overlies", **more)


def _sherds(number: str, context: str, kind: str, count: int, begin: int, end: int, **more: Any) -> Find:
    return Find(id=f"f{number}", number=number, context=context, material="ceramic", object="plate", type=kind, count=count,
                begin=begin, end=end, **more)  # fmt: skip


LAYERS = (
    Context(id="a", number="1", kind="deposit", phase=3, recorded_on="2026-05-11"),
    Context(id="b", number="2", kind="deposit", phase=2),
    Context(id="c", number="3", kind="deposit", phase=2), Context(id="n", number="4", kind="deposit", natural=True),
    _over("a", "b"), _over("b", "c"), _over("c", "n"), _over("a", "c"),
)  # fmt: skip


def _made(*more: Entity, settings: ChronologySettings | None = None, **given: Any) -> SiteChronology:
    record = SiteRecord.of([*LAYERS, *more])
    return site_chronology(record, site_order(record), settings or settings_of(record), **given)


def test_the_order_is_one_of_events() -> None:
    """Each context is an event, needed relations are kept, redundant ones and natural ground at the bottom are not."""
    made = _made(_sherds("1", "c", "creamware", 6, 1762, 1820))
    assert made.chronology.events == ("1", "2", "3")
    assert sorted(zip(made.chronology.later.tolist(), made.chronology.earlier.tolist(), strict=True)) == [(0, 1), (1, 2)]
    assert made.left_out == ("4: natural ground, older than the site by nobody knows how much",)
    assert made.undated == ("1", "2")
    assert made.event("3") == "3"
    with pytest.raises(
        InputError, match="Context 4 is not in the chronology: it is void, natural, or nothing dates it and nothing lies"
    ):
        made.event("4")


def test_contexts_that_are_one_are_one_event() -> None:
    """Two numbers recorded as the same share an event, and a dated natural layer stays."""
    same = (Context(id="e", number="5", kind="deposit"), Relation(id="s", later="e", earlier="a", how="same as"))
    made = _made(*same, _sherds("1", "n", "creamware", 6, 1762, 1820))
    assert made.chronology.events == ("1 = 5", "2", "3", "4")
    assert made.event("5") == "1 = 5"


def test_a_context_on_nothing_is_left_out() -> None:
    """What nothing relates and nothing dates is named; the same with a find is an event without relations."""
    alone = Context(id="z", number="9", kind="deposit")
    made = _made(alone, _sherds("1", "c", "creamware", 6, 1762, 1820))
    assert "9: nothing dates it and nothing lies above or below it" in made.left_out
    assert "9" in _made(alone, _sherds("1", "z", "creamware", 6, 1762, 1820)).chronology.events


def test_what_is_absent_is_the_first_common_type_that_came_in_later() -> None:
    """Of 12 sherds of creamware none is whiteware, common above; a type of few pieces on the site says nothing by its absence."""
    made = _made(
        _sherds("1", "c", "creamware", 12, 1762, 1820), _sherds("2", "a", "whiteware", 9, 1820, 1900),
        _sherds("3", "a", "lustreware", 1, 1790, 1850),
    )  # fmt: skip
    (absent,) = made.absences
    assert absent == NoneLater(2, "none of 12 sherds is whiteware, made from 1820", 12, 1819, 0.8)
    assert not _made(_sherds("1", "c", "creamware", 12, 1762, 1820), _sherds("2", "a", "whiteware", 4, 1820, 1900)).absences


def test_documents_and_results_become_evidence() -> None:
    """What a document shows bounds its contexts with the doubt recorded; ages and rings count, stems are left out with words."""
    made = _made(
        Document(id="d", number="1", title="Map", begin=1850, end=1851, there_by_then=True, contexts=("a",), certainty="probable"),
        Document(id="e", number="2", title="Plan", begin=1800, end=1801, not_there_yet=True, contexts=("a",)),
        DatingResult(id="r1", number="1", context="c", method="radiocarbon", laboratory_code="X-1", age=205, error=25,
                     own_age="young"),
        DatingResult(id="r2", number="2", context="c", method="radiocarbon", age=300, error=25),
        DatingResult(id="r3", number="3", context="b", method="radiocarbon", age_limit="<200"),
        DatingResult(id="r4", number="4", context="b", method="radiocarbon", age_limit=">45,000"),
        DatingResult(id="r5", number="5", context="b", method="tree rings", last_ring=1742, bark=True),
        DatingResult(id="r6", number="6", context="b", method="tree rings"),
        DatingResult(id="r7", number="7", context="b", method="pipe stems", stem_bores="5:9"),
    )  # fmt: skip
    assert made.chronology.evidence == (
        Documented(0, "document 1, Map", None, 1851, 0.1),
        Documented(0, "document 2, Plan", 1800, None, 0.05),
        CarbonDate(2, "result 1, radiocarbon X-1", 205, 25, None),
        CarbonDate(2, "result 2, radiocarbon", 300, 25, 50.0),
        CarbonLimit(1, "result 3, radiocarbon", 200),
        FindMade(1, "result 5, tree rings", 1742, 1743),
    )
    left = "\n".join(made.left_out)
    assert "result 4, radiocarbon: “>45000” says only that the age is above 45000 BP" in left
    assert "result 6, tree rings: no last ring is recorded" in left
    assert "result 7, pipe stems: an aid, and no evidence here, since its formula says nothing of how sure it is" in left


@pytest.mark.parametrize(
    ("values", "at_change", "grade"),
    [
        ({"disturbed": "moderate", "reliability": "good"}, False, Disturbance.MODERATE),
        ({"disturbed": "heavy"}, True, Disturbance.HEAVY),
        ({"reliability": "good", "contamination": "none seen"}, False, Disturbance.NONE),
        ({"reliability": "good", "contamination": "roots"}, False, Disturbance.SLIGHT),
        ({"reliability": "poor", "contamination": "roots"}, False, Disturbance.MODERATE),
        ({"reliability": "good", "contamination": "none seen"}, True, Disturbance.SLIGHT),
        ({}, False, Disturbance.SLIGHT),
    ],
)
def test_disturbance_is_as_recorded(values: dict[str, str], at_change: bool, grade: Disturbance) -> None:
    """The field for it counts first, then contamination and reliability; a find at a change of layer is one grade worse."""
    assert disturbance_of(Context(id="a", **values), Find(id="f", at_change=at_change)) is grade


def test_the_window_runs_from_a_century_before_the_first_dated_thing_to_the_digging() -> None:
    """A given year stands in its place; settings kept in the record are used and their reasons told."""
    sherds = _sherds("1", "c", "creamware", 6, 1762, 1820)
    assert _made(sherds).chronology.window.words == "1660 to 2026"
    kept = DatingSettings(
        id="s", window_end=1890, discard_lag=25, absence=False, phases="one after the other", seed=7, reasons="cleared"
    )
    made = _made(sherds, kept)
    assert made.chronology.window.words == "1660 to 1890"
    assert (made.settings.seed, made.settings.suppositions.absence, made.settings.suppositions.discard.lag) == (7, False, 25)
    words = made.settings.words(made.chronology.window)
    assert "Why these settings: cleared" in words
    assert "Nothing is dated outside of 1660 to 1890 (as given)." in words
    assert "Seed 7." in words


def test_phases_follow_their_numbers_when_asked() -> None:
    """Phases may overlap or follow one another when that is set; else they are not used."""
    sherds = _sherds("1", "c", "creamware", 6, 1762, 1820)
    made = _made(sherds, settings=ChronologySettings(phases=PhaseUse.OVERLAP)).chronology
    assert [(phase.name, phase.events) for phase in made.phases] == [("phase 2", (1, 2)), ("phase 3", (0,))]
    assert made.links == ()
    in_turn = _made(sherds, settings=ChronologySettings(phases=PhaseUse.IN_TURN)).chronology
    assert [(link.later, link.earlier, link.abutting) for link in in_turn.links] == [(1, 0, False)]
    assert _made(sherds).chronology.phases == ()


def test_relations_of_a_loop_are_not_used() -> None:
    """While a loop stands its relations order nothing, and a note says how many."""
    made = _made(_over("c", "a"), _sherds("1", "c", "creamware", 6, 1762, 1820))
    assert len(made.chronology.later) == 0
    assert made.notes[0].startswith("4 relations stand in a loop and are not used")


def test_a_record_without_dates_says_what_to_do() -> None:
    """Nothing to date by is refused with what to record; a table of types may date what the record does not."""
    with pytest.raises(InputError, match="Nothing in this record dates a context: no find has years of making, no document says"):
        _made()
    bare = Find(id="f", number="1", context="c", material="ceramic", type="creamware", count=3)
    table = read_types("# table: own\n# version: 1\ntype,begin,end,source,confidence,mark\ncreamware,1762,1820,x,low,own\n")
    assert _made(bare, types=table).chronology.evidence == (FindMade(2, "find 1, creamware", 1762, 1820, Disturbance.SLIGHT),)


def test_the_demo_has_its_brown_layer(demo_sites: DemoSites) -> None:
    """Otter Weir: the coin, sherds, and none of 29 sherds is whiteware in 108; the radiocarbon date lies in the socket."""
    with open_site(demo_sites.good, read_only=True) as store:
        record = store.record()
    made = site_chronology(record, site_order(record), settings_of(record))
    assert "find 24, bottle, dip moulded (dip-moulded bottle): no first year of making is recorded" in made.left_out
    invented = read_types(demo_sites.types.read_text(encoding="utf-8"))
    by_type = site_chronology(record, site_order(record), settings_of(record), types=invented).chronology.evidence
    assert [one.begin for one in by_type if one.name.startswith("find 24") and isinstance(one, FindMade)] == [1780]
    brown = made.event_of[record.numbered(Context, "108").id]
    told = [one for one in made.chronology.evidence if one.event == brown]
    assert [one.begin for one in told if isinstance(one, FindMade)] == [1780, 1762, 1799]
    assert [one.name for one in told if isinstance(one, NoneLater)] == ["none of 29 sherds is whiteware, made from 1820"]
    (carbon,) = (one for one in made.chronology.evidence if isinstance(one, CarbonDate))
    assert made.chronology.events[carbon.event] == "122"
    assert made.chronology.window.end == 2026
