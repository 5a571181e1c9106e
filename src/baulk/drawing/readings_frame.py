"""Where the columns of a table of weights stand, and how its bars and lines are drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from baulk.drawing.paper import Letters
from baulk.drawing.scene import Area, Spot, Stroke, rectangle
from baulk.drawing.sheet import MARGIN

__all__ = ["AGAINST", "FOR", "RULE", "TableFrame"]

FOR, AGAINST = "#1D5B4C", "#C4703C"
"""Bottle green to the right, clay to the left."""

RULE: Mapping[str, Stroke] = MappingProxyType({
    "axis": Stroke("weight axis", 0.3),
    "faint": Stroke("faint weight step", 0.12),
    "bar": Stroke("weight", 0.18),
    "open": Stroke("weight not counted alone", 0.22),
    "blank": Stroke("blank cell", 0.22, (0.9, 0.7)),
    "range": Stroke("range of the answer", 0.35),
    "tick": Stroke("answer", 0.9),
    "bracket": Stroke("common cause", 0.4),
    "row": Stroke("faint row", 0.1),
})  # fmt: skip

_LABEL, _COLUMN, _BRACKET = 92.0, 30.0, 6.0


@dataclass(frozen=True, slots=True)
class TableFrame:
    """Columns of a table of weights.

    Parameters
    ----------
    readings : int
        How many columns.
    most : float
        Decibans of the longest bar.
    order : tuple of int
        Places of the readings from left to right.
    """

    readings: int
    most: float
    order: tuple[int, ...]

    @property
    def width(self) -> float:
        """Millimetres across the whole sheet."""
        return 2 * MARGIN + _LABEL + _BRACKET + self.readings * _COLUMN

    @property
    def label(self) -> float:
        """Millimetres for the words of a row."""
        return _LABEL

    @property
    def column(self) -> float:
        """Millimetres of one column."""
        return _COLUMN

    @property
    def bracket(self) -> float:
        """Where the brackets of groups stand."""
        return MARGIN + _LABEL + _BRACKET / 2

    @property
    def letters(self) -> Letters:
        """Heights of letters: those of a sheet of middling width, since a wide table is a table of many readings."""
        return Letters(2.6, 3.0, 3.1, 4.6)

    def left(self, place: int) -> float:
        """Return where the column of a reading begins."""
        return MARGIN + _LABEL + _BRACKET + self.order.index(place) * _COLUMN

    def axis(self, place: int) -> float:
        """Return where the axis of a reading stands."""
        return self.left(place) + _COLUMN / 2

    def length(self, weight: float) -> float:
        """Return how long a bar of that weight is."""
        return abs(weight) / self.most * (_COLUMN / 2 - 1.6)

    def bar(self, axis: float, weight: float, middle: float, *, counted: bool = True, high: float = 2.6) -> Area:
        """Return the bar of a weight; one of next to nothing is a hair on the axis."""
        length = max(self.length(weight), 0.05)
        left = axis if weight >= 0 else axis - length
        ring = rectangle(left, middle - high / 2, length, high)
        if counted:
            return Area((ring,), FOR if weight >= 0 else AGAINST, stroke=RULE["bar"])
        return Area((ring,), "paper", stroke=RULE["open"])

    def share(self, place: int, share: float) -> float:
        """Return where a share of 0 to 1 stands in the column of a reading."""
        return self.left(place) + 2.0 + share * (_COLUMN - 4.0)

    def spot(self, place: int, share: float, down: float) -> Spot:
        """Return the spot of a share in the column of a reading."""
        return Spot(self.share(place, share), down)
