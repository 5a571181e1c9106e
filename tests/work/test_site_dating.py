"""The dates of a revision: begun without waiting, kept once they are there, refused in words, each viewer's apart."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from baulk.dating.candidates import CarbonSample, MoreFinds, NextUnit, SherdsLookedAt
from baulk.record import Context, Document, Entity, Find, Relation, Sample, SiteRecord, View
from baulk.server import create_app
from baulk.work.chronology import SiteChronology
from baulk.work.chronology_answers import DatedSite, absence_told
from baulk.work.date_candidates import Hours, candidates_for
from baulk.work.date_more import best_told
from baulk.work.kept_dates import KeptDates
from baulk.work.site_dating import RunState, SiteDating, State, dated_site
from baulk.work.study import Study

PATIENCE = 600
"""Seconds that are waited for dates: a slow, busy machine that has to translate the sampler first takes minutes."""
LAYER = {"kind": "deposit", "reliability": "good", "contamination": "none seen"}


def _site(*more: Entity) -> SiteRecord:
    """Return a coin under white ware, and a possible grave cut into the lower layer that holds a nail of 1850."""
    return SiteRecord.of([
        Context(id="a", number="1", recorded_on="2026-05-11", **LAYER), Context(id="b", number="2", **LAYER),
        Context(id="g", number="3", kind="cut", cut_function="grave"),
        Relation(id="r1", later="a", earlier="g", how="overlies"), Relation(id="r2", later="g", earlier="b", how="cuts"),
        Find(id="f1", number="1", context="a", material="ceramic", type="whiteware", count=9, begin=1820, end=1900),
        Find(id="f2", number="2", context="b", material="ceramic", type="creamware", count=40, begin=1762, end=1820),
        Find(id="f3", number="3", context="g", material="iron", object="Xnail", count=1, begin=1850),
        *more,
    ])  # fmt: skip


def _waited(dating: SiteDating, view: View) -> RunState:
    """Return the state once it no longer runs."""
    deadline = time.monotonic() + PATIENCE
    while (state := dating.state(view)).state is State.RUNNING and time.monotonic() < deadline:
        time.sleep(0.05)
    return state


@pytest.fixture(scope="module")
def study() -> Study:
    """Return the study."""
    return Study(_site())


def test_dates_are_begun_when_asked_and_kept(study: Study) -> None:
    """Nothing runs by itself; begun it is told in words how long it takes, and once done the same answer is given to everyone."""
    dating = study.dating
    assert dating.state(View.CREW).state is State.NOT_BEGUN
    begun = dating.state(View.CREW, begin=True)
    assert begun.state in (State.RUNNING, State.DONE)
    assert begun.state is State.DONE or begun.says.startswith("Working it out: ")
    done = _waited(dating, View.CREW)
    assert done.state is State.DONE
    assert done.dated is dating.dated(View.CREW)


def test_bounds_are_answered_while_dates_are_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """A question after bounds does not wait for the chronology, which is held back here until they are told."""
    told = threading.Event()

    def held_back(site: SiteChronology, kept: KeptDates | None = None) -> DatedSite:
        assert told.wait(PATIENCE)
        return dated_site(site, kept)

    monkeypatch.setattr("baulk.work.site_dating.dated_site", held_back)
    dating = Study(_site()).dating
    dating.state(View.CREW, begin=True)
    assert dating.bounds(View.CREW).of("a").tpq == 1820
    assert dating.state(View.CREW).state is State.RUNNING
    told.set()
    assert _waited(dating, View.CREW).state is State.DONE


def test_each_viewer_has_dates_of_what_is_seen(study: Study) -> None:
    """The nail in the possible grave is evidence for who may know of it, and for nobody else."""
    crew, restricted = study.dating.dated(View.CREW), study.dating.dated(View.RESTRICTED)
    assert not [one for one in crew.site.chronology.evidence if "Xnail" in one.name]
    assert [one.name for one in restricted.site.chronology.evidence if "Xnail" in one.name] == ["find 3, Xnail"]
    public = study.dating.chronology(View.PUBLIC)
    assert public.chronology.events == ("1", "2")
    shares = [date.within(1850, 2026) for dated in (crew, restricted) if (date := dated.of("g")) is not None]
    assert shares[1] > shares[0] + 0.2


def test_absence_is_explained_and_does_nothing_where_something_else_bounds(study: Study) -> None:
    """With absence the layer is earlier; a lease of 1815 over it takes the difference away, and the words say so."""
    settings = study.dating.settings
    (told,) = absence_told(study.dating.dated(View.CREW), study.dating.dated(View.CREW, settings.without_absence()))
    assert told.with_it.within(1650, 1840) > told.without_it.within(1650, 1840) + 0.1
    lease = Document(id="d", number="1", title="Lease", begin=1800, end=1800, there_by_then=True, contexts=("a",), certainty="firm")
    whiteware = Find(id="f9", number="9", material="ceramic", type="whiteware", count=9, begin=1820, end=1900)
    bounded = Study(_site(lease, whiteware)).dating
    (told,) = absence_told(bounded.dated(View.CREW), bounded.dated(View.CREW, settings.without_absence()))
    assert "it changes little, something else bounds this deposit" in told.says


def test_a_refusal_is_kept_and_told(tmp_path: Path) -> None:
    """Evidence that excludes itself is refused once, and every later question gets the same words, by the route too."""
    firm = {"certainty": "firm", "there_by_then": True, "not_there_yet": True}
    study = Study(_site(
        Document(id="d", number="1", title="Lease", begin=1950, end=1950, contexts=("b",), **firm),
        Document(id="e", number="2", title="Map", begin=1880, end=1880, contexts=("a",), **firm),
    ))  # fmt: skip
    study.dating.state(View.CREW, begin=True)
    state = _waited(study.dating, View.CREW)
    assert state.state is State.REFUSED
    assert "document 1, Lease" in state.says
    client = TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url="http://127.0.0.1:1")
    told = client.get("/api/dates/chronology").json()
    assert (told["state"], told["says"], told["lines"]) == ("refused", state.says, [])
    assert client.get("/api/dates/before?one=1&other=2").json()["message"] == state.says


def test_a_fault_of_our_own_is_told_as_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """The page does not wait for ever when the work breaks off: it is told that this is a fault of Baulk's own."""

    def breaks(_site: object, _kept: object) -> None:
        raise ZeroDivisionError("nought")

    monkeypatch.setattr("baulk.work.site_dating.dated_site", breaks)
    dating = Study(_site()).dating
    dating.state(View.CREW, begin=True)
    state = _waited(dating, View.CREW)
    assert state.state is State.REFUSED
    assert state.says == "The dates could not be worked out: ZeroDivisionError('nought'). This is a fault of Baulk's own."


