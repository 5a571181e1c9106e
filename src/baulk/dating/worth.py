"""What would date this best: the outcomes of each candidate are imagined, and how much narrower a date would be after them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import singledispatch

import numpy as np
from numpy.typing import NDArray

from baulk.dating.candidates import Candidate, CarbonSample, MoreFinds, NextUnit, Question, SherdsLookedAt, Worth
from baulk.dating.curve import intcal20
from baulk.dating.evidence import CarbonDate, Evidence, FindMade, NoneLater
from baulk.dating.intrusion import Disturbance
from baulk.dating.likelihood import likelihood_anywhere, made_by
from baulk.dating.posterior import Dates
from baulk.dating.years import counted, named
from baulk.errors import InputError

__all__ = ["rank_candidates"]

Floats = NDArray[np.float64]
ENDS = (0.025, 0.975)
FEWEST = 20
OPEN = 100
"""Years of making that a find is taken to have when its last year is not known."""


def rank_candidates(
    dates: Dates, question: Question, candidates: Sequence[Candidate], *, seed: int, outcomes: int = 200
) -> tuple[Worth, ...]:
    """Return what each candidate is expected to do for a question's date, the one that narrows most for its cost first.

    Parameters
    ----------
    dates : Dates
        The dates as they stand.
    question : Question
        The date that is to be narrowed.
    candidates : sequence of Candidate
        Pieces of work, each with its cost in one unit.
    seed : int
        Seed of the outcomes.
    outcomes : int, optional
        Outcomes imagined for each candidate, 20 or more.

    Returns
    -------
    tuple of Worth
        By years narrowed for one unit of cost.

    Raises
    ------
    InputError
        When a candidate costs nothing, names a find or event that is not there, or there are fewer than 20 outcomes.

    Notes
    -----
    A joint draw of all dates is taken for the truth; the candidate's outcome is simulated from it; all draws are weighted by the
    likelihood that the model would give to that outcome, and the range between the 2.5 and the 97.5 per cent points is read off
    the weighted draws; that is averaged over the outcomes. Limits: an outcome that few draws foresee is known roughly
    (`Worth.draws`); what is left out of the model, such as a sample that is lost or a context found to be two, is left out here;
    the absence of later finds among sherds held already stays as it is.

    References
    ----------
    D. V. Lindley 1956, "On a measure of the information provided by an experiment", Annals of Mathematical Statistics 27: 986-1005
    (from memory): the average over outcomes.
    """
    if outcomes < FEWEST or any(not one.cost > 0 for one in candidates):
        raise InputError(
            f"{outcomes} outcomes, or a candidate without a cost, are given. Narrowing is told for one unit of cost, on average "
            f"over outcomes: give every candidate a cost above 0, and {FEWEST} outcomes or more."
        )
    asked = _asked(dates, question)
    rising = np.argsort(asked)
    now = _width(asked[rising], np.ones(len(asked)))
    found = [
        _worth(dates, one, asked[rising], rising, now, outcomes, rng)
        for one, rng in zip(candidates, np.random.default_rng(seed).spawn(len(candidates)), strict=True)
    ]
    return tuple(sorted(found, key=lambda one: -one.each))


def _asked(dates: Dates, question: Question) -> Floats:
    """Return the question's quantity for every draw."""
    when = dates.draws[:, dates.chronology.place(question.event)].astype(np.float64)
    if question.other is None:
        return when
    return when - dates.draws[:, dates.chronology.place(question.other)]


def _width(rising: Floats, weight: Floats) -> float:
    """Return the years between two points of weighted values that rise."""
    total = np.cumsum(weight)
    low, high = np.searchsorted(total, np.array(ENDS) * total[-1])
    return float(rising[min(high, len(rising) - 1)] - rising[low])


def _worth(
    dates: Dates, candidate: Candidate, asked: Floats, rising: NDArray[np.int64], now: float, outcomes: int,
    rng: np.random.Generator,
) -> Worth:  # fmt: skip
    widths, effect = np.empty(outcomes), np.empty(outcomes)
    for place in range(outcomes):
        weight = _weight(candidate, dates, int(rng.integers(len(asked))), rng)[rising]
        widths[place] = _width(asked, weight)
        effect[place] = weight.sum() ** 2 / (weight**2).sum()
    least, most = np.quantile(widths, (0.1, 0.9)).tolist()
    error = float(widths.std(ddof=1) / np.sqrt(outcomes))
    return Worth(candidate, now, float(widths.mean()), error, least, most, float(np.median(effect)))


