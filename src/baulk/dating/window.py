"""The years that a chronology is worked out over: explicit, shown, and checked against what is put in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.dating.years import counted, years_in_words
from baulk.errors import InputError

__all__ = ["Window"]

MOST_CELLS = 20_000
"""Cells that a window may be cut into: a house setting that bounds memory."""


@dataclass(frozen=True, slots=True)
class Window:
    """The hard bounds of every event, and the cells that dates are told in.

    Parameters
    ----------
    begin, end : int
        First and last calendar year in which anything of the site can have happened (negative is BC, there is no year 0), both
        included. Nothing is dated outside.
    step : int, optional
        Years in a cell. One, unless the window spans many thousands.
    firm : bool, optional
        True when the bounds are known from elsewhere, such as a site cleared in 1890: then what they cut off a date is told;
        otherwise a date that reaches beyond them is refused, since too narrow a window makes dates look surer than they are.

    Notes
    -----
    Inside, time is a real number t on the scale without a gap (`years.counted`): the year y is the span y <= t < y + 1. So "made
    from 1799" means t >= 1799.0, and "there by 1799" means t < 1800.0.

    Raises
    ------
    InputError
        When the years do not rise, a year is 0, or there would be more than 20,000 cells.

    Examples
    --------
    >>> window = Window(1650, 1899)
    >>> window.cells, window.length, window.words
    (250, 250.0, '1650 to 1899')
    """

    begin: int
    end: int
    step: int = 1
    firm: bool = False

    def __post_init__(self) -> None:
        """Check the years and the number of cells."""
        if counted(self.begin) >= counted(self.end) or self.step < 1:
            raise InputError(
                f"A window from {self.begin} to {self.end} in steps of {self.step} is given. It begins before it ends, and its "
                "cells are whole years: give the earliest and the latest year in which anything of the site can have happened."
            )
        if self.cells > MOST_CELLS:
            raise InputError(
                f"A window of {counted(self.end) + 1 - counted(self.begin):,} years in steps of {self.step} has {self.cells:,} "
                f"cells; at most {MOST_CELLS:,} are held. Give a larger step, or a window that is closer about the site."
            )

    @property
    def first(self) -> float:
        """Where the window begins on the scale without a gap."""
        return float(counted(self.begin))

    @property
    def cells(self) -> int:
        """Number of cells; the last one may reach beyond the end by part of a step."""
        return -(-(counted(self.end) + 1 - counted(self.begin)) // self.step)

    @property
    def length(self) -> float:
        """Years from the beginning to the end of the last cell."""
        return float(self.cells * self.step)

    @property
    def years(self) -> NDArray[np.int64]:
        """First year of each cell on the scale without a gap, shape (cells,)."""
        return counted(self.begin) + self.step * np.arange(self.cells, dtype=np.int64)

    @property
    def words(self) -> str:
        """The window as people write it."""
        return years_in_words(self.begin, self.end)
