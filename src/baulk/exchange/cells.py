"""The text of a cell to a plain value: numbers, yes and no, days, positions."""

from __future__ import annotations

import json
import math
import re
from typing import Any

from baulk.errors import shorten

__all__ = ["DATE_ORDERS", "CellFault", "count_in", "data_in", "day_in", "number_in", "positions_in", "yes_no_in"]

DATE_ORDERS = ("year month day", "day month year", "month day year")
"""Orders in which another office may write a date."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?[\d.]*\d,\d+", re.ASCII)
_YES, _NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_DATE_PARTS = re.compile(r"(\d{1,4})[./\- ](\d{1,2})[./\- ](\d{1,4})", re.ASCII)
_COMMA_RULE = (
    'A comma may stand for decimals or for thousands. Write decimals with a point, or say decimal = "," in the mapping file.'
)


class CellFault(ValueError):
    """A cell cannot be read; its text is the reason. `orphan` when it names a record that is not there."""

    def __init__(self, reason: str, *, orphan: bool = False) -> None:
        self.orphan = orphan
        super().__init__(reason)


def number_in(text: str, decimal: str = ".") -> float:
    """Return the number that a cell holds.

    Parameters
    ----------
    text : str
        The cell, not blank.
    decimal : str
        The decimal mark, a point or a comma.

    Raises
    ------
    CellFault
        It is no plain number, or a comma stands in it where the decimal mark is a point.
    """
    tidy = text.replace("\u2212", "-")
    if decimal == ",":
        if "." in tidy:
            raise CellFault("The decimal mark is said to be a comma, so a point has no place in a number.")
        tidy = tidy.replace(",", ".")
    if not _NUMBER.fullmatch(tidy):
        raise CellFault(_COMMA_RULE if _WITH_COMMA.fullmatch(tidy) else _no_number(tidy))
    number = float(tidy)
    if not math.isfinite(number):
        raise CellFault("This number is too large to be a measure.")
    return number


def _no_number(text: str) -> str:
    first = re.match(r"[<>~±c. ]*([+-]?\d+(?:\.\d+)?)", text)
    if first:
        return f"This is no plain number. Put {first[1]} in the cell, if that is meant, and the rest into the notes."
    return "This is no number. Leave the cell blank when nothing was measured, or write “not done: reason”."


def count_in(text: str, decimal: str = ".") -> int:
    """Return the whole number that a cell holds; 12.0 is 12.

    Raises
    ------
    CellFault
        It is no whole number.
    """
    if text.isdecimal() and text.isascii() and len(text) < 16:
        return int(text)
    number = number_in(text, decimal)
    if not number.is_integer():
        raise CellFault("A whole number belongs here.")
    return int(number)


def yes_no_in(text: str) -> bool:
    """Return True for yes, y, true or 1 and False for no, n, false or 0, in capitals or not.

    Raises
    ------
    CellFault
        It is none of these.
    """
    word = text.lower()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise CellFault("Yes or no belongs here. Translate other words in the mapping file.")


def day_in(text: str, order: str = "year month day") -> str:
    """Return a date as year-month-day, read in the order that is said; a year has four digits.

    Raises
    ------
    CellFault
        It is no date in that order.
    """
    if _ISO.fullmatch(text):
        return text
    parts = _DATE_PARTS.fullmatch(text)
    if not parts:
        raise CellFault("A date is written year-month-day, as in 2026-05-14.")
    if order == "year month day" and len(parts[1]) != 4:
        raise CellFault(
            "It cannot be told which figure is the day and which the month. Write 2026-05-14, "
            'or say dates = "day month year" in the mapping file.'
        )
    named = dict(zip(order.split(), parts.groups(), strict=True))
    if len(named["year"]) != 4:
        raise CellFault(f"Read as {order}, this has no year of four digits.")
    return f"{named['year']}-{named['month']:0>2}-{named['day']:0>2}"


def positions_in(text: str, decimal: str = ".") -> list[list[float]]:
    """Return a list of positions, each “easting northing”, separated by semicolons.

    Raises
    ------
    CellFault
        One of them is no pair of numbers.

    Examples
    --------
    >>> positions_in("100 200; 102 200")
    [[100.0, 200.0], [102.0, 200.0]]
    """
    positions = []
    for place, pair in enumerate(text.strip().rstrip(";").split(";"), start=1):
        parts = pair.split()
        if len(parts) != 2:
            raise CellFault(f"Position {place}, “{shorten(pair, 24)}”, is no pair: write easting, a blank and northing.")
        positions.append([number_in(part, decimal) for part in parts])
    return positions


def data_in(text: str) -> Any:
    """Return structured data from its JSON text.

    Raises
    ------
    CellFault
        It is no JSON object.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        raise CellFault('Structured data is written as a JSON object, as in {"key": "value"}.')
    return data
