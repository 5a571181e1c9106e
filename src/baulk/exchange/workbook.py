"""XLSX workbooks to rows: values only, as plain text."""

from __future__ import annotations

import datetime as dt
import warnings
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from baulk.errors import FileError, InputError, did_you_mean, shorten

__all__ = ["LARGEST_UNPACKED", "cell_text", "workbook_rows"]

LARGEST_UNPACKED = 1024**3
"""Largest size of a workbook when unpacked, in bytes (1 GB)."""

_FAULTS = ("#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!")
_READING_FAULTS = (
    zipfile.BadZipFile, KeyError, ValueError, TypeError, AttributeError, OSError, SyntaxError, IndexError, EOFError,
    NotImplementedError,
)  # fmt: skip
_MIDNIGHT = dt.time()


def workbook_rows(
    path: Path, sheet: str = "", *, largest: int = LARGEST_UNPACKED
) -> tuple[list[tuple[int, list[str]]], tuple[str, ...]]:
    """Return the rows of one sheet, each with its line, and notes.

    Parameters
    ----------
    path : Path
        The workbook.
    sheet : str
        Name of the sheet; empty for the first.
    largest : int
        Largest size when unpacked, in bytes.

    Raises
    ------
    FileError
        The file is another kind of zip, damaged, or larger than `largest` when unpacked; or a formula has no kept value.
    InputError
        The workbook has no sheet of that name.
    """
    name = shorten(path.name, 80)
    _check_parts(path, name, largest)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # openpyxl warns of styles and extensions, which carry no values
        try:
            rows, others = _values(path, sheet, formulas=False)
            lost = _lost_formulas(rows, _values(path, sheet, formulas=True)[0]) if _has_formulas(path) else []
        except _READING_FAULTS as refusal:
            raise FileError(
                f"{name} is damaged or no sound XLSX workbook ({shorten(refusal, 80)}). "
                "Open it in a spreadsheet and save it again as XLSX or CSV."
            ) from None
    if lost:
        raise FileError(
            f"{name}: the formula in row {lost[0][0]}, column {lost[0][1]} has no kept value ({len(lost)} such in all). "
            "Open the workbook in a spreadsheet, let it calculate, and save it again."
        )
    notes = [f"Only one sheet was read; others are: {', '.join(shorten(other, 40) for other in others)}."] if others else []
    lines = [line for line, row in rows if any(cell in _FAULTS for cell in row)]
    if lines:
        notes.append(f"A spreadsheet fault such as #REF! stands in a cell of row {', '.join(map(str, lines[:10]))}.")
    return rows, tuple(notes)


def _check_parts(path: Path, name: str, largest: int) -> None:
    try:
        with zipfile.ZipFile(path) as parts:
            held = {part.filename: part.file_size for part in parts.infolist()}
            packed = any(part.flag_bits & 1 for part in parts.infolist())
    except (zipfile.BadZipFile, OSError, ValueError):
        raise FileError(
            f"{name} is a damaged or cut-off zip file. Copy it again, or save the table as XLSX or CSV again."
        ) from None
    if "xl/workbook.xml" not in held:
        raise FileError(
            f"{name} is a zip file but no XLSX workbook (it has {len(held)} parts and none is a workbook). "
            "Unpack it and give the tables one by one; an ODS sheet is saved as XLSX or CSV first."
        )
    if packed:
        raise FileError(f"{name} is locked with a password. Save it without one, or as CSV.")
    if sum(held.values()) > largest:
        raise FileError(
            f"{name} grows to {sum(held.values()):,} bytes when unpacked; at most {largest:,} are unpacked. "
            "Save the sheet as CSV, or split it."
        )


def _values(path: Path, sheet: str, *, formulas: bool) -> tuple[list[tuple[int, list[str]]], list[str]]:
    from openpyxl import load_workbook  # noqa: PLC0415 - 0.2 s that only workbooks should cost

    with path.open("rb") as file:  # given the path, the library would go by the name's ending
        book = load_workbook(file, read_only=True, data_only=not formulas)
        chosen = _sheet_name(book.sheetnames, sheet, shorten(path.name, 80))
        found: Any = book[chosen]
        found.reset_dimensions()  # some programs write a wrong size into the sheet
        rows = [(line, [cell_text(value) for value in row]) for line, row in enumerate(found.iter_rows(values_only=True), start=1)]
        others = [name for name in book.sheetnames if name != chosen]
        book.close()
    held = [line for line, row in rows if any(row)]
    rows = rows[: held[-1] if held else 0]
    widest = max((len(row) for _, row in rows), default=0)
    return [(line, row + [""] * (widest - len(row))) for line, row in rows], others


def _sheet_name(names: list[str], sheet: str, file: str) -> str:
    if not sheet:
        return names[0]
    for name in names:
        if name.strip().casefold() == sheet.strip().casefold():
            return name
    held = ", ".join(shorten(name, 40) for name in names)
    raise InputError(f"{file} has no sheet “{shorten(sheet)}”.{did_you_mean(sheet, names)} It has: {held}.")


def _has_formulas(path: Path) -> bool:
    with zipfile.ZipFile(path) as parts:
        return any(_holds(parts, part) for part in parts.namelist() if part.startswith("xl/worksheets/"))


def _holds(parts: zipfile.ZipFile, part: str) -> bool:
    with parts.open(part) as stream:
        return any(b"<f>" in piece or b"<f " in piece for piece in _overlapping(stream))


def _overlapping(stream: Any) -> Iterator[bytes]:
    tail = b""
    while piece := stream.read(1 << 20):
        yield tail + piece
        tail = piece[-2:]


def _lost_formulas(values: list[tuple[int, list[str]]], written: list[tuple[int, list[str]]]) -> list[tuple[int, int]]:
    kept = dict(values)
    return [
        (line, column + 1)
        for line, row in written
        for column, cell in enumerate(row)
        if cell.startswith("=") and not (kept.get(line, [])[column : column + 1] or [""])[0]
    ]


def cell_text(value: object) -> str:
    """Return a workbook's value as the text that a person would have typed.

    Examples
    --------
    >>> cell_text(12.0), cell_text(0.1), cell_text(True), cell_text(dt.datetime(2026, 5, 14))
    ('12', '0.1', 'yes', '2026-05-14')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, dt.datetime):
        if value.time() == _MIDNIGHT:
            return value.date().isoformat()
        return value.isoformat(sep=" ", timespec="minutes" if not value.second else "seconds")
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dt.time):
        return value.isoformat(timespec="minutes" if not value.second else "seconds")
    return str(value)