def test_the_routes_tell_the_chronology(study: Study, tmp_path: Path) -> None:
    """Ranges, what was put in, which is earlier, absence, what would date best and what hangs on suppositions; nothing withheld."""
    client = TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url="http://127.0.0.1:1")
    study.dating.dated(View.CREW)
    found = client.get("/api/dates/chronology").json()
    assert found["state"] == "done"
    assert [line["link"]["label"] for line in found["lines"]] == ["1", "3", "2"]
    assert "Seed 1." in found["settings"]
    (put,) = [one for one in found["evidence"] if one["says"] == "find 1, whiteware"]
    assert (put["link"]["label"], [link["id"] for link in put["links"]]) == ("1", ["f1"])
    within = client.get("/api/dates/within?context=2&begin=1750&end=1850").json()
    assert within["chance"] > within["before"]
    spans = client.get("/api/dates/spans?one=2&other=1").json()
    assert [[link["label"] for link in links] for links in spans["links"]] == [["2"], ["1"]]
    assert sum(way["chance"] for way in spans["ways"]) == pytest.approx(1)
    before = client.get("/api/dates/before?one=2&other=1").json()
    assert before["chance"] > 0.99
    (absent,) = client.get("/api/dates/absence").json()
    assert absent["link"]["label"] == "2"
    best = client.get("/api/dates/best?context=2").json()
    assert best["candidates"][0]["name"] == "a specialist's look at 40 loosely dated pieces from 2"
    assert [link["id"] for link in best["candidates"][0]["links"]] == ["f2"]
    assert best["says"].startswith("None of this would narrow the date of 2 by half a year and more than chance")
    assert not best["candidates"][0]["tells"]
    answers = [
        client.get(f"/api/dates/{path}").text for path in ("chronology", "absence", "best?context=2", "drawing.svg?dated=true")
    ]
    assert "baulk-posterior" in answers[-1]
    assert not [text for text in answers if "Xnail" in text]


def test_candidates_cost_what_the_hours_say(study: Study) -> None:
    """A look at 40 sherds at ten an hour with two hours before it costs six; other figures cost otherwise."""
    site = study.dating.chronology(View.CREW)
    (look, *_) = candidates_for(site, "2")
    assert (look.candidate.cost, look.records) == (6, ("f2",))
    (look, *_) = candidates_for(site, "2", Hours(look=1, sherds=20))
    assert look.candidate.cost == 3


