"""Hostile and odd input is refused with a sentence or kept whole; nothing is lost and no file outside is opened."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from baulk.errors import BaulkError, FileError, TableError
from baulk.exchange import drafts, give_csv, read_table, table_of_text
from baulk.record import SiteRecord
from tests.exchange.made import ids, record_of, taken

RIGHT_TO_LEFT = "\u202egnp.exe\u202c שכבה"


@pytest.mark.parametrize(
    "data", [b"", b"\x00\x01\x02\xff" * 100, b"\xff\xfe\x00", b"PK\x03\x04junk", b"\x89PNG\r\n\x1a\n", b"\r\n" * 9]
)
def test_files_that_are_no_tables_end_in_a_sentence(tmp_path: Path, data: bytes) -> None:
    """Empty, binary, cut-off and blank files are refused as files, never with a traceback of another kind."""
    path = tmp_path / "f.csv"
    path.write_bytes(data)
    with pytest.raises(FileError, match=r"f\.csv (is|holds)"):
        read_table(path)


def test_a_zip_inside_a_workbook_is_only_text(tmp_path: Path) -> None:
    """A zip that carries another zip in place of a workbook is refused and never unpacked."""
    inner = tmp_path / "i.zip"
    with zipfile.ZipFile(inner, "w") as parts:
        parts.writestr("../../evil.csv", "a,b")
    outer = tmp_path / "o.xlsx"
    with zipfile.ZipFile(outer, "w") as parts:
        parts.write(inner, "xl/inner.zip")
    with pytest.raises(FileError, match="is a zip file but no XLSX workbook"):
        read_table(outer)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["i.zip", "o.xlsx"]


@pytest.mark.parametrize(
    "text", ["=HYPERLINK(1)", "+cmd|' /C calc'!A0", "-2+3", "@SUM(1)", "'=1", "../../etc/passwd", RIGHT_TO_LEFT]
)
def test_odd_texts_are_kept_as_they_are_and_given_out_safely(text: str) -> None:
    """Formulas, paths and marks of direction are text: kept, and given out so that a spreadsheet shows them as text."""
    quoted = '"' + text.replace('"', '""') + '"'
    found = taken(f"number,description\n1,{quoted}\n", "context")
    kept = text[1:] if text.startswith("'=") else text
    assert found.drafts[0].values["description"] == kept
    given = give_csv(record_of(found.drafts), "context", used_only=True)
    cell = table_of_text(given).rows[0][-1]
    assert cell[0] not in "=+-@" and taken(given, "context").drafts[0].values["description"] == kept


def test_control_and_direction_marks_are_neutralised_in_messages() -> None:
    """A message never carries a mark that turns the line round or rings the bell."""
    with pytest.raises(TableError) as caught:
        taken(f"number,length\n1,{RIGHT_TO_LEFT}\x07\x1b[31m\n", "context")
    assert caught.value.faults[0].given.startswith("\u202e")
    assert all(mark.isprintable() for line in str(caught.value).splitlines() for mark in line)
    assert "שכבה" in str(caught.value)


def test_long_texts_are_kept_and_long_numbers_refused() -> None:
    """A description of 10 kB is whole; a number of 10 kB is refused with the limit, and the message stays short."""
    long = "x" * 10_000
    assert taken(f"number,description\n1,{long}\n", "context").drafts[0].values["description"] == long
    with pytest.raises(
        TableError, match=r"A number or name has at most 64 characters; this has 10,000\. Put the rest into the notes"
    ) as caught:
        taken(f"number\n{long}\n", "context")
    assert len(str(caught.value)) < 400


def test_a_cell_beyond_the_limit_is_refused() -> None:
    """One cell of eleven million characters, as after a lost quotation mark, is named by its row."""
    with pytest.raises(FileError, match=r"begins on line 2: a cell has more than 10,000,000 characters"):
        table_of_text("a,b\n1," + "x" * 11_000_000 + "\n", separator=",")


@pytest.mark.slow
def test_a_million_rows_are_read_and_their_faults_listed() -> None:
    """10^6 rows are read; a million bad cells are listed without quadratic work, and the message stays short."""
    table = table_of_text("number,length\n" + "".join(f"{n},x\n" for n in range(1_000_000)))
    assert len(table.rows) == 1_000_000
    with pytest.raises(TableError, match="1000000 faults") as caught:
        drafts(table, "context", SiteRecord(), new_id=ids())
    assert len(str(caught.value)) < 5000 and isinstance(caught.value, BaulkError)
