"""How two spans of time stand to each other: the thirteen ways there are, and the chance of each from joint draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.dating.posterior import Chance, Dates
from baulk.errors import InputError

__all__ = ["Standing", "Standings", "standing_of", "standings_between"]

Years = NDArray[np.int64]


class Standing(StrEnum):
    """How a first span stands to a second, in words with places for their names; one and only one holds of any two."""

    PRECEDES = "{first} is over before {second} begins, with years between"
    MEETS = "{first} is over the year before {second} begins"
    OVERLAPS = "{first} begins first and runs into {second}, which goes on longer"
    FINISHED_BY = "{first} begins first, and both end in one year"
    CONTAINS = "{first} begins first and ends last"
    STARTS = "both begin in one year, and {second} goes on longer"
    EQUALS = "both begin and end in the same years"
    STARTED_BY = "both begin in one year, and {first} goes on longer"
    DURING = "{second} begins first and ends last"
    FINISHES = "{second} begins first, and both end in one year"
    OVERLAPPED_BY = "{second} begins first and runs into {first}, which goes on longer"
    MET_BY = "{second} is over the year before {first} begins"
    PRECEDED_BY = "{second} is over before {first} begins, with years between"

    @property
    def apart(self) -> bool:
        """Whether the two share no year."""
        return self in (Standing.PRECEDES, Standing.MEETS, Standing.MET_BY, Standing.PRECEDED_BY)


_ALL = tuple(Standing)
_BY_ENDS = np.array([[2, 3, 4], [5, 6, 7], [8, 9, 10]])
"""Place of the standing of two spans that share a year, by whether the first begins and ends before, with or after the second."""


@dataclass(frozen=True, slots=True)
class Standings:
    """How the spans of two lots of events stand to each other.

    Parameters
    ----------
    chances : tuple of (Standing, Chance)
        Those that were drawn at all, the likeliest first.
    shared : Chance
        That they share a year.
    between : tuple of float
        Years from the end of the first to the beginning of the second at 2.5, 16, 50, 84 and 97.5 per cent; below 0 the second
        begins before the first is over.
    """

    chances: tuple[tuple[Standing, Chance], ...]
    shared: Chance
    between: tuple[float, float, float, float, float]


def standing_of(first_begin: ArrayLike, first_end: ArrayLike, second_begin: ArrayLike, second_end: ArrayLike) -> Years:
    """Return how spans of whole years stand to each other, as places in `Standing`.

    Parameters
    ----------
    first_begin, first_end, second_begin, second_end : array-like of int, of one shape
        First year of each span, and the year after its last: a span of one year ends one after it begins.

    Returns
    -------
    int64 array, of that shape
        0 for `Standing.PRECEDES` to 12 for `Standing.PRECEDED_BY`.

    Raises
    ------
    InputError
        When a span ends before a year of it is over.

    References
    ----------
    J. F. Allen 1983, "Maintaining knowledge about temporal intervals", Communications of the ACM 26(11): 832-843: the thirteen
    relations of two intervals (the list read in copies).

    Examples
    --------
    >>> [list(Standing)[place].name for place in standing_of([1700, 1700], [1720, 1750], [1720, 1730], [1750, 1750])]
    ['MEETS', 'FINISHED_BY']
    """
    begin, end, other_begin, other_end = (np.asarray(one, np.int64) for one in (first_begin, first_end, second_begin, second_end))
    if bool((end <= begin).any()) or bool((other_end <= other_begin).any()):
        raise InputError(
            "A span that ends before it begins is given. The year after its last is later than its first: swap the two."
        )
    both = _BY_ENDS[np.sign(begin - other_begin) + 1, np.sign(end - other_end) + 1]
    rules = [end < other_begin, end == other_begin, other_end == begin, other_end < begin]
    return np.asarray(np.select(rules, [0, 1, 11, 12], both), np.int64)


def standings_between(dates: Dates, first: Sequence[str], second: Sequence[str]) -> Standings:
    """Return the chance of each way in which two lots of events can stand to each other in time.

    Parameters
    ----------
    dates : Dates
        The dates, with their joint draws.
    first, second : sequence of str
        Events by name. Each lot spans the years from its earliest event to its latest, both included, so one event alone spans a
        year.

    Returns
    -------
    Standings
        The chances add up to 1.

    Raises
    ------
    InputError
        When a lot is empty, names what is not in the chronology, or an event stands in both.
    """
    if not first or not second or set(first) & set(second):
        raise InputError(
            "Two lots of events of which one is empty, or which share an event, are given. Give two that have nothing in common."
        )
    (begin, end), (other_begin, other_end) = (_span(dates, names) for names in (first, second))
    counts = np.bincount(standing_of(begin, end, other_begin, other_end), minlength=len(_ALL)) / len(begin)
    told = [(one, dates.chance_of(float(share))) for one, share in zip(_ALL, counts, strict=True) if share > 0]
    shared = float(sum(share for one, share in zip(_ALL, counts, strict=True) if not one.apart))
    low, left, middle, right, high = np.quantile(other_begin - end, (0.025, 0.16, 0.5, 0.84, 0.975)).tolist()
    return Standings(
        tuple(sorted(told, key=lambda pair: -pair[1].value)), dates.chance_of(shared), (low, left, middle, right, high)
    )  # fmt: skip


def _span(dates: Dates, names: Sequence[str]) -> tuple[Years, Years]:
    """Return for each draw the first year of some events and the year after the last."""
    years = np.floor(dates.draws[:, [dates.chronology.place(name) for name in names]]).astype(np.int64)
    return years.min(axis=1), years.max(axis=1) + 1
