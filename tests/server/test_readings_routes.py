"""The routes of readings weigh what the record holds or what a device sends, write nothing, and tell nothing that is withheld."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from fastapi.testclient import TestClient

from baulk.record import View
from baulk.server import create_app
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.study import Study, study_source
from tests.work.question_site import RECORDS, question_record


def client(record_or_path: Any, view: View = View.CREW) -> TestClient:
    """Return a client of a server that shows this record or site file."""
    if isinstance(record_or_path, Path):
        source = study_source(record_or_path)
    else:
        study = Study(record_or_path)

        def source() -> Study:
            return study

    return TestClient(create_app(source, view=view, static=Path("none")), base_url="http://127.0.0.1:1")


@pytest.fixture(scope="module")
def site(demo_sites: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo site."""
    return Path(copytree(demo_sites.good.parent, tmp_path_factory.mktemp("demo") / "sites")) / demo_sites.good.name


def posted(changed: dict[str, dict[str, Any]] | None = None) -> dict[str, Any]:
    """Return the small question as a device would send it."""
    records = [
        {
            "kind": kind,
            "id": values["id"],
            "values": {**{k: v for k, v in values.items() if k != "id"}, **(changed or {}).get(values["id"], {})},
        }
        for kind, values in RECORDS
        if kind not in ("site", "context")
    ]
    return {"question": "q", "records": records}


def test_the_list_tells_what_leads_the_patterns_and_the_scale(site: Path) -> None:
    """Questions with their leaders, at least twelve patterns, eight words and three treatments; the withheld one is counted."""
    told = client(site).get("/api/readings").json()
    assert [(one["number"], one["leader"]) for one in told["questions"]] == [("1", "Path round a post or tree")]
    assert told["withheld"] == 1 and len(told["patterns"]) >= 12
    assert [one["word"] for one in told["scale"]][0::7] == ["nearly always", "cannot say"]
    assert [one["name"] for one in told["treatments"]] == ["least expected", "shared", "in full"]
    assert next(one for one in told["patterns"] if one["name"] == "rectangular-cut")["withheld"] is True
    numbers = {one["label"] for one in told["contexts"]}
    assert "109" in numbers and "114" not in numbers


def test_a_question_is_told_with_its_table(site: Path) -> None:
    """Readings likeliest first, cells in their order, groups, what would overturn it, tests with what is lost first."""
    told = client(site).get("/api/readings/1").json()
    assert told["readings"][0]["mark"] == "1A"
    order = [one["id"] for one in told["readings"]]
    assert all([cell["reading"] for cell in piece["cells"]] == order for piece in told["pieces"])
    assert {one["cause"] for one in told["voices"] if len(one["pieces"]) > 1} >= {"never bonded", "something stood in the middle"}
    first = told["pieces"][0]["cells"][0]
    assert first["expected"] == "often" and first["expectation"] and first["decibans"] > 0
    assert told["rival"] == told["overturning"][0]["rival"]
    assert told["tests"][0]["lost_at_backfill"] is True and told["tests"][0]["line"] == "band"
    assert told["plan"]["does"] and told["care"] == {**told["care"], "acts": False, "says": "", "caution": ""}
    assert told["drawing"] == "readings-1"
    assert client(site).get("/api/drawings/readings-1.svg").status_code == 200
    other = client(site).get("/api/readings/1?treatment=in full").json()
    assert other["treatment"] == "in full" and other["readings"][0]["share"] > told["readings"][0]["share"]


def test_what_is_withheld_is_answered_as_unknown(site: Path) -> None:
    """The question of the rectangular cut is unknown to the crew on every route; restricted it comes with the caution."""
    crew = client(site)
    identity = next(
        one["id"] for one in client(site, View.RESTRICTED).get("/api/readings").json()["questions"] if one["number"] == "2"
    )
    for path in ("2", identity, f"{identity}/proposals", f"{identity}/changes", f"{identity}/then?time=0"):
        answer = crew.get(f"/api/readings/{path}")
        assert answer.status_code == 404 and answer.json()["code"] == "unknown_record"
    assert crew.get("/api/drawings/readings-2.svg").status_code == 404
    told = client(site, View.RESTRICTED).get("/api/readings/2").json()
    assert told["care"]["acts"] is True and "stop work within 5 m" in told["care"]["caution"] and len(told["care"]["steps"]) == 4
    assert client(site, View.RESTRICTED).get("/api/drawings/readings-2.svg").text.count("RESTRICTED")


def test_what_a_device_sends_is_weighed_and_not_kept() -> None:
    """A changed word shifts the answer that comes back, while the record stays as it is."""
    shown = client(question_record())
    before = shown.get("/api/readings/1").json()
    same = shown.post("/api/readings/weigh", json=posted()).json()
    assert same["readings"] == before["readings"]
    changed = shown.post("/api/readings/weigh", json=posted({"x1": {"word": "hardly ever"}})).json()
    share = {one["id"]: one["share"] for one in changed["readings"]}
    assert share["rp"] < {one["id"]: one["share"] for one in before["readings"]}["rp"] / 2
    assert shown.get("/api/readings/1").json() == before
    wrong = shown.post("/api/readings/weigh", json=posted({"rp": {"prior": 3.0}}))
    assert wrong.status_code == 422 and "Prior is given as “3.0”" in wrong.json()["message"]
    strange = {"question": "q", "records": [{"kind": "context", "id": "c", "values": {}}]}
    assert shown.post("/api/readings/weigh", json=strange).status_code == 422


