"""What comes from outside and means harm, or is broken: refused in words, and nothing of the site is changed or told."""

from __future__ import annotations

import json
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from baulk.errors import InputError, StoreError
from baulk.record import View
from baulk.server.guard import LARGEST_BODY
from baulk.server.tokens import Gate, TokenWrong, TooManyTries
from baulk.store import LARGEST_FILE, LARGEST_PIECE
from baulk.store.keys import keys_beside
from tests.server.recording import KEY, Clock, Served, as_json, served
from tests.server.test_server_guard import refused


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Served]:
    """A new site that is recorded on."""
    made = served(tmp_path / "site.gpkg")
    with made.office:
        yield made


ROUTES = [
    ("GET", "/api/sync/hello", None),
    ("GET", "/api/sync/records", None),
    ("POST", "/api/sync/changes", {"changes": []}),
    ("POST", "/api/sync/block", {"series": "context", "size": 5}),
    ("GET", f"/api/uploads/{'a' * 64}", None),
    ("PUT", f"/api/uploads/{'a' * 64}?offset=0&size=1", None),
]


@pytest.mark.parametrize(("method", "path", "sent"), ROUTES)
def test_no_route_answers_without_a_good_token(site: Served, method: str, path: str, sent: Any) -> None:
    """Without a token, with one of another key, an altered one and an expired one: refused, and told that nothing is lost."""
    token = site.joined().token
    stranger = Gate(bytes(32))
    forged, _ = stranger.join(stranger.code, "AK", "tablet")
    lost = "Nothing on this device is lost"
    refused(site.client.request(method, path, json=sent), 401, "token_missing", lost, "Join with the code")
    for bad in (forged, token[:-2], "x" * 5000, "e30.e30", token.swapcase()):
        answer = site.client.request(method, path, json=sent, headers={"authorization": f"Bearer {bad}"})
        refused(answer, 401, "token_wrong", lost, "none of this site's")
    refused(site.client.request(method, path, json=sent, headers={"authorization": f"Basic {token}"}), 401, "token_missing")
    site.clock.now += 31 * 86_400_000
    answer = site.client.request(method, path, json=sent, headers={"authorization": f"Bearer {token}"})
    refused(answer, 401, "token_expired", "The token of AK on tablet 1 has expired. Join again", lost)
    assert site.office.store().revision() == 0


def test_a_wrong_code_is_refused_and_guessing_is_slowed(site: Served) -> None:
    """A wrong joining code gives no token; after twenty in a minute even the right one has to wait."""
    body = {"code": "AAAAAAAAAA", "person": "AK", "device": "tablet"}
    for _ in range(20):
        refused(site.client.post("/api/sync/join", json=body), 401, "token_wrong", "is not the one that the server shows now")
    right = {**body, "code": site.gate.code}
    refused(site.client.post("/api/sync/join", json=right), 429, "too_many_tries", "Too many wrong joining codes came")
    site.clock.now += 61_000
    assert site.client.post(
        "/api/sync/join", json={**right, "code": f" {site.gate.code.lower()[:5]}-{site.gate.code[5:]} "}
    ).is_success


@pytest.mark.parametrize(("person", "device"), [("", "tablet"), ("AK", " "), ("x" * 61, "tablet"), ("A\x00K", "tablet")])
def test_who_joins_has_a_name(site: Served, person: str, device: str) -> None:
    """Blank, giant and unprintable names are refused."""
    body = {"code": site.gate.code, "person": person, "device": device}
    refused(site.client.post("/api/sync/join", json=body), 422, "input", "cannot be a name here. ")


def test_the_gate_itself() -> None:
    """A damaged key is told, names and codes are checked, and the view is the one that was signed."""
    with pytest.raises(StoreError, match="The key that tokens are signed with is damaged"):
        Gate(b"short")
    gate = Gate(KEY, view=View.RESTRICTED, days=1, clock=Clock(0))
    token, bearer = gate.join(gate.code, "  A  K ", "tablet")
    assert (bearer.person, bearer.view, bearer.expires) == ("A K", View.RESTRICTED, 86_400_000)
    assert gate.holder(token) == bearer
    with pytest.raises(TokenWrong):
        gate.join("Ω", "AK", "tablet")
    with pytest.raises(InputError):
        gate.join(gate.code, "\n", "tablet")
    for _ in range(19):
        with pytest.raises(TokenWrong):
            gate.join("", "AK", "tablet")
    with pytest.raises(TooManyTries):
        gate.join("", "AK", "tablet")


