"""The voices of a question: single pieces and groups of one cause; what each says, whole or with some pieces taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.reading.grouping import Treatment
from baulk.reading.weigh import Weighed

__all__ = ["Voice", "least_after_removal", "logs_of", "voices_of"]

Floats = NDArray[np.float64]
Left = tuple[float, tuple[int, ...]]
"""What is left of a voice, and the pieces taken out."""


@dataclass(frozen=True, slots=True)
class Voice:
    """A piece on its own, or all pieces of one cause.

    Parameters
    ----------
    cause : str or None
        The cause; None for a piece on its own.
    pieces : tuple of int
        Places in the question's evidence, by id.
    """

    cause: str | None
    pieces: tuple[int, ...]


def voices_of(weighed: Weighed) -> tuple[Voice, ...]:
    """Return the voices, single pieces by id and then causes by name, however the evidence is listed."""
    evidence = weighed.question.evidence
    by_id = sorted(range(len(evidence)), key=lambda place: evidence[place].id)
    apart = weighed.treatment is Treatment.FULL
    single = [Voice(evidence[place].cause, (place,)) for place in by_id if apart or evidence[place].cause is None]
    groups: dict[str, list[int]] = {}
    for place in by_id:
        cause = evidence[place].cause
        if cause is not None and not apart:
            groups.setdefault(cause, []).append(place)
    return (*single, *(Voice(cause, tuple(groups[cause])) for cause in sorted(groups)))


def logs_of(weighed: Weighed, pieces: Sequence[int]) -> Floats:
    """Return the natural logarithms, one for each reading, of what the pieces of one voice say together; zeros for no piece."""
    held = np.log(weighed.pieces.best[list(pieces)])
    if not len(held):
        return np.zeros(len(weighed.prior.shares))
    if weighed.treatment is Treatment.LEAST:
        return np.asarray(held.min(axis=0), dtype=np.float64)
    return np.asarray(np.sort(held, axis=0).mean(axis=0), dtype=np.float64)


def least_after_removal(voice: Voice, treatment: Treatment, one: Sequence[float], other: Sequence[float]) -> list[Left]:
    """Return how little a voice can speak for one reading against another with 0, 1, 2 … of its pieces taken out, and which.

    Parameters
    ----------
    voice : Voice
        One of `voices_of`.
    treatment : Treatment
        How pieces of one cause are counted.
    one, other : sequence of float, length (pieces,)
        Natural logarithms of the chances of all pieces of the question under the two readings.

    Returns
    -------
    list of (float, tuple of int)
        Natural logarithm of the ratio of chances that is left, and the pieces taken out; the last entry takes out all and leaves 0.

    Notes
    -----
    Of a group of which the least expected piece stands for all, the ratio with a set K kept is min over K of x_one divided by min
    over K of x_other. For each value t that the second minimum can have, the best K of its size lies among the pieces with
    x_other ≥ t and holds the one with the smallest x_one; trying every t is exact.
    """
    if len(voice.pieces) == 1:
        (piece,) = voice.pieces
        return [(one[piece] - other[piece], ()), (0.0, voice.pieces)]
    if treatment is not Treatment.LEAST:
        return _shared_removal(voice, one, other)
    found: list[Left] = []
    for kept in range(len(voice.pieces), 0, -1):
        ratios = []
        for floor in sorted({other[piece] for piece in voice.pieces}):
            able = [piece for piece in voice.pieces if other[piece] >= floor]
            if len(able) < kept:
                break
            first = min(able, key=lambda piece: one[piece])
            rest = sorted((piece for piece in able if piece != first), key=lambda piece: -other[piece])
            keep = {first, *rest[: kept - 1]}
            left = min(one[piece] for piece in keep) - min(other[piece] for piece in keep)
            ratios.append((left, tuple(piece for piece in voice.pieces if piece not in keep)))
        found.append(min(ratios, key=lambda pair: pair[0]))
    return [*found, (0.0, voice.pieces)]


def _shared_removal(voice: Voice, one: Sequence[float], other: Sequence[float]) -> list[Left]:
    ranked = sorted(voice.pieces, key=lambda piece: other[piece] - one[piece])
    found: list[Left] = []
    for taken in range(len(ranked)):
        kept = sorted(one[piece] - other[piece] for piece in ranked[taken:])
        found.append((sum(kept) / len(kept), tuple(ranked[:taken])))
    return [*found, (0.0, tuple(ranked))]
