"""What the page asks of the order: why, likely, doubts, missed relations, phases, and drawings with folds opened."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from baulk.record import Burial, Context, Relation, SiteRecord, View, build
from baulk.server import create_app
from baulk.work.demo import DemoSites
from baulk.work.study import MOST_OPENED, Study, study_source
from tests.server.test_server_guard import refused


def client_of(record: SiteRecord, *, view: View = View.CREW) -> TestClient:
    """Return a client of a record; no page is built for it."""
    study = Study(record)
    return TestClient(create_app(lambda: study, view=view, static=Path("none")), base_url="http://127.0.0.1:4321")


def site_of(pairs: Iterable[tuple[int, int]], more: Iterable[Any] = (), **said: Any) -> SiteRecord:
    """Return a record of contexts numbered 1 and up, with a relation for each pair."""
    pairs = list(pairs)
    numbers = sorted({number for pair in pairs for number in pair})
    contexts = [
        build(Context, {"id": f"c{one}", "number": str(one), "kind": "deposit", **said.get(f"c{one}", {})}) for one in numbers
    ]
    relations = [
        build(
            Relation,
            {"id": f"r{a}-{b}", "later": f"c{a}", "earlier": f"c{b}", "where_seen": "wall", "certainty": "probable"},
        )
        for a, b in pairs
    ]
    return SiteRecord.of([*contexts, *relations, *more])


def got(client: TestClient, path: str) -> Any:
    """Return the JSON of a path that must be answered."""
    answer = client.get(f"/api/order/{path}")
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.fixture(scope="module")
def mistaken(demo_sites: DemoSites) -> TestClient:
    """A client of the demo's copy with mistakes."""
    path = demo_sites.mistaken
    return TestClient(create_app(study_source(path), static=path.parent / "none"), base_url="http://127.0.0.1:4321")


def test_why_tells_each_step_with_where_it_was_seen() -> None:
    """Of 1 over 2 over 3 the chain has two steps, each with its relation, where it was seen and how sure it is."""
    found = got(client_of(site_of([(1, 2), (2, 3)])), "why?later=1&earlier=3")
    assert (found["answer"], found["says"]) == ("later", "1 > 2 > 3")
    told = [
        (one["later"]["label"], one["how"], one["earlier"]["label"], one["where_seen"], one["certainty"])
        for step in found["steps"]
        for one in step["relations"]
    ]
    assert told == [("1", "overlies", "2", "wall", "probable"), ("2", "overlies", "3", "wall", "probable")]


def test_why_tells_the_other_way_round_and_no_way() -> None:
    """Where the chain runs the other way it says so; where there is none the answer is open, without a step."""
    client = client_of(site_of([(1, 2), (2, 3), (1, 4)]))
    found = got(client, "why?later=3&earlier=1")
    assert (found["answer"], found["steps"]) == ("earlier", [])
    found = got(client, "why?later=4&earlier=c2")
    assert (found["answer"], found["steps"]) == ("open", [])
    assert found["says"].startswith("Nothing recorded makes 4 later than 2")


def test_why_of_one_and_the_same_is_told() -> None:
    """Two contexts recorded as one are neither later; a chain goes on from any of them."""
    same = build(Relation, {"id": "same", "later": "c2", "earlier": "c4", "how": "same as"})
    client = client_of(site_of([(1, 2), (4, 3)], [same]))
    assert got(client, "why?later=2&earlier=4")["answer"] == "same"
    steps = got(client, "why?later=1&earlier=3")["steps"]
    assert [link["label"] for link in steps[0]["earlier"]] == ["2", "4"]


def test_what_cannot_be_asked_is_refused_in_words() -> None:
    """An unknown number, one context twice, a void one and a likely order with a loop are refused in the one shape."""
    record = site_of([(1, 2), (2, 3)], c3={"void": "number given twice"})
    client = client_of(record)
    refused(client.get("/api/order/why?later=1&earlier=9"), 404, "unknown_record", "There is no context “9”.")
    refused(client.get("/api/order/why?later=1&earlier=1"), 422, "input", "asked for beside itself")
    refused(client.get("/api/order/why?later=1&earlier=3"), 422, "input", "Context 3 is void")
    refused(client.get("/api/order/likely?one=1&other=1"), 422, "input", "asked for beside itself")
    refused(client.get("/api/order/likely?one=1"), 422, "input", "“other” cannot be used")
    loop = client_of(site_of([(1, 2), (2, 1), (3, 1)]))
    refused(loop.get("/api/order/likely?one=1&other=3"), 409, "order", "needs an order without loops")


