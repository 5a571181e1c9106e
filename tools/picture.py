"""Makes the README's picture from the demo: plan, north wall and order of the invented unit, without restricted records.

Run: python tools/picture.py (needs Debian's Chromium and the test packages)
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from baulk.work.demo import build_demo
from baulk.work.study import study_source

PICTURE = Path(__file__).parent.parent / "docs" / "pictures" / "otter-weir.png"
PAGE = """<!doctype html><meta charset="utf-8"><style>
body {{ margin: 0; background: #fbf9f2; display: grid; grid-template-columns: 500px 640px 300px; gap: 20px; padding: 20px; align-items: start }}
svg {{ width: 100%; height: auto }} div {{ max-height: 760px; overflow: hidden }}
</style><div>{plan}</div><div>{wall}</div><div>{order}</div>"""


def main() -> None:
    """Draw the picture anew."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        study = study_source(build_demo(Path(folder)).good)()
        page_text = PAGE.format(plan=study.svg("plan-1"), wall=study.svg("wall-W1"), order=study.svg("order"))
        browser = driver.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1520, "height": 800})
        page.set_content(page_text)
        page.screenshot(path=PICTURE)
        browser.close()


if __name__ == "__main__":
    main()
