"""The server keeps to itself: errors in one shape, no other host's name, no word of what is restricted."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import httpx2 as httpx
import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from baulk.errors import BaulkError, BusySiteFile, InputError, LoopError
from baulk.server import create_app, serve
from baulk.server.page import NOT_BUILT
from baulk.server.serve import _listener
from baulk.server.study import Study
from tests.server.tiny_site import SECRET, SECRET_PICTURE


def refused(answer: httpx.Response, status: int, code: str, *words: str) -> None:
    """Check that an answer is an error in the one shape, with these words in its message."""
    assert answer.status_code == status, answer.text
    problem = answer.json()
    assert set(problem) == {"code", "message", "numbers"}
    assert problem["code"] == code
    for word in words:
        assert word in problem["message"]


def test_errors_have_one_shape(client: TestClient) -> None:
    """Unknown records, kinds, drawings, files, pages and bad values are all answered alike, with what to do."""
    refused(client.get("/api/record/none"), 404, "unknown_record", "There is no record “none”.")
    refused(client.get("/api/unit/7"), 404, "unknown_record", "There is no unit “7”.", "The site has 1 of this kind.")
    refused(client.get("/api/closing/7"), 404, "unknown_record", "There is no unit “7”.")
    refused(client.get("/api/registers/contxt"), 404, "unknown_record", "Did you mean context")
    refused(client.get("/api/drawings/plan-2.svg"), 404, "unknown_drawing", "Did you mean plan-1")
    refused(client.get("/api/files/..%2f..%2fetc%2fpasswd"), 404, "no_such_page")
    refused(client.get(f"/api/files/{'0' * 64}"), 404, "unknown_file", "No record that is shown here")
    refused(client.get("/api/registers/find?limit=100000"), 422, "input", "“limit” cannot be used", "Ask again")
    refused(client.get("/api/registers/find?offset=-1"), 422, "input", "“offset” cannot be used")
    refused(client.get("/api/nothing"), 404, "no_such_page", "There is nothing at /api/nothing")


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize("path", ["site", "record/c-105", "registers/context", "drawings/site.svg"])
def test_nothing_can_be_changed(client: TestClient, method: str, path: str) -> None:
    """Every method that would change something is refused on every route."""
    refused(client.request(method, f"/api/{path}"), 405, "read_only", method, "changes nothing")


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (BusySiteFile("The file is held by another program."), 503, "busy_site_file"),
        (LoopError(["1", "2", "1"]), 409, "loop"),
        (InputError("It cannot be used."), 422, "input"),
    ],
)
def test_what_the_work_raises_keeps_its_code_and_words(error: BaulkError, status: int, code: str, tmp_path: Path) -> None:
    """An error from below reaches the page with its stable code and its own message."""

    def broken() -> Study:
        raise error

    client = TestClient(create_app(broken, static=tmp_path), base_url="http://localhost")
    answer = client.get("/api/site")
    refused(answer, status, code, str(error))
    assert answer.json()["numbers"] == (["1", "2", "1"] if code == "loop" else [])


def test_a_fault_of_our_own_shows_no_inside(tmp_path: Path) -> None:
    """An unexpected exception is answered in the one shape, without its text."""

    def broken() -> Study:
        raise RuntimeError("secret inside")

    client = TestClient(create_app(broken, static=tmp_path), base_url="http://localhost", raise_server_exceptions=False)
    answer = client.get("/api/site")
    refused(answer, 500, "fault", "nothing was changed")
    assert "secret inside" not in answer.text


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:80", "127.0.0.1.evil.example", "localhost.", "", "[::2]:80", "0.0.0.0"]
)
def test_another_hosts_name_is_refused(client: TestClient, host: str) -> None:
    """A request under a name that is not this machine's own is refused before any route, page included."""
    for path in ("/api/site", "/"):
        answer = client.get(path, headers={"host": host})
        refused(answer, 421, "host", "only under the address it was opened with")
        assert "default-src 'none'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("host", ["127.0.0.1:8765", "localhost:1", "LOCALHOST", "[::1]:8765"])
def test_this_machines_own_names_are_answered(client: TestClient, host: str) -> None:
    """The negative control of the test above: the loopback names pass, with any port."""
    assert client.get("/api/site", headers={"host": host}).status_code == 200


def test_the_page_takes_nothing_from_elsewhere(client: TestClient) -> None:
    """Every answer carries the policy that allows scripts and styles from this server alone, and no permission for other sites."""
    for path in ("/api/site", "/api/drawings/site.svg", "/", "/nothing"):
        headers = client.get(path, headers={"origin": "https://evil.example"}).headers
        policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == policy["font-src"] == "'self'"
        assert "unsafe" not in headers["content-security-policy"]
        assert "http" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "DENY"
        assert "access-control-allow-origin" not in headers


def test_no_docs_page_from_outside(client: TestClient) -> None:
    """The framework's docs pages, which load scripts from elsewhere, are off."""
    for path in ("/docs", "/redoc", "/openapi.json"):
        refused(client.get(path), 404, "no_such_page")