def test_likely_is_the_share_of_the_allowed_orders() -> None:
    """Of 1 over 2 beside 1 over 3, half of the orders have 2 first; a path decides 1 and 2 (both can be counted by hand)."""
    client = client_of(site_of([(1, 2), (1, 3)]))
    found = got(client, "likely?one=2&other=3")
    assert (found["one_earlier"], found["standard_error"], found["by"], found["orders"]) == (0.5, 0.0, "counted", 2.0)
    assert (found["contexts"], found["whole_site"]) == (3, True)
    found = got(client, "likely?one=2&other=1")
    assert (found["one_earlier"], found["by"]) == (1.0, "path")


def test_drawn_orders_have_an_error_and_follow_the_seed() -> None:
    """A ladder too wide to count is drawn: the same seed gives the same share, which has a standard error and a size."""
    pairs = [(a, b) for a in range(1, 31) for b in range(31, 61) if (a * a * 7 + b * b * 3 + a * b * 5) % 13 < 3]
    client = client_of(site_of(pairs))
    first, again = (got(client, "likely?one=1&other=2&seed=7") for _ in range(2))
    assert first == again
    assert first["by"] == "drawn"
    assert 0 < first["standard_error"] < 0.1
    assert first["effective_size"] > 50
    assert first["seed"] == 7


def test_doubts_name_the_relations_behind_a_loop(mistaken: TestClient) -> None:
    """The demo with mistakes has one loop; the least certain relation of it, entered on one sheet, is to be doubted."""
    found = got(mistaken, "doubts")
    assert [loop["shortest"] for loop in found["loops"]] == ["108 > 109 > 113 > 111 > 108"]
    suspects = found["loops"][0]["suspects"]
    assert [(one["says"], one["relations"][0]["certainty"]) for one in suspects] == [("109 later than 113", "probable")]
    assert found["loops"][0]["exact"] is True


def test_missed_relations_have_evidence_and_how_to_settle_them(mistaken: TestClient) -> None:
    """The level that was entered wrongly is found, with the contexts, the records that show it, and what to look up."""
    found = got(mistaken, "missed")
    (one,) = found["missed"]
    assert one["what"] == "contradicted by levels"
    assert [link["label"] for link in one["contexts"]] == ["118", "119"]
    assert "900 mm" in one["evidence"]
    assert "levels book" in one["settle"]
    assert "top of 119" in [link["label"] for link in one["records"]]
    assert found["not_compared"] is True  # the demo's possible graves are withheld


def test_many_missed_of_one_kind_do_not_push_out_the_others() -> None:
    """Of 150 floating contexts 100 are told, and the cut that cuts nothing before them still is, with the counts of both."""
    lone = [build(Context, {"id": f"f{one}", "number": str(1000 + one), "kind": "deposit"}) for one in range(150)]
    found = got(client_of(site_of([(1, 2)], lone, c1={"kind": "cut"}, c2={"kind": "fill"})), "missed")
    assert found["counts"]["floating context"] == 150
    assert found["total"] == sum(found["counts"].values()) > 150
    told = [line["what"] for line in found["missed"]]
    assert told.count("floating context") == 100
    assert set(told) == set(found["counts"])


def test_phases_come_latest_first_page_by_page_with_conflicts(mistaken: TestClient) -> None:
    """Pages follow each other without a gap; those in conflict can be asked for alone and tell the path."""
    first, second = got(mistaken, "phases?limit=10"), got(mistaken, "phases?limit=500&offset=10")
    assert first["total"] == len(first["rows"]) + len(second["rows"]) == first["contexts"]
    alone = got(mistaken, "phases?conflicts=true")
    assert alone["total"] == alone["conflicts"] == len(alone["rows"]) > 0
    row = next(row for row in alone["rows"] if row["link"]["label"] == "109")
    assert (row["given"], row["earliest"], row["against"]["label"]) == (2, 5, "113")
    assert "109 > 113" in row["conflict"]


