"""How firm the answer is: without each piece, under other priors and treatments, and with words pushed against it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.reading.grouping import Treatment
from baulk.reading.prior import equal_prior
from baulk.reading.voices import logs_of, voices_of
from baulk.reading.weigh import Weighed, decibans, posterior_of, weigh

__all__ = ["Influence", "PriorCase", "Separation", "influences", "lead_holds_to", "prior_cases", "separation", "treatments"]

Floats = NDArray[np.float64]
PRIOR_FACTOR = 3.0
"""By how much a reading's odds are raised when its prior is varied: one step of the scale of words."""


@dataclass(frozen=True, slots=True, eq=False)
class Influence:
    """What the answer would be without some evidence.

    Parameters
    ----------
    pieces : tuple of int
        Places in the question's evidence of what is taken out: one piece, or all pieces of one cause.
    cause : str or None
        The cause, when the whole group is taken out.
    posterior : float64 array, shape (readings,)
        How likely each reading would be.
    change : float
        By how much the leader's share falls (above 0) or rises (below 0).
    leader : int
        Place of the reading that would lead.
    keeps_lead : bool
        Whether the same reading would lead.
    """

    pieces: tuple[int, ...]
    cause: str | None
    posterior: Floats
    change: float
    leader: int
    keeps_lead: bool


@dataclass(frozen=True, slots=True, eq=False)
class PriorCase:
    """The answer under another prior.

    Parameters
    ----------
    name : str
        Which prior.
    prior, posterior : float64 array, shape (readings,)
        Before and after.
    leader : int
        Place of the reading that leads.
    """

    name: str
    prior: Floats
    posterior: Floats
    leader: int


@dataclass(frozen=True, slots=True, eq=False)
class Separation:
    """What separates two readings.

    Parameters
    ----------
    one, other : int
        Places of the readings.
    prior : float
        Decibans of the prior for `one`.
    rows : tuple of int
        Places of the rows of the weighing, heaviest first whatever their sign; rows that say nothing are left out.
    weights : tuple of float
        Decibans of those for `one` against `other`.
    total : float
        Decibans by which `one` is ahead.
    """

    one: int
    other: int
    prior: float
    rows: tuple[int, ...]
    weights: tuple[float, ...]
    total: float


def influences(weighed: Weighed) -> tuple[Influence, ...]:
    """Return what the answer would be without each piece, and without each group, the most telling first."""
    voices = voices_of(weighed)
    said = [logs_of(weighed, voice.pieces) for voice in voices]
    whole = np.log(weighed.prior.shares) + (np.sort(np.array(said), axis=0).sum(axis=0) if said else 0.0)
    found = []
    for voice, logs in zip(voices, said, strict=True):
        if len(voice.pieces) > 1:
            found.append(_without(weighed, voice.pieces, voice.cause, whole - logs))
        for piece in voice.pieces:
            rest = [other for other in voice.pieces if other != piece]
            found.append(_without(weighed, (piece,), None, whole - logs + logs_of(weighed, rest)))
    return tuple(sorted(found, key=lambda held: -abs(round(held.change, 12))))


def _without(weighed: Weighed, pieces: tuple[int, ...], cause: str | None, logs: Floats) -> Influence:
    likely = np.exp(logs - logs.max())
    posterior = likely / likely.sum()
    leader = _first(weighed, posterior)
    change = float(weighed.posterior[weighed.leader] - posterior[weighed.leader])
    return Influence(pieces, cause, posterior, change, leader, leader == weighed.leader)


def _first(weighed: Weighed, posterior: Floats) -> int:
    readings = weighed.question.readings
    return min(range(len(posterior)), key=lambda place: (-round(float(posterior[place]), 12), readings[place].id))


def prior_cases(weighed: Weighed) -> tuple[PriorCase, ...]:
    """Return the answer under the prior as given, with all readings equal, and with the odds of each reading trebled in turn."""
    given = weighed.prior.shares
    cases = [("as given", given), ("all equal", equal_prior(len(given)).shares)]
    for place, reading in enumerate(weighed.question.readings):
        raised = given.copy()
        raised[place] *= PRIOR_FACTOR
        cases.append((f"odds of “{reading.name}” trebled", raised / raised.sum()))
    found = []
    for name, prior in cases:
        after = posterior_of(prior, weighed.rows)
        found.append(PriorCase(name, prior, after, _first(weighed, after)))
    return tuple(found)


def treatments(weighed: Weighed) -> tuple[Weighed, ...]:
    """Return the weighing under each treatment of common causes."""
    return tuple(
        weighed if treatment is weighed.treatment else weigh(weighed.question, treatment, weighed.prior, weighed.pieces)
        for treatment in Treatment
    )


def separation(weighed: Weighed, one: int | None = None, other: int | None = None) -> Separation:
    """Return what separates two readings: by default the leader and its closest rival."""
    first = weighed.leader if one is None else one
    second = weighed.rival if other is None else other
    weights = weighed.weights[:, first] - weighed.weights[:, second]
    evidence = weighed.question.evidence
    rows = sorted(
        (row for row in range(len(weights)) if abs(weights[row]) > 1e-9),
        key=lambda row: (-round(abs(float(weights[row])), 9), evidence[weighed.rows.pieces[row][0]].id),
    )
    prior = decibans(float(weighed.prior.shares[first] / weighed.prior.shares[second]))
    return Separation(
        first, second, prior, tuple(rows), tuple(float(weights[row]) for row in rows), prior + float(np.sort(weights).sum())
    )


def lead_holds_to(weighed: Weighed) -> float:
    """Return by what share of its range every word can be pushed against the leader, all at once, before the lead is lost.

    Returns
    -------
    float
        0 to 1; 1 when the lead is kept even with every word at the end of its range.

    Notes
    -----
    A share s puts the leader's cells at best − s·(best − low) and all others at best + s·(high − best); the same word in one row
    moves as one. Found by halving to a thousandth.
    """
    rows, lead = weighed.rows, weighed.leader
    same = (rows.words == rows.words[:, [lead]]) & (rows.words[:, [lead]] >= 0)
    same[:, lead] = True
    prior = np.log(weighed.prior.shares)

    def keeps(share: float) -> bool:
        own = np.log(rows.best + share * (rows.low - rows.best))[:, [lead]]
        others = np.log(rows.best + share * (rows.high - rows.best))
        ratios = np.where(same, 0.0, others - own) * rows.share[:, None]
        ahead = prior[lead] - prior - ratios.sum(axis=0)
        return bool((np.delete(ahead, lead) > 0).all())

    if keeps(1.0):
        return 1.0
    low, high = 0.0, 1.0
    while high - low > 1e-3:
        middle = (low + high) / 2
        low, high = (middle, high) if keeps(middle) else (low, middle)
    return low
