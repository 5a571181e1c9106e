"""A table turned into columns of our own fields, as a pass of a mapping says; cells are still text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from baulk.errors import RowFault, TableError, did_you_mean, shorten
from baulk.exchange.mapping import Take
from baulk.exchange.spreading import Rows, each_item, spread_out, spread_places
from baulk.exchange.table import Table, lines_named, tidy
from baulk.exchange.template import Template
from baulk.record import Entity, fields_of

__all__ = ["Turned", "plain_take", "turned", "untaken"]


@dataclass(frozen=True, slots=True)
class Turned:
    """Cells by our field, one for each record to be made.

    Parameters
    ----------
    columns : mapping of str to list of str
        For each field its cells, blank where nothing stands.
    lines : list of int
        The line of each row.
    datums : mapping of str to list of str
        For each level field given as a depth, the datum's cells.
    headers : mapping of str to str
        For each field what a message calls its column.
    notes : tuple of str
        Rows that were left out.
    """

    columns: Mapping[str, list[str]]
    lines: list[int]
    datums: Mapping[str, list[str]]
    headers: Mapping[str, str]
    notes: tuple[str, ...]


def plain_take(table: Table, kind: type[Entity]) -> Take:
    """Return the pass for a table in our own form: each header is a field's name or label, in capitals or not.

    Raises
    ------
    TableError
        A header is neither, or names a field that another header names too.
    """
    names = [(name, said.label) for name, said in fields_of(kind) if name != "absences"]
    by_header = {tidy(label): name for name, label in reversed(names)} | {tidy(name): name for name, _ in names}
    columns: dict[str, str] = {}
    faults: list[RowFault] = []
    for place, header in enumerate(table.headers):
        name = by_header.get(tidy(header))
        if name is None:
            if any(row[place].strip() for row in table.rows):
                near = did_you_mean(header.lower(), [name for name, _ in names])
                reason = f"A {kind.TITLE} has no such field.{near} Use a mapping file for another office's columns."
                faults.append(RowFault(table.header_line, header, "", reason))
        elif name in columns:
            faults.append(
                RowFault(table.header_line, header, "", f"The column “{shorten(columns[name])}” is the same field; keep one.")
            )
        else:
            columns[name] = header
    if faults:
        raise TableError(table.source, faults)
    return Take(kind.KIND, columns=columns)


def untaken(table: Table, takes: Iterable[Take]) -> tuple[str, ...]:
    """Return a note for each column with cells that none of the passes over the table names."""
    named: set[str] = set()
    for take in takes:
        if take.keep_rest:
            return ()
        named |= _used_headers(table, take)
    notes = []
    for place, header in enumerate(table.headers):
        if tidy(header) not in named:
            count = sum(1 for row in table.rows if row[place].strip())
            if count:
                cells = "1 cell" if count == 1 else f"{count} cells"
                notes.append(
                    f"The column “{shorten(header, 40)}” ({cells}) was not taken: map it, "
                    "say keep_rest = true, or list it under ignore."
                )
    return tuple(notes)


def _used_headers(table: Table, take: Take) -> set[str]:
    named = {tidy(header) for header in take.used}
    if take.spread:
        named |= {tidy(table.headers[place]) for place in spread_places(table.headers, take.spread)}
    return named


def turned(table: Table, take: Take) -> Turned:
    """Return a table's cells under our own fields.

    Raises
    ------
    InputError
        The mapping names a column that the table does not have.
    TableError
        An item of a list does not match the pattern that takes it apart.
    """
    rows = Rows.of(table, take.blanks)
    notes: list[str] = []
    if take.skip:
        rows, notes = _skipped(rows, take, table)
    if take.spread:
        rows = spread_out(rows, take.spread, table.headers, table.source)
    if take.each:
        rows = each_item(rows, take.each, table.source)
    for column in take.used:
        rows.place(column, table.source)
    columns = {ours: rows.column(theirs, table.source) for ours, theirs in take.columns.items()}
    ends: set[int] = set()
    for ours, template in take.compose.items():
        columns[ours] = _composed(rows, template, take.within, table.source, ends)
    columns = {ours: _translated(cells, take.words[ours]) if ours in take.words else cells for ours, cells in columns.items()}
    for ours, text in take.constants.items():
        columns[ours] = [text] * len(rows.cells)
    if take.keep_rest:
        columns["notes"] = _with_rest(rows, table, take, columns.get("notes"))
    datums = {ours: rows.column(datum, table.source) for ours, datum in take.depths.items() if isinstance(datum, str)}
    headers = {ours: take.columns.get(ours, ours) for ours in columns}
    return _without(ends, Turned(columns, rows.lines, datums, headers, tuple(notes)))


def _skipped(rows: Rows, take: Take, table: Table) -> tuple[Rows, list[str]]:
    kept = list(range(len(rows.cells)))
    for column, words in take.skip.items():
        place = rows.place(column, table.source)
        kept = [at for at in kept if " ".join(rows.cells[at][place].split()).casefold() not in words]
    left = sorted(set(range(len(rows.cells))).difference(kept))
    where = lines_named(rows.lines[at] for at in left)
    notes = [f"{table.source}, {where}: left out, as the mapping says under skip."] if left else []
    return Rows(rows.names, [rows.cells[at] for at in kept], [rows.lines[at] for at in kept]), notes


def _composed(rows: Rows, template: Template, within: str, source: str, ends: set[int]) -> list[str]:
    """Return the composed cells; a row whose neighbour is wanted and not there is added to `ends`."""
    places = [(rows.place(part.column, source), part.step) for part in template.parts if part.column]
    group = rows.column(within, source) if within else [""] * len(rows.cells)
    composed: list[str] = []
    last = len(rows.cells)
    for at in range(last):
        cells: list[str] = []
        for place, step in places:
            there = at + step
            if step and not (0 <= there < last and group[there] == group[at]):
                ends.add(at)
                cells.append("")
            else:
                cells.append(rows.cells[there][place].strip())
        composed.append(template.fill(cells))
    return composed


def _with_rest(rows: Rows, table: Table, take: Take, notes: list[str] | None) -> list[str]:
    used = _used_headers(table, take)
    rest = [(place, header) for place, header in enumerate(table.headers) if tidy(header) not in used]
    kept: list[str] = []
    for at, cells in enumerate(rows.cells):
        said = [notes[at]] if notes and notes[at] else []
        said += [f"{header}: {cells[place].strip()}" for place, header in rest if cells[place].strip()]
        kept.append("\n".join(said))
    return kept


def _translated(cells: list[str], words: Mapping[str, str]) -> list[str]:
    return [words.get(" ".join(cell.split()).casefold(), cell) for cell in cells]


def _without(ends: set[int], found: Turned) -> Turned:
    if not ends:
        return found
    kept = [at for at in range(len(found.lines)) if at not in ends]
    columns = {ours: [cells[at] for at in kept] for ours, cells in found.columns.items()}
    datums = {ours: [cells[at] for at in kept] for ours, cells in found.datums.items()}
    return Turned(columns, [found.lines[at] for at in kept], datums, found.headers, found.notes)
