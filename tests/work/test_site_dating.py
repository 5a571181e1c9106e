"""The dates of a revision: begun without waiting, kept once they are there, refused in words, each viewer's apart."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from baulk.record import Context, Document, Entity, Find, Relation, SiteRecord, View
from baulk.server import create_app
from baulk.work.chronology_answers import absence_told
from baulk.work.date_candidates import Hours, candidates_for
from baulk.work.site_dating import RunState, SiteDating, State
from baulk.work.study import Study

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
    deadline = time.monotonic() + 60
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


def test_bounds_are_answered_while_dates_are_worked_out() -> None:
    """A question after bounds does not wait for the chronology."""
    dating = Study(_site()).dating
    dating.bounds(View.CREW)
    dating.state(View.CREW, begin=True)
    started = time.monotonic()
    assert dating.bounds(View.CREW).of("a").tpq == 1820
    assert time.monotonic() - started < 0.5
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
    assert "It changes little: " in told.says


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

    def breaks(_site: object) -> None:
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
    assert "1: find 1, whiteware" in found["evidence"]
    before = client.get("/api/dates/before?one=2&other=1").json()
    assert before["chance"] > 0.99
    (absent,) = client.get("/api/dates/absence").json()
    assert absent["link"]["label"] == "2"
    best = client.get("/api/dates/best?context=2").json()
    assert best["candidates"][0]["name"] == "a specialist's look at 40 loosely dated pieces from 2"
    assert {line["name"] for line in client.get("/api/dates/sensitivity").json()} >= {"intrusion twice as likely"}
    answers = [
        client.get(f"/api/dates/{path}").text for path in ("chronology", "absence", "best?context=2", "drawing.svg?dated=true")
    ]
    assert "baulk-posterior" in answers[-1]
    assert not [text for text in answers if "Xnail" in text]


def test_candidates_cost_what_the_hours_say(study: Study) -> None:
    """A look at 40 sherds at ten an hour with two hours before it costs six; other figures cost otherwise."""
    site = study.dating.chronology(View.CREW)
    (look, *_) = candidates_for(site, "2")
    assert look.cost == 6
    (look, *_) = candidates_for(site, "2", Hours(look=1, sherds=20))
    assert look.cost == 3
