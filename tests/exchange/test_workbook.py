"""Workbooks give the text that a person would have typed; damaged, locked and bloated ones are refused."""

from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from baulk.errors import FileError, InputError
from baulk.exchange import read_table
from baulk.exchange.workbook import workbook_rows


def book(folder: Path, *rows: tuple[object, ...], sheets: tuple[str, ...] = ("Sheet1",), name: str = "t.xlsx") -> Path:
    """Return a workbook with those rows in its last sheet."""
    made = Workbook()
    made.active.title = sheets[0]
    for title in sheets[1:]:
        made.create_sheet(title)
    for row in rows:
        made[sheets[-1]].append(row)
    path = folder / name
    made.save(path)
    return path


def test_values_become_plain_text(tmp_path: Path) -> None:
    """12.0 is 12, a day is written year-month-day, yes and no are words, a blank is blank."""
    path = book(
        tmp_path, ("n", "x", "day", "at", "ok", "none", "end"),
        (12.0, 0.1, dt.datetime(2026, 5, 14), dt.datetime(2026, 5, 14, 10, 40), True, None, "007"),
    )  # fmt: skip
    assert read_table(path).rows == [("12", "0.1", "2026-05-14", "2026-05-14 10:40", "yes", "", "007")]


def test_a_sheet_is_chosen_by_name_and_the_first_by_default(tmp_path: Path) -> None:
    """Other sheets are named in a note; a wrong name offers the right one."""
    path = book(tmp_path, ("a", "b"), (1, 2), sheets=("Cover", "Layers"))
    assert read_table(path, sheet="layers").rows == [("1", "2")]
    assert read_table(path, sheet="layers").notes == ("Only one sheet was read; others are: Cover.",)
    with pytest.raises(FileError, match="nothing but blank lines"):
        read_table(path)
    with pytest.raises(InputError, match=r"t\.xlsx has no sheet “Layer”\. Did you mean Layers\? It has: Cover, Layers\."):
        read_table(path, sheet="Layer")


def test_what_the_file_is_does_not_depend_on_its_name(tmp_path: Path) -> None:
    """A workbook named .csv is read as a workbook."""
    path = book(tmp_path, ("a", "b"), (1, 2), name="t.xlsx").rename(tmp_path / "t.csv")
    assert read_table(path).rows == [("1", "2")]


def test_a_formula_without_a_kept_value_is_refused(tmp_path: Path) -> None:
    """Written by a program that does not calculate, the cell would read as blank: it is named instead."""
    path = book(tmp_path, ("a", "b"), (1, "=A2+1"))
    with pytest.raises(FileError, match=r"the formula in row 2, column 2 has no kept value \(1 such in all\)\. Open the workbook"):
        read_table(path)


def test_faults_of_a_spreadsheet_are_noted(tmp_path: Path) -> None:
    """A cell that shows #REF! is text, and a note names its row."""
    assert read_table(book(tmp_path, ("a", "b"), ("#REF!", 1))).notes == (
        "A spreadsheet fault such as #REF! stands in a cell of row 2.",
    )


def test_zips_that_are_no_workbooks_are_refused(tmp_path: Path) -> None:
    """Another kind of zip, a cut-off one and a workbook without its parts are each answered."""
    other = tmp_path / "o.xlsx"
    with zipfile.ZipFile(other, "w") as parts:
        parts.writestr("a.csv", "a,b")
    with pytest.raises(FileError, match=r"o\.xlsx is a zip file but no XLSX workbook \(it has 1 parts and none is a workbook\)"):
        read_table(other)
    cut = tmp_path / "c.xlsx"
    cut.write_bytes(book(tmp_path, ("a",), (1,)).read_bytes()[:900])
    with pytest.raises(FileError, match=r"c\.xlsx is a damaged or cut-off zip file\. Copy it again"):
        read_table(cut)
    hollow = tmp_path / "h.xlsx"
    with zipfile.ZipFile(hollow, "w") as parts:
        parts.writestr("xl/workbook.xml", "<workbook/>")
    with pytest.raises(FileError, match=r"h\.xlsx is damaged or no sound XLSX workbook"):
        read_table(hollow)


def test_a_workbook_that_unpacks_too_large_is_refused(tmp_path: Path) -> None:
    """Many bytes in a small zip are refused by their declared size before any is unpacked."""
    bomb = tmp_path / "z.xlsx"
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", "<workbook/>")
        parts.writestr("xl/worksheets/sheet1.xml", b"0" * 20_000_000)
    assert bomb.stat().st_size < 100_000
    with pytest.raises(FileError, match=r"z\.xlsx grows to 20,000,011 bytes when unpacked; at most 1,000,000 are unpacked"):
        workbook_rows(bomb, largest=1_000_000)


def test_a_locked_workbook_is_refused(tmp_path: Path) -> None:
    """A workbook whose parts are locked with a password is not taken for a damaged one."""
    path = book(tmp_path, ("number",), (1,))
    raw = bytearray(path.read_bytes())
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = raw.find(mark)
        while at >= 0:
            raw[at + flags] |= 1
            at = raw.find(mark, at + 4)
    path.write_bytes(raw)
    with pytest.raises(FileError, match=r"t\.xlsx is locked with a password\. Save it without one, or as CSV"):
        read_table(path)
