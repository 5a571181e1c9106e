"""A site that is recorded on in the browser: a server that can be stopped and started, and devices that have joined."""

from __future__ import annotations

import re
import socket
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, expect

from baulk.record import Change, View
from baulk.server import create_app
from baulk.server.page import STATIC
from baulk.server.tokens import Gate
from baulk.store import open_site
from baulk.work.office import SiteOffice
from baulk.work.pen import Pen
from tests.browser.waiting import PATIENCE, until

KEY = bytes(range(32))


def now() -> int:
    """Return the Unix time in milliseconds."""
    return time.time_ns() // 1_000_000


@dataclass
class RecordedSite:
    """A site file with a server on one port, that can be stopped and started."""

    path: Path
    port: int = 0
    days: int = 30
    ahead: int = 0
    unit: str = ""
    layer: str = ""
    static: Path = STATIC
    view: View = View.CREW
    uploads: list[int] = field(default_factory=list)
    cut_after: int | None = None
    _server: uvicorn.Server | None = None
    _thread: threading.Thread | None = None
    _office: SiteOffice | None = None

    def __post_init__(self) -> None:
        pen = Pen("ME", "site office")
        with open_site(self.path, create=True) as store:
            site = pen.create("site", {"code": "OW", "name": "Otter Weir test yard", "length_unit": "m"})
            unit = pen.create("unit", {"number": "1", "opened": "2026-05-04"})
            layer = pen.create("context", {"number": "101", "kind": "deposit", "title": "Dark silt", "units": [unit.record]})
            store.append([site, unit, layer])
        self.unit, self.layer = unit.record, layer.record
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.gate = Gate(KEY, view=self.view, days=self.days, clock=lambda: now() + self.ahead)

    @property
    def address(self) -> str:
        """The address of the page."""
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        """Serve the site."""
        self._office = SiteOffice(self.path, clock=lambda: now() + self.ahead)
        app = create_app(self._office.study, view=self.view, office=self._office, gate=self.gate, static=self.static)
        settings = uvicorn.Config(
            self._cutting(app), host="127.0.0.1", port=self.port, log_level="critical", lifespan="off", timeout_graceful_shutdown=1
        )
        self._server = uvicorn.Server(settings)
        self._thread = threading.Thread(target=self._server.run, daemon=True)
        self._thread.start()
        until(lambda: self._server is not None and self._server.started)

    def stop(self) -> None:
        """Take the server away."""
        if self._server and self._thread and self._office:
            self._server.should_exit = True
            self._thread.join(timeout=10)
            self._office.close()
        self._server = self._thread = self._office = None

    def _cutting(self, app: Any) -> Any:
        """Count pieces of uploads, and break the connection off after so many."""

        async def cutting(scope: Any, receive: Any, send: Any) -> None:
            piece = scope["type"] == "http" and scope["method"] == "PUT" and scope["path"].startswith("/api/uploads/")
            if piece:
                self.uploads.append(int(re.findall(rb"offset=(\d+)", scope["query_string"])[0]))
                if self.cut_after is not None and len(self.uploads) > self.cut_after:
                    raise ConnectionError("cut off by the test")
            await app(scope, receive, send)

        return cutting

    def changes(self) -> list[Change]:
        """Return every change that the site file holds."""
        with open_site(self.path, read_only=True) as store:
            return list(store.changes())

    def write(self, record: str, name: str, value: Any, person: str = "ME") -> None:
        """Write a field as the office would."""
        pen = Pen(person, "site office")
        with open_site(self.path) as store:
            pen.saw(store.changes())
            store.append([pen.write(store, record, name, value)])


@dataclass
class Device:
    """One device: a browser context of its own, with the page open."""

    context: BrowserContext
    page: Page
    site: RecordedSite

    def join(self, person: str, name: str) -> None:
        """Join by typing the code."""
        self.page.goto(f"{self.site.address}#/join/{self.site.gate.code}")
        self.page.get_by_label("Your initials").fill(person)
        self.page.get_by_label("Name of this device").fill(name)
        self.page.get_by_role("button", name="Join the site").click()
        expect(self.page.locator("header")).to_contain_text(f"{person} · {name}")
        self.sent()

    def run(self, doing: str, given: Any = None) -> Any:
        """Call the device side of the page: `doing` is a function of its module and of what is given."""
        return self.page.evaluate(f"async (given) => ({doing})(globalThis.baulkDevice, given)", given)

    def sent(self) -> None:
        """Wait until nothing waits."""
        expect(self.page.locator("header .says")).to_have_text("all sent")


Joiner = Callable[..., Device]


def holds_there(page: Page, what: str) -> None:
    """Wait until something holds in a page: asked from outside, since the page's content policy takes no code in words."""
    until(lambda: bool(page.evaluate(what)))


def new_device(browser: Browser, site: RecordedSite, **options: Any) -> Device:
    """Return a device with the page open, not joined."""
    if not (STATIC / "index.html").exists():
        pytest.skip("the workbench is not built: run make setup")
    context = browser.new_context(viewport={"width": 1280, "height": 800}, locale="en-GB", **options)
    context.set_default_timeout(PATIENCE * 1000)
    page = context.new_page()
    page.goto(site.address)
    holds_there(page, "navigator.serviceWorker.controller !== null")
    return Device(context, page, site)
