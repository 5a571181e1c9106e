"""Take tables in: another office's or our own, all or nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from baulk.errors import InputError, UnknownRecord, did_you_mean
from baulk.exchange import Draft, Drafted, drafts, read_mapping, read_table, take_in
from baulk.record import KINDS, kind_named
from baulk.store import Store
from baulk.store.bulk import collector_paused
from baulk.work.pen import Pen

__all__ = ["Taken", "drafts_from", "kind_of_table", "take", "write_drafts"]


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
    store: Store, pen: Pen, place: Path, *, kind: str = "", mapping: Path | None = None, encoding: str = "", try_only: bool = False
) -> Taken:  # fmt: skip
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

    Raises
    ------
    FileError, TableError, InputError, FieldError
        As named by what is wrong; nothing is written.
    """
    with collector_paused():
        drafted = drafts_from(store, pen, place, kind=kind, mapping=mapping, encoding=encoding)
        revision = store.revision() if try_only else write_drafts(store, pen, drafted.drafts)
    return Taken(dict(Counter(draft.kind for draft in drafted.drafts)), drafted.notes, revision)


def write_drafts(store: Store, pen: Pen, made: Sequence[Draft]) -> int:
    """Write drafts as one batch and return the store's new revision."""
    for last in store.changes(max(store.revision() - 1, 0)):
        pen.saw_time(last.time)
    return store.append([pen.create(draft.kind, draft.values, record=draft.id, entered=draft.entered) for draft in made])


def drafts_from(store: Store, pen: Pen, place: Path, *, kind: str = "", mapping: Path | None = None, encoding: str = "") -> Drafted:
    """Return the records that a table or a folder of tables describes; nothing is written."""
    record = store.record()
    if mapping is not None:
        return take_in(place, read_mapping(mapping), record, new_id=pen.new_id)
    made: list[Draft] = []
    notes: list[str] = []
    for path, name in _tables(place, kind):
        found = drafts(read_table(path, encoding=encoding), name, record, new_id=pen.new_id, earlier=made)
        by_id = {draft.id: draft for draft in made} | {draft.id: draft for draft in (*found.completed, *found.drafts)}
        made = list(by_id.values())
        notes += [f"{path.name}: {note}" for note in found.notes]
    return Drafted(tuple(made), tuple(notes))


def _tables(place: Path, kind: str) -> list[tuple[Path, str]]:
    if not place.is_dir():
        return [(place, kind_named(kind).KIND if kind else kind_of_table(place))]
    if kind:
        raise InputError(
            f"{place.name} is a folder, in which each table is named after its kind: give the kind for one table only."
        )
    named = {path.stem.lower(): path for path in sorted(place.iterdir()) if path.suffix.lower() in (".csv", ".tsv", ".xlsx")}
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
