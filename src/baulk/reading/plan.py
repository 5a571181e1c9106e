"""A plan of up to three tests, one after the other: what to do first, and what next, depending on what comes out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError
from baulk.reading.next_test import Observation, expected_information
from baulk.reading.question import Question

__all__ = ["DAY", "Plan", "Step", "plan_tests"]

Floats = NDArray[np.float64]

DAY = 8.0
"""Hours of a plan where nobody says otherwise: one working day (house value)."""

MOST_TESTS = 3
EXACT_UP_TO = 16
"""Tests among which every plan is compared; of more, those that tell most for an hour are kept, and the plan says so."""

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Step:
    """One test of a plan and what follows each of its outcomes.

    Parameters
    ----------
    observation : Observation
        The test.
    likely : tuple of float
        Chance of each outcome when it comes to this test.
    after : tuple of tuple of float
        How likely each reading would be after each outcome.
    then : tuple of Step or None
        What to do after each outcome; None to stop.
    """

    observation: Observation
    likely: tuple[float, ...]
    after: tuple[tuple[float, ...], ...]
    then: tuple[Step | None, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan.

    Parameters
    ----------
    first : Step or None
        None when no test fits into the hours or tells anything.
    bits : float
        Expected information of the whole.
    hours : float
        Hours that it is expected to take.
    most_hours : float
        Hours that it takes at most.
    exact : bool
        Whether every plan of up to three of the given tests was compared.
    says : str
        How it was found, in a sentence.
    """

    first: Step | None
    bits: float
    hours: float
    most_hours: float
    exact: bool
    says: str


def plan_tests(
    question: Question, shares: Floats, tests: Sequence[Observation], *, hours: float = DAY, most: int = MOST_TESTS
) -> Plan:  # fmt: skip
    """Return the plan of up to three tests that is expected to tell most within some hours.

    Parameters
    ----------
    question : Question
        The question.
    shares : float64 array, shape (readings,)
        How likely each reading is as things stand.
    tests : sequence of Observation
        Not yet made. As long as one that is lost at backfill tells anything and fits, the plan is made of such tests alone.
    hours : float
        What there is to spend, on every branch.
    most : int
        Tests on one branch, 1 to 3.

    Raises
    ------
    InputError
        When the hours are not above 0 or the number of tests is not 1, 2 or 3.

    Notes
    -----
    Outcomes are taken to be independent once the reading is known, save that two tests with one cause are never both made. The
    expected information of a plan is that of its first test and, for each outcome, of the best plan that is left; all are
    compared from the last test backwards. Of plans that tell the same, the one that is expected to take fewer hours is taken.
    """
    if not (np.isfinite(hours) and hours > 0):
        raise InputError(f"{hours:g} hours are given for a plan of tests. Give the hours there are to spend, above 0.")
    if not 1 <= most <= MOST_TESTS:
        raise InputError(f"A plan of {most} tests is asked for. A plan holds 1 to {MOST_TESTS} tests: beyond, nobody can foresee.")
    telling = [test for test in tests if test.hours <= hours and expected_information(shares, test.table(question)) > _SAME]
    urgent = [test for test in telling if test.lost_at_backfill]
    pool = sorted(urgent or telling, key=lambda test: test.id)
    kept = _most_telling(question, shares, pool)
    tables = [test.table(question) for test in kept]
    step, bits, spent = _best(kept, tables, shares, hours, most, ())
    exact = len(kept) == len(pool)
    how = f"Every plan of up to {most} of {len(kept)} tests was compared"
    if not exact:
        how = f"Of {len(pool)} tests those {len(kept)} were kept that tell most for an hour. {how}"
    only = ", taking only tests that are lost at backfill" if urgent and len(urgent) < len(telling) else ""
    return Plan(step, bits, spent, _longest(step), exact, f"{how}{only}.")


def _most_telling(question: Question, shares: Floats, pool: list[Observation]) -> list[Observation]:
    if len(pool) <= EXACT_UP_TO:
        return pool
    rate = {test.id: expected_information(shares, test.table(question)) / test.hours for test in pool}
    best = sorted(pool, key=lambda test: (-round(rate[test.id], 12), test.id))[:EXACT_UP_TO]
    return sorted(best, key=lambda test: test.id)


def _best(
    tests: list[Observation], tables: list[Floats], shares: Floats, hours: float, most: int, done: tuple[int, ...]
) -> tuple[Step | None, float, float]:  # fmt: skip
    """Return the best step from here, its expected bits, and its expected hours."""
    found: tuple[Step | None, float, float] = (None, 0.0, 0.0)
    spent_causes = {tests[place].cause for place in done} - {None}
    for place, test in enumerate(tests):
        if place in done or test.hours > hours or test.cause in spent_causes:
            continue
        table = tables[place]
        own = expected_information(shares, table)
        if own <= _SAME:
            continue
        likely = table @ shares
        after = [row * shares / chance if chance > 0 else shares for row, chance in zip(table, likely, strict=True)]
        next_ones: list[tuple[Step | None, float, float]] = [(None, 0.0, 0.0)] * len(after)
        if most > 1:
            next_ones = [_best(tests, tables, held, hours - test.hours, most - 1, (*done, place)) for held in after]
        bits = own + sum(float(chance) * held[1] for chance, held in zip(likely, next_ones, strict=True))
        spent = test.hours + sum(float(chance) * held[2] for chance, held in zip(likely, next_ones, strict=True))
        if bits > found[1] + _SAME or (bits > found[1] - _SAME and spent < found[2] - _SAME):
            rows = tuple(tuple(held.tolist()) for held in after)
            found = (Step(test, tuple(likely.tolist()), rows, tuple(held[0] for held in next_ones)), bits, spent)
    return found


def _longest(step: Step | None) -> float:
    return 0.0 if step is None else step.observation.hours + max(_longest(held) for held in step.then)
