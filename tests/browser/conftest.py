"""The demo site served to Debian's Chromium; skipped with words where there is none."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, Literal

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, Request, TimeoutError, expect, sync_playwright

from baulk.server import StudySource, create_app
from baulk.server.page import STATIC
from baulk.work.demo import DemoSites
from baulk.work.study import study_source
from tests.browser.recording import Devices, ServedSite, is_fault, served_to_devices
from tests.browser.recording_site import Device, Joiner, RecordedSite, new_device
from tests.browser.waiting import PATIENCE, until

expect.set_options(timeout=PATIENCE * 1000)

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"


@pytest.fixture(scope="session")
def demo(demo_sites: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> DemoSites:
    """The demo site and its copy with mistakes; what is worked out in a page is kept beside these."""
    folder = tmp_path_factory.mktemp("served")
    shutil.copytree(demo_sites.good.parent, folder, dirs_exist_ok=True)
    return DemoSites(*(folder / path.name for path in (demo_sites.good, demo_sites.mistaken, demo_sites.types)))


@pytest.fixture(scope="session")
def address(demo: DemoSites) -> Iterator[str]:
    """The address of the demo site."""
    yield from served(demo.good)


@pytest.fixture(scope="session")
def mistaken_address(demo: DemoSites) -> Iterator[str]:
    """The address of the copy with mistakes."""
    yield from served(demo.mistaken)


def served(site: Path) -> Iterator[str]:
    """Serve a site file on a free port of this machine while it is needed."""
    yield from serving(study_source(site))


def serving(source: StudySource) -> Iterator[str]:
    """Serve what a source gives on a free port of this machine while it is needed."""
    if not (STATIC / "index.html").exists():
        pytest.skip("the workbench is not built: run make setup")
    settings = uvicorn.Config(create_app(source), port=0, log_level="error", lifespan="off")
    server = uvicorn.Server(settings)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until(lambda: server.started)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}/"
    server.should_exit = True
    thread.join(timeout=10)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium."""
    if not Path(CHROMIUM).exists():
        pytest.skip("Chromium is missing, so the page was not tried. On Debian: apt-get install chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-dev-shm-usage"])
        yield browser
        browser.close()


Opener = Callable[..., Page]


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Opener]:
    """Open a place of the demo; a message of error, a refusal of the content policy or a failed request fails the test."""
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def open_place(
        place: str,
        *,
        width: int = 1366,
        height: int = 820,
        scheme: Literal["light", "dark"] = "light",
        at: str = "",
        touch: bool = False,
    ) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme, has_touch=touch, is_mobile=touch, locale="en-GB"
        )
        contexts.append(context)
        context.set_default_timeout(PATIENCE * 1000)
        page = context.new_page()
        page.on("console", lambda message: faults.append(message.text) if is_fault(message.type, message.text) else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("requestfailed", lambda request: faults.append(f"{request.url} {request.failure}") if has_failed(request) else None)
        page.goto(f"{at or address}#/{place}")
        settled(page)
        return page

    yield open_place
    for context in contexts:
        context.close()
    assert not faults


def has_failed(request: Request) -> bool:
    """Tell whether a request found no answer; one that the page itself cut off, as when it moves on or is shut, has not failed."""
    return request.failure != "net::ERR_ABORTED"


def settled(page: Page) -> None:
    """Wait until a place is there, nothing in it is being fetched, and its pictures are shown."""
    page.locator("main h1").wait_for()
    with suppress(
        TimeoutError
    ):  # the driver loses sight of some requests that the worker takes over; what follows holds all the same
        page.wait_for_load_state("networkidle", timeout=5_000)
    expect(page.locator(".waiting")).to_have_count(0)
    until(lambda: bool(page.evaluate("() => [...document.images].every(one => one.complete)")))


@pytest.fixture(scope="module")
def recorded(demo: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """A copy of the demo site that devices may join; a module that wants another site has a `recorded` of its own."""
    yield from served_to_devices(demo.good, tmp_path_factory.mktemp("recorded"))


@pytest.fixture(scope="module")
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join; an error that a page tells fails the test."""
    found = Devices(browser, recorded)
    yield found
    found.close()


@pytest.fixture
def site(tmp_path: Path) -> Iterator[RecordedSite]:
    """A fresh site with one unit and one layer, served."""
    site = RecordedSite(tmp_path / "yard.gpkg")
    site.start()
    yield site
    site.stop()


@pytest.fixture
def joined(browser: Browser, site: RecordedSite) -> Iterator[Joiner]:
    """Let devices join the fresh site; they are closed at the end."""
    devices: list[Device] = []

    def join(person: str = "AK", name: str = "tablet 1", **options: Any) -> Device:
        device = new_device(browser, site, **options)
        devices.append(device)
        device.join(person, name)
        return device

    yield join
    for device in devices:
        device.context.close()
