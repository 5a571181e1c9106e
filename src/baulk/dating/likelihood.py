"""What each piece of evidence says of the year of its event: a likelihood for every cell of the window."""

from __future__ import annotations

from dataclasses import dataclass
from functools import singledispatch

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from baulk.dating.curve import Curve, intcal20
from baulk.dating.evidence import CarbonDate, CarbonLimit, Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.model import Suppositions
from baulk.dating.window import Window
from baulk.dating.years import counted, years_in_words
from baulk.errors import InputError

__all__ = ["Likelihood", "cells_of", "cut_in_words", "likelihood_anywhere", "likelihood_of", "made_by"]

Floats = NDArray[np.float64]
CUT_OFF = 0.001
"""Share of a date that a window may cut off without a word: a house setting, as in `calibrate`."""
TAIL = 5.0
"""Mean lags after which an exponential lag is taken to be over."""


@dataclass(frozen=True, slots=True, eq=False)
class Likelihood:
    """One piece of evidence over the years of a window.

    Parameters
    ----------
    yearly : float64 array, shape (years,)
        Likelihood of each year, up to a constant; 0 where the event cannot have been.
    early, late : float
        Share of the evidence's own date that lies before and after the window; 0 for what has no date of its own.
    """

    yearly: Floats
    early: float = 0.0
    late: float = 0.0


def likelihood_of(one: Evidence, window: Window, suppositions: Suppositions) -> Likelihood:
    """Return the likelihood of one piece of evidence for each year of the window.

    Parameters
    ----------
    one : Evidence
        The evidence.
    window : Window
        The window.
    suppositions : Suppositions
        The intrusion and discard settings.

    Returns
    -------
    Likelihood
        In the middle of each year.

    Raises
    ------
    InputError
        When the evidence lies outside of the window, or reaches beyond it and the window is not firm.
    """
    found = likelihood_anywhere(one, window, suppositions)
    _refuse_outside(one, window, found)
    return found


def likelihood_anywhere(one: Evidence, window: Window, suppositions: Suppositions) -> Likelihood:
    """Return the same without a look at what the window cuts off: for outcomes that are only imagined."""
    return _of(one, window.first + 0.5 + np.arange(window.cells * window.step, dtype=np.float64), suppositions)


def cells_of(yearly: Floats, step: int) -> Floats:
    """Return the mean likelihood of each cell."""
    return np.asarray(yearly.reshape(-1, step).mean(axis=1), np.float64)


def made_by(times: Floats, begin: int, end: int | None) -> Floats:
    """Return the chance that a thing was made by some times, its making lying anywhere in its years with equal chance."""
    first = counted(begin)
    if end is None:
        return (times >= first).astype(np.float64)
    return np.clip((times - first) / (counted(end) + 1 - first), 0.0, 1.0)


@singledispatch
def _of(one: Evidence, years: Floats, suppositions: Suppositions) -> Likelihood:
    raise NotImplementedError(type(one).__name__)  # the base of a closed set: each kind of evidence is registered below


@_of.register
def _(one: FindMade, years: Floats, suppositions: Suppositions) -> Likelihood:
    _refuse_turned(one.name, one.begin, one.end)
    intrusive = suppositions.intrusion.chance(one.disturbance)
    return Likelihood(intrusive + (1 - intrusive) * made_by(years, one.begin, one.end), late=float(counted(one.begin) > years[-1]))


@_of.register
def _(one: NoneLater, years: Floats, suppositions: Suppositions) -> Likelihood:
    if one.finds < 1 or not 0 < one.recognised <= 1:
        raise InputError(
            f"{one.name}: {one.finds} finds, each recognised with chance {one.recognised:g}, are given. What is absent counts only "
            "among finds that would have shown it: give one find or more, and a chance above 0 and up to 1."
        )
    if not suppositions.absence:
        return Likelihood(np.ones(len(years)))
    past = years - (counted(one.after) + 1)
    return Likelihood(suppositions.discard.none_later(past, finds=one.finds, recognised=one.recognised))


@_of.register
def _(one: Documented, years: Floats, suppositions: Suppositions) -> Likelihood:  # noqa: ARG001 (one form for all kinds)
    _refuse_turned(one.name, one.begin, one.end)
    low = -np.inf if one.begin is None else counted(one.begin)
    high = np.inf if one.end is None else counted(one.end) + 1
    inside = (years > low) & (years < high)
    return Likelihood(np.where(inside, 1.0, one.doubt), late=float(low > years[-1]), early=float(high < years[0]))


