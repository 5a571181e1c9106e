"""The numbered versions of the site file and the steps between them.

Only the tables that hold what cannot be computed again are versioned here. The tables of the records are computed from the log;
when their fields differ from this Baulk's they are laid anew, see `baulk.store.rebuild`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from baulk.store.standard_tables import enter_attributes, lay_standard_tables

__all__ = ["MIGRATIONS", "SCHEMA_VERSION", "file_fact", "migrate", "put_file_fact", "version_of"]

_LOG_IS_KEPT = "A change in the log is never altered or taken out: write a further change with Baulk."

_FIRST_TABLES = (
    "CREATE TABLE baulk_file (fid INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, value TEXT NOT NULL)",
    """CREATE TABLE change (
        revision INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, time TEXT NOT NULL, device TEXT NOT NULL, person TEXT NOT NULL,
        kind TEXT NOT NULL, record TEXT NOT NULL, field TEXT NOT NULL,
        value TEXT, replaced TEXT, after TEXT, entered TEXT, why TEXT)""",
    "CREATE INDEX change_of_record ON change (record)",
    f"CREATE TRIGGER change_is_kept_as_written BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, '{_LOG_IS_KEPT}'); END",
    f"CREATE TRIGGER change_is_kept BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, '{_LOG_IS_KEPT}'); END",
)
_FIRST_CONTENTS = (
    ("baulk_file", "What this site file is: version of its tables, mark of its fields."),
    ("change", "Every change, in order of arrival: who, when, on which device, what it replaced. Everything else follows from it."),
)


def _first_tables(connection: sqlite3.Connection) -> None:
    lay_standard_tables(connection)
    for statement in _FIRST_TABLES:
        connection.execute(statement)
    for table, description in _FIRST_CONTENTS:
        enter_attributes(connection, table, description)


def _changes_by_time(connection: sqlite3.Connection) -> None:
    """Make "what was written on that day" and "the latest time seen" quick to ask on a large site."""
    connection.execute("CREATE INDEX change_by_time ON change (time)")


MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = (_first_tables, _changes_by_time)
"""Step *n* (counted from 1) leads from version *n* - 1 to version *n*; a step, once released, is never altered."""

SCHEMA_VERSION = len(MIGRATIONS)


def version_of(connection: sqlite3.Connection) -> int:
    """Return the version of a site file's tables; 0 for a file without any."""
    if connection.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'baulk_file'").fetchone() is None:
        return 0
    written = file_fact(connection, "schema_version") or ""
    return int(written) if written.isdecimal() and written.isascii() else 0


def migrate(connection: sqlite3.Connection, version: int) -> None:
    """Lead the tables from `version` to this Baulk's, inside the caller's transaction: all steps or none."""
    for step in MIGRATIONS[version:]:
        step(connection)
    put_file_fact(connection, "schema_version", str(SCHEMA_VERSION))


def file_fact(connection: sqlite3.Connection, name: str) -> str | None:
    """Return what a site file says of itself under `name`, or None."""
    found = connection.execute("SELECT value FROM baulk_file WHERE name = ?", (name,)).fetchone()
    return None if found is None else str(found[0])


def put_file_fact(connection: sqlite3.Connection, name: str, value: str) -> None:
    """Write what a site file says of itself under `name`."""
    connection.execute(
        "INSERT INTO baulk_file (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value", (name, value)
    )
