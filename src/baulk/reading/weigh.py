"""The weighing: decibans of each row under each reading, what follows, and the exact range of the answer over the words' ranges."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from baulk.reading.grouping import Rows, Treatment, rows_of
from baulk.reading.prior import Prior, prior_of
from baulk.reading.question import Question

__all__ = ["Weighed", "decibans", "posterior_of", "weigh", "weights_between"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """A question, weighed in one way.

    Parameters
    ----------
    question : Question
        What was weighed.
    treatment : Treatment
        How pieces of one cause were counted.
    prior : Prior
        Before the evidence.
    rows : Rows
        What was added up; a row is a piece, or a group of pieces with one cause.
    weights : float64 array, shape (rows, readings)
        Decibans of each row for each reading, against the average of all readings before the evidence: above 0 speaks for it. The
        difference of two columns is the weight between those two readings, and differences add up.
    pieces : Rows
        One row for each piece of evidence, in the question's order, whatever its cause.
    piece_weights : float64 array, shape (pieces, readings)
        Weights of those, each on its own.
    posterior : float64 array, shape (readings,)
        How likely each reading is; they add up to 1.
    low, high : float64 array, shape (readings,)
        The least and the most that each can be when every word and number may lie anywhere in its range; exact.
    steady_low, steady_high : float64 array, shape (readings,)
        The same while *none of these* keeps the values used for it. Nobody can exclude a thing that is made up to fit, so the whole
        range is often wide on its account alone.
    order : tuple of int
        Places of the readings, likeliest first; equal ones by id.
    """

    question: Question
    treatment: Treatment
    prior: Prior
    rows: Rows
    weights: Floats
    pieces: Rows
    piece_weights: Floats
    posterior: Floats
    low: Floats
    high: Floats
    steady_low: Floats
    steady_high: Floats
    order: tuple[int, ...]

    @property
    def leader(self) -> int:
        """Place of the likeliest reading."""
        return self.order[0]

    @property
    def rival(self) -> int:
        """Place of the closest rival: the likeliest of the others."""
        return self.order[1]


def decibans(ratio: float) -> float:
    """Return the weight of evidence of a ratio of chances, 10·log₁₀(ratio).

    References
    ----------
    Good and Turing's unit (from memory); posterior odds = prior odds × ratio, so that weights of independent evidence add.

    Examples
    --------
    >>> round(decibans(2), 3), decibans(10)
    (3.01, 10.0)
    """
    return float(10 * np.log10(ratio))


def weigh(
    question: Question, treatment: Treatment = Treatment.LEAST, prior: Prior | None = None, pieces: Rows | None = None
) -> Weighed:  # fmt: skip
    """Weigh the readings of a question.

    Parameters
    ----------
    question : Question
        Checked, as `question_of` returns it.
    treatment : Treatment
        How pieces of one cause are counted.
    prior : Prior, optional
        In place of the one that the readings give.
    pieces : Rows, optional
        The rows of the single pieces, from another weighing of the same question.

    Returns
    -------
    Weighed
        The same whatever the order of the evidence.

    Notes
    -----
    posterior ∝ prior × ∏ chance ** share. A blank cell counts as "cannot say".
    """
    before = prior or prior_of(question.readings)
    alone = pieces or rows_of(question, Treatment.FULL)
    rows = rows_of(question, treatment, alone)
    after = posterior_of(before.shares, rows)
    low, high = _range(before.shares, rows)
    unnamed = np.array([reading.none_of_these for reading in question.readings])
    still = replace(
        rows,
        low=np.where(unnamed, rows.best, rows.low),
        high=np.where(unnamed, rows.best, rows.high),
        words=np.where(unnamed, np.int32(-1), rows.words),
    )
    steady_low, steady_high = _range(before.shares, still)
    ranked = sorted(range(len(after)), key=lambda place: (-round(float(after[place]), 12), question.readings[place].id))
    return Weighed(
        question,
        treatment,
        before,
        rows,
        _weights(before.shares, rows),
        alone,
        _weights(before.shares, alone),
        after,
        low,
        high,
        steady_low,
        steady_high,
        tuple(ranked),
    )


def posterior_of(prior: Floats, rows: Rows) -> Floats:
    """Return how likely each reading is after the rows, at the values used for words."""
    return _normal(np.log(prior) + _sums(np.log(rows.best), rows.share))


def weights_between(weighed: Weighed, one: int, other: int) -> Floats:
    """Return the decibans of each row for the reading at `one` against that at `other`; the sum and the prior give the answer."""
    return weighed.weights[:, one] - weighed.weights[:, other]


def _weights(prior: Floats, rows: Rows) -> Floats:
    average = rows.best @ prior if len(rows) else np.zeros(0)
    return 10 * np.log10(rows.best / average[:, None]) * rows.share[:, None]


def _sums(logs: Floats, share: Floats) -> Floats:
    """Return the weighted sum of each column, the same to the last bit whatever the order of the rows."""
    return np.array([_exact_sum(column) for column in (logs * share[:, None]).T])


def _exact_sum(values: Floats) -> float:
    return float(np.sort(values).sum())


def _normal(logs: Floats) -> Floats:
    likely = np.exp(logs - logs.max())
    return np.asarray(likely / likely.sum(), dtype=np.float64)


def _range(prior: Floats, rows: Rows) -> tuple[Floats, Floats]:
    """Return the extremes of each posterior.

    P(i) = 1 / (1 + Σ_j (p_j / p_i) ∏ (x_j / x_i) ** share) rises with every cell of i and falls with every other. Where j has the
    same word as i in a row, both cells move together and their ratio stays 1. So the most is at the top of i's cells and the foot
    of all others, and the least the other way round; every such corner can be reached.
    """
    count = len(prior)
    low, high = np.empty(count), np.empty(count)
    for place in range(count):
        same = (rows.words == rows.words[:, [place]]) & (rows.words[:, [place]] >= 0)
        same[:, place] = True
        for ends, own, others in ((high, rows.high, rows.low), (low, rows.low, rows.high)):
            ratios = np.where(same, 0.0, np.log(others) - np.log(own[:, [place]]))
            ends[place] = _normal(np.log(prior) + _sums(ratios, rows.share))[place]
    return low, high