def test_a_reading_for_remains_sent_by_the_crew_is_answered_with_care() -> None:
    """A device that names a grave gets the caution and is told that the question will be withheld; restricted only the caution."""
    body = posted({"rw": {"name": "Possible grave"}})
    told = client(question_record()).post("/api/readings/weigh", json=body).json()
    said = "This question weighs a possible grave: once it has been sent it is withheld here. Open the site with --restricted"
    assert told["care"]["acts"] is True and told["care"]["caution"] and any(note.startswith(said) for note in told["notes"])
    whole = client(question_record(), View.RESTRICTED).post("/api/readings/weigh", json=body).json()
    assert whole["care"]["acts"] is True and not any("withheld here" in note for note in whole["notes"])


def test_a_question_is_begun_and_lines_are_proposed(site: Path) -> None:
    """What the device is to create comes with ids of its own; accepting a line creates the piece and a cell for each reading."""
    crew = client(site)
    context = next(one["id"] for one in crew.get("/api/readings").json()["contexts"] if one["label"] == "109")
    items = crew.get(f"/api/readings/begin?pattern=setting&about={context}").json()["items"]
    assert [one["kind"] for one in items[:2]] == ["question", "reading"] and items[0]["id"] == "new:1"
    assert items[0]["values"]["about"] == [context] and all(one["values"]["question"] == "new:1" for one in items[1:])
    sent = {"question": "new:1", "records": [{**one} for one in items]}
    found = crew.post("/api/readings/propose", json=sent).json()["proposals"]
    upright = next(one for one in found if one["line"] == "upright")
    assert upright["seen"] is True and [one["label"] for one in upright["contexts"]] == ["109"]
    assert [one["kind"] for one in upright["items"]] == ["evidence", *["expectation"] * len(upright["expected"])]
    weighed = crew.post("/api/readings/weigh", json={**sent, "records": [*sent["records"], *_renamed(upright["items"])]}).json()
    assert weighed["pieces"][0]["saw"] and weighed["pieces"][0]["cells"][0]["expected"]
    own = crew.get("/api/readings/1/proposals").json()["proposals"]
    assert {one["line"] for one in own if one["seen"] is not None} == {"soft", "old-ground", "void"}


def _renamed(items: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return items with ids of their own, as a device gives them."""
    ids = {one["id"]: f"piece-{place}" for place, one in enumerate(items)}
    return [
        {
            "kind": one["kind"],
            "id": ids[one["id"]],
            "values": {k: ids.get(v, v) if isinstance(v, str) else v for k, v in one["values"].items()},
        }
        for one in items
    ]


def test_what_cannot_be_begun_is_refused_in_words(site: Path) -> None:
    """A pattern with a grave, an unknown pattern and no context are refused with what to do."""
    crew = client(site)
    context = crew.get("/api/readings").json()["contexts"][0]["id"]
    grave = crew.get(f"/api/readings/begin?pattern=rectangular-cut&about={context}")
    assert grave.status_code == 422
    assert "This pattern weighs a possible grave, so its question is withheld here." in grave.json()["message"]
    unknown = crew.get(f"/api/readings/begin?pattern=no&about={context}").json()
    assert "No pattern is called “no”. There are " in unknown["message"]
    nothing = crew.get("/api/readings/begin?pattern=setting&about=none").json()
    assert nothing["message"] == "Nothing says what the question is about. Choose at least one context."


def test_states_of_a_question_are_told(site: Path) -> None:
    """The change of mind stands in the list, and the state before it is weighed with the word of then."""
    crew = client(site)
    told = crew.get("/api/readings/1/changes").json()["changes"]
    changed = [one for one in told if not one["new"]]
    assert changed[0]["says"] == "1.09 under 1B, how expected: often → now and then" and changed[0]["person"] == "AK"
    before = max(one["time"] for one in told if one["new"])
    then = crew.get(f"/api/readings/1/then?time={before}").json()
    now = crew.get("/api/readings/1").json()
    share = [next(one["share"] for one in side["readings"] if one["mark"] == "1B") for side in (then, now)]
    assert share[0] > 2 * share[1]
    early = crew.get("/api/readings/1/then?time=0000000000000.000000")
    assert early.status_code == 422 and "The question was not yet written at that time." in early.json()["message"]


def test_a_site_shown_without_its_log_says_so() -> None:
    """A record without a file tells no earlier states."""
    answer = client(question_record()).get("/api/readings/1/changes")
    assert answer.status_code == 422
    assert (
        "This site is shown without its log of changes, so nothing is known of earlier states. Open its file."
        in answer.json()["message"]
    )


def test_the_answers_of_the_command_and_the_page_are_the_same(site: Path) -> None:
    """The page's shares are those of the study's own weighing."""
    told = client(site).get("/api/readings/1").json()
    with open_site(site, read_only=True) as store:
        weighed = Study(store.record()).weighed("1").argument.weighed
    assert [one["share"] for one in told["readings"]] == pytest.approx([weighed.posterior[place] for place in weighed.order])