def test_a_withheld_phase_is_told_nowhere(mistaken: TestClient) -> None:
    """The phase of a possible grave is neither shown, nor told by a conflict, nor by the bound of a neighbour."""
    rows = {row["link"]["label"]: row for row in got(mistaken, "phases?limit=500")["rows"]}
    assert rows["114"]["withheld"] and rows["114"]["given"] is None and not rows["114"]["conflict"]
    bounds = {link["label"] for row in rows.values() for link in (row["earliest_from"], row["latest_from"]) if link}
    assert bounds.isdisjoint({"114", "115", "116", "117"})
    conflicts = [notice["says"] for notice in mistaken.get("/api/order").json()["notices"] if notice["what"] == "phase conflict"]
    assert conflicts
    assert not any(re.match("Layer 11[4-7] ", says) for says in conflicts)


def test_who_may_know_is_told_the_withheld_phase() -> None:
    """The negative control: the same record for who may know of burials tells the phase and the conflict, once."""
    burial = build(Burial, {"id": "b", "number": "G1", "contexts": ["c1"]})
    record = site_of([(1, 2)], [burial], c1={"phase": 1}, c2={"phase": 2})
    crew, restricted = (client_of(record, view=view) for view in (View.CREW, View.RESTRICTED))
    assert [got(client, "phases")["conflicts"] for client in (crew, restricted)] == [0, 1]
    told = [[one["what"] for one in client.get("/api/order").json()["notices"]] for client in (crew, restricted)]
    assert [kinds.count("phase conflict") for kinds in told] == [0, 1]


def long_site() -> TestClient:
    """Return a client of 20 chains of 60 contexts each between a top and a foot."""
    pairs = []
    for chain in range(20):
        first = 10 + chain * 60
        pairs += [(1, first), *((one, one + 1) for one in range(first, first + 59)), (first + 59, 2)]
    return client_of(site_of(pairs))


def test_a_large_order_is_folded_and_a_box_opens_whole() -> None:
    """1,202 contexts come folded; asked for with the first of a folded box, that box is opened and the others stay folded."""
    client = long_site()
    folded = client.get("/api/drawings/order.svg").text
    boxes = re.findall(r'class="baulk-fold" data-name="(\d+) contexts[^"]*" data-record="(c\d+)"', folded)
    assert boxes
    count, first = int(boxes[0][0]), boxes[0][1]
    opened = client.get("/api/drawings/order.svg", params={"opened": first}).text
    after = re.findall(r'class="baulk-fold" data-name="(\d+) contexts[^"]*" data-record="(c\d+)"', opened)
    assert first not in dict((record, name) for name, record in after)
    assert opened.count('class="baulk-deposit"') >= folded.count('class="baulk-deposit"') + count
    assert len(after) >= len(boxes) - 2
    assert f'data-record="{first}"' in opened


def test_contexts_of_a_chain_are_unfolded_alone() -> None:
    """A context asked for by itself stands in its own box, and the drawing stays folded."""
    client = long_site()
    drawn = client.get("/api/drawings/order.svg", params={"unfold": ["c40", "c41"]}).text
    assert 'class="baulk-deposit" data-name="40" data-record="c40"' in drawn
    assert "baulk-fold" in drawn


def test_too_much_unfolding_is_refused() -> None:
    """More than the most, and unfolding what has no folds, are refused with what to do."""
    client = client_of(site_of([(1, 2)]))
    many = [f"c{one}" for one in range(MOST_OPENED + 1)]
    refused(client.get("/api/drawings/order.svg", params={"opened": many}), 422, "input", "at most 60", "Fold some again")
    refused(client.get("/api/drawings/site.svg", params={"opened": "c1"}), 422, "input", "nothing folded")
    refused(client.get("/api/drawings/order.svg", params={"opened": ["c"] * 101}), 422, "input", "cannot be used")
    assert client.get("/api/drawings/order.svg", params={"opened": "gone"}).status_code == 200  # mended away meanwhile


def test_an_empty_site_is_answered() -> None:
    """A site without a context has no loop, nothing missed and an empty phase table."""
    client = client_of(SiteRecord.of([]))
    assert got(client, "doubts") == {"loops": [], "clashes": []}
    assert got(client, "missed") == {"total": 0, "counts": {}, "missed": [], "not_compared": False}
    assert json.loads(client.get("/api/order/phases").text)["rows"] == []
