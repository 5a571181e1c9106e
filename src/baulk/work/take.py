"""Take tables in: another office's or our own, all or nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from baulk.errors import FileError, InputError, UnknownRecord, did_you_mean, shorten
from baulk.exchange import Draft, Drafted, Table, drafts, read_mapping, read_table, take_in
from baulk.record import KINDS, kind_named
from baulk.store import Store
from baulk.store.bulk import collector_paused
from baulk.work.pen import Pen
from baulk.work.take_notes import notes_on

__all__ = ["Taken", "drafts_from", "kind_of_table", "take", "write_drafts"]

_GIVEN_BESIDE = ("data-dictionary", "phase-table")


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken in.

    Parameters
    ----------
    counts : mapping of kind to int
        New records of each kind.
    notes : tuple of str
        What was left out or taken with a doubt, in words.
    revision : int
        The store's revision after it; unchanged when nothing was written.
    """

    counts: Mapping[str, int]
    notes: tuple[str, ...]
    revision: int


def take(
    store: Store,
    pen: Pen,
    place: Path,
    *,
    kind: str = "",
    mapping: Path | None = None,
    encoding: str = "",
    try_only: bool = False,
    skip_repeats: bool = False,
) -> Taken:
    """Take a table, or a folder of tables, into a site.

    Parameters
    ----------
    store : Store
        The site.
    pen : Pen
        Who takes them in.
    place : Path
        A table, or a folder with one table a kind named after it (``context.csv``).
    kind : str
        Kind of the table's rows; taken from the file's name when empty.
    mapping : Path, optional
        A mapping file for another office's columns.
    encoding : str
        Encoding of the table; worked out when empty.
    try_only : bool
        Check everything and write nothing.
    skip_repeats : bool
        Leave out what the site holds already, of kinds that no number tells apart; else it is refused.

    Raises
    ------
    FileError, TableError, InputError, FieldError
        As named by what is wrong; nothing is written.
    """
    with collector_paused():
        record = store.record()
        drafted = drafts_from(store, pen, place, kind=kind, mapping=mapping, encoding=encoding, skip_repeats=skip_repeats)
        notes = (*drafted.notes, *notes_on(record, drafted.drafts))
        revision = store.revision() if try_only else write_drafts(store, pen, drafted.drafts)
    return Taken(dict(Counter(draft.kind for draft in drafted.drafts)), notes, revision)


def write_drafts(store: Store, pen: Pen, made: Sequence[Draft]) -> int:
    """Write drafts as one batch and return the store's new revision."""
    pen.catch_up(store)
    return store.append([pen.create(draft.kind, draft.values, record=draft.id, entered=draft.entered) for draft in made])


def drafts_from(
    store: Store,
    pen: Pen,
    place: Path,
    *,
    kind: str = "",
    mapping: Path | None = None,
    encoding: str = "",
    skip_repeats: bool = False,
) -> Drafted:
    """Return the records that a table or a folder of tables describes; nothing is written."""
    _see_that_it_is_there(place)
    record = store.record()
    if mapping is not None:
        takes = read_mapping(mapping)
        takes = tuple(replace(one, repeats="skip") for one in takes) if skip_repeats else takes
        return take_in(place, takes, record, new_id=pen.new_id)
    made: list[Draft] = []
    notes = [] if not place.is_dir() else list(_not_taken(place))
    for path, name in _tables(place, kind):
        table = read_table(path, encoding=encoding)
        if not table.rows:
            if not place.is_dir():
                raise FileError(_no_rows(table))
            notes.append(f"{path.name} holds no rows.")
        found = drafts(table, name, record, new_id=pen.new_id, earlier=made, skip_repeats=skip_repeats)
        by_id = {draft.id: draft for draft in made} | {draft.id: draft for draft in (*found.completed, *found.drafts)}
        made = list(by_id.values())
        notes += [note if note.startswith(path.name) else f"{path.name}: {note}" for note in found.notes]
    return Drafted(tuple(made), tuple(notes))


def _see_that_it_is_there(place: Path) -> None:
    try:
        place.stat()
    except (FileNotFoundError, NotADirectoryError):
        name = shorten(place.name, 80)
        raise FileError(
            f"There is no file {name}. See that the name is spelt as on the disk and that its folder is right."
        ) from None
    except OSError:
        return  # told in words when it is read


def _no_rows(table: Table) -> str:
    first = ", ".join(f"“{shorten(header, 30)}”" for header in table.headers[:5])
    return (
        f"{shorten(table.source, 80)} holds no rows: below its first line ({first}) nothing stands. If that line is the headers, "
        "add a row for each record; if it is none, the file is no table."
    )


def _not_taken(folder: Path) -> Iterator[str]:
    """Return notes on tables in a folder that no kind is named after, without those that Baulk itself gives out beside."""
    for path in _tables_in(folder):
        if path.stem.lower() not in (*KINDS, *_GIVEN_BESIDE):
            near = did_you_mean(path.stem.lower(), list(KINDS))
            yield f"{path.name} is not named after a kind of record, so nothing of it was taken.{near}"


def _tables_in(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.iterdir()) if path.suffix.lower() in (".csv", ".tsv", ".xlsx")]


def _tables(place: Path, kind: str) -> list[tuple[Path, str]]:
    if not place.is_dir():
        return [(place, kind_named(kind).KIND if kind else kind_of_table(place))]
    if kind:
        raise InputError(
            f"{place.name} is a folder, in which each table is named after its kind: give the kind for one table only."
        )
    named = {path.stem.lower(): path for path in _tables_in(place)}
    found = [(named[name], name) for name in KINDS if name in named]
    if not found:
        raise InputError(f"{place.name} holds no table named after a kind of record, such as context.csv or relation.csv.")
    return found


def kind_of_table(path: Path) -> str:
    """Return the kind that a table is named after.

    Raises
    ------
    InputError
        When its name is no kind's.
    """
    try:
        return kind_named(path.stem).KIND
    except UnknownRecord:
        raise InputError(
            f"{path.name} does not say what its rows are.{did_you_mean(path.stem.lower(), list(KINDS))} "
            "Give the kind, as in --kind context, or a mapping file with --map."
        ) from None
