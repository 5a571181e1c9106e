"""Columns of plain numbers: marked points, control points, picks. No record comes of them, so they need no mapping."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError, RowFault, TableError, did_you_mean
from baulk.exchange.table import Table, tidy

__all__ = ["column_places", "number_columns", "row_names"]

Floats = NDArray[np.float64]


def column_places(table: Table) -> dict[str, int]:
    """Return the place of each column by its tidied header."""
    return {tidy(header): place for place, header in enumerate(table.headers)}


def number_columns(table: Table, wanted: Sequence[str], rule: str) -> Floats:
    r"""Return the columns wanted as numbers, shape (rows, columns).

    Parameters
    ----------
    table : Table
        The rows.
    wanted : sequence of str
        Headers, in any spelling that `baulk.exchange.table.tidy` takes for one.
    rule : str
        A sentence on what the table should hold; it follows the refusal of a table without one of the columns.

    Raises
    ------
    InputError
        A column is missing.
    TableError
        A cell is no number; all such cells are listed.

    Examples
    --------
    >>> from baulk.exchange import table_of_text
    >>> number_columns(table_of_text("easting,northing\n112.2,205.8\n"), ["northing"], "Give it.").tolist()
    [[205.8]]
    """
    known = column_places(table)
    for name in wanted:
        if tidy(name) not in known:
            raise InputError(f"{table.source} has no column “{name}”.{did_you_mean(tidy(name), list(known))} {rule}")
    places = [known[tidy(name)] for name in wanted]
    faults: list[RowFault] = []
    numbers = np.full((len(table.rows), len(places)), np.nan)
    for row, (line, cells) in enumerate(zip(table.lines, table.rows, strict=True)):
        for order, place in enumerate(places):
            number = _number(cells[place])
            if number is None:
                faults.append(RowFault(line, table.headers[place], cells[place], "This is not a number, as in 1204.5."))
            else:
                numbers[row, order] = number
    if faults:
        raise TableError(table.source, faults)
    return numbers


def row_names(table: Table, headers: Sequence[str]) -> tuple[str, ...]:
    """Return what the first of these headers that is there calls each row; its place from 1 where it is blank or there is none."""
    known = column_places(table)
    called = next((known[name] for name in headers if name in known), None)
    return tuple((row[called].strip() if called is not None else "") or str(place) for place, row in enumerate(table.rows, start=1))


def _number(cell: str) -> float | None:
    try:
        number = float(cell)
    except ValueError:
        return None
    return number if isfinite(number) else None
