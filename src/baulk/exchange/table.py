"""A table of text as another office wrote it: headers, rows, and the line on which each row begins."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from baulk.errors import FileError, InputError, RowFault, TableError, shorten
from baulk.exchange.decoding import decoded
from baulk.exchange.first_bytes import LARGEST_FILE, TableForm, form_of
from baulk.exchange.separated import separated_rows, separator_of
from baulk.exchange.workbook import workbook_rows

__all__ = ["Table", "lines_named", "read_table", "table_of_text", "tidy"]


@dataclass(frozen=True, slots=True)
class Table:
    """A table of text; nothing in it has been turned into a number or a date.

    Parameters
    ----------
    source : str
        Name of the file, with the sheet when there is one.
    headers : tuple of str
        One for each column, no two alike: a second “Notes” is called “Notes (2)”, a blank header “column 5”.
    rows : sequence of tuple of str
        The rows that hold anything, each as long as `headers`.
    lines : sequence of int
        For each row the line on which it begins, as a person counts it from 1.
    header_line : int
        The line of the headers.
    notes : tuple of str
        What a person should know of how the file was read.
    """

    source: str
    headers: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]
    lines: Sequence[int]
    header_line: int
    notes: tuple[str, ...] = ()

    @property
    def first_line(self) -> int:
        """The line of the first row; of the line after the headers when there is no row."""
        return self.lines[0] if self.lines else self.header_line + 1


def lines_named(lines: Iterable[int], shown: int = 10) -> str:
    """Return lines as they are named in a note, each once: “line 3” or “lines 3, 7, 8 and 4 more”."""
    once = sorted(set(lines))
    more = f" and {len(once) - shown} more" if len(once) > shown else ""
    return f"line{'' if len(once) == 1 else 's'} {', '.join(map(str, once[:shown]))}{more}"


def tidy(header: str) -> str:
    """Return a header without capitals, doubled blanks, dashes and underscores, for comparison."""
    return " ".join(header.replace("_", " ").replace("-", " ").split()).casefold()


def read_table(
    path: Path,
    *,
    encoding: str = "",
    separator: str = "",
    sheet: str = "",
    header_line: int = 0,
    largest: int = LARGEST_FILE,
) -> Table:
    """Read a CSV, TSV, semicolon-separated or XLSX file.

    Parameters
    ----------
    path : Path
        The file; what it is, is told from its content and not from its name.
    encoding : str
        Encoding of separated text; empty to tell it from the content.
    separator : str
        One character; empty to tell it from the content.
    sheet : str
        Sheet of a workbook; empty for the first.
    header_line : int
        Line of the headers, counted from 1; 0 for the first line that is not blank. Lines above are left out and noted.
    largest : int
        Largest size accepted, in bytes.

    Returns
    -------
    Table

    Raises
    ------
    FileError
        The file is missing, empty, binary, damaged, too large, or has no header.
    TableError
        A row has more cells than there are headers.
    InputError
        The encoding, separator, sheet or header line does not fit.
    """
    if form_of(path, largest=largest) is TableForm.WORKBOOK:
        rows, notes = workbook_rows(path, sheet)
        return _table(f"{path.name}, sheet {sheet}" if sheet else path.name, rows, header_line, notes)
    if sheet:
        raise InputError(f"{shorten(path.name, 80)} is plain text and has no sheet “{shorten(sheet)}”. Leave the sheet out.")
    text, notes = decoded(path.read_bytes(), path.name, encoding)
    return table_of_text(text, path.name, separator=separator, header_line=header_line, notes=notes)


def table_of_text(
    text: str, source: str = "the text", *, separator: str = "", header_line: int = 0, notes: Sequence[str] = ()
) -> Table:
    """Return the table that separated text holds; see `read_table` for the parameters and the errors."""
    found = separator or separator_of(text, source)
    return _table(source, separated_rows(text, source, found), header_line, notes)


def _table(source: str, raw: Iterable[tuple[int, list[str]]], header_line: int, notes: Sequence[str]) -> Table:
    every = [(line, row) for line, row in raw if any(cell and not cell.isspace() for cell in row)]
    above = [line for line, _ in every if line < header_line]
    every = [(line, row) for line, row in every if line >= header_line]
    name = shorten(source, 80)
    if header_line and (not every or every[0][0] != header_line):
        raise InputError(f"{name}: the headers are said to stand on line {header_line}, which is blank or not there.")
    if not every:
        raise FileError(f"{name} holds nothing but blank lines. A table has one line of headers and below it its rows.")
    (line, first), body = every[0], every[1:]
    headers, header_notes = _headers(first, max((len(row) for _, row in body), default=0), body)
    rows, short = _rows(source, headers, body)
    said = [*notes, *header_notes]
    if above:
        said.append(f"Above the headers {'1 line was' if len(above) == 1 else f'{len(above)} lines were'} left out.")
    if short:
        said.append(f"Rows with fewer cells than headers were taken with the rest blank: {lines_named(short)}.")
    return Table(source, headers, rows, [line for line, _ in body], line, tuple(said))


def _headers(first: list[str], widest: int, body: list[tuple[int, list[str]]]) -> tuple[tuple[str, ...], list[str]]:
    """Return one name for each column that has a header or any cell, and notes on those that had to be given one."""
    names = [" ".join(cell.split()) for cell in first]
    while names and not names[-1] and not any(len(row) >= len(names) and row[len(names) - 1].strip() for _, row in body):
        names.pop()
    notes: list[str] = []
    seen: Counter[str] = Counter()
    headers: list[str] = []
    for place, name in enumerate(names, start=1):
        header = name or f"column {place}"
        if not name:
            notes.append(f"Column {place} has no header; it is called “{header}”.")
        seen[header.casefold()] += 1
        if seen[header.casefold()] > 1:
            notes.append(f"The header “{shorten(header, 40)}” stands more than once; column {place} is called by its count.")
            header = _free_name(header, seen)
        headers.append(header)
    if widest > len(headers) and len(headers) == 1:
        notes.append("The first line has one cell only: if it is a title, say on which line the headers stand.")
    return tuple(headers), notes


def _free_name(header: str, seen: Counter[str]) -> str:
    count = seen[header.casefold()]
    while f"{header} ({count})".casefold() in seen:
        count += 1
    seen[f"{header} ({count})".casefold()] += 1
    return f"{header} ({count})"


def _rows(source: str, headers: tuple[str, ...], body: list[tuple[int, list[str]]]) -> tuple[list[tuple[str, ...]], list[int]]:
    wide = len(headers)
    rows: list[tuple[str, ...]] = []
    short: list[int] = []
    faults: list[RowFault] = []
    for line, row in body:
        have = len(row)
        if have == wide:
            rows.append(tuple(row))
        elif have < wide:
            short.append(line)
            rows.append((*row, *[""] * (wide - have)))
        else:
            extra = [cell for cell in row[wide:] if cell.strip()]
            if extra:
                faults.append(RowFault(line, "", extra[0], _too_wide(have, wide)))
            rows.append(tuple(row[:wide]))
    if faults:
        raise TableError(source, faults)
    return rows, short


def _too_wide(have: int, wide: int) -> str:
    heads = "1 header" if wide == 1 else f"{wide} headers"
    return (
        f"The row has {have} cells and there are {heads}, so it cannot be told where this belongs. Quote a cell that holds the "
        "separator, or, when a title stands above the headers, say on which line the headers stand."
    )
