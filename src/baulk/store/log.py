"""The log of changes in the site file: written once, read by revision or by record."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, islice
from typing import Any

import msgspec

from baulk.record import Change

__all__ = [
    "changes_by_record",
    "changes_of",
    "held_among",
    "last_revision",
    "latest_time",
    "page_after",
    "touched_after",
    "write_changes",
]

_FIELDS = "id, time, device, person, kind, record, field, value, replaced, after, entered, why"
_INSERT = f"INSERT INTO change ({_FIELDS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"  # noqa: S608 - only the names above
_SELECT = f"SELECT revision, {_FIELDS} FROM change"  # noqa: S608 - only the names above
_AT_ONCE = 500

_encode = msgspec.json.Encoder().encode
_decode = msgspec.json.Decoder().decode
_decode_after = msgspec.json.Decoder(tuple[str, ...]).decode


def _text(value: Any) -> str | None:
    return None if value is None else _encode(value).decode()


def _row(change: Change) -> tuple[str | None, ...]:
    return (
        change.id, change.time, change.device, change.person, change.kind, change.record, change.field, _text(change.value),
        _text(change.replaced), _text(change.after) if change.after else None, change.entered, change.why,
    )  # fmt: skip


def _change(row: Sequence[Any]) -> Change:
    return Change(
        id=row[1], time=row[2], device=row[3], person=row[4], kind=row[5], record=row[6], field=row[7],
        value=None if row[8] is None else _decode(row[8]),
        replaced=None if row[9] is None else _decode(row[9]),
        after=() if row[10] is None else _decode_after(row[10]),
        entered=row[11], why=row[12],
    )  # fmt: skip


def write_changes(connection: sqlite3.Connection, changes: Iterable[Change]) -> None:
    """Add changes at the end of the log."""
    connection.executemany(_INSERT, map(_row, changes))


def last_revision(connection: sqlite3.Connection) -> int:
    """Return the revision of the last change, 0 when there is none."""
    return int(connection.execute("SELECT coalesce(max(revision), 0) FROM change").fetchone()[0])


def page_after(connection: sqlite3.Connection, revision: int, limit: int) -> list[tuple[int, Change]]:
    """Return up to `limit` changes after `revision`, each with its own revision."""
    rows = connection.execute(f"{_SELECT} WHERE revision > ? ORDER BY revision LIMIT ?", (revision, limit)).fetchall()
    return [(row[0], _change(row)) for row in rows]


def held_among(connection: sqlite3.Connection, ids: Iterable[str]) -> dict[str, Change]:
    """Return those of the changes named by `ids` that the log holds."""
    return {change.id: change for change in _where(connection, "id", ids)}


def latest_time(connection: sqlite3.Connection, not_after: str) -> str | None:
    """Return the latest time of a change up to `not_after`, None when there is none."""
    found = connection.execute("SELECT max(time) FROM change WHERE time <= ?", (not_after,)).fetchone()[0]
    return None if found is None else str(found)


def touched_after(connection: sqlite3.Connection, revision: int, limit: int) -> dict[str, set[str]] | None:
    """Return the records that changes after a revision touch, each with the kinds these name; None when they are over `limit`."""
    touched: dict[str, set[str]] = {}
    rows = connection.execute("SELECT record, kind FROM change WHERE revision > ? LIMIT ?", (revision, limit + 1)).fetchall()
    for record, kind in rows:
        touched.setdefault(record, set()).add(kind)
    return touched if len(rows) <= limit else None


def changes_of(connection: sqlite3.Connection, records: Iterable[str], until: int | None = None) -> dict[str, list[Change]]:
    """Return all changes of some records up to a revision, by record; a record that is not known is missing."""
    found: dict[str, list[Change]] = {}
    for change in _where(connection, "record", records, until):
        found.setdefault(change.record, []).append(change)
    return found


def _where(connection: sqlite3.Connection, column: str, wanted: Iterable[str], until: int | None = None) -> Iterator[Change]:
    rest, last = iter(wanted), 2**63 - 1 if until is None else until
    while chunk := list(islice(rest, _AT_ONCE)):
        marks = ", ".join("?" * len(chunk))
        statement = f"{_SELECT} WHERE {column} IN ({marks}) AND revision <= ? ORDER BY revision"
        for row in connection.execute(statement, [*chunk, last]).fetchall():
            yield _change(row)


def changes_by_record(connection: sqlite3.Connection) -> Iterator[list[Change]]:
    """Yield the changes of every record, one record at a time, without holding the whole log."""
    rows = connection.execute(f"{_SELECT} ORDER BY record, revision")
    for _, of_record in groupby(rows, key=lambda row: row[6]):
        yield [_change(row) for row in of_record]
