"""What SQLite answers, in words that tell a person what to do next."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec

from baulk.errors import BusySiteFile, DamagedSiteFile, NotASiteFile, StoreError, shorten

__all__ = ["damaged", "in_trade_words", "not_a_site_file"]

_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_DAMAGE = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_FORMAT}
_DAMAGE_SAYS = ("no such table", "no such column", "Could not decode")
_WHAT_STARTS_SO = (
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"\x89PNG", "a PNG picture"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"%PDF", "a PDF document"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"\x1f\x8b", "a gzip archive"),
)
_SQLITE_STARTS_SO = b"SQLite format 3\x00"


@contextmanager
def in_trade_words(path: Path, doing: str) -> Iterator[None]:
    """Turn an error of SQLite or of the file system into a `StoreError` that says what was being done to which file."""
    try:
        yield
    except sqlite3.Error as refusal:
        raise _refusal(path, doing, refusal) from refusal
    except (UnicodeDecodeError, msgspec.MsgspecError) as refusal:
        raise damaged(path, str(refusal)) from refusal
    except OSError as refusal:
        raise StoreError(
            f"{path.name} cannot be {doing}: {refusal.strerror or refusal}. Nothing was changed; see that the folder "
            f"is there, may be "
            "written and has room."
        ) from refusal


def _refusal(path: Path, doing: str, refusal: sqlite3.Error) -> StoreError:
    code = getattr(refusal, "sqlite_errorcode", 0) & 0xFF
    if code in _BUSY:
        return BusySiteFile(
            f"{path.name} cannot be {doing}: another program holds it. Nothing was changed; let that program finish or close the "
            "file there (a GIS may have it open for editing), then try again."
        )
    if code == sqlite3.SQLITE_NOTADB:
        return not_a_site_file(path)
    if code in _DAMAGE or any(words in str(refusal) for words in _DAMAGE_SAYS):
        return damaged(path, str(refusal))
    if code == sqlite3.SQLITE_FULL:
        return StoreError(f"{path.name} cannot be {doing}: the disk is full. Nothing was changed; make room, then try again.")
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM):
        return StoreError(
            f"{path.name} cannot be {doing}: it, or its folder, can only be read here. Nothing was changed; move it "
            f"to a folder that "
            "may be written, or open it for reading only."
        )
    if code in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR):
        return StoreError(
            f"{path.name} cannot be {doing}: the disk or folder refuses it ({refusal}). Nothing was changed; see that "
            f"the folder may "
            "be written, has room and is still connected."
        )
    return StoreError(f"{path.name} cannot be {doing}: {refusal}. Nothing was changed; if the site is closed, open it again.")


def damaged(path: Path, why: str) -> DamagedSiteFile:
    """Return the refusal of a file that was a site file and is one no more."""
    return DamagedSiteFile(
        f"{path.name} is damaged ({shorten(why, 200)}). It was not altered: keep it as it is, make a copy, and go "
        f"back to the latest backup; "
        "changes made since are on the other devices that wrote them."
    )


def not_a_site_file(path: Path) -> StoreError:
    """Return the refusal of a file that is not a database, by what its first bytes say.

    The file is read here, which lets go of SQLite's locks on it: only for a file that SQLite has refused.
    """
    try:
        with path.open("rb") as opened:
            start = opened.read(16)
    except OSError as refusal:
        return StoreError(f"{path.name} cannot be read: {refusal.strerror}. See that the disk is still connected, then try again.")
    if start and _SQLITE_STARTS_SO.startswith(start[:16]):
        return damaged(path, "it is cut short within its first page")
    what = next((words for mark, words in _WHAT_STARTS_SO if start.startswith(mark)), "something else")
    return NotASiteFile(
        f"{path.name} is not a site file: by its first bytes it is {what}. A site file is made with “baulk new” and ends in .gpkg; "
        "a table of records is taken in with “baulk take”."
    )
