"""Takes the pictures of every place of the workbench that stand in docs/pictures, bright and dark, wide and on a phone.

The demo site is built and served for it; nothing of it is kept but the pictures. Chromium and Playwright have to be there.

Run: python tools/page_pictures.py
"""

from __future__ import annotations

import io
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import sync_playwright

TARGET = Path(__file__).parent.parent / "docs" / "pictures" / "page"
WIDE, PHONE = (1280, 900), (360, 640)
PLACES = (
    "site",
    "record",
    "unit",
    "draw",
    "block",
    "order",
    "dates",
    "readings",
    "closing",
    "report",
    "registers",
    "settle",
    "device",
)


def main() -> None:
    """Build the demo, serve it, and take every picture."""
    TARGET.mkdir(parents=True, exist_ok=True)
    baulk = str(Path(sys.executable).with_name("baulk"))
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([baulk, "demo", folder], check=True, stdout=subprocess.DEVNULL)
        command = [baulk, "open", str(Path(folder) / "otter-weir.gpkg"), "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            try:
                address = _address(server)
                with sync_playwright() as playwright:
                    browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
                    for size, name in ((WIDE, ""), (PHONE, "-phone")):
                        for scheme in ("light", "dark"):
                            _take(browser, address, size, scheme, f"{name}-{'bright' if scheme == 'light' else 'dark'}")
            finally:
                server.terminate()


def _address(server: subprocess.Popen[str]) -> str:
    assert server.stdout is not None
    for line in server.stdout:
        found = re.search(r"http://\S+#/join/\S+", line)
        if found:
            return found.group(0)
    raise RuntimeError("baulk open gave no address to join at")


def _take(browser: Any, address: str, size: tuple[int, int], scheme: str, name: str) -> None:
    """Join as a recorder and take a picture of each place; on a phone only of those that are used in the trench."""
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, color_scheme=scheme, has_touch=size == PHONE)
    page = context.new_page()
    page.goto(address)
    page.get_by_label("Your initials").fill("RM")
    page.get_by_role("button", name="Join the site").click()
    page.get_by_text("all sent").first.wait_for(timeout=60_000)
    away = page.get_by_role("button", name="Not now")
    if away.count():
        away.click()
    for place in PLACES if size == WIDE else ("record", "unit", "draw", "order", "closing"):
        page.goto(f"{address.split('#', maxsplit=1)[0]}#/{place}")
        page.wait_for_timeout(2_500)
        page.locator("main .waiting").first.wait_for(state="hidden", timeout=120_000)
        picture = Image.open(io.BytesIO(page.screenshot()))
        picture.convert("RGB").save(TARGET / f"{place}{name}.webp", quality=55, method=6)
    context.close()


if __name__ == "__main__":
    main()
