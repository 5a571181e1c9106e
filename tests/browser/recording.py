"""A site served to devices that join it, and a page on which a person has joined."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect

from baulk.record import SiteRecord
from baulk.server import create_app
from baulk.server.page import STATIC
from baulk.server.tokens import Gate
from baulk.work.office import SiteOffice
from tests.browser.waiting import PATIENCE, until


@dataclass
class ServedSite:
    """A site that devices may join."""

    address: str
    code: str
    office: SiteOffice

    @property
    def record(self) -> SiteRecord:
        """The record as the server has it now."""
        return self.office.study().record


@dataclass
class Devices:
    """Pages on which people have joined; a message of error fails the test at the end."""

    browser: Browser
    site: ServedSite
    faults: list[str] = field(default_factory=list)
    contexts: list[Any] = field(default_factory=list)
    joined: dict[str, Page] = field(default_factory=dict)

    def of(self, person: str = "AK") -> Page:
        """Return the page of a person's device, joined at the first call and kept for the tests that follow."""
        if person not in self.joined:
            self.joined[person] = self.join(person)
        return self.joined[person]

    def join(self, person: str = "AK", *, width: int = 1366, height: int = 820, touch: bool = False, **more: Any) -> Page:
        """Return a page of a device of its own on which a person has joined, with the record fetched."""
        context = self.browser.new_context(
            viewport={"width": width, "height": height}, has_touch=touch, is_mobile=touch, locale="en-GB", **more
        )
        self.contexts.append(context)
        page: Page = context.new_page()
        page.set_default_timeout(PATIENCE * 1000)
        page.on(
            "console",
            lambda said: self.faults.append(f"{said.text} {said.location['url']}") if is_fault(said.type, said.text) else None,
        )
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.goto(f"{self.site.address}#/join/{self.site.code}")
        form = page.locator("main form")
        form.locator("input").nth(1).fill(person)
        form.locator("input").nth(2).fill(f"tablet of {person}")
        form.get_by_role("button").last.click()
        form.wait_for(state="detached")
        return page

    def record(self, page: Page, detail: str = "", *, heading: str | None = None) -> Page:
        """Go to a page of the place where records are made."""
        if detail:
            page.goto(f"{self.site.address}#/record/")  # a page that is left begins afresh
            expect(page.locator("main h1")).to_contain_text("Record")
        page.goto(f"{self.site.address}#/record/{detail}")
        expect(page.locator("main h1")).to_have_count(1)
        if heading is not None:
            expect(page.locator("main h1")).to_contain_text(heading)
        return page

    def close(self) -> None:
        """Close every device, and fail when a page said that something went wrong."""
        for context in self.contexts:
            context.close()
        self.faults[:] = [said for said in self.faults if "/api/thumbs/" not in said]  # photos of the demo whose files are not kept
        assert not self.faults, self.faults


def served_to_devices(site: Path, folder: Path) -> Iterator[ServedSite]:
    """Serve a copy of a site file, its kept files beside it, to devices that join."""
    if not (STATIC / "index.html").exists():
        pytest.skip("the workbench is not built: run make setup")
    copy = folder / site.name
    shutil.copy(site, copy)
    for beside in site.parent.glob(f"{site.stem}.*"):
        if beside.is_dir():
            shutil.copytree(beside, folder / beside.name)
    office, gate = SiteOffice(copy), Gate(b"a key for a test that is long enough 1234567890")
    app = create_app(office.study, office=office, gate=gate, static=STATIC)
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until(lambda: server.started)
    yield ServedSite(f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}/", gate.code, office)
    server.should_exit = True
    thread.join(timeout=10)
    office.close()


def is_fault(kind: str, text: str) -> bool:
    """Tell whether a message of the page's console is a fault; what the software driver says of its own speed is none."""
    return kind in ("error", "warning") and "GL Driver Message (OpenGL, Performance" not in text
