"""Open or make a site file, and refuse what is none, before anything is written."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from baulk.errors import NewerSiteFile, NotASiteFile, StoreError
from baulk.store.backup import copy_whole
from baulk.store.geopackage import GeoPackageStore
from baulk.store.migrations import SCHEMA_VERSION, migrate, version_of
from baulk.store.on_disk import whole_file
from baulk.store.rebuild import is_up_to_date, rebuild
from baulk.store.refusals import damaged, in_trade_words, not_a_site_file
from baulk.store.standard_tables import APPLICATION_ID

__all__ = ["open_site", "site_in_memory"]

_SMALLEST = 512
_PATIENCE = 2.0
_PATIENCE_OF_WRITERS = 5.0


def open_site(path: Path, *, create: bool = False, read_only: bool = False) -> GeoPackageStore:
    """Open a site file.

    Parameters
    ----------
    path : Path
        The file, usually named ``….gpkg``.
    create : bool
        Make a new site; there must be nothing of that name yet.
    read_only : bool
        Never write to the file. One from an earlier Baulk is brought up to date in memory only.

    Raises
    ------
    NotASiteFile
        When the file is missing, empty, a folder, or something else than a site file.
    NewerSiteFile
        When a later Baulk wrote it.
    DamagedSiteFile
        When it is cut short or cannot be read as a database.
    BusySiteFile
        When another program holds it.
    StoreError
        When it may not be written here, or `create` finds something of that name.
    """
    path = Path(path)
    if create:
        _make(path)
    _refuse_by_name(path, read_only=read_only)
    with in_trade_words(path, "opened"):
        connection = _connect(path, "ro" if read_only else "rw")
        try:
            version = _checked_version(connection, path)
            if read_only:
                connection = _up_to_date_in_memory(connection, version)
            else:
                _keep_durable(connection)
                _bring_up(connection)
        except BaseException:
            connection.close()
            raise
    return GeoPackageStore(connection, path, read_only=read_only)


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    patience = _PATIENCE if mode == "ro" else _PATIENCE_OF_WRITERS
    address = f"{path.resolve().as_uri()}?mode={mode}"
    connection = sqlite3.connect(address, uri=True, isolation_level=None, check_same_thread=False, timeout=patience)
    connection.execute("PRAGMA cache_size = -65536")
    connection.execute("PRAGMA foreign_keys = ON")
    return connection


def _make(path: Path) -> None:
    if path.exists() or path.is_symlink():
        raise StoreError(f"{path.name} is already there, so no new site was made. Open it, or give the new site another name.")
    with (
        in_trade_words(path, "made"),
        whole_file(path) as unfinished,
        closing(sqlite3.connect(unfinished, isolation_level=None)) as new,
    ):
        _lay_out(new)


def _lay_out(new: sqlite3.Connection) -> None:
    new.execute("BEGIN IMMEDIATE")
    migrate(new, 0)
    rebuild(new)
    new.execute("COMMIT")


def site_in_memory() -> GeoPackageStore:
    """Return an empty site file that has no file: what another store fills to be written out by `backup`."""
    new = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    _lay_out(new)
    return GeoPackageStore(new, Path("a new site"), read_only=False)


def _refuse_by_name(path: Path, *, read_only: bool) -> None:
    with in_trade_words(path, "opened"):
        if path.is_dir():
            raise NotASiteFile(f"{path.name} is a folder. Give the site file in it, which ends in .gpkg.")
        if not path.exists():
            raise NotASiteFile(
                f"There is no file {path.name} in {path.parent.name or 'that folder'}. Check the name; a new site is "
                f"made with “baulk new”."
            )
        if not path.is_file():
            raise NotASiteFile(f"{path.name} is a device or a link to one, not a file. Give a site file, which ends in .gpkg.")
        size = path.stat().st_size
        if size == 0:
            raise NotASiteFile(f"{path.name} is empty: 0 bytes. Go back to a backup, or give a new site another name.")
        if size < _SMALLEST:  # SQLite takes a file of a few bytes for an empty database
            raise not_a_site_file(path)
    if not read_only and not (os.access(path, os.W_OK) and os.access(path.resolve().parent, os.W_OK)):
        raise StoreError(
            f"{path.name} cannot be opened for writing: it, or its folder, can only be read here. Nothing was "
            f"changed; move it to a "
            "folder that may be written, or open it for reading only."
        )


def _checked_version(connection: sqlite3.Connection, path: Path) -> int:
    """Return the version of the tables of a file that is whole and a site file."""
    connection.execute("BEGIN")
    try:
        application = connection.execute("PRAGMA application_id").fetchone()[0]
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        pages, page = connection.execute("SELECT page_count, page_size FROM pragma_page_count, pragma_page_size").fetchone()
        size = path.stat().st_size
        version = version_of(connection) if application == APPLICATION_ID else 0
        wal = connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    finally:
        connection.execute("COMMIT")
    if size < pages * page and not wal:
        raise damaged(path, f"it is cut short: {size} of {pages * page} bytes are there")
    if application != APPLICATION_ID:
        raise NotASiteFile(
            f"{path.name} is an SQLite database, but not a site file. A site file is made with “baulk new” and ends in .gpkg."
        )
    if version == 0:
        raise NotASiteFile(
            f"{path.name} is a GeoPackage from another program: it holds no log of changes. It was left as it is; a "
            f"new site is made "
            "with “baulk new”."
        )
    if version > SCHEMA_VERSION:
        raise NewerSiteFile(
            f"{path.name} was written by a later Baulk: its tables are of version {version}, this one knows them up "
            f"to {SCHEMA_VERSION}. "
            "It was left as it is; install the later Baulk on this computer."
        )
    return version


def _keep_durable(connection: sqlite3.Connection) -> None:
    """Let a commit return only when it is on disk, with one file as the only thing to carry away."""
    with suppress(sqlite3.OperationalError):  # a GIS has it open with a write-ahead log, which full synchronous makes durable too
        connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("PRAGMA synchronous = EXTRA")


def _bring_up(connection: sqlite3.Connection) -> None:
    """Lead an older file to this Baulk's tables: all of it or nothing."""
    if version_of(connection) == SCHEMA_VERSION and is_up_to_date(connection):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = version_of(connection)  # another process may have been first
        if version < SCHEMA_VERSION:
            migrate(connection, version)
        if not is_up_to_date(connection):
            rebuild(connection)
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            connection.execute("ROLLBACK")
        raise


def _up_to_date_in_memory(connection: sqlite3.Connection, version: int) -> sqlite3.Connection:
    """Return the connection, or one to a copy in memory that has this Baulk's tables."""
    if version == SCHEMA_VERSION and is_up_to_date(connection):
        return connection
    memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    with closing(connection):
        copy_whole(connection, memory)
    _bring_up(memory)
    return memory
