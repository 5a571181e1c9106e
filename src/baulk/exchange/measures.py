"""Lengths, levels and sizes in cells: in the site's own quantity unless the mapping or the words say otherwise."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from baulk.errors import MeasureError
from baulk.exchange.cells import CellFault, number_in
from baulk.grid.lengths import parse_length
from baulk.quantities import LengthUnit, metres_per
from baulk.record import Quantity

__all__ = ["MEASURES", "Entered", "measure_reader", "without_words"]

MEASURES: Mapping[str, float] = MappingProxyType({
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "ft": metres_per(LengthUnit.FOOT),
    "ft_us": metres_per(LengthUnit.SURVEY_FOOT),
    "in": metres_per(LengthUnit.FOOT) / 12,
})  # fmt: skip
"""Quantities that a mapping may name for a column, each in metres."""

_DIGITS = 9
"""Decimals kept after turning: a nanometre, far below any tape, so that 60 cm is 0.6 m and not 0.6000000000000001 m."""


_NO_WORDS = re.compile(r"[^a-zA-Z'\"′″’”]*(?:[eE][^a-zA-Z'\"′″’”]*)?")


@dataclass(frozen=True, slots=True)
class Entered:
    """A value with the words it was reduced from."""

    value: float
    words: str


def without_words(value: Any) -> tuple[Any, str]:
    """Return a measured value without its words, and the words it was reduced from."""
    if isinstance(value, Entered):
        return value.value, value.words
    if isinstance(value, list):
        words = [item.words for item in value if isinstance(item, Entered)]
        return [item.value if isinstance(item, Entered) else item for item in value], ", ".join(words)
    return value, ""


def measure_reader(quantity: Quantity, own: LengthUnit, decimal: str, given_in: str = "") -> Callable[[str], float | Entered]:
    """Return the reader of a column of lengths, levels or sizes.

    Parameters
    ----------
    quantity : Quantity
        `LENGTH` and `LEVEL` end in the site's own quantity, `SIZE` in millimetres.
    own : LengthUnit
        The site's own quantity.
    decimal : str
        The decimal mark.
    given_in : str
        The quantity of bare numbers when it is another one, a key of `MEASURES`; the words are then kept as entered.

    Returns
    -------
    callable
        It raises `CellFault` for a text that is no length.
    """
    goal = 0.001 if quantity is Quantity.SIZE else metres_per(own)
    factor = MEASURES[given_in] / goal if given_in else 1.0

    def read(text: str) -> float | Entered:
        try:
            number = number_in(text, decimal)
        except CellFault as fault:
            if _NO_WORDS.fullmatch(text):
                raise
            return _from_words(text, own, goal, fault)
        if not given_in or factor == 1.0:
            return number
        return Entered(round(number * factor, _DIGITS), f"{text} {given_in}")

    return read


def _from_words(text: str, own: LengthUnit, goal: float, fault: CellFault) -> Entered:
    try:
        metres = parse_length(text, own=own).metres
    except MeasureError as refusal:
        if not any(mark.isdecimal() for mark in text):
            raise fault from None
        raise CellFault(str(refusal).split("”. ", 1)[-1]) from None
    return Entered(round(metres / goal, _DIGITS), text)