def test_the_key_is_the_owners_alone(tmp_path: Path) -> None:
    """The key beside the site is made once, readable by its owner only, and tokens hold over a restart."""
    path = tmp_path / "site.gpkg"
    first = Gate.beside(path)
    token, _ = first.join(first.code, "AK", "tablet")
    assert Gate.beside(path).holder(token).person == "AK"
    assert Gate.beside(path).code != first.code
    key = keys_beside(path) / "tokens.key"
    assert key.stat().st_mode & 0o777 == 0o600
    assert key.parent.stat().st_mode & 0o777 == 0o700
    (tmp_path / "other.keys").write_text("in the way")
    with pytest.raises(StoreError, match="can be neither read nor made"):
        Gate.beside(tmp_path / "other.gpkg")


def test_another_pages_request_is_refused(site: Served) -> None:
    """A page of another address can neither read nor write, by whatever header its browser tells of it."""
    device = site.joined()
    for head in (
        {"origin": "https://elsewhere.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"origin": "http://127.0.0.1:9"},
    ):
        answer = site.client.post("/api/sync/changes", json={"changes": []}, headers={**device.head, **head})
        refused(answer, 403, "origin", "A page of another address asked")
        refused(site.client.get("/api/site", headers=head), 403, "origin")
    own = {**device.head, "origin": "http://127.0.0.1:4321", "sec-fetch-site": "same-origin"}
    assert site.client.post("/api/sync/changes", json={"changes": []}, headers=own).is_success
    refused(site.client.get("/api/site", headers={"host": "elsewhere.example"}), 421, "host")


def test_what_is_too_large_is_refused_before_it_is_read(site: Served) -> None:
    """A giant body is refused by its length, and one that hides its length when it grows too large."""
    device = site.joined()
    whole = json.dumps({"changes": ["x" * LARGEST_BODY]}).encode()
    head = {**device.head, "content-type": "application/json"}
    refused(
        site.client.post("/api/sync/changes", content=whole, headers=head), 413, "too_large", "More than 8 MB were sent at once"
    )
    pieces = (whole[start : start + 1_000_000] for start in range(0, len(whole), 1_000_000))
    refused(site.client.post("/api/sync/changes", content=pieces, headers=head), 413, "too_large", "smaller batches")


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"changes": 1}',
        b'{"changes": {}}',
        b"[" * 100_000,
        b'{"changes": ' + b"[" * 50_000 + b"]" * 50_000 + b"}",
    ],
)
def test_a_body_that_is_no_list_of_changes(site: Served, body: bytes) -> None:
    """Broken, strange and endlessly nested JSON is refused or listed as no change, never a fault of the server."""
    head = {**site.joined().head, "content-type": "application/json"}
    answer = site.client.post("/api/sync/changes", content=body, headers=head)
    assert answer.status_code in (200, 400, 422)
    if answer.is_success:
        assert answer.json()["kept"] == []
    assert site.office.store().revision() == 0


def test_what_is_no_change_is_listed_and_costs_no_other_its_place(site: Served) -> None:
    """Of a batch with every sort of nonsense the good changes are kept, the others named with the reason."""
    device = site.joined()
    good = [as_json(device.pen.create("context", {"number": str(number)})) for number in range(101, 105)]
    base = good[0]
    bad: list[Any] = [
        None, 7, "x", [], {}, {"id": "only"},
        {**base, "id": ""}, {**base, "id": 7}, {**base, "id": "x" * 5000}, {**base, "id": "new 1", "time": "soon"},
        {**base, "id": "new 2", "time": "9" * 20}, {**base, "id": "new 3", "time": "²" * 13 + ".000000"},
        {**base, "id": "new 4", "value": [1]}, {**base, "id": "new 5", "record": ""}, {**base, "id": "new 6", "after": "x"},
        {**base, "id": "new 7", "field": 9}, {**base, "value": {"number": "666"}},
    ]  # fmt: skip
    answer = device.send(good[0], *bad[:9], good[1], *bad[9:], good[2], good[3])
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert sorted(told["kept"]) == sorted(change["id"] for change in good)
    assert told["revision"] == 4
    assert len(told["refused"]) == len(bad)
    words = " ".join(line["message"] for line in told["refused"])
    for part in (
        "The time “soon” of a change cannot be read",
        "is already held with other content",
        "instead of first values by field",
        "has no record",
    ):
        assert part in words


def test_a_value_that_breaks_its_rule_is_kept_and_noted(site: Served) -> None:
    """A colour that is none stays in the log, is left out of view, and the sender is told."""
    device = site.joined()
    made = device.pen.create("context", {"number": "101", "colour_moist": "brownish", "glaze": "green"})
    told = device.send(made).json()
    assert told["kept"] == [made.id]
    assert any("Colour, moist is given as “brownish”" in note["message"] for note in told["notes"])
    assert any("A context has no such field" in note["message"] for note in told["notes"])
    assert device.send(device.pen.create("core", {"depth": 2})).json()["notes"][0]["message"].endswith("no such kind of record.")


