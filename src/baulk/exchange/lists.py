"""Cells that hold a list: items separated by marks, an item that holds a mark in quotation marks."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["joined", "split"]


def joined(items: Sequence[str]) -> str:
    """Return the items as one cell, separated by “; ”.

    Examples
    --------
    >>> joined(["12", "14; or 15"])
    '12; "14; or 15"'
    """
    return "; ".join(_quoted(item) for item in items)


def _quoted(item: str) -> str:
    if not item or ";" in item or item[0] == '"' or item != item.strip():
        return '"' + item.replace('"', '""') + '"'
    return item


def split(cell: str, marks: str = ";") -> list[str]:
    """Return the items of a cell, without blanks round them; blank items are left out unless they are quoted.

    Parameters
    ----------
    cell : str
        The cell.
    marks : str
        Every character that separates items.

    Examples
    --------
    >>> split("12, 14; 15", ",;")
    ['12', '14', '15']
    """
    if '"' not in cell:
        for mark in marks[1:]:
            cell = cell.replace(mark, marks[0])
        return [item.strip() for item in cell.split(marks[0]) if item.strip()]
    return _split_quoted(cell, marks)


def _split_quoted(cell: str, marks: str) -> list[str]:
    items: list[str] = []
    place = 0
    while place < len(cell):
        if cell[place].isspace() or cell[place] in marks:
            place += 1
            continue
        if cell[place] == '"' and (end := _closing(cell, place, marks)):
            items.append(cell[place + 1 : end].replace('""', '"'))
            place = end + 1
            continue
        end = min((found for mark in marks if (found := cell.find(mark, place)) >= 0), default=len(cell))
        items.append(cell[place:end].strip())
        place = end
    return items


def _closing(cell: str, start: int, marks: str) -> int:
    """Return where the quoted item that begins at `start` ends, 0 when it is no quoted item (as in ``"Big" pit``)."""
    place = start + 1
    while (place := cell.find('"', place)) >= 0:
        if cell[place + 1 : place + 2] == '"':
            place += 2
            continue
        rest = cell[place + 1 :].lstrip()
        return place if not rest or rest[0] in marks else 0
    return 0
