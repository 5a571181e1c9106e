"""Years without a year 0: how they are counted on, and how they are said."""

from __future__ import annotations

from math import floor

from baulk.errors import InputError

__all__ = ["counted", "named", "year_from_cal_bp", "year_in_words", "years_in_words"]


def counted(year: int) -> int:
    """Return the year on a scale without a gap: 1 BC (written -1) is 0.

    Raises
    ------
    InputError
        If the year is 0.

    Examples
    --------
    >>> counted(1799), counted(-1), counted(1) - counted(-1)
    (1799, 0, 1)
    """
    if year == 0:
        raise InputError("The year 0 is given. There is none: 1 BC (written -1) comes before AD 1. Write one of these.")
    return year if year > 0 else year + 1


def named(count: int) -> int:
    """Return the calendar year of a place on the scale without a gap: negative is BC, never 0."""
    return count if count > 0 else count - 1


def year_from_cal_bp(cal_bp: int) -> int:
    """Return the calendar year of a count of years before AD 1950.

    Examples
    --------
    >>> year_from_cal_bp(1949), year_from_cal_bp(1950)
    (1, -1)
    """
    return named(1950 - cal_bp)


def year_in_words(year: float) -> str:
    """Return a calendar year as people write it: "1799", "79 BC"; a fraction is cut to the year it falls in."""
    whole = floor(year)
    return str(whole) if whole > 0 else f"{-whole} BC"


def years_in_words(begin: float | None, end: float | None) -> str:
    """Return a range: "1780 to 1830", "1905 or later", "1792 or earlier", "no bound"."""
    if begin is None and end is None:
        return "no bound"
    if end is None:
        return f"{year_in_words(begin or 0)} or later"
    if begin is None:
        return f"{year_in_words(end)} or earlier"
    return year_in_words(begin) if begin == end else f"{year_in_words(begin)} to {year_in_words(end)}"
