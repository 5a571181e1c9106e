"""The demo site served to Debian's Chromium; skipped with words where there is none."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from baulk.server import StudySource, create_app
from baulk.server.page import STATIC
from baulk.work.demo import DemoSites, build_demo
from baulk.work.study import study_source

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> DemoSites:
    """The demo site and its copy with mistakes."""
    return build_demo(tmp_path_factory.mktemp("demo"))


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
    deadline = time.monotonic() + 30
    while not server.started and time.monotonic() < deadline:
        time.sleep(0.02)
    assert server.started
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
        place: str, *, width: int = 1366, height: int = 820, scheme: str = "light", at: str = "", touch: bool = False
    ) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme, has_touch=touch, is_mobile=touch, locale="en-GB"
        )  # type: ignore[arg-type]
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: faults.append(message.text) if is_fault(message.type, message.text) else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("requestfailed", lambda request: faults.append(request.url))
        page.goto(f"{at or address}#/{place}")
        settled(page)
        return page

    yield open_place
    for context in contexts:
        context.close()
    assert not faults


def is_fault(kind: str, text: str) -> bool:
    """Tell whether a message of the page's console is a fault; what the software driver says of its own speed is none."""
    return kind in ("error", "warning") and "GL Driver Message (OpenGL, Performance" not in text


def settled(page: Page) -> None:
    """Wait until a place is there and nothing in it is being fetched."""
    page.locator("main h1").wait_for(timeout=60_000)
    page.wait_for_load_state("networkidle")
    for waiting in page.locator(".waiting").all():
        waiting.wait_for(state="detached", timeout=60_000)
