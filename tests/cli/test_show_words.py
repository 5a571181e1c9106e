"""What `show` says: lists, values with their unit, changes as a person reads them, and records that share a number."""

from __future__ import annotations

import re
from pathlib import Path

from baulk.record import Context
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.pen import Pen

from .conftest import Run, answer


def test_relations_and_levels_are_listed_by_what_they_say(run: Run, demo_sites: DemoSites) -> None:
    """A relation is its two contexts with where it was seen and how surely; a level its surface, height and place."""
    assert "108 overlies 109 (plan and wall; firm)" in run("show", demo_sites.good, "relation").stdout.splitlines()
    levels = [line for line in run("show", demo_sites.good, "level").stdout.splitlines() if "withheld" not in line]
    assert levels and all(re.match(r"(top|base) of \d+: [\d.]+ m at [\d.]+ [\d.]+$", line) for line in levels)


def test_a_change_is_told_with_time_label_and_both_values(run: Run, own_demo: Path) -> None:
    """The history gives a date and a time, the person, the field's label, and the values before and after with their unit."""
    ticks = iter(range(1_800_000_000_000, 1_800_000_001_000))
    with open_site(own_demo) as store:
        context = store.record().numbered(Context, "121")
        pen = Pen("TB", "tablet", clock=lambda: next(ticks))
        store.append([pen.write(store, context.id, "depth", 0.4, why="taped again")])
        store.append([pen.write(store, context.id, "depth", None)])
    told = run("show", own_demo, "context", "121", "--history").stdout.splitlines()
    assert re.fullmatch(r"2027-01-1\d \d\d:\d\d  TB  Depth: 0\.36 m → 0\.4 m  \(taped again\)", told[-2])
    assert told[-1].endswith("TB  Depth: 0.4 m → blank")


def test_records_that_share_a_number_are_all_shown(run: Run, own_demo: Path) -> None:
    """Two contexts of one number are both shown under a sentence that says so; the second void, only the first is."""
    with open_site(own_demo) as store:
        pen = Pen("TB", "tablet")
        made = pen.create("context", {"number": "121", "title": "Another"})
        store.append([made])
    words = run("show", own_demo, "context", "121").stdout
    assert words.startswith("2 records of kind context have the number 121. All are shown; one of them needs another.")
    assert words.count("context 121\n") == 2 and "Another" in words
    assert len(answer(run("show", own_demo, "context", "121", "--json"))["records"]) == 2
    with open_site(own_demo) as store:
        store.append([Pen("TB", "tablet").write(store, made.record, "void", "given twice")])
    assert "2 records" not in run("show", own_demo, "context", "121").stdout
