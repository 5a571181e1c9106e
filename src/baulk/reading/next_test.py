"""Tests not yet made: how much each is expected to tell, for an hour of work, and which cannot be made once the soil is back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError
from baulk.reading.question import Question
from baulk.reading.scale import Expectation

__all__ = ["LEAST_HOURS", "Observation", "Ranked", "entropy", "expected_information", "observation_of", "rank_tests", "yes_no"]

Floats = NDArray[np.float64]

LEAST_HOURS = 0.1
"""Hours that even the quickest look costs with finding, cleaning and writing it down (house value)."""

TELLS_NOTHING = 0.01
"""Bits below which a test comes last, whatever is lost at backfill (house value)."""


@dataclass(frozen=True, slots=True)
class Observation:
    """A test not yet made; make it with `observation_of` or `yes_no`, which check it.

    Parameters
    ----------
    id : str
        Names it.
    does : str
        What is to be done.
    outcomes : tuple of str
        What may come out, at least two.
    chances : mapping of str to tuple of float
        By reading's id, the chance of each outcome; they add up to 1. A reading that is missing makes all equally likely.
    hours : float
        What it costs.
    lost_at_backfill : bool
        Whether it can be made only while the unit is open.
    cause : str or None
        Tests and evidence that name the same cause tell the same thing; a plan takes only one of them.
    source : str
        Where the chances come from.
    """

    id: str
    does: str
    outcomes: tuple[str, ...]
    chances: Mapping[str, tuple[float, ...]]
    hours: float
    lost_at_backfill: bool
    cause: str | None = None
    source: str = ""

    def table(self, question: Question) -> Floats:
        """Return the chances as an array of shape (outcomes, readings)."""
        even = (1 / len(self.outcomes),) * len(self.outcomes)
        return np.array([self.chances.get(reading.id, even) for reading in question.readings], dtype=np.float64).T


@dataclass(frozen=True, slots=True)
class Ranked:
    """What a test is expected to tell.

    Parameters
    ----------
    observation : Observation
        The test.
    bits : float
        Expected information about the readings.
    bits_per_hour : float
        That, divided by its hours, but by no less than `LEAST_HOURS`.
    likely : tuple of float
        Chance of each outcome as things stand.
    after : tuple of tuple of float
        How likely each reading would be after each outcome.
    changes_lead : tuple of bool
        Whether another reading would lead after each outcome.
    cause_counted : bool
        Whether evidence with the same cause is weighed already: then the test may tell less than is shown.
    """

    observation: Observation
    bits: float
    bits_per_hour: float
    likely: tuple[float, ...]
    after: tuple[tuple[float, ...], ...]
    changes_lead: tuple[bool, ...]
    cause_counted: bool


def observation_of(
    identity: str,
    does: str,
    outcomes: Sequence[str],
    chances: Mapping[str, Sequence[float]],
    *,
    hours: float,
    lost_at_backfill: bool,
    cause: str | None = None,
    source: str = "",
) -> Observation:
    """Return a checked test; chances that add up to 1 within a twentieth are scaled.

    Raises
    ------
    InputError
        When there are fewer than two outcomes, a reading's chances do not fit them, or the hours are not above 0.
    """
    if len(outcomes) < 2:
        raise InputError(f"The test “{does}” has {len(outcomes)} outcomes. A test that can come out in one way only tells nothing.")
    if not hours > 0 or not np.isfinite(hours):
        raise InputError(f"The test “{does}” is given {hours:g} hours. Every test costs some time: give hours above 0.")
    held = {}
    for reading, row in chances.items():
        shares = np.array(row, dtype=np.float64)
        fits = shares.shape == (len(outcomes),) and bool((shares >= 0).all()) and abs(float(shares.sum()) - 1) <= 0.05
        if not fits:
            told = ", ".join(f"{share:g}" for share in row)
            raise InputError(
                f"The test “{does}” has for the reading “{reading}” the chances {told}. Give one chance for each of its "
                f"{len(outcomes)} outcomes, none below 0, that add up to 1."
            )
        held[reading] = tuple((shares / shares.sum()).tolist())
    return Observation(identity, does, tuple(outcomes), held, hours, lost_at_backfill, cause, source)


def yes_no(
    identity: str,
    does: str,
    expected: Mapping[str, Expectation],
    *,
    hours: float,
    lost_at_backfill: bool,
    cause: str | None = None,
    source: str = "",
) -> Observation:
    """Return the test whether a sighting is there, from how expected it is under each reading."""
    chances = {reading: (cell.best, 1 - cell.best) for reading, cell in expected.items()}
    return observation_of(
        identity, does, ("seen", "not there"), chances, hours=hours, lost_at_backfill=lost_at_backfill, cause=cause, source=source
    )


def entropy(shares: Floats) -> Floats:
    """Return the doubt in bits along the last axis, −Σ p log₂ p; 0 log 0 is 0.

    Examples
    --------
    >>> entropy(np.array([0.5, 0.25, 0.25])).item()
    1.5
    """
    safe = np.where(shares > 0, shares, 1.0)
    return np.asarray(-(shares * np.log2(safe)).sum(axis=-1), dtype=np.float64)


def expected_information(shares: Floats, table: Floats) -> float:
    """Return the expected information in bits of a test about the readings.

    Parameters
    ----------
    shares : float64 array, shape (readings,)
        How likely each reading is.
    table : float64 array, shape (outcomes, readings)
        Chance of each outcome under each reading.

    Notes
    -----
    H(outcome) − Σ p_i H(outcome | i): the doubt about the outcome less what would remain of it if the reading were known. Never
    below 0 and never above the doubt about the readings.

    References
    ----------
    Lindley, D. V. 1956: On a measure of the information provided by an experiment. *Annals of Mathematical Statistics* 27 (from
    memory).

    Examples
    --------
    >>> round(expected_information(np.array([0.5, 0.5]), np.array([[0.9, 0.2], [0.1, 0.8]])), 6)
    0.397313
    """
    return max(0.0, float(entropy(table @ shares) - entropy(table.T) @ shares))


def rank_tests(question: Question, shares: Floats, tests: Sequence[Observation]) -> tuple[Ranked, ...]:
    """Return the tests in the order in which to make them: those lost at backfill first, then by expected bits an hour.

    Tests that are expected to tell less than a hundredth of a bit come last.

    Parameters
    ----------
    question : Question
        The question.
    shares : float64 array, shape (readings,)
        How likely each reading is as things stand.
    tests : sequence of Observation
        Not yet made.
    """
    counted = {piece.cause for piece in question.evidence if piece.cause}
    ranked = [_ranked(question, shares, test, test.cause in counted) for test in tests]
    return tuple(
        sorted(
            ranked,
            key=lambda held: (
                held.bits < TELLS_NOTHING,
                not held.observation.lost_at_backfill,
                -round(held.bits_per_hour, 12),
                held.observation.id,
            ),
        )
    )


def _ranked(question: Question, shares: Floats, test: Observation, counted: bool) -> Ranked:
    table = test.table(question)
    bits = expected_information(shares, table)
    likely = table @ shares
    leader = int(np.argmax(shares))
    after = [table[row] * shares / likely[row] if likely[row] > 0 else shares for row in range(len(likely))]
    return Ranked(
        test,
        bits,
        bits / max(test.hours, LEAST_HOURS),
        tuple(likely.tolist()),
        tuple(tuple(row.tolist()) for row in after),
        tuple(bool(row[leader] < row.max() - 1e-12) for row in after),
        counted,
    )