def test_all_four_kinds_of_work_are_offered_with_what_they_are_of() -> None:
    """A sample without a result, soil left, sherds dated loosely and ground beyond the edge; a coin is not looked at again."""
    layer = Context(id="m", number="5", dug=50, litres=300, edge_east="beyond limit", **LAYER)
    study = Study(_site(
        layer, Relation(id="r3", later="b", earlier="m", how="overlies"),
        Sample(id="s", number="4", context="m", type="radiocarbon"),
        Find(id="f4", number="4", context="m", material="ceramic", type="slipware", count=12, begin=1670, end=1795),
        Find(id="f5", number="5", context="m", material="copper alloy", object="coin", count=1, begin=1700),
    ))  # fmt: skip
    offers = {type(one.candidate): one for one in candidates_for(study.dating.chronology(View.CREW), "5")}
    assert offers[CarbonSample].records == ("m", "s")
    assert offers[MoreFinds].candidate.name == "dig and sieve the rest of 5, 300 litres"
    assert offers[SherdsLookedAt].records == ("f4",) or offers[SherdsLookedAt].records == ("f2",)  # the last one stands: of 2 above
    assert offers[NextUnit].candidate.cost == Hours().unit
    told = best_told(study.dating.dated(View.CREW), "5")
    assert len(told.lines) == len(told.worths) == len(told.records)
    assert all("an hour" in line or "no more than chance" in line for line in told.lines)
    assert all(worth.tells is ("years for an hour" in line) for worth, line in zip(told.worths, told.lines, strict=True))
    assert "For its hours " in told.says


def test_nothing_to_be_done_is_said_and_so_is_what_does_not_help() -> None:
    """Without anything on record there is nothing to rank; with a firm year nothing narrows, and no figure is made of chance."""
    bare = Study(_site(Context(id="m", number="5", **LAYER), Relation(id="r3", later="b", earlier="m", how="overlies"),
                       Document(id="d", number="1", title="Bill", begin=1790, end=1790, there_by_then=True, not_there_yet=True,
                                contexts=("b",), certainty="firm")))  # fmt: skip
    dated = bare.dating.dated(View.CREW)
    told = best_told(dated, "2")
    assert not any(one.tells for one in told.worths)
    assert told.says.startswith("None of this would narrow the date of 2 by half a year and more than chance")
    assert "would hardly narrow the range of" in told.lines[0]


def test_a_change_that_dates_nothing_leaves_the_dates_and_another_makes_them_stale(study: Study) -> None:
    """A photo's worth of news keeps the answer and says of which revision it is; a new sherd makes it stale, and that is said."""
    done = study.dating.dated(View.CREW)
    held = list(study.record.by_id.values())
    same = study.renewed(SiteRecord.of([*held, Sample(id="s9", number="9", context="a", type="soil")], revision=7), {"s9"})
    state = same.dating.state(View.CREW)
    assert state.dated is not None and state.dated.dates is done.dates
    assert state.says == "Worked out of revision 0; what has changed since dates nothing, so it holds for revision 7."
    sherd = Find(id="f9", number="9", context="b", material="ceramic", type="creamware", count=2, begin=1790, end=1820)
    other = study.renewed(SiteRecord.of([*held, sherd], revision=8), {"f9"})
    state = other.dating.state(View.CREW)
    assert state.state is State.NOT_BEGUN
    assert state.says.startswith(
        "Not worked out for the record as it is (revision 8): what dates it, or what is supposed, is another"
    )
    other.dating.dated(View.CREW)
    assert other.dating.state(View.CREW).says == "Worked out."


def test_variations_come_one_by_one_and_are_kept(study: Study, tmp_path: Path) -> None:
    """Begun when asked, told how many are there, kept afterwards: seed and all else are those of the dates."""
    client = TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url="http://127.0.0.1:1")
    assert client.get("/api/dates/sensitivity").json()["state"] == "not begun"
    deadline = time.monotonic() + PATIENCE
    found = client.get("/api/dates/sensitivity?begin=true").json()
    while found["state"] == "running" and time.monotonic() < deadline:
        time.sleep(0.1)
        found = client.get("/api/dates/sensitivity").json()
    assert found["state"] == "done"
    assert found["lines"][0]["name"] == "intrusion half as likely"
    assert found["comes_to"].startswith("Of 3 dates ")
    assert "Seed and all else are the same each time" in found["comes_to"]
    started = time.monotonic()
    assert client.get("/api/dates/sensitivity").json() == found
    assert time.monotonic() - started < 2
    (absence,) = [one for one in study.dating.varied().varied if one.name == "without the absence of later finds"]
    alone = study.dating.dated(View.CREW, study.dating.settings.without_absence())
    assert [one.pieces() for one in absence.dates] == [one.pieces() for one in alone.dates.events]
