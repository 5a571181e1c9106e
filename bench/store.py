"""The site file at the size of a large site, beside SQLite writing the same number of bare rows."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, run_apart, serve
from sheet import Measure, Row, Sheet

TEXT = (
    "100,000 contexts of 13 fields and 300,000 relations of 5 fields as creations in one batch: checked, logged, folded, written "
    "and on disk. *Theirs* is the floor: plain SQLite with the same settings that writes the same rows of JSON and nothing else."
)


def changes(contexts: int, relations: int) -> list[Any]:
    """Return creations of an invented site."""
    from baulk.record import Stamp, absent, creation

    def stamp(number: int) -> Stamp:
        return Stamp(f"0193b000-0000-7000-8000-{number:012d}", f"{1_770_000_000_000 + number:013d}.000000", "tablet", "AB")

    def name(number: int) -> str:
        return f"0193a000-0000-7000-8000-{number:012d}"

    words = {
        "kind": "deposit", "units": ["u1"], "title": "dump", "description": "dark silty clay", "interpretation": "dump",
        "colour_moist": "10YR 4/3", "texture": "silty clay", "compaction": "firm", "thickness_min": 0.1, "recorded_by": "AB",
        "recorded_on": "2026-05-14", "checked_by": absent("not done: rain"),
    }  # fmt: skip
    found = [creation(stamp(n), "context", name(n), {"number": str(n + 1), **words}) for n in range(contexts)]
    for n in range(relations):
        ends = {
            "later": name(n % contexts),
            "earlier": name((7 * n + 1) % contexts),
            "how": "overlies",
            "sheet": "later",
            "certainty": "firm",
        }
        found.append(creation(stamp(contexts + n), "relation", name(contexts + n), ends))
    return found


def filled(contexts: int, relations: int, folder: str) -> Any:
    """Return a store that holds the site, and how long it took to write."""
    from baulk.store import open_site

    batch = changes(contexts, relations)
    store = open_site(Path(folder) / "site.gpkg", create=True)
    seconds, _ = best_of(1, lambda: store.append(batch))
    return store, seconds, batch


def write(contexts: int, relations: int) -> dict[str, Any]:
    """Append everything in one batch."""
    with tempfile.TemporaryDirectory() as folder:
        store, seconds, _ = filled(contexts, relations, folder)
        store.close()
        size = (Path(folder) / "site.gpkg").stat().st_size / 1e6
    return {"seconds": seconds, "note": f"file of {size:.0f} MB"}


def floor(contexts: int, relations: int) -> dict[str, Any]:
    """Write the same changes as rows of JSON and nothing else."""
    import msgspec

    rows = [(change.id, change.record, msgspec.json.encode(change).decode()) for change in changes(contexts, relations)]
    with tempfile.TemporaryDirectory() as folder, closing(sqlite3.connect(Path(folder) / "bare.db", isolation_level=None)) as bare:
        bare.execute("PRAGMA synchronous = EXTRA")
        bare.execute("CREATE TABLE change (revision INTEGER PRIMARY KEY, id TEXT UNIQUE, record TEXT, body TEXT)")

        def put() -> None:
            bare.execute("BEGIN")
            bare.executemany("INSERT INTO change (id, record, body) VALUES (?, ?, ?)", rows)
            bare.execute("COMMIT")

        seconds, _ = best_of(1, put)
    return {"seconds": seconds}


def read(contexts: int, relations: int, what: str) -> dict[str, Any]:
    """Read from a filled site: whole columns, the whole record, or all changes; or write one change, or back up."""
    with tempfile.TemporaryDirectory() as folder:
        store, _, batch = filled(contexts, relations, folder)
        if what == "columns":
            seconds, _ = best_of(3, lambda: store.columns("relation", ["later", "earlier", "how", "certainty"]))
        elif what == "record":
            del batch
            seconds, _ = best_of(2, store.record)
        elif what == "backup":
            seconds, _ = best_of(1, lambda: store.backup(Path(folder) / "copy.gpkg"))
        else:
            seconds = one_change(store, batch)
        store.close()
    return {"seconds": seconds}


def one_change(store: Any, batch: list[Any]) -> float:
    """Return the time of one small acknowledged change, the mean of 100."""
    from baulk.record import Stamp, rewrite

    def put() -> None:
        for number, made in enumerate(batch[:100]):
            stamp = Stamp(f"further-{number}", "1790000000000.000000", "tablet", "AB")
            store.append([rewrite(stamp, "context", made.record, "title", "spread", after=(made.id,))])

    return best_of(1, put)[0] / 100


JOBS = {f.__name__: f for f in (write, floor, read)}


def measured(job: str, **settings: Any) -> tuple[Measure, dict[str, Any]]:
    """Run a job apart; return its measure and its whole answer."""
    answer = run_apart(__file__, job, **settings)
    return Measure(answer["seconds"], answer["megabytes"]), answer


def run(sheet: Sheet) -> None:
    """Add the section on the store."""
    section = sheet.section("Site file", TEXT, libraries=("msgspec", "pydantic"))
    size = {"contexts": 100_000, "relations": 300_000}
    mine, answer = measured("write", **size)
    theirs, _ = measured("floor", **size)
    section.add(Row("append 400,000 creations", mine, theirs, "bare SQLite", answer["note"]))
    for what, name in (
        ("columns", "four whole columns of 300,000 relations"),
        ("record", "the whole record, 400,000 checked records"),
        ("backup", "verified backup"),
        ("change", "one change, acknowledged"),
    ):
        section.add(Row(name, measured("read", what=what, **size)[0]))


if __name__ == "__main__":
    serve(JOBS)
