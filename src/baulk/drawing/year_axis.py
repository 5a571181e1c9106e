"""Calendar years from left to right over a stretch of paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from baulk.dating.years import named, year_in_words
from baulk.drawing.paper import Letters, round_step, steps_within
from baulk.drawing.scene import Group, Line, Shape, Spot, Stroke, Text

__all__ = ["YearAxis", "axis_over"]

_RULE = Stroke("faint year", 0.12)
_STEPS = 8
_LEAST_SPAN = 20.0
_AROUND = 0.05
"""Share of the span that is left free on both sides."""


@dataclass(frozen=True, slots=True)
class YearAxis:
    """Where years lie on the sheet.

    Parameters
    ----------
    left, width : float
        Millimetres from the sheet's left edge, and across.
    begin, end : float
        Years at both ends, on the scale without a gap (1 BC is 0).
    """

    left: float
    width: float
    begin: float
    end: float

    @property
    def right(self) -> float:
        """Millimetres to its right end."""
        return self.left + self.width

    def at(self, year: float) -> float:
        """Return where a year lies; one beyond an end lies on that end."""
        share = (year - self.begin) / (self.end - self.begin)
        return self.left + self.width * min(max(share, 0.0), 1.0)

    def holds(self, year: float) -> bool:
        """Tell whether a year lies between the ends."""
        return self.begin <= year <= self.end

    def rules(self, top: float, foot: float, letters: Letters) -> list[Shape]:
        """Return faint upright rules at round years, with the years written above and below them."""
        shapes: list[Shape] = []
        for year in steps_within(self.begin, self.end, max(1.0, round_step(self.end - self.begin, _STEPS))):
            across = self.at(year)
            words = year_in_words(named(int(year)))
            shapes += [
                Line(((Spot(across, top), Spot(across, foot)),), _RULE),
                Text(words, Spot(across, top - 0.5 * letters.small), letters.small, "middle"),
                Text(words, Spot(across, foot + 1.2 * letters.small), letters.small, "middle"),
            ]
        return [Group(tuple(shapes), f"Years {self._said()}, earlier on the left", role="years")]

    def _said(self) -> str:
        return f"{year_in_words(named(ceil(self.begin)))} to {year_in_words(named(floor(self.end)))}"


def axis_over(years: Iterable[float | None], left: float, width: float) -> YearAxis:
    """Return an axis that holds all these years (on the scale without a gap) with some room around them.

    Parameters
    ----------
    years : iterable of float or None
        None is passed over; with none at all the axis spans 1700 to 1900.
    left, width : float
        Millimetres.
    """
    known = [year for year in years if year is not None]
    begin, end = (min(known), max(known)) if known else (1700.0, 1900.0)
    lacking = max(0.0, _LEAST_SPAN - (end - begin))
    begin, end = begin - lacking / 2, end + lacking / 2
    room = _AROUND * (end - begin)
    return YearAxis(left, width, begin - room, end + room)