def test_a_clock_that_runs_ahead_is_noted_and_drags_nobody_along(site: Served) -> None:
    """A change from years ahead is kept and noted; what the office writes next is stamped by its own clock all the same."""
    device = site.joined()
    device.pen._clock = lambda: site.clock.now + 400 * 86_400_000
    told = device.send(device.pen.create("context", {"number": "101"})).json()
    assert "ran 400 days ahead when this was written" in told["notes"][0]["message"]
    block = device.client.post("/api/sync/block", json={"series": "context", "size": 5}, headers=device.head).json()
    (change,) = [change for change in site.office.store().changes() if change.record == block["id"]]
    assert int(change.time[:13]) == site.clock.now
    device.pen = type(device.pen)("AK", "tablet 1", clock=lambda: site.clock.now + 3_600_000, bits=lambda _: 77)
    assert device.send(device.pen.create("context", {"number": "102"})).json()["notes"] == []


@pytest.mark.parametrize(
    ("series", "size", "status", "says"),
    [
        ("context", 0, 422, "A block of 0 numbers is asked for"),
        ("context", 1001, 422, "one holds 1 to 1000"),
        ("relation", 5, 422, "A relation has no number, so no block of numbers is handed out"),
        ("pets", 5, 404, "There is no kind of record “pets”"),
    ],
)
def test_a_block_out_of_reason(site: Served, series: str, size: int, status: int, says: str) -> None:
    """Sizes and series out of reason are refused, and nothing is handed out."""
    device = site.joined()
    answer = device.client.post("/api/sync/block", json={"series": series, "size": size}, headers=device.head)
    assert (answer.status_code, says in answer.json()["message"]) == (status, True), answer.text
    assert site.office.store().revision() == 0


@pytest.mark.parametrize("sha", ["x", "..%2f..%2fetc%2fpasswd", "A" * 64, "a" * 63, "a" * 64 + "%00", "..", "%2e%2e%2f" + "a" * 55])
def test_no_name_of_a_file_becomes_a_path(site: Served, sha: str) -> None:
    """What is no SHA-256 is refused, or not even a route, and nothing is written."""
    device = site.joined()
    for answer in (
        device.get(f"/api/uploads/{sha}"),
        device.client.put(f"/api/uploads/{sha}", params={"offset": 0, "size": 1}, content=b"x", headers=device.head),
    ):
        assert answer.status_code in (404, 405, 422), answer.text
    assert not site.office.files.folder.exists()


def test_pieces_that_do_not_fit(site: Served) -> None:
    """Too large a file, too large a piece, an empty one and one beyond the end are refused with what to do."""
    device, sha = site.joined(), "a" * 64

    def put(offset: int, size: int, piece: bytes) -> Any:
        return device.client.put(f"/api/uploads/{sha}", params={"offset": offset, "size": size}, content=piece, headers=device.head)

    refused(put(0, 4_000_000_000, b"x"), 422, "file", "has 4.0 GB, and one of up to 1 GB is taken over the network", "by cable")
    refused(
        put(0, LARGEST_FILE, bytes(LARGEST_PIECE + 1)), 422, "file", "A piece of 4,000,001 bytes was sent, and one has 4,000,000"
    )
    for offset, size, piece in ((0, 0, b""), (0, 5, b""), (5, 5, b"x"), (0, 1, b"xy")):
        refused(put(offset, size, piece), 422, "file", "does not fit into a file of")
    assert put(-1, 5, b"x").status_code == 422
    assert device.get(f"/api/uploads/{sha}").json() == {"held": 0, "whole": False}


def test_a_file_that_is_not_what_its_name_says_is_thrown_away(site: Served) -> None:
    """A file with a wrong byte is told as damaged, and can be sent again from its beginning."""
    device, content = site.joined(), b"picture"
    sha = sha256(content).hexdigest()
    put = {"params": {"offset": 0, "size": 7}, "headers": device.head}
    refused(
        device.client.put(f"/api/uploads/{sha}", content=b"pictuRe", **put), 422, "file", "came over damaged", "from its beginning"
    )
    assert device.get(f"/api/uploads/{sha}").json() == {"held": 0, "whole": False}
    assert device.client.put(f"/api/uploads/{sha}", content=content, **put).json() == {"held": 7, "whole": True}


def test_a_page_or_revision_that_was_never_given_out(site: Served) -> None:
    """A page of another site and a revision from the future are refused in words."""
    device = site.joined()
    device.send(device.pen.create("unit", {"number": "1"}))
    for page in ("x", "99.a", "1.", ".a", "²." + "a", "9" * 40 + ".a"):
        refused(device.get("/api/sync/records", page=page), 422, "input", "The page asked for is none that this site gave out")
    refused(device.get("/api/sync/records", after=9), 409, "overtaken", "This device has seen revision 9 of the site")
    assert device.get("/api/sync/records", after=-1).status_code == 422
    assert device.get("/api/sync/records", after=10**30).status_code == 422
