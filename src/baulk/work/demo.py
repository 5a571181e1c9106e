"""The demo site, Otter Weir: an invented glassworks yard, and a copy of it with honest mistakes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib.resources import as_file, files
from itertools import count
from pathlib import Path

import numpy as np

from baulk.errors import StoreError
from baulk.exchange import Draft
from baulk.record import KINDS, Context, Expectation, Level, Photo, SiteRecord, build
from baulk.store import FileShelf, Store, open_site
from baulk.work.demo_frames import draw_frame
from baulk.work.pen import Pen
from baulk.work.take import drafts_from, take, write_drafts

__all__ = ["DemoSites", "build_demo"]

_DEVICE = "demo"
_START = 1_779_264_000_000
"""20 May 2026, 8:00 UTC, in milliseconds: the demo's own day, so that its ids and times are the same wherever it is built."""
_DAY = 86_400_000
_RETHOUGHT = ("1.09", "1B")
"""The bark in the socket, under the reading that a crane stood there."""


@dataclass(frozen=True, slots=True)
class DemoSites:
    """The two site files: the record as it should be, and the copy with mistakes in it; and an invented table of types."""

    good: Path
    mistaken: Path
    types: Path


def build_demo(folder: Path) -> DemoSites:
    """Build both demo sites in `folder`; files of an earlier demo there are made anew when nobody has worked on them.

    Raises
    ------
    StoreError
        When the folder cannot be written, or a demo in it has been worked on.
    """
    folder.mkdir(parents=True, exist_ok=True)
    sites = DemoSites(
        folder / "otter-weir.gpkg", folder / "otter-weir-with-mistakes.gpkg", folder / "otter-weir-types.csv"
    )  # fmt: skip
    for path in (sites.good, sites.mistaken):
        _refuse_worked_on(path)
    frames: dict[str, bytes] = {}  # both have the same photos: each is drawn once
    for path, mistaken in ((sites.good, False), (sites.mistaken, True)):
        for old in folder.glob(f"{path.name}*"):
            old.unlink()
        with open_site(path, create=True) as store:
            pen = _pen(mistaken)
            _fill(store, pen, FileShelf.beside(path), frames)
            _think_again(store, _pen(mistaken, "AK", days=2))
            if mistaken:
                _spoil(store, pen)
    sites.types.write_text((files("baulk.work") / "otter_weir_types.csv").read_text(encoding="utf-8"), encoding="utf-8")
    return sites


def _refuse_worked_on(path: Path) -> None:
    if not path.exists():
        return
    with open_site(path, read_only=True) as store:
        others = {change.person for change in store.changes() if change.device != _DEVICE}
    if others:
        raise StoreError(
            f"{path.name} has been worked on by {', '.join(sorted(others))}, so it was not made anew and nothing is lost. "
            "Build the demo in another folder, as in: baulk demo another-folder."
        )


def _pen(mistaken: bool, person: str = "RM", *, days: int = 0) -> Pen:
    ticks = count(_START + mistaken + days * _DAY)
    draw = np.random.default_rng(1740 + mistaken + 10 * days)

    def bits(wanted: int) -> int:
        return int.from_bytes(draw.bytes((wanted + 7) // 8), "big") % (1 << wanted)

    return Pen(person, _DEVICE, clock=lambda: next(ticks), bits=bits)


def _fill(store: Store, pen: Pen, shelf: FileShelf, frames: dict[str, bytes]) -> None:
    with as_file(files("baulk.work") / "otter_weir") as tables:
        made = drafts_from(store, pen, tables).drafts
    write_drafts(store, pen, list(_with_frames(made, shelf, frames)))


def _with_frames(made: tuple[Draft, ...], shelf: FileShelf, frames: dict[str, bytes]) -> Iterator[Draft]:
    """Yield the drafts, each photo with its frame on the shelf: the one of `frames` by its number, or else drawn and put there."""
    plain = [build(KINDS[draft.kind], {"id": draft.id, **_values(draft)}) for draft in made]
    record = SiteRecord.of(plain)
    for draft, entity in zip(made, plain, strict=True):
        if isinstance(entity, Photo):
            number = draft.number or ""
            if number not in frames:
                frames[number] = draw_frame(record, entity, np.random.default_rng(len(number) + int(draft.line)))
            yield replace(draft, values={**draft.values, "file": shelf.keep(frames[number])})
        else:
            yield draft


def _values(draft: Draft) -> dict[str, object]:
    """Return a draft's values as an entity takes them: absences apart."""
    absences = {
        name: value["absent"] for name, value in draft.values.items() if isinstance(value, dict) and set(value) == {"absent"}
    }
    return {name: value for name, value in draft.values.items() if name not in absences} | {"absences": absences}


def _think_again(store: Store, pen: Pen) -> None:
    """Change one cell of the table of readings two days later, so that there are two states to compare."""
    record = store.record()
    cells = {(record.label(cell.evidence), record.label(cell.reading)): cell.id for cell in record.all(Expectation)}
    identity = cells[_RETHOUGHT]
    why = "The heel post of a crane is squared and packed with stone; bark speaks of a tree or a rough post."
    store.append([pen.write(store, identity, "word", "now and then", why="bark seen in the second half of the socket")])
    store.append([pen.write(store, identity, "why", why)])


def _spoil(store: Store, pen: Pen) -> None:
    """Put in the mistakes: a loop and two one-sided relations, and a level with two digits exchanged."""
    with as_file(files("baulk.work") / "otter_weir_mistakes") as tables:
        take(store, pen, tables)
    record = store.record()
    context = record.numbered(Context, "119")
    level = next(level for level in record.pointing_at(Level, "context", context.id) if level.surface == "top")
    store.append([pen.write(store, level.id, "level", round((level.level or 0.0) + 0.9, 3), why="typed again from the sheet")])
