"""One row that stands for several: columns side by side, and lists in a cell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from baulk.errors import InputError, RowFault, TableError, did_you_mean, shorten
from baulk.exchange.lists import split
from baulk.exchange.mapping import Each, Spread
from baulk.exchange.table import Table, tidy

__all__ = ["BLANKS", "Rows", "each_item", "spread_out", "spread_places"]


BLANKS = (
    "\t\n\x0b\x0c\r \x85\xa0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u2028\u2029\u202f\u205f\u3000"
)
"""What is taken off both ends of a cell: the white space of Unicode, which the record takes off too, and no other control mark."""


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of text with the names of their columns and the line of each row.

    Parameters
    ----------
    names : dict of str to int
        Place of each column by its plain header.
    cells : list of sequences of str
        The rows.
    lines : list of int
        The line on which each row begins.
    """

    names: dict[str, int]
    cells: list[Sequence[str]]
    lines: list[int]

    @classmethod
    def of(cls, table: Table, blanks: tuple[str, ...] = ()) -> Rows:
        """Return a table's rows; cells that hold one of the words `blanks` become blank."""
        names = {tidy(header): place for place, header in enumerate(table.headers)}
        cells: list[Sequence[str]] = list(table.rows)
        if blanks:
            words = {word.strip().casefold() for word in blanks}
            cells = [tuple("" if cell.strip().casefold() in words else cell for cell in row) for row in cells]
        return cls(names, cells, list(table.lines))

    def place(self, header: str, source: str) -> int:
        """Return the place of a column.

        Raises
        ------
        InputError
            The table has no such column.
        """
        found = self.names.get(tidy(header))
        if found is None:
            known = list(self.names)
            shown = ", ".join(shorten(name, 24) for name in known[:12]) + (" …" if len(known) > 12 else "")
            raise InputError(
                f"The mapping names the column “{shorten(header, 40)}”, which {shorten(source, 80)} does not have."
                f"{did_you_mean(tidy(header), known)} It has: {shown}."
            )
        return found

    def column(self, header: str, source: str) -> list[str]:
        """Return a column's cells without blanks round them."""
        place = self.place(header, source)
        return [row[place].strip(BLANKS) for row in self.cells]

    def widened(self, names: Sequence[str], source: str) -> dict[str, int]:
        """Return the names with further columns after the last.

        Raises
        ------
        InputError
            The table has a column of that name already.
        """
        further = dict(self.names)
        wide = max(self.names.values(), default=-1) + 1
        for place, name in enumerate(names):
            if tidy(name) in self.names:
                raise InputError(
                    f"The mapping makes a column “{shorten(name, 40)}”, but {shorten(source, 80)} has one of that name. "
                    "Call it otherwise."
                )
            further[tidy(name)] = wide + place
        return further


def spread_places(headers: Sequence[str], spread: Spread) -> list[int]:
    """Return the places of the columns that stand side by side."""
    if spread.pattern is not None:
        return [place for place, header in enumerate(headers) if spread.pattern.fullmatch(header)]
    wanted = {tidy(header) for header in spread.columns}
    return [place for place, header in enumerate(headers) if tidy(header) in wanted]


def spread_out(rows: Rows, spread: Spread, headers: Sequence[str], source: str) -> Rows:
    """Return one row for each cell of the columns that stand side by side; blank cells give none.

    Raises
    ------
    InputError
        A column named is not there, or none matches the pattern.
    """
    for header in spread.columns:
        rows.place(header, source)
    if spread.pattern is None:
        by_plain = {tidy(header): word for header, word in spread.columns.items()}
        groups: list[str] = [spread.name]
        taken: list[tuple[int, tuple[str, ...]]] = [(rows.names[header], (word,)) for header, word in by_plain.items()]
    else:
        groups = list(spread.pattern.groupindex)
        found = [(place, _matched(spread.pattern, header)) for place, header in enumerate(headers)]
        taken = [(place, words) for place, words in found if words is not None]
        if not taken:
            raise InputError(
                f"No column of {shorten(source, 80)} matches the pattern “{shorten(spread.pattern.pattern, 60)}” of spread. "
                f"It has: {', '.join(shorten(header, 24) for header in headers[:12])}."
            )
    names = rows.widened([*groups, spread.value], source)
    cells: list[Sequence[str]] = []
    lines: list[int] = []
    for row, line in zip(rows.cells, rows.lines, strict=True):
        for place, words in taken:
            value = row[place].strip()
            if value:
                cells.append((*row, *words, value))
                lines.append(line)
    return Rows(names, cells, lines)


def _matched(pattern: re.Pattern[str], header: str) -> tuple[str, ...] | None:
    found = pattern.fullmatch(header)
    return tuple(found[name] or "" for name in pattern.groupindex) if found else None


def each_item(rows: Rows, each: Each, source: str) -> Rows:
    """Return one row for each item of a list cell; a blank cell gives none.

    Raises
    ------
    TableError
        An item does not match the pattern that takes it apart.
    """
    place = rows.place(each.column, source)
    groups = list(each.pattern.groupindex) if each.pattern else []
    names = rows.widened([*groups, each.value], source)
    cells: list[Sequence[str]] = []
    lines: list[int] = []
    faults: list[RowFault] = []
    for row, line in zip(rows.cells, rows.lines, strict=True):
        for item in split(row[place], each.separators):
            words: tuple[str, ...] = ()
            if each.pattern is not None:
                found = each.pattern.fullmatch(item)
                if found is None:
                    reason = f"This item does not match the pattern “{shorten(each.pattern.pattern, 60)}” of each."
                    faults.append(RowFault(line, each.column, item, reason))
                    continue
                words = tuple(found[name] or "" for name in groups)
            cells.append((*row, *words, item))
            lines.append(line)
    if faults:
        raise TableError(source, faults)
    return Rows(names, cells, lines)
