"""Run every bench file beside this one and write RESULTS.md.

Each bench file has a function ``run(sheet)`` that adds a section. Name some to run only these: ``python bench/run.py order``.
The page must come from one run: with names nothing is written unless ``--write`` is given, and then the page holds these only.
"""

from __future__ import annotations

import importlib
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from sheet import Sheet  # noqa: E402  (found beside this file)

NOT_BENCHES = {"apart", "run", "sheet"}


def main(wanted: list[str]) -> None:
    """Run the benches named, or all of them and write the page."""
    write = not wanted or "--write" in wanted
    wanted = [name for name in wanted if name != "--write"]
    sheet = Sheet()
    start = time.perf_counter()
    for file in sorted(HERE.glob("*.py")):
        if file.stem in NOT_BENCHES or (wanted and file.stem not in wanted):
            continue
        bench = importlib.import_module(file.stem)
        if hasattr(bench, "run"):
            bench.run(sheet)
    print(f"measured in {time.perf_counter() - start:.0f} s")
    if write:
        sheet.write(HERE / "RESULTS.md")
    if sheet.missed:
        sys.exit("Over budget: " + "; ".join(sheet.missed))


if __name__ == "__main__":
    main(sys.argv[1:])
