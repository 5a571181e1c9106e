"""Tables are read as another office wrote them, and what is no table is refused with a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.errors import FileError, InputError, TableError
from baulk.exchange import read_table, table_of_text
from baulk.exchange.separated import separator_of


def written(folder: Path, data: bytes, name: str = "t.csv") -> Path:
    """Return a file with those bytes."""
    path = folder / name
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    ("encoding", "noted"),
    [("utf-8", ""), ("utf-8-sig", ""), ("utf-16", ""), ("utf-16-le", "no byte-order mark"), ("utf-16-be", "no byte-order mark"),
     ("cp1252", "which is a guess")],
)  # fmt: skip
def test_encodings_are_told_from_the_content(tmp_path: Path, encoding: str, noted: str) -> None:
    """A table with letters beyond ASCII reads the same from each encoding; a guess is noted."""
    table = read_table(written(tmp_path, "SU;Typ\n1;Verfüllung – grau\n".encode(encoding)))
    assert (table.headers, table.rows) == (("SU", "Typ"), [("1", "Verfüllung – grau")])
    assert (noted in " ".join(table.notes)) and bool(table.notes) == bool(noted)


@pytest.mark.parametrize(("encoding", "text"), [("big5", "陶片"), ("shift_jis", "土坑"), ("latin-1", "Fläche")])
def test_an_encoding_may_be_named(tmp_path: Path, encoding: str, text: str) -> None:
    """A named encoding is used as said and needs no note."""
    table = read_table(written(tmp_path, f"a,b\n1,{text}\n".encode(encoding)), encoding=encoding)
    assert (table.rows, table.notes) == ([("1", text)], ())


def test_a_guess_names_what_it_could_also_be(tmp_path: Path) -> None:
    """Bytes that are sound Big5 are guessed as cp1252, and the note says that Big5 would fit."""
    table = read_table(written(tmp_path, "a,b\n1,陶片\n".encode("big5")))
    assert table.notes == (
        "It is not UTF-8 (line 2); it was read as cp1252, which is a guess. It would also be sound big5. "
        "If letters look wrong, name the encoding and take it again.",
    )


def test_a_wrong_or_unknown_encoding_is_refused(tmp_path: Path) -> None:
    """The message names the byte and line, or the nearest known encoding."""
    path = written(tmp_path, "a,b\n1,Fläche\n".encode("cp1252"))
    with pytest.raises(FileError, match=r"t\.csv is not in utf-8: byte 9, on line 2, is no letter of it\. Name another encoding"):
        read_table(path, encoding="utf-8")
    with pytest.raises(InputError, match=r"given as “cp1253x”, which is not known\. Did you mean cp1252"):
        read_table(path, encoding="cp1253x")
    with pytest.raises((InputError, FileError), match=r"hex is no encoding of text\. Often used are utf-8"):
        read_table(path, encoding="hex")


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_separators_are_told_from_the_rows(separator: str) -> None:
    """Commas inside quoted cells and as decimals do not mislead."""
    rows = [["SU", "Typ", "Länge"], ["1", '"Schicht, grau"', "1.5"], ["2", '"a; b, c"', "2.5"]]
    text = "\n".join(separator.join(row) for row in rows)
    assert separator_of(text, "t") == separator
    assert table_of_text(text).headers == ("SU", "Typ", "Länge")


def test_decimal_commas_do_not_beat_semicolons() -> None:
    """A table separated by semicolons whose numbers have decimal commas has three columns."""
    assert table_of_text("a;b;c\n1,5;2,5;3,5\n1,5;2,5;3,5\n").rows[0] == ("1,5", "2,5", "3,5")


def test_quoted_line_breaks_keep_the_count_of_lines() -> None:
    """A row is named by the line on which it begins."""
    table = table_of_text('n,text\n1,"two\nlines"\n\n2,one\n')
    assert (table.rows, list(table.lines), table.first_line) == ([("1", "two\nlines"), ("2", "one")], [2, 5], 2)


def test_numbers_are_left_as_text() -> None:
    """Leading zeros, points and signs stay as they stand."""
    assert table_of_text("a,b,c\n007,1.50,+3e2\n").rows == [("007", "1.50", "+3e2")]


def test_short_rows_are_noted_and_long_rows_refused() -> None:
    """A row that is too short is filled with blanks; one with a cell beyond the headers is a fault named by its line."""
    assert table_of_text("a,b\n1\n2,3\n").notes == ("Rows with fewer cells than headers were taken with the rest blank: line 2.",)
    with pytest.raises(TableError, match=r"line 3 “9”: The row has 3 cells and there are 2 headers"):
        table_of_text("a,b\n1,2\n3,4,9\n")
    assert table_of_text("a,b\n1,2,\n").rows == [("1", "2")]


def test_doubled_and_blank_headers_get_names_of_their_own() -> None:
    """No two headers are alike, the notes say what was called how, and a column without header and cells is none."""
    table = table_of_text("a,A,,b,\n1,2,3,4,\n")
    assert table.headers == ("a", "A (2)", "column 3", "b")
    assert table.notes == (
        "The header “A” stands more than once; column 2 is called by its count.",
        "Column 3 has no header; it is called “column 3”.",
    )


def test_lines_above_the_headers_are_left_out_when_asked() -> None:
    """`header_line` says where the headers stand; a title without it is hinted at."""
    text = "Register of 2026\nby A B\nSU,Kind\n1,cut\n"
    table = table_of_text(text, header_line=3)
    assert (table.headers, table.rows, table.header_line) == (("SU", "Kind"), [("1", "cut")], 3)
    assert "Above the headers 2 lines were left out." in table.notes
    with pytest.raises(TableError, match=r"say on which line the headers stand"):
        table_of_text(text)
    with pytest.raises(InputError, match=r"the headers are said to stand on line 9, which is blank or not there"):
        table_of_text(text, header_line=9)


def test_broken_quotation_marks_are_named_by_line() -> None:
    """A mark that is never closed is refused with the line on which its row begins."""
    with pytest.raises(
        FileError, match=r"the row that begins on line 3: its quotation marks do not pair \(cells separated by commas\)"
    ):
        table_of_text('a,b\n1,2\n3,"open\n4,5\n', separator=",")


def test_a_separator_is_one_character() -> None:
    """Two characters are refused."""
    with pytest.raises(InputError, match=r"separator is given as “;;”\. It is one character"):
        table_of_text("a;;b\n", separator=";;")


def test_missing_empty_and_other_files_are_refused(tmp_path: Path) -> None:
    """Each file that is no table is answered with what it is and what to do."""
    cases = {
        r"There is no file none\.csv\. See that the name": tmp_path / "none.csv",
        r" is a folder\. A table is one file": tmp_path,
        r"e\.csv is empty: it holds no byte": written(tmp_path, b"", "e.csv"),
        r"b\.csv holds nothing but blank lines": written(tmp_path, b" \n\n,,\n", "b.csv"),
        r"n\.csv holds a NUL \(byte 5\), which no text has": written(tmp_path, b"a,b\n\x001,2\n" + b"x,y\n" * 99, "n.csv"),
        r"p\.csv is a PDF, not a table\. Give a CSV, TSV or XLSX file": written(tmp_path, b"%PDF-1.7 ...", "p.csv"),
        r"g\.csv is a database file": written(tmp_path, b"SQLite format 3\x00....", "g.csv"),
        r"o\.xls is a workbook in the old XLS form, which is not read\. Open it in a spreadsheet and save it as XLSX": written(
            tmp_path, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 rest", "o.xls"
        ),
    }
    for sentence, path in cases.items():
        with pytest.raises(FileError, match=sentence):
            read_table(path)


def test_a_file_above_the_limit_is_refused(tmp_path: Path) -> None:
    """The size and the limit are both named."""
    with pytest.raises(FileError, match=r"t\.csv has 1\.95 kB; at most 1 kB are read in one go\. Split the table"):
        read_table(written(tmp_path, b"a,b\n" * 500), largest=1024)


def test_a_late_nul_is_named_by_line(tmp_path: Path) -> None:
    """A NUL after the first bytes is found too."""
    with pytest.raises(FileError, match=r"holds a NUL on line 20002, which no text has"):
        read_table(written(tmp_path, b"a,b\n" + b"1,2\n" * 20000 + b"3,\x004\n"))


def test_a_sheet_of_plain_text_is_refused(tmp_path: Path) -> None:
    """A CSV file has no sheets."""
    with pytest.raises(InputError, match=r"t\.csv is plain text and has no sheet “One”"):
        read_table(written(tmp_path, b"a,b\n1,2\n"), sheet="One")
