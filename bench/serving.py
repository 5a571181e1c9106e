"""The workbench on a site of 5,000 units and 200,000 contexts: what a device and a page wait for."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import run_apart, serve
from large_site import creations
from sheet import Measure, Row, Sheet

TEXT = (
    "An invented site of 5,000 units with 200,000 contexts, 395,000 relations, 400,000 levels, 50,000 outlines and 70,000 finds, "
    "ten graves "
    "withheld, fifty units open; the server with its JSON, asked as a page and a device ask. *Budget* is what a person does not "
    "notice as "
    "waiting: 1 s for a page, 0.2 s for a change to be acknowledged; a run over it ends with an error."
)
BUDGET = {"a change sent, on disk and acknowledged": 0.2, "get ready: read all, and all look-ups": 180.0}
"""Seconds; 1 for all that is not named."""


def ask(units: int) -> dict[str, Any]:
    """Serve a site and measure each answer."""
    from fastapi.testclient import TestClient

    from baulk.record import Unit
    from baulk.server import create_app
    from baulk.server.tokens import Gate
    from baulk.store import open_site
    from baulk.work.office import SiteOffice
    from baulk.work.pen import Pen

    found: dict[str, float] = {}

    def timed(name: str, call: Callable[[], Any]) -> Any:
        start = time.perf_counter()
        answer = call()
        found[name] = time.perf_counter() - start
        assert getattr(answer, "status_code", 200) == 200, answer.text
        return answer

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "site.gpkg"
        made = creations(units, 40)
        with open_site(path, create=True) as store:
            while batch := list(islice(made, 200_000)):
                store.append(batch)
        with SiteOffice(path) as office:
            gate = Gate(bytes(32))
            client = TestClient(create_app(office.study, office=office, gate=gate), base_url="http://127.0.0.1")
            timed("get ready: read all, and all look-ups", office.warm)
            unit = office.study().record.all(Unit)[-3]
            joined = client.post("/api/sync/join", json={"code": gate.code, "person": "AK", "device": "tablet"}).json()
            head = {"authorization": f"Bearer {joined['token']}"}

            def pull(after: int) -> Any:
                return client.get("/api/sync/records", params={"after": after}, headers=head)

            timed("first page of the open units for a new device", lambda: pull(0))
            client.get("/api/registers/context", params={"find": "cullet"})
            pen = Pen("AK", "tablet")
            change = pen.create("context", {"number": "9000001", "kind": "deposit", "units": [unit.id]})
            sent = {"changes": [{"id": change.id, "time": change.time, "device": "tablet", "person": "AK", "kind": "context",
                                 "record": change.record, "value": change.value}]}  # fmt: skip
            revision = office.store().revision()
            timed("a change sent, on disk and acknowledged", lambda: client.post("/api/sync/changes", json=sent, headers=head))
            timed("the unit's page, first after that change", lambda: client.get(f"/api/unit/{unit.id}"))
            timed("the same again", lambda: client.get(f"/api/unit/{unit.id}"))
            timed("what another device hears of the change", lambda: pull(revision))
            timed("the context's own page", lambda: client.get(f"/api/record/{change.record}"))
            timed("the site's page", lambda: client.get("/api/site"))
            timed("all units as a list", lambda: client.get("/api/units"))
            timed("a page of the register of contexts", lambda: client.get("/api/registers/context", params={"offset": 100_000}))
            timed("words sought in that register", lambda: client.get("/api/registers/context", params={"find": "crown glass"}))
            block = {"series": "context", "size": 50}
            timed("a block of numbers", lambda: client.post("/api/sync/block", json=block, headers=head))
    return {"found": found}


def run(sheet: Sheet) -> None:
    """Add the section on serving."""
    section = sheet.section("Workbench on a large site", TEXT, libraries=("fastapi", "pydantic"))
    answer = run_apart(__file__, "ask", units=5000)
    for name, seconds in answer["found"].items():
        budget = BUDGET.get(name, 1.0)
        note = f"budget {budget:g} s: {sheet.kept(name, seconds, budget)}"
        section.add(Row(name, Measure(seconds, answer["megabytes"]), note=note))


if __name__ == "__main__":
    serve({"ask": ask})