@singledispatch
def _weight(candidate: object, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    """Simulate an outcome from one draw, and return the weight that it gives to every draw."""
    raise NotImplementedError(type(candidate).__name__)  # the base of a closed set: each kind of candidate is registered below


@_weight.register
def _(candidate: CarbonSample, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    place, window = dates.chronology.place(candidate.event), dates.chronology.window
    year = window.first + float(dates.draws[true, place])
    if candidate.lag is not None:
        year -= rng.exponential(candidate.lag)
    if rng.random() < candidate.doubt:
        year = window.first + rng.random() * window.length
    curve = intcal20()
    cal_bp = min(max(1950.0 - np.floor(year), curve.cal_bp[0]), curve.cal_bp[-1])
    age, error = (float(np.interp(cal_bp, curve.cal_bp, column)) for column in (curve.age, curve.error))
    measured = age + float(np.hypot(candidate.error, error)) * rng.normal()
    return _at(dates, [CarbonDate(place, "", measured, candidate.error, candidate.lag, candidate.doubt)])


@_weight.register
def _(candidate: MoreFinds, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    return _more(dates, candidate.event, candidate.finds, candidate.makings, candidate.disturbance, true, rng)


@_weight.register
def _(candidate: NextUnit, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    if rng.random() >= candidate.goes_on:
        dates.chronology.place(candidate.event)
        return np.ones(len(dates.draws))
    return _more(dates, candidate.event, candidate.finds, candidate.makings, Disturbance.NONE, true, rng)


@_weight.register
def _(candidate: SherdsLookedAt, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    held = {one.name: one for one in dates.chronology.evidence if isinstance(one, FindMade)}
    weight = np.ones(len(dates.draws))
    for name in candidate.finds:
        if name not in held:
            raise InputError(
                f"{candidate.name} is to look at “{name}”, but no find of that name has years of making here. Name one."
            )
        weight *= _looked_at(held[name], candidate.makings, dates, true, rng)
    return weight


def _more(
    dates: Dates, event: str, count: int, makings: float, disturbance: Disturbance, true: int, rng: np.random.Generator
) -> Floats:  # fmt: skip
    """Return the weights by some more finds: each is a terminus, and none is later than the latest of them."""
    place, window, supposed = dates.chronology.place(event), dates.chronology.window, dates.suppositions
    when, curve = window.first + float(dates.draws[true, place]), supposed.discard
    old = np.full(count, rng.random() < curve.redeposited) | (rng.random(count) < curve.residual_share)
    made = when - np.where(old, rng.exponential(curve.residual_lag, count), rng.exponential(curve.lag, count))
    late = rng.random(count) < supposed.intrusion.chance(disturbance)
    made[late] = when + rng.random(int(late.sum())) * (window.first + window.length - when)
    begin = made - rng.random(count) * makings
    first, last = np.floor(begin).astype(int).tolist(), np.floor(begin + makings).astype(int).tolist()
    finds: list[Evidence] = [
        FindMade(place, "", named(low), named(high), disturbance) for low, high in zip(first, last, strict=True)
    ]
    return _at(dates, [*finds, NoneLater(place, "", count, named(max(last)))] if count else [])


def _looked_at(find: FindMade, makings: float, dates: Dates, true: int, rng: np.random.Generator) -> Floats:
    """Return the weights by one find whose years of making have become narrower: the new likelihood over the old."""
    window = dates.chronology.window
    when = window.first + float(dates.draws[true, find.event])
    chance = dates.suppositions.intrusion.chance(find.disturbance)
    first = counted(find.begin)
    last = first + OPEN if find.end is None else counted(find.end)
    by_then = float(made_by(np.array([when]), find.begin, find.end)[0])
    stays = rng.random() < (1 - chance) * by_then / ((1 - chance) * by_then + chance)
    top = min(when, last + 1.0) if stays else last + 1.0
    made = first + rng.random() * max(top - first, 1.0)
    low = min(max(int(np.floor(made - rng.random() * makings)), first), last)
    high = max(min(int(low + makings), last), low)
    new = replace(find, begin=named(low), end=named(high))
    return _at(dates, [new]) / _at(dates, [find])


def _at(dates: Dates, evidence: Sequence[Evidence]) -> Floats:
    """Return the likelihood of imagined evidence at every draw."""
    window, weight = dates.chronology.window, np.ones(len(dates.draws))
    for one in evidence:
        yearly = likelihood_anywhere(one, window, dates.suppositions).yearly
        year = np.clip(dates.draws[:, one.event].astype(np.int64), 0, len(yearly) - 1)
        weight *= yearly[year]
    top = weight.max()
    return weight / top if top > 0 else np.ones(len(weight))
