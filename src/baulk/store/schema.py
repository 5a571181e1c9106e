"""The tables of the records, derived from what each field says of itself: one table a kind, and three lists.

All of them are computed from the log of changes and can be dropped and laid anew. Triggers refuse a write from outside, since a GIS
edit here would be lost without a word at the next computation.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator

import msgspec

from baulk.record import KINDS, Entity
from baulk.store.column import columns_of
from baulk.store.geometry import GEOMETRY_TYPES, has_levels
from baulk.store.migrations import file_fact, put_file_fact
from baulk.store.standard_tables import enter_attributes, enter_features, strike_out

__all__ = ["LISTS", "closed_to_writes", "drop_record_tables", "fields_mark", "lay_record_tables", "open_to_writes", "quoted"]

LISTS = {
    "difference": (
        "Fields that two people changed without sight of each other, for a person to settle.",
        "kind TEXT NOT NULL, record TEXT NOT NULL, field TEXT NOT NULL, writes TEXT NOT NULL",
    ),
    "left_out": (
        "Fields that the log holds and the tables leave out, each with the reason.",
        "kind TEXT NOT NULL, record TEXT NOT NULL, field TEXT NOT NULL, reason TEXT NOT NULL",
    ),
    "shelf_file": (
        "Files that records refer to, by SHA-256; they lie in the folder beside this file.",
        "sha256 TEXT NOT NULL, kind TEXT NOT NULL, record TEXT NOT NULL, field TEXT NOT NULL",
    ),
}
"""The lists computed beside the tables of the records: what each is, and its columns."""

_REFUSAL = "This table is computed from the log of changes, so an edit here would be lost: make the change with Baulk."
_UNLESS_WRITING = f"WHEN NOT EXISTS (SELECT 1 FROM baulk_file WHERE name = 'writing') BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"  # noqa: S608 - our own sentence


def quoted(name: str) -> str:
    """Return a name for use in SQL, where some of the trade's words mean something else."""
    return '"' + name.replace('"', '""') + '"'


def _table_statement(kind: type[Entity]) -> str:
    columns = ["fid INTEGER PRIMARY KEY"]
    if kind.SHAPE:
        columns.append(f"geom {GEOMETRY_TYPES[kind.SHAPE]}")
    for column in columns_of(kind):
        columns.append(f"{quoted(column.name)} {column.type}{' NOT NULL UNIQUE' if column.name == 'id' else ''}")
    return f"CREATE TABLE {quoted(kind.KIND)} ({', '.join(columns)})"


def _guards(table: str) -> Iterator[str]:
    for moment in ("INSERT", "UPDATE", "DELETE"):
        name = quoted(f"{table}_no_{moment.lower()}_from_outside")
        yield f"CREATE TRIGGER {name} BEFORE {moment} ON {quoted(table)} {_UNLESS_WRITING}"


def fields_mark() -> str:
    """Return a mark that differs whenever the tables of the records would be laid differently."""
    statements = sorted(_table_statement(kind) for kind in KINDS.values()) + [columns for _, columns in LISTS.values()]
    return hashlib.sha256("\n".join(statements).encode()).hexdigest()


def lay_record_tables(connection: sqlite3.Connection) -> None:
    """Lay the empty tables of the records and note which fields they have."""
    for kind in KINDS.values():
        connection.execute(_table_statement(kind))
        about = f"{kind.TITLE.capitalize()}: {(kind.__doc__ or '').splitlines()[0]}"
        if kind.SHAPE:
            enter_features(connection, kind.KIND, about, GEOMETRY_TYPES[kind.SHAPE], levels=has_levels(kind))
        else:
            enter_attributes(connection, kind.KIND, about)
    for name, (about, columns) in LISTS.items():
        connection.execute(f"CREATE TABLE {quoted(name)} (fid INTEGER PRIMARY KEY, {columns})")
        connection.execute(f"CREATE INDEX {quoted(f'{name}_of_record')} ON {quoted(name)} (record)")
        enter_attributes(connection, name, about)
    tables = [*KINDS, *LISTS]
    for table in tables:
        for statement in _guards(table):
            connection.execute(statement)
    put_file_fact(connection, "record_tables", msgspec.json.encode(tables).decode())
    put_file_fact(connection, "fields", fields_mark())


def drop_record_tables(connection: sqlite3.Connection) -> None:
    """Drop the tables of the records, whichever Baulk laid them; tables that others put into the file stay."""
    for table in msgspec.json.decode(file_fact(connection, "record_tables") or "[]", type=list[str]):
        strike_out(connection, table)
        connection.execute(f"DROP TABLE IF EXISTS {quoted(table)}")


def open_to_writes(connection: sqlite3.Connection) -> None:
    """Let this transaction write the tables of the records."""
    put_file_fact(connection, "writing", "now")


def closed_to_writes(connection: sqlite3.Connection) -> None:
    """Close the tables of the records to writes again, before the transaction ends."""
    connection.execute("DELETE FROM baulk_file WHERE name = 'writing'")
