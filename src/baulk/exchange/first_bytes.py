"""What a file is, told from its first bytes, and the refusal of what cannot be read or is no table."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from baulk.errors import FileError, shorten

__all__ = ["LARGEST_FILE", "TableForm", "beginning_of", "form_of"]

LARGEST_FILE = 2 * 1024**3
"""Largest file that is read, in bytes (2 GB)."""

_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP = (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")
_OTHERS = {
    b"SQLite format 3\x00": "a database file",
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture (PNG)",
    b"\xff\xd8\xff": "a picture (JPEG)",
    b"GIF8": "a picture (GIF)",
    b"\x1f\x8b": "a packed file (gzip)",
    b"7z\xbc\xaf": "a packed file (7z)",
    b"\x7fELF": "a program",
}
_BYTE_ORDER_MARKS = (b"\xff\xfe", b"\xfe\xff")


class TableForm(StrEnum):
    """How a table file is written."""

    SEPARATED = "separated text"
    WORKBOOK = "workbook"


def beginning_of(path: Path, *, inside: str, again: str, length: int = 16) -> bytes:
    """Return the first bytes of a file that is there, can be read and is not empty.

    Parameters
    ----------
    path : Path
        The file.
    inside, again : str
        What to do when it is a folder, and when it is empty: a sentence each.
    length : int
        How many bytes at most.

    Raises
    ------
    FileError
        The file is missing, a folder, a device, not readable or empty.
    """
    name = shorten(path.name, 80)
    if path.is_dir():
        raise FileError(f"{name} is a folder. {inside}")
    try:
        if path.exists() and not path.is_file():
            raise FileError(f"{name} is a device or a pipe, not a file. Save it as a file and give that.")
        with path.open("rb") as file:
            start = file.read(length)
    except FileNotFoundError:
        raise FileError(
            f"There is no file {name}. See that the name is spelt as on the disk and that its folder is right."
        ) from None
    except OSError as refusal:
        raise FileError(
            f"{name} cannot be read ({refusal.strerror}). See that you may read it and that its disk is there."
        ) from None
    if not start:
        raise FileError(f"{name} is empty: it holds no byte. {again}")
    return start


def form_of(path: Path, *, largest: int = LARGEST_FILE) -> TableForm:
    """Return how the file is written, told from its content and not from its name.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Largest size accepted, in bytes.

    Raises
    ------
    FileError
        The file is missing, a folder, not readable, empty, too large, an old workbook or no table at all.
    """
    name = shorten(path.name, 80)
    start = beginning_of(
        path,
        inside="A table is one file: name a CSV, TSV or XLSX file inside it.",
        again="Save the table again and see that it has rows.",
        length=64 * 1024,
    )
    size = path.stat().st_size
    if size > largest:
        raise FileError(
            f"{name} has {_readable(size)}; at most {_readable(largest)} are read in one go. Split the table into several files."
        )
    return _form(name, start)


def _form(name: str, start: bytes) -> TableForm:
    if start.startswith(_OLD_WORKBOOK):
        raise FileError(
            f"{name} is a workbook in the old XLS form, which is not read. Open it in a spreadsheet and save it as XLSX or CSV."
        )
    if start.startswith(_ZIP):
        return TableForm.WORKBOOK
    for mark, what in _OTHERS.items():
        if start.startswith(mark):
            raise FileError(f"{name} is {what}, not a table. Give a CSV, TSV or XLSX file.")
    if b"\0" in start and not start.startswith(_BYTE_ORDER_MARKS) and not _wide_without_mark(start):
        place = start.index(b"\0") + 1
        raise FileError(
            f"{name} holds a NUL (byte {place}), which no text has: the file is binary or damaged. "
            "Save the table again as CSV in UTF-8, or as XLSX."
        )
    return TableForm.SEPARATED


def _wide_without_mark(start: bytes) -> bool:
    """Tell whether every second byte of the beginning is NUL, as in UTF-16 text of Latin letters without a byte-order mark."""
    even, odd = start[0:400:2], start[1:400:2]
    many = max(len(even), 1)
    return len(start) >= 4 and abs(even.count(0) - odd.count(0)) > 0.7 * many and min(even.count(0), odd.count(0)) == 0


def _readable(size: int) -> str:
    for unit, scale in (("GB", 1024**3), ("MB", 1024**2), ("kB", 1024)):
        if size >= scale:
            return f"{size / scale:.3g} {unit}"
    return f"{size} bytes"
