"""Calibration of a radiocarbon age: a probability for each year, and ranges in several pieces; never a mean."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from baulk.dating.aid import DateAid
from baulk.dating.curve import Curve, intcal20
from baulk.dating.years import counted, named, year_in_words
from baulk.errors import InputError

__all__ = ["Calibrated", "Piece", "calibrate", "years_of_limit"]

Floats = NDArray[np.float64]
CUT_OFF = 0.001
"""Share of a date that bounds may cut off: a house setting."""
REACH = 3
"""Standard deviations by which an age may lie beyond the curve."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a range: first and last calendar year (negative is BC), and the share of the date in it."""

    begin: int
    end: int
    share: float


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A calibrated date.

    Parameters
    ----------
    age, error : float
        The radiocarbon age.
    curve : str
        Name, version and source of the curve.
    years : int64 array, shape (n,)
        Years on the scale without a gap (1 BC is 0), rising.
    probability : float64 array, shape (n,)
        Sums to 1.
    notes : tuple of str
        What is to be known of this date, such as that the curve ends within it.
    """

    age: float
    error: float
    curve: str
    years: NDArray[np.int64]
    probability: Floats
    notes: tuple[str, ...] = ()

    def pieces(self, level: float = 0.9545) -> tuple[Piece, ...]:
        """Return the highest-density range that holds at least `level` of the date, in as many pieces as it takes, oldest first.

        Raises
        ------
        InputError
            When the level does not lie between 0 and 1.

        Notes
        -----
        Years are taken by falling probability until they hold the level; neighbours join to pieces.
        """
        if not 0 < level < 1:
            raise InputError(f"A level of {level:g} is asked for. It is a share between 0 and 1, such as 0.9545: give one.")
        falling = np.argsort(-self.probability, kind="stable")
        enough = int(np.searchsorted(np.cumsum(self.probability[falling]), level)) + 1
        taken = np.sort(falling[:enough])
        breaks = np.flatnonzero(np.diff(taken) > 1) + 1
        return tuple(
            Piece(named(int(self.years[run[0]])), named(int(self.years[run[-1]])), float(self.probability[run].sum()))
            for run in np.split(taken, breaks)
        )

    def chance(self, begin: int, end: int) -> float:
        """Return the share of the date from one calendar year to another, both included."""
        inside = (self.years >= counted(begin)) & (self.years <= counted(end))
        return float(self.probability[inside].sum())

    @cached_property
    def words(self) -> str:
        """The date in words: the pieces at both usual levels, with the curve."""
        return (
            f"{self.age:g} ± {self.error:g} BP: {self._said(0.6827)}; {self._said(0.9545)}. {' '.join((*self.notes, self.curve))}."
        )

    def _said(self, level: float) -> str:
        pieces = (f"{year_in_words(one.begin)}-{year_in_words(one.end)} ({100 * one.share:.1f} %)" for one in self.pieces(level))
        return f"at {100 * level:.4g} % {', '.join(pieces)}"

    @property
    def aid(self) -> DateAid:
        """The date in the form of the other aids: the outer years of its pieces, and the pieces in its limits."""
        pieces = self.pieces()
        outer = ("The bounds are the outermost years of several pieces.",) if len(pieces) > 1 else ()
        lag = "It dates the death of the living thing, not the layer: old wood and things of long use lie before it."
        limits = (self.words, *outer, lag)
        valid = "what drew its carbon from the air of this curve"
        return DateAid("radiocarbon", pieces[0].begin, pieces[-1].end, None, valid, limits, self.curve, "read")


def calibrate(
    age: float, error: float, *, curve: Curve | None = None, begin: int | None = None, end: int | None = None
) -> Calibrated:
    """Return the calibrated date of a radiocarbon age.

    Parameters
    ----------
    age, error : float
        Conventional radiocarbon age and one standard deviation.
    curve : Curve, optional
        IntCal20 when left out.
    begin, end : int, optional
        Calendar years to which the answer is bounded; all years of the curve when left out. Bounds that would cut off a part of the
        date are refused, never followed in silence.

    Returns
    -------
    Calibrated
        A probability for each year, with the curve's name, version and source.

    Raises
    ------
    InputError
        When the error is not above 0, the age lies beyond the curve, or the bounds cut off more than a thousandth of the date.

    Notes
    -----
    p(t) ∝ (σ² + σc(t)²)^(-1/2) exp(-(A - μ(t))² / (2 (σ² + σc(t)²))), on a yearly grid, with straight lines between the curve's
    points and every year of the curve as likely as another before.

    References
    ----------
    Stuiver and Reimer 1993; Bronk Ramsey 2009 (from memory, high).

    Examples
    --------
    >>> [(piece.begin, piece.end) for piece in calibrate(1000, 30).pieces()]
    [(994, 1050), (1081, 1153)]
    """
    held = intcal20() if curve is None else curve
    if not np.isfinite([age, error]).all() or error <= 0:
        raise InputError(f"The age {age:g} ± {error:g} is given. A radiocarbon age has an error above 0: ask the laboratory.")
    cal_bp, ages, errors = held.yearly()
    _refuse_beyond(age, error, held, ages, errors)
    variance = error**2 + errors**2
    log = -0.5 * np.log(variance) - (age - ages) ** 2 / (2 * variance)
    weight = np.exp(log - log.max())
    years, probability = (1950 - cal_bp)[::-1], (weight / weight.sum())[::-1]
    notes = tuple(_end_notes(years, probability))
    first = counted(begin) if begin is not None else int(years[0])
    last = counted(end) if end is not None else int(years[-1])
    inside = (years >= first) & (years <= last)
    cut = 1 - float(probability[inside].sum())
    if cut > CUT_OFF:
        raise InputError(
            f"The years {year_in_words(named(first))} to {year_in_words(named(last))} cut off {100 * cut:.1f} per cent of "
            f"{age:g} ± {error:g} BP. "
            "Bounds that are too narrow make a date look surer than it is: widen them."
        )
    share = probability[inside]
    return Calibrated(age, error, held.title, years[inside], share / share.sum(), notes)


def years_of_limit(younger_than: float, *, curve: Curve | None = None) -> str:
    """Return in words what an age given only as "younger than" leaves of the calendar.

    Notes
    -----
    The oldest year of the curve whose age, less two of its standard deviations, is still below the limit, read from the young end
    without a break of more than a century. Without an error nothing is said of how sure that is.
    """
    held = intcal20() if curve is None else curve
    cal_bp, ages, errors = held.yearly()
    below = cal_bp[ages - 2 * errors < younger_than]
    if not len(below):
        return f"No year of {held.title} has an age below {younger_than:g} BP: the sample is younger than the curve."
    breaks = np.flatnonzero(np.diff(below) > 100)
    oldest = int(below[breaks[0]] if len(breaks) else below[-1])
    return (
        f"Below {younger_than:g} BP: about {year_in_words(named(1950 - oldest))} or later by {held.title}. The laboratory gave "
        "no error, so "
        "this is no range and has no probability: use it as a weak terminus only."
    )


def _refuse_beyond(age: float, error: float, held: Curve, ages: Floats, errors: Floats) -> None:
    reach = REACH * np.sqrt(error**2 + errors**2)
    old, young = float((ages + reach).max()), float((ages - reach).min())
    if age > old:
        raise InputError(
            f"The age {age:g} ± {error:g} BP is older than {held.title} reaches ({ages.max():g} BP). It has no calendar date by "
            "this curve: "
            "say “older than the curve”."
        )
    if age < young:
        raise InputError(
            f"The age {age:g} ± {error:g} BP is younger than {held.title} reaches ({ages.min():g} BP). It is of the years after "
            "1950, or the "
            "sample is spoilt: a curve of bomb carbon is wanted."
        )


def _end_notes(years: NDArray[np.int64], probability: Floats) -> list[str]:
    """Say when the date runs into an end of the curve: a range that stops there was stopped by the curve."""
    highest = probability.max()
    notes = []
    if probability[-1] > 0.01 * highest:
        notes.append(f"The curve ends at {year_in_words(named(int(years[-1])))}, within this date: later years are not ruled out.")
    if probability[0] > 0.01 * highest:
        notes.append(
            f"The curve begins at {year_in_words(named(int(years[0])))}, within this date: earlier years are not ruled out."
        )
    return notes
