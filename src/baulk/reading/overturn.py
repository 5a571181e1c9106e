"""The smallest set of evidence without which the answer would be another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log

import numpy as np
from numpy.typing import NDArray

from baulk.reading.voices import Left, Voice, least_after_removal, voices_of
from baulk.reading.weigh import Weighed

__all__ = ["Overturning", "overturning"]

Floats = NDArray[np.float64]

_LEVEL = 1e-9
"""Natural logarithm within which two readings are level."""

_PER_NATURAL = 10 / log(10)
"""Decibans in one natural logarithm."""


@dataclass(frozen=True, slots=True)
class Overturning:
    """A smallest set of evidence without which a rival draws level with the leader or passes it.

    Parameters
    ----------
    rival : int
        Place of the reading that would.
    pieces : tuple of int
        Places in the question's evidence of what has to fall; no smaller set does it for this rival. Of several sets of this
        size it is one that leaves the rival furthest ahead. Empty when the two are level as it is.
    ahead : float
        Decibans by which the rival would then be ahead.
    """

    rival: int
    pieces: tuple[int, ...]
    ahead: float


def overturning(weighed: Weighed) -> tuple[Overturning, ...]:
    """Return for each rival the smallest set of evidence without which it would draw level, smallest sets first.

    Parameters
    ----------
    weighed : Weighed
        Under any treatment of common causes.

    Returns
    -------
    tuple of Overturning
        A rival that cannot draw level however much evidence falls is left out; empty when none can: the prior carries the lead.

    Notes
    -----
    Exact. The lead over one rival is a sum over voices. A single piece matters by its own weight, so the largest go first; of a
    group the least that can be left with k pieces out is known for every k; both are joined by running through all ways to share
    the number taken out between them, group by group, keeping only the best for each number.
    """
    logs = np.log(weighed.pieces.best).T.tolist()
    voices = voices_of(weighed)
    found = [held for rival in weighed.order[1:] if (held := _against(weighed, voices, logs, rival)) is not None]
    return tuple(sorted(found, key=lambda held: len(held.pieces)))


def _against(weighed: Weighed, voices: Sequence[Voice], logs: Sequence[Sequence[float]], rival: int) -> Overturning | None:
    shares, leader = weighed.prior.shares, weighed.leader
    singles: list[tuple[float, int]] = []
    groups: list[list[Left]] = []
    for voice in voices:
        left = least_after_removal(voice, weighed.treatment, logs[leader], logs[rival])
        if len(voice.pieces) == 1:
            singles.append((left[0][0], voice.pieces[0]))
        else:
            groups.append(left)
    lead = log(shares[leader] / shares[rival]) + sum(sorted(weight for weight, _ in singles))
    helpful = sorted((pair for pair in singles if pair[0] > 0), key=lambda pair: -pair[0])
    fallen = [0.0]
    for weight, _ in helpful:
        fallen.append(fallen[-1] + weight)
    best, steps = _joined(groups)
    for count in range(len(best) + len(helpful)):
        options = [
            (lead + float(best[from_groups]) - fallen[count - from_groups], from_groups)
            for from_groups in range(max(0, count - len(helpful)), min(count, len(best) - 1) + 1)
        ]
        margin, from_groups = min(options)
        if margin <= _LEVEL:
            alone = tuple(piece for _, piece in helpful[: count - from_groups])
            return Overturning(rival, (*_taken(groups, steps, from_groups), *alone), max(0.0, -margin * _PER_NATURAL))
    return None


def _joined(groups: Sequence[Sequence[Left]]) -> tuple[Floats, list[NDArray[np.int64]]]:
    """Return the least that all groups together can leave with 0, 1, 2 … pieces out, and how many of each group those are."""
    best, steps = np.zeros(1), []
    for left in groups:
        wider = np.full(len(best) + len(left) - 1, inf)
        step = np.zeros(len(wider), dtype=np.int64)
        for more, (value, _) in enumerate(left):
            part = wider[more : more + len(best)]
            better = best + value < part
            part[better] = best[better] + value
            step[more : more + len(best)][better] = more
        best = wider
        steps.append(step)
    return best, steps


def _taken(groups: Sequence[Sequence[Left]], steps: Sequence[NDArray[np.int64]], count: int) -> tuple[int, ...]:
    """Return the pieces taken out of the groups when `count` are taken in all."""
    found: list[int] = []
    for left, step in zip(reversed(groups), reversed(steps), strict=True):
        more = int(step[count])
        found += left[more][1]
        count -= more
    return tuple(found)
