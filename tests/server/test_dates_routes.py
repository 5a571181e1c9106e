"""The routes of dates: bounds with their paths, contradictions with what each way out costs, aids, drawings; nothing withheld."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from baulk.record import Context, Document, Find, Relation, SiteRecord, View
from baulk.server import create_app
from baulk.work.study import Study


def _client(record: SiteRecord, tmp_path: Path, view: View = View.CREW) -> TestClient:
    study = Study(record)
    return TestClient(create_app(lambda: study, view=view, static=tmp_path / "none"), base_url="http://127.0.0.1:1")


LAYERS = (
    Context(id="a", number="1", kind="deposit", colour_moist="10YR 3/2"), Context(id="b", number="2", kind="deposit"),
    Context(id="g", number="3", kind="cut", cut_function="grave"), Context(id="n", number="4", kind="deposit"),
    Relation(id="r1", later="a", earlier="g", how="overlies"), Relation(id="r2", later="g", earlier="b", how="cuts"),
    Relation(id="r3", later="b", earlier="n", how="overlies"),
    Find(id="f1", number="7", context="b", material="glass", object="bottle", begin=1905, count=1),
    Find(id="f2", number="8", context="g", material="iron", object="Xcoffin nail", begin=1910, count=1),
    Find(id="f3", number="9", context="n", material="stone", object="flint", count=1),
    Document(id="d", number="1", title="Map", begin=1850, end=1850, there_by_then=True, contexts=("a",)),
)  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    """Return a client of a site with a contradiction over a withheld cut."""
    return _client(SiteRecord.of(LAYERS), tmp_path)


def test_bounds_come_with_the_path_that_carried_them(client: TestClient) -> None:
    """Each context has both bounds, what set them and the way there; the path runs through a withheld cut by its number."""
    found = client.get("/api/dates").json()
    lines = {line["link"]["label"]: line for line in found["lines"]}
    assert [line["link"]["label"] for line in found["lines"]] == ["1", "3", "2", "4"]
    assert (lines["1"]["tpq"], lines["1"]["tpq_by"]) == (1905, "find 7, bottle")
    assert [link["label"] for link in lines["1"]["tpq_path"]] == ["1", "3", "2"]
    assert (lines["4"]["tpq"], lines["4"]["taq"]) == (None, 1850)
    assert lines["3"]["withheld"]
    assert lines["2"]["contradicted"]
    assert found["left_out"] == ["find 9, flint: no first year of making is recorded"]
    assert client.get("/api/dates?offset=2&limit=1").json()["lines"][0]["link"]["label"] == "2"


def test_a_contradiction_comes_with_what_each_way_out_costs(client: TestClient) -> None:
    """The chain as links, and intrusive, residual, wrong relation and missed cut each with the bounds that it would change."""
    (one,) = client.get("/api/dates").json()["contradictions"]
    assert [link["label"] for link in one["chain"]] == ["1", "3", "2"]
    assert [way["kind"] for way in one["ways_out"]] == [
        "intrusive find", "residual find", "wrong relation", "wrong relation", "missed cut",
    ]  # fmt: skip
    intrusive = one["ways_out"][0]
    assert intrusive["settles"]
    assert {(shift["link"]["label"], shift["bound"], shift["before"], shift["after"]) for shift in intrusive["changes"]} == {
        (number, "tpq", 1905, None) for number in ("1", "2", "3")
    }


def test_finds_of_a_withheld_context_set_no_bound(client: TestClient, tmp_path: Path) -> None:
    """Nothing of the find in the possible grave is answered to the crew, and it sets no bound; who may know is told all."""
    for path in ("", "/why?context=1", "/why?context=3", "/chronology"):
        assert "Xcoffin" not in client.get(f"/api/dates{path}").text
        assert "1910" not in client.get(f"/api/dates{path}").text
    for path in ("drawing.svg", "aids.svg?context=3", "aids.svg?context=1"):
        assert "Xcoffin" not in client.get(f"/api/dates/{path}").text
    open_to_all = _client(SiteRecord.of(LAYERS), tmp_path, View.RESTRICTED)
    assert "Xcoffin nail" in open_to_all.get("/api/dates/why?context=3").text
    assert open_to_all.get("/api/dates").json()["lines"][0]["tpq"] == 1910
    assert "RESTRICTED" in open_to_all.get("/api/dates/drawing.svg").text


def test_why_tells_lines_and_aids(client: TestClient) -> None:
    """A context is asked for by number or id; an unknown one is answered in the one shape."""
    by_number, by_id = (client.get(f"/api/dates/why?context={named}").json() for named in ("2", "b"))
    assert by_number == by_id
    assert by_number["says"][0].startswith("2: 1905 or later: find 7, bottle")
    answer = client.get("/api/dates/why?context=99")
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown_record")


def test_drawings_hold_the_contexts(client: TestClient) -> None:
    """The sheet of dates has a lane for every context shown, the sheet of aids the bounds of its context."""
    svg = client.get("/api/dates/drawing.svg")
    assert svg.headers["content-type"].startswith("image/svg+xml")
    assert [svg.text.index(f'data-record="{identity}"') for identity in "agbn"] == sorted(
        svg.text.index(f'data-record="{identity}"') for identity in "agbn"
    )
    assert 'data-name="bounds"' in client.get("/api/dates/aids.svg?context=2").text
