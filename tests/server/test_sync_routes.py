"""Devices join, pull, send and ask for numbers, over the JSON routes."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest
from httpx2 import Response

from baulk.record import View
from tests.server.recording import NOW, Served, served


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Served]:
    """A new site that is recorded on."""
    made = served(tmp_path / "site.gpkg")
    with made.office:
        yield made


def test_a_device_joins_records_and_another_sees_it(site: Served) -> None:
    """What one device sends is kept and reaches another with who, when and where it was written."""
    first, second = site.joined("AK", "tablet 1"), site.joined("BM", "tablet 2")
    unit = first.pen.create("unit", {"number": "1"})
    context = first.pen.create("context", {"number": "101", "kind": "deposit", "units": [unit.record]})
    answer = first.send(unit, context).json()
    assert answer == {"revision": 2, "kept": [unit.id, context.id], "notes": [], "refused": []}
    hello = second.get("/api/sync/hello").json()
    assert (hello["revision"], hello["now"], hello["person"], hello["view"], hello["writable"]) == (2, NOW, "BM", "crew", True)
    page = second.get("/api/sync/records", after=0).json()
    assert (page["revision"], page["next"]) == (2, None)
    held = {one["id"]: one for one in page["records"]}[context.record]
    head = {"change": context.id, "time": context.time, "device": "tablet 1", "person": "AK"}
    assert held["fields"]["number"] == [{**head, "value": "101"}]
    assert held["kind"] == "context" and held["gone"] is False
    title = second.pen.write(site.office.store(), context.record, "title", "dump of cullet")
    second.send(title)
    (told,) = first.get("/api/sync/records", after=2).json()["records"]
    assert told["fields"]["title"][0]["value"] == "dump of cullet"
    assert site.client.get("/api/record/" + context.record).json()["record"]["values"]["title"] == "dump of cullet"


def test_the_words_that_a_length_was_read_from_go_with_it(site: Served) -> None:
    """A length typed in feet and inches comes with those words; what was typed plain, and what was written later, has none."""
    device = site.joined()
    made = device.pen.create("context", {"number": "101", "kind": "deposit", "title": "ash"})
    device.send(made)
    device.send(device.pen.write(site.office.store(), made.record, "length", 1.6002, entered="5' 3\""))
    (held,) = device.get("/api/sync/records", after=0).json()["records"]
    assert held["fields"]["length"][0]["entered"] == "5' 3\""
    assert "entered" not in held["fields"]["title"][0]
    device.send(device.pen.write(site.office.store(), made.record, "length", 1.7))
    (held,) = device.get("/api/sync/records", after=0).json()["records"]
    assert [(head["value"], "entered" in head) for head in held["fields"]["length"]] == [(1.7, False)]


def test_a_sheet_that_is_shut_says_so(site: Served) -> None:
    """Once possible remains are logged with a context, the crew is told that it is withheld, with its number and kind alone."""
    device = site.joined()
    unit = device.pen.create("unit", {"number": "1"})
    plain = device.pen.create("context", {"number": "4", "kind": "deposit", "units": [unit.record], "title": "brown layer"})
    fill = device.pen.create("context", {"number": "5", "kind": "fill", "units": [unit.record], "title": "mottled fill"})
    device.send(unit, plain, fill)
    before = {one["id"]: one for one in device.get("/api/sync/records", after=0).json()["records"]}
    assert [before[one.record]["withheld"] for one in (plain, fill)] == [False, False]
    device.send(device.pen.create("burial", {"evidence": "bone at the edge", "contexts": [fill.record]}))
    after = {one["id"]: one for one in device.get("/api/sync/records", after=3).json()["records"]}
    assert after[fill.record]["withheld"] is True
    assert set(after[fill.record]["fields"]) == {"number", "kind"}
    assert plain.record not in after


def test_sending_again_changes_nothing(site: Served) -> None:
    """A device that did not hear the answer sends again and is told the same."""
    device = site.joined()
    change = device.pen.create("unit", {"number": "1"})
    assert device.send(change).json() == device.send(change, change).json()


def test_two_writes_without_sight_of_each_other_stand_side_by_side(site: Served) -> None:
    """Both heads of a difference come to every device, latest first, with what they took the place of."""
    one, two = site.joined("AK", "tablet 1"), site.joined("BM", "tablet 2")
    made = one.pen.create("context", {"number": "101", "title": "dump"})
    one.send(made)
    ours = one.pen.write(site.office.store(), made.record, "title", "ash")
    theirs = two.pen.write(site.office.store(), made.record, "title", "slag")
    two.send(theirs)
    one.send(ours)
    (held,) = one.get("/api/sync/records", after=1).json()["records"]
    assert {head["value"] for head in held["fields"]["title"]} == {"ash", "slag"}
    assert held["replaced"]["title"] == [made.id]
    assert held["replaced"]["number"] == []


def test_blocks_of_numbers_follow_each_other(site: Served) -> None:
    """Each recorder gets numbers of their own, after every number that is used."""
    one, two = site.joined("AK", "tablet 1"), site.joined("BM", "tablet 2")
    one.send(one.pen.create("context", {"number": "107"}))
    first = one.client.post("/api/sync/block", json={"series": "context", "size": 50}, headers=one.head).json()
    second = two.client.post("/api/sync/block", json={"series": "context", "size": 20}, headers=two.head).json()
    assert (first["first"], first["last"], first["person"]) == (108, 157, "AK")
    assert (second["first"], second["last"], second["person"]) == (158, 177, "BM")
    blocks = one.get("/api/sync/records", after=1).json()["records"]
    assert {block["fields"]["first"][0]["value"] for block in blocks} == {108, 158}


def test_a_file_comes_in_pieces(site: Served) -> None:
    """A file that broke off goes on where it stood and lies on the shelf when it is whole."""
    device, content = site.joined(), b"picture " * 1000
    sha = sha256(content).hexdigest()

    def put(offset: int, piece: bytes) -> Response:
        query = {"offset": offset, "size": len(content)}
        return device.client.put(f"/api/uploads/{sha}", params=query, content=piece, headers=device.head)

    assert device.get(f"/api/uploads/{sha}").json() == {"held": 0, "whole": False}
    assert put(0, content[:3000]).json() == {"held": 3000, "whole": False}
    assert put(5000, content[5000:6000]).json() == {"held": 3000, "whole": False}
    assert put(2000, content[2000:]).json() == {"held": len(content), "whole": True}
    assert device.get(f"/api/uploads/{sha}").json() == {"held": len(content), "whole": True}
    assert site.office.files.path(sha).read_bytes() == content


def test_the_crew_is_told_no_more_by_a_restricted_token_than_the_server_was_opened_for(tmp_path: Path) -> None:
    """What leaves the server is never more than both token and server allow."""
    site = served(tmp_path / "site.gpkg", view=View.RESTRICTED)
    with site.office:
        assert site.joined().get("/api/sync/hello").json()["view"] == "restricted"
