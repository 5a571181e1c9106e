"""What sets bounds: finds, by when they can first have been made, and documents, by when a thing is known to have been there.

A *terminus post quem* (TPQ) says that a context was formed in that year or later, a *terminus ante quem* (TAQ) that it was formed
in that year or earlier. A TPQ is carried up, a TAQ down. A TPQ above gives no TAQ below, and the last year in which a thing was
made is no TAQ: things are kept and thrown away later. `baulk.dating.bounds` carries them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import InputError

__all__ = ["FindsTerminus", "Side", "Termini", "terminus_of_finds"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]


class Side(IntEnum):
    """Which bound a terminus sets."""

    POST = 0
    """Not earlier than."""
    ANTE = 1
    """Not later than."""


@dataclass(frozen=True, slots=True, eq=False)
class Termini:
    """The finds and documents that set bounds, one row each.

    Parameters
    ----------
    context : int32 array, shape (k,)
        The context each belongs to.
    year : float64 array, shape (k,)
        The year: of a find the earliest in which it can have been made, of a TAQ the latest in which the context can have been
        formed.
    side : uint8 array, shape (k,)
        Values of `Side`.
    names : tuple of str
        What each is, as in "find 12, coin 1799".
    used : bool array, shape (k,)
        False for a row that is set aside.
    """

    context: Places
    year: Floats
    side: NDArray[np.uint8]
    names: tuple[str, ...]
    used: NDArray[np.bool_]

    @classmethod
    def of(cls, context: ArrayLike, year: ArrayLike, side: ArrayLike, names: Sequence[str] = ()) -> Termini:
        """Return termini from columns; a year may not be missing.

        Raises
        ------
        InputError
            If the columns differ in length, a year is not a number, or a side is neither of the two.
        """
        places, years = np.array(context, np.int32).reshape(-1), np.array(year, np.float64).reshape(-1)
        sides = np.array(side, np.uint8).reshape(-1)
        if not len(places) == len(years) == len(sides) or (names and len(names) != len(places)):
            raise InputError(
                f"{len(places)} contexts, {len(years)} years and {len(sides)} sides of termini are given. Each terminus has one "
                "of each: "
                "give columns of equal length."
            )
        if not np.isfinite(years).all() or (sides > 1).any():
            raise InputError(
                "A terminus has no year, or is neither “not earlier than” nor “not later than”. Leave out what has no date: "
                "it sets no bound."
            )
        known = tuple(names) or tuple(f"terminus {row}" for row in range(len(places)))
        return cls(places, years, sides, known, np.ones(len(places), bool))


@dataclass(frozen=True, slots=True)
class FindsTerminus:
    """The TPQ of the finds of one context.

    Parameters
    ----------
    year : int
        The latest of the finds' earliest years.
    by : tuple of int
        Places of the finds that set it.
    loose : int or None
        The year if the latest end of a find's own range were taken instead, as some do; None where that is no later.
    """

    year: int
    by: tuple[int, ...]
    loose: int | None


def terminus_of_finds(begins: Sequence[int | None], ends: Sequence[int | None] | None = None) -> FindsTerminus | None:
    """Return the TPQ of a context's own finds: the latest of the years in which each can first have been made.

    Parameters
    ----------
    begins, ends : sequence of int or None
        First and last year of making of each find; None where it is not known. A find without a first year sets nothing.

    Returns
    -------
    FindsTerminus or None
        None when no find has a first year.

    Notes
    -----
    A find that is older than the others sets no bound, however old: it may be residual.

    References
    ----------
    Norfolk Heritage Explorer, record tnf388: "the terminus post quem is determined by the youngest object" (read). Sources
    disagree on a find with a loose date: a coin dated 1590-1625 beside one of 1595 gives 1595 by the rule above ("latest date
    established with certainty") and 1625 in a museum's worked page (both read); the first is kept, the second told as `loose`.

    Examples
    --------
    >>> terminus_of_finds([1588, 1595, 1590], [1588, 1595, 1625])
    FindsTerminus(year=1595, by=(1,), loose=1625)
    """
    known = [(begin, place) for place, begin in enumerate(begins) if begin is not None]
    if not known:
        return None
    year = max(begin for begin, _ in known)
    last = [end for end, begin in zip(ends or (), begins, strict=True) if end is not None and begin is not None] if ends else []
    loose = max(last, default=year)
    return FindsTerminus(year, tuple(place for begin, place in known if begin == year), loose if loose > year else None)
