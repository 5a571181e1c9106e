"""A verified copy of the site file, made while it is in use.

The copy is made by SQLite's online backup, which shows one revision, under another name; it is checked, and only then takes its own
name. Whatever stood there before stays until that moment.
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from pathlib import Path

from baulk.errors import BusySiteFile, StoreError, shorten
from baulk.store.log import last_revision
from baulk.store.on_disk import whole_file
from baulk.store.refusals import in_trade_words

__all__ = ["back_up", "copy_whole", "faults_of_file"]

_PATIENCE = 10.0


def back_up(connection: sqlite3.Connection, target: Path) -> None:
    """Copy the site behind `connection` to `target`.

    Raises
    ------
    StoreError
        When `target` is the site file itself, holds anything but an earlier copy of this site, cannot be written, or the copy fails
        its checks.
    """
    _refuse_to_overwrite(connection, target)
    with in_trade_words(target, "written as a backup"), whole_file(target) as unfinished:
        with closing(sqlite3.connect(unfinished, isolation_level=None)) as copy:
            copy_whole(connection, copy)
            copy.execute("PRAGMA journal_mode = DELETE")
        with closing(sqlite3.connect(unfinished, isolation_level=None)) as copy:
            faults = faults_of_file(copy)
            held, wanted = last_revision(copy), last_revision(connection)
        if faults or held < wanted:
            raise StoreError(
                f"The backup {target.name} fails its own checks "
                f"({shorten('; '.join(faults) or 'changes are missing', 200)}), so it was not "
                "kept and what stood there before was left. Try another disk; check the site file too."
            )


def copy_whole(source: sqlite3.Connection, target: sqlite3.Connection) -> None:
    """Copy one database into another at one revision.

    Raises
    ------
    BusySiteFile
        When another program keeps the source to itself for longer than ten seconds.
    """
    given_up = time.monotonic() + _PATIENCE

    def watch(_status: int, _remaining: int, _total: int) -> None:
        if time.monotonic() > given_up and _status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise BusySiteFile("The site file cannot be copied: another program is writing it. Try again when it has finished.")

    source.backup(target, pages=-1, progress=watch, sleep=0.05)


def faults_of_file(connection: sqlite3.Connection) -> list[str]:
    """Return what a full check of a site file finds wrong, nothing when it is whole."""
    integrity = [str(row[0]) for row in connection.execute("PRAGMA integrity_check").fetchall()]
    strays = connection.execute("PRAGMA foreign_key_check").fetchall()
    return [found for found in integrity if found != "ok"] + [f"table {row[0]} refers to what is not there" for row in strays]


def _refuse_to_overwrite(connection: sqlite3.Connection, target: Path) -> None:
    if not target.exists():
        return
    own = connection.execute("SELECT file FROM pragma_database_list WHERE name = 'main'").fetchone()[0]
    if own and Path(own).exists() and target.samefile(own):
        raise StoreError(f"{target.name} is the site file itself. Give the backup another name or folder.")
    if not target.is_file():
        raise StoreError(
            f"{target.name} is a folder or device, not a file. Give the backup the name of a file, such as backup.gpkg."
        )
    address = target.resolve().as_uri() + "?mode=ro"
    try:
        with closing(sqlite3.connect(address, uri=True)) as earlier:
            theirs = {row[0] for row in earlier.execute("SELECT id FROM change")}
    except sqlite3.Error:
        raise StoreError(
            f"{target.name} is already there and is no earlier backup of this site, so it was left as it is. Give the "
            f"backup another name."
        ) from None
    ours = {row[0] for row in connection.execute("SELECT id FROM change")}
    if theirs - ours:
        raise StoreError(
            f"{target.name} holds {len(theirs - ours)} changes that this site does not have, so it was left as it is. "
            "Give the backup another name, or merge that file into this site first."
        )