def every_answer(client: TestClient) -> str:
    """Return the text of every answer that the page can ask for."""
    kinds = [kind["kind"] for kind in client.get("/api/fields").json()]
    registers = [client.get(f"/api/registers/{kind}?limit=500") for kind in kinds]
    ids = [record["link"]["id"] for register in registers for record in register.json()["records"]]
    paths = ["site", "fields", "cautions", "units", "unit/1", "order", "closing/1"]
    paths += ["order/doubts", "order/missed", "order/phases", "order/why?later=101&earlier=114", "order/likely?one=114&other=105"]
    paths += [f"record/{identity}" for identity in ids]
    paths += [f"drawings/{name}.svg" for name in ("site", "order", "plan-1", "wall-1")]
    return "".join(answer.text for answer in [*registers, *(client.get(f"/api/{path}") for path in paths)])


def test_what_is_restricted_never_leaves(client: TestClient) -> None:
    """No answer holds a word, level, id or picture of a possible burial, and the field reference does not know of the kind."""
    text = every_answer(client)
    assert len(text) > 100_000  # the control: the answers are really there
    assert "Grey ash with glass waste." in text
    for trace in (SECRET, "28.765", "burial-1", "notice-1", "l-secret", "f-secret", "p-secret", "Bone, withheld", '"sensitive"'):
        assert trace not in text, trace


@pytest.mark.parametrize("identity", ["burial-1", "notice-1", "l-secret", "f-secret", "f-bone", "p-secret"])
def test_a_withheld_record_is_answered_like_an_unknown_one(client: TestClient, identity: str) -> None:
    """Asking for a withheld record tells nothing, not even that it is there."""
    known = client.get(f"/api/record/{identity}")
    refused(known, 404, "unknown_record", f"There is no record “{identity}”.")
    assert known.json()["message"].replace(identity, "none") == client.get("/api/record/none").json()["message"]


def test_restricted_registers_and_files_are_unknown(client: TestClient) -> None:
    """Neither the registers of restricted kinds nor a sensitive picture can be had by name."""
    for kind in ("burial", "notice"):
        refused(client.get(f"/api/registers/{kind}"), 404, "unknown_record", f"There is no kind of record “{kind}”.")
    refused(client.get(f"/api/files/{sha256(SECRET_PICTURE).hexdigest()}"), 404, "unknown_file")


def test_a_context_of_a_burial_keeps_number_and_kind_only(client: TestClient) -> None:
    """The order hangs on it, so its number, kind and relations are shown; all else is withheld, and that is said."""
    page = client.get("/api/record/c-114").json()
    assert page["record"]["withheld"] is True
    assert page["record"]["values"] == {"number": "114", "kind": "cut"}
    assert page["attached"] == []
    assert [line["other"]["label"] for line in page["relations"]] == ["101"]
    assert "28.765" not in client.get("/api/order").text


def test_a_finding_about_remains_says_only_that_it_is_withheld(client: TestClient) -> None:
    """The closing check still asks its rules on remains, and answers them without their words."""
    findings = client.get("/api/closing/1").json()["findings"]
    withheld = [finding for finding in findings if finding["withheld"]]
    assert withheld
    assert all("withheld on these pages" in finding["says"] for finding in withheld)


def test_a_page_that_is_not_built_says_how(client: TestClient) -> None:
    """Without the built page the first page is the sentence that tells how to build it."""
    answer = client.get("/")
    assert answer.status_code == 501
    assert NOT_BUILT in answer.text
    assert "BAULK_NO_WEB" in answer.text


def test_a_built_page_is_never_stale(client: TestClient, tmp_path: Path) -> None:
    """The page itself is asked for anew each time; files named by their content are kept by the browser."""
    static = tmp_path / "static"
    (static / "assets").mkdir(parents=True)
    (static / "index.html").write_text("<!doctype html><title>built</title>", encoding="utf-8")
    (static / "assets" / "a-1.js").write_text("1", encoding="utf-8")
    app = client.app
    assert isinstance(app, FastAPI)
    built = TestClient(create_app(lambda: app.state.shown().study, static=static), base_url="http://localhost")
    assert built.get("/").headers["cache-control"] == "no-cache"
    assert "immutable" in built.get("/assets/a-1.js").headers["cache-control"]
    assert built.get("/api/site").status_code == 200
    refused(built.get("/../pyproject.toml"), 404, "no_such_page")


def test_a_taken_port_is_told_in_words() -> None:
    """A port that another program holds, or that does not exist, is refused with what to do; the listener is on loopback only."""
    with _listener(0) as listener:
        address, port = listener.getsockname()
        assert address == "127.0.0.1"
        with pytest.raises(InputError, match=rf"Port {port} of this machine cannot be used .*Give another port, or none"):
            serve(lambda: pytest.fail("no study is asked for"), port=port, open_browser=False)
    with pytest.raises(InputError, match="Port 99999 of this machine cannot be used"):
        serve(lambda: pytest.fail("no study is asked for"), port=99999, open_browser=False)
