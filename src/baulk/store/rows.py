"""Records in view as rows of their tables, and back."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import islice
from operator import itemgetter
from typing import Any

import msgspec

from baulk.record import KINDS, Difference, Entity, Quantity, Write, build, fields_of
from baulk.store.column import Column, columns_of
from baulk.store.geometry import shape_of
from baulk.store.schema import LISTS, quoted
from baulk.store.view import LeftOut, View

__all__ = ["read_columns", "read_differences", "read_entities", "read_left_out", "write_views"]

_encode = msgspec.json.Encoder().encode
_decode = msgspec.json.Decoder().decode
_decode_writes = msgspec.json.Decoder(tuple[tuple[str, str, str, str, Any], ...]).decode
_AT_ONCE = 20_000
_ASKED_AT_ONCE = 500


def write_views(connection: sqlite3.Connection, views: Iterable[View], *, known: frozenset[str]) -> set[str]:
    """Write records in view into their tables and lists and return the names of the tables that changed.

    Parameters
    ----------
    connection : sqlite3.Connection
        Inside a transaction that is open to writes of these tables.
    views : iterable of View
        One for each record that changed.
    known : frozenset of str
        Ids of those records that the file may hold already.
    """
    touched: set[str] = set()
    batch: list[View] = []
    for view in views:
        batch.append(view)
        if len(batch) == _AT_ONCE:
            touched |= _write(connection, batch, known)
            batch.clear()
    return touched | _write(connection, batch, known)


def _write(connection: sqlite3.Connection, views: Sequence[View], known: frozenset[str]) -> set[str]:
    before = [(view.record,) for view in views if view.record in known]
    rows: dict[str, list[tuple[Any, ...]]] = {}
    gone: dict[str, list[tuple[str]]] = {}
    for view in views:
        for kind in view.kinds:
            if kind in KINDS and (kind != view.kind or (view.entity is None and view.record in known)):
                gone.setdefault(kind, []).append((view.record,))
        if view.entity is not None:
            rows.setdefault(view.kind, []).append(_row(view.entity))
    for kind, records in gone.items():
        connection.executemany(f"DELETE FROM {quoted(kind)} WHERE id = ?", records)  # noqa: S608 - names of tables and fields
    for kind, of_kind in rows.items():
        if before:
            connection.executemany(_upsert(KINDS[kind]), of_kind)
        else:
            _insert_new(connection, KINDS[kind], of_kind)
    return {*rows, *gone} | _write_lists(connection, views, before)


def _insert_new(connection: sqlite3.Connection, kind: type[Entity], rows: Sequence[tuple[Any, ...]]) -> None:
    """Write records that the file does not hold, naming only columns that are filled: most fields of most records are blank."""
    names = _names(kind)
    filled = [place for place, values in enumerate(zip(*rows, strict=True)) if values.count(None) < len(rows)]
    into = f"{quoted(kind.KIND)} ({', '.join(names[place] for place in filled)})"
    marks = ", ".join("?" * len(filled))
    take = itemgetter(*filled) if len(filled) > 1 else itemgetter(slice(1))  # a record that has nothing but its id
    connection.executemany(f"INSERT INTO {into} VALUES ({marks})", map(take, rows))  # noqa: S608 - names of tables and fields


def _write_lists(connection: sqlite3.Connection, views: Sequence[View], before: list[tuple[str]]) -> set[str]:
    entries: dict[str, list[tuple[Any, ...]]] = {
        "difference": [_difference_row(difference) for view in views for difference in view.differences],
        "left_out": [(left.kind, left.record, left.field, left.reason) for view in views if view.faults for left in view.left_out],
        "shelf_file": [entry for view in views for entry in _files(view.entity)],
    }
    for name, of_list in entries.items():
        if before:
            connection.executemany(f"DELETE FROM {quoted(name)} WHERE record = ?", before)  # noqa: S608 - names of tables and fields
        columns = ", ".join(part.split()[0] for part in LISTS[name][1].split(", "))
        connection.executemany(f"INSERT INTO {quoted(name)} ({columns}) VALUES (?, ?, ?, ?)", of_list)  # noqa: S608 - names of tables and fields
    return {name for name, of_list in entries.items() if of_list or before}


def _difference_row(difference: Difference) -> tuple[str, str, str, str]:
    writes = _encode([(write.change, write.time, write.device, write.person, write.value) for write in difference.writes]).decode()
    return (difference.kind, difference.record, difference.field, writes)


@cache
def _file_fields(kind: type[Entity]) -> tuple[str, ...]:
    return tuple(name for name, facts in fields_of(kind) if facts.quantity is Quantity.FILE)


def _files(entity: Entity | None) -> Iterator[tuple[str, str, str, str]]:
    if entity is not None:
        for name in _file_fields(type(entity)):
            if sha := getattr(entity, name):
                yield (sha, entity.KIND, entity.id, name)


@cache
def _names(kind: type[Entity]) -> tuple[str, ...]:
    return (*(quoted(column.name) for column in columns_of(kind)), *(["geom"] if kind.SHAPE else []))


@cache
def _upsert(kind: type[Entity]) -> str:
    """Return the statement that writes a record and keeps the row number that a GIS may have noted."""
    names = _names(kind)
    renewed = ", ".join(f"{name} = excluded.{name}" for name in names[1:])
    marks = ", ".join("?" * len(names))
    values = f"({', '.join(names)}) VALUES ({marks})"
    return f"INSERT INTO {quoted(kind.KIND)} {values} ON CONFLICT (id) DO UPDATE SET {renewed}"


@cache
def _getter(kind: type[Entity]) -> tuple[Callable[[Mapping[str, Any]], tuple[Any, ...]], tuple[int, ...], int]:
    """Return what reads a row off a record, the places of its lists in the row, and the place of its absences."""
    names = [column.name for column in columns_of(kind)]
    absences = names.index("absences")
    json_places = tuple(place for place, column in enumerate(columns_of(kind)) if column.json and place != absences)
    return itemgetter(*names), json_places, absences


def _row(entity: Entity) -> tuple[Any, ...]:
    getter, json_places, absences = _getter(type(entity))
    row = list(getter(vars(entity)))
    for place in json_places:
        if row[place] is not None:
            row[place] = _encode(row[place]).decode()
    row[absences] = _encode(entity.absences).decode() if entity.absences else None
    if entity.SHAPE:
        row.append(shape_of(entity))
    return tuple(row)


def read_entities(connection: sqlite3.Connection, kind: type[Entity], ids: Iterable[str] | None = None) -> Iterator[Entity]:
    """Yield every record of a kind, or those of some ids that there are."""
    columns = columns_of(kind)
    names = tuple(column.name for column in columns)
    readers = [(column.name, _reader(column)) for column in columns if column.json or column.yes_no]
    statement = f"SELECT {', '.join(map(quoted, names))} FROM {quoted(kind.KIND)}"  # noqa: S608 - names of tables and fields
    for row in _rows_of(connection, statement, ids):
        values = {name: value for name, value in zip(names, row, strict=True) if value is not None}
        for name, read in readers:
            if name in values:
                values[name] = read(values[name])
        yield build(kind, values)


def _rows_of(connection: sqlite3.Connection, statement: str, ids: Iterable[str] | None) -> Iterator[tuple[Any, ...]]:
    if ids is None:
        yield from connection.execute(statement)
        return
    rest = iter(ids)
    while chunk := list(islice(rest, _ASKED_AT_ONCE)):
        yield from connection.execute(f"{statement} WHERE id IN ({', '.join('?' * len(chunk))})", chunk).fetchall()


def read_columns(connection: sqlite3.Connection, kind: type[Entity], columns: Sequence[Column]) -> dict[str, list[Any]]:
    """Return whole columns of the records of a kind that are not void, in order of id."""
    names = ", ".join(quoted(column.name) for column in columns)
    statement = f"SELECT {names or 'id'} FROM {quoted(kind.KIND)} WHERE void IS NULL ORDER BY id"  # noqa: S608 - names of tables and fields
    rows = connection.execute(statement).fetchall()
    whole = zip(*rows, strict=True) if rows else ((),) * len(columns)
    return {column.name: _read_whole(column, list(values)) for column, values in zip(columns, whole, strict=False)}


def _read_whole(column: Column, values: list[Any]) -> list[Any]:
    if column.name == "absences":
        return [{} if value is None else _decode(value) for value in values]
    if column.json or column.yes_no:
        read = _reader(column)
        return [None if value is None else read(value) for value in values]
    return values


def _reader(column: Column) -> Any:
    return bool if column.yes_no else _decode


def read_differences(connection: sqlite3.Connection) -> tuple[Difference, ...]:
    """Return every field that two people changed without sight of each other, by kind, record and field."""
    rows = connection.execute("SELECT kind, record, field, writes FROM difference ORDER BY kind, record, field")
    return tuple(
        Difference(kind, record, field, tuple(Write(*write) for write in _decode_writes(writes)))
        for kind, record, field, writes in rows
    )


def read_left_out(connection: sqlite3.Connection) -> tuple[LeftOut, ...]:
    """Return everything that the log holds and the tables leave out, by kind, record and field."""
    rows = connection.execute("SELECT kind, record, field, reason FROM left_out ORDER BY kind, record, field")
    return tuple(LeftOut(*row) for row in rows)