@_of.register
def _(one: YearWithError, years: Floats, suppositions: Suppositions) -> Likelihood:  # noqa: ARG001 (one form for all kinds)
    if not one.error > 0:
        raise InputError(f"{one.name}: the year {one.year:g} ± {one.error:g} is given. A year with an error has one above 0.")
    scaled = (years - one.year) / one.error
    plain = np.exp(-0.5 * scaled**2) / (one.error * np.sqrt(2 * np.pi))
    early, late = ndtr(scaled[0]), ndtr(-scaled[-1])
    return _doubted(plain, one.doubt, float(early), float(late))


@_of.register
def _(one: CarbonDate, years: Floats, suppositions: Suppositions) -> Likelihood:  # noqa: ARG001 (one form for all kinds)
    if not one.error > 0 or (one.lag is not None and not one.lag > 0):
        raise InputError(f"{one.name}: {one.age:g} ± {one.error:g} BP, lag {one.lag} is given. An error and a lag are above 0.")
    calendar, ages, errors = _yearly(one.curve)
    variance = one.error**2 + errors**2
    log = -0.5 * np.log(variance) - (one.age - ages) ** 2 / (2 * variance)
    share = np.exp(log - log.max())
    share /= share.sum()
    early, late = share[calendar < years[0] - 0.5].sum(), share[calendar > years[-1]].sum()
    if one.lag is not None:
        share, calendar, early = _lagged(share, one.lag), np.arange(calendar[0], calendar[-1] + 1 + int(TAIL * one.lag)), 0.0
    return _doubted(_placed(share, calendar, years), one.doubt, float(early), float(late))


@_of.register
def _(one: CarbonLimit, years: Floats, suppositions: Suppositions) -> Likelihood:  # noqa: ARG001 (one form for all kinds)
    calendar, ages, errors = _yearly(one.curve)
    below = _placed(ndtr((one.younger_than - ages) / errors), calendar, years)
    after = years > calendar[-1] + 1
    below[after] = 1.0  # a year after the curve's end has no old age
    return Likelihood(one.doubt + (1 - one.doubt) * below)


def _yearly(curve: Curve | None) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Return calendar years on the scale without a gap, rising, with the curve's age and error."""
    cal_bp, ages, errors = (intcal20() if curve is None else curve).yearly()
    return (1950 - cal_bp)[::-1], ages[::-1], errors[::-1]


def _placed(values: Floats, calendar: NDArray[np.int64], years: Floats) -> Floats:
    """Return values of calendar years for the years of a window; 0 where there are none."""
    found = np.zeros(len(years))
    at = np.floor(years).astype(np.int64) - calendar[0]
    inside = (at >= 0) & (at < len(values))
    found[inside] = values[at[inside]]
    return found


def _lagged(share: Floats, lag: float) -> Floats:
    """Return the chance of each year for an event that follows a sample by an exponential lag; longer by the tail."""
    past = np.arange(int(TAIL * lag) + 1)
    kernel = np.exp(-past / lag)
    return np.convolve(share, kernel / kernel.sum())


def _doubted(plain: Floats, doubt: float, early: float, late: float) -> Likelihood:
    """Mix a date with one that may be of any year of the window."""
    return Likelihood((1 - doubt) * plain + doubt / len(plain), early, late)


def _refuse_turned(name: str, begin: int | None, end: int | None) -> None:
    if begin is not None and end is not None and counted(begin) > counted(end):
        raise InputError(
            f"{name}: years from {begin} to {end} are given. A span begins before it ends: see which was turned round."
        )


def _refuse_outside(one: Evidence, window: Window, found: Likelihood) -> None:
    out = found.early + found.late
    if out <= CUT_OFF or (window.firm and out < 0.5):
        return
    side = "earlier" if found.early > found.late else "later"
    raise InputError(
        f"The window from {window.words} cuts off {100 * out:.3g} per cent of {one.name}, mostly {side}. Bounds that are too "
        "narrow make dates look surer than they are: widen the window, or see whether the date belongs to this site."
    )


def cut_in_words(one: Evidence, window: Window, found: Likelihood) -> str | None:
    """Return what a firm window cuts off, in a sentence; None when that is next to nothing."""
    out = found.early + found.late
    if out <= CUT_OFF:
        return None
    return f"The window, {years_in_words(window.begin, window.end)}, cuts off {100 * out:.3g} per cent of {one.name}."
