"""The workbench in the browser on a large site: what is sent first, how soon a unit can be used, how the map moves."""

from __future__ import annotations

import gzip
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, peak_megabytes, run_apart
from large_site import creations
from sheet import Measure, Row, Sheet

UNITS, CONTEXTS_EACH = 5_000, 40
FIRST_LOAD_KB = 400
UNIT_SECONDS = 1.5
FRAMES = 60

TEXT = (
    f"An invented site of {UNITS:,} units and {UNITS * CONTEXTS_EACH:,} contexts with relations, levels, outlines and finds, "
    f"served to a browser on this machine. Budgets: first load at most {FIRST_LOAD_KB} kB compressed before the map and the "
    f"solids are asked for; a unit usable within {UNIT_SECONDS} s of opening its address in a fresh tab; {FRAMES} frames a second "
    "while the map is moved. There is nothing of another library to stand beside these, so no ratio is given."
)


def first_load_kilobytes() -> float:
    """Return what the page asks for before any place is drawn, compressed: markup, script, style and letters it names itself."""
    from baulk.server.page import STATIC

    markup = (STATIC / "index.html").read_text(encoding="utf-8")
    named = [path for path in STATIC.rglob("*") if path.is_file() and path.name in markup]
    letters = list((STATIC / "assets").glob("*latin-wght*.woff2"))
    parts = [STATIC / "index.html", *named]
    return (
        sum(len(gzip.compress(part.read_bytes(), 6)) for part in parts) / 1000 + sum(one.stat().st_size for one in letters) / 1000
    )


def written(folder: Path) -> Path:
    """Write the site file and return its path."""
    from baulk.store import open_site

    path = folder / "large.gpkg"
    with open_site(path, create=True) as store:
        store.append(list(creations(UNITS, CONTEXTS_EACH)))
    return path


@contextmanager
def served(path: Path) -> Iterator[str]:
    """Serve a site and yield its address."""
    import uvicorn

    from baulk.server import create_app
    from baulk.work.study import study_source

    server = uvicorn.Server(uvicorn.Config(create_app(study_source(path)), port=0, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}/"
    server.should_exit = True
    thread.join(timeout=10)


def looked_at() -> dict[str, Any]:
    """Open the page on the large site and return the times in seconds, and the frames a second."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium")
    if chromium is None:
        raise RuntimeError("Chromium is missing. On Debian: apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder, served(written(Path(folder))) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        warm = browser.new_page(viewport={"width": 1280, "height": 900})
        first, _ = best_of(1, lambda: usable(warm, f"{address}#/unit/17"))
        times = []
        for unit in (2500, 4321, 4990):
            page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
            times.append(best_of(1, lambda: usable(page, f"{address}#/unit/{unit}"))[0])  # noqa: B023  called at once
            page.context.close()
        frames = moving(warm, address)
        browser.close()
    return {"first": first, "unit": max(times), **frames, "megabytes": peak_megabytes()}


def usable(page: Any, address: str) -> None:
    """Open an address and wait until the layers of the unit can be pressed."""
    page.goto(address)
    page.locator(".stack button").first.wait_for(timeout=120_000)


def moving(page: Any, address: str) -> dict[str, float]:
    """Drag the map of the site for two seconds and return its median and 95th percentile of milliseconds between frames."""
    page.goto(f"{address}#/site")
    page.locator("main h1").wait_for(timeout=120_000)
    sheet = page.locator("[data-map], .drawing .frame").first
    sheet.wait_for(timeout=120_000)
    page.wait_for_timeout(1500)
    sheet.scroll_into_view_if_needed()
    box = sheet.bounding_box()
    page.evaluate(
        """() => { window.frameTimes = []; let last = performance.now();
          const tick = (now) => { window.frameTimes.push(now - last); last = now; window.frameLoop = requestAnimationFrame(tick); };
          window.frameLoop = requestAnimationFrame(tick); }"""
    )
    east, north = box["x"] + box["width"] / 2, box["y"] + min(box["height"], 700) / 2
    page.mouse.move(east, north)
    page.mouse.down()
    for step in range(120):
        page.mouse.move(east + 120 * ((step % 40) - 20) / 40, north + step % 30)
    page.mouse.up()
    times = sorted(page.evaluate("() => { cancelAnimationFrame(window.frameLoop); return window.frameTimes.slice(1); }"))
    return {"median": times[len(times) // 2] / 1000, "slow": times[int(0.95 * (len(times) - 1))] / 1000}


def run(sheet: Sheet) -> None:
    """Add the section on the page."""
    section = sheet.section("Workbench in the browser", TEXT)
    sent = first_load_kilobytes()
    answer = run_apart(__file__, "looked_at", timeout=1800)

    held = sheet.kept("a unit in a fresh tab", answer["unit"], UNIT_SECONDS)
    section.add(Row("a unit, slowest of three fresh tabs", Measure(answer["unit"], answer["megabytes"]), note=held))
    section.add(Row("the first tab after the server began", Measure(answer["first"]), note="the whole record is read then"))
    held = sheet.kept("between frames", answer["median"], 1.05 / FRAMES)
    section.add(Row("between frames while the map moves, median", Measure(answer["median"]), note=held))
    section.add(Row("between frames, 95th percentile", Measure(answer["slow"])))
    section.text += f"\n\nFirst load: {sent:.0f} kB, {sheet.kept('kB of the first load', sent, FIRST_LOAD_KB)}."


if __name__ == "__main__":
    from apart import serve as be_apart

    be_apart({"looked_at": looked_at})
