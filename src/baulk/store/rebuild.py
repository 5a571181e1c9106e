"""Lay the tables of the records anew from the log of changes.

Needed when a file comes from a Baulk with other fields: what an older one had to leave out comes into view, and nothing is lost the
other way round, since the log is not touched.
"""

from __future__ import annotations

import sqlite3

from baulk.store.log import changes_by_record
from baulk.store.migrations import file_fact
from baulk.store.rows import write_views
from baulk.store.schema import closed_to_writes, drop_record_tables, fields_mark, lay_record_tables, open_to_writes
from baulk.store.view import view_of

__all__ = ["is_up_to_date", "rebuild"]


def is_up_to_date(connection: sqlite3.Connection) -> bool:
    """Tell whether the tables of the records have this Baulk's fields."""
    return file_fact(connection, "fields") == fields_mark()


def rebuild(connection: sqlite3.Connection) -> None:
    """Lay the tables of the records and fill them from the log, inside the caller's transaction."""
    drop_record_tables(connection)
    lay_record_tables(connection)
    open_to_writes(connection)
    write_views(connection, map(view_of, changes_by_record(connection)), known=frozenset())
    closed_to_writes(connection)
