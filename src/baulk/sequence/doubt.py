"""The smallest set of relations to doubt so that no loop remains."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from baulk.sequence.compiled import compiled
from baulk.sequence.graph import layering, neighbours_below
from baulk.sequence.loops import Loop, loops_of
from baulk.sequence.relations import Relations, relations_of

__all__ = ["Doubt", "doubt_weights", "doubts_of", "relations_to_doubt"]

EXACT_UP_TO = 60
"""Largest number of relations in a loop for which the smallest set is found exactly."""

PUT_BACK_WORK = 50_000_000
"""Relations followed at most in putting doubted relations of a large loop back."""

UNSEEN_WEIGHT = 0.5
"""Weight of a relation that stands on no sheet or drawing; one seen once has 1."""


@dataclass(frozen=True, slots=True, eq=False)
class Doubt:
    """Relations of one loop whose doubt opens it.

    Parameters
    ----------
    relations : int32 array
        The relations to look at again, ascending.
    weight : float
        Sum of their weights.
    at_least : float
        No set that opens the loop weighs less than this; equal to `weight` when `exact`.
    exact : bool
        Whether the set is proved to be a lightest one.
    """

    relations: NDArray[np.int32]
    weight: float
    at_least: float
    exact: bool


def doubt_weights(relations: Relations) -> NDArray[np.float64]:
    """Return what it costs to doubt each relation: its certainty times the number of places where it was seen.

    Parameters
    ----------
    relations : Relations
        Any relations.

    Returns
    -------
    float64 array, shape (m,)
        Certainty x (later sheet + earlier sheet + drawing, each 1; 0.5 when on none). Our own scale: a relation
        entered from both sides costs twice as much to doubt as one entered from one side.
    """
    places = np.bitwise_count(relations.sides).astype(np.float64)
    return relations.certainty * np.where(places == 0, UNSEEN_WEIGHT, places)


def doubts_of(relations: Relations, loops: tuple[Loop, ...] | None = None) -> tuple[Doubt, ...]:
    """Return for each loop the lightest set of relations to doubt.

    Parameters
    ----------
    relations : Relations
        Any relations.
    loops : tuple of Loop, optional
        Their loops when already known.

    Returns
    -------
    tuple of Doubt
        One for each loop, in the same order.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> relations = relations_of(3, [0, 1, 2], [1, 2, 0], certainty=[1, 1, 0.5])
    >>> doubts_of(relations)[0].relations.tolist()
    [2]
    """
    weights = doubt_weights(relations)
    known = loops_of(relations) if loops is None else loops
    return tuple(relations_to_doubt(relations, loop, weights) for loop in known)


def relations_to_doubt(relations: Relations, loop: Loop, weights: NDArray[np.float64]) -> Doubt:
    """Return the lightest set of relations whose doubt opens one loop.

    Parameters
    ----------
    relations : Relations
        The relations in which the loop was found.
    loop : Loop
        The loop.
    weights : float64 array, shape (m,)
        What it costs to doubt each relation, above 0.

    Returns
    -------
    Doubt
        The set, and whether it is proved lightest.

    Notes
    -----
    Up to 60 relations: minimise w·x over x in {0, 1}^m with sum of x over every cycle >= 1 (the weighted
    minimum feedback arc set). Cycles are added as they are met: solve, look for shortest cycles among the
    relations left, add them, and solve again until none is left; the last solution is optimal for all cycles,
    as it is optimal for fewer. Beyond: cycles are met one after another; each takes its lightest remaining
    weight from all its relations, and those used up are doubted; then doubted relations that close no cycle
    are put back, heaviest first. The weights taken add up to a lower bound, since every set that opens the
    loop must pay each of them.

    References
    ----------
    C. Demetrescu, I. Finocchi, "Combinatorial algorithms for feedback problems in directed graphs",
    Information Processing Letters 86 (2003) 129-136 (from memory).
    """
    inner = _inner_relations(relations, loop)
    own = weights[loop.relations]
    if len(inner) <= EXACT_UP_TO:
        chosen = _lightest(inner, own)
        weight = float(own[chosen].sum())
        return Doubt(loop.relations[chosen], weight, weight, exact=True)
    chosen, at_least = _light(inner, own)
    weight = float(own[chosen].sum())
    return Doubt(loop.relations[chosen], weight, at_least, exact=bool(weight <= at_least * (1 + 1e-9)))


def _inner_relations(relations: Relations, loop: Loop) -> Relations:
    """Return the relations of a loop on their own, contexts counted anew."""
    later = np.searchsorted(loop.contexts, relations.later[loop.relations])
    earlier = np.searchsorted(loop.contexts, relations.earlier[loop.relations])
    return relations_of(len(loop.contexts), later, earlier)


def _without(relations: Relations, gone: NDArray[np.bool_]) -> Relations:
    return relations_of(relations.count, relations.later[~gone], relations.earlier[~gone])


def _lightest(relations: Relations, weights: NDArray[np.float64]) -> NDArray[np.int64]:
    """Solve for the lightest set with the cycles met so far, until the set opens every cycle."""
    size = len(relations)
    cycles: list[NDArray[np.int64]] = []
    gone = np.zeros(size, np.bool_)
    while met := _cycles_left(relations, gone):
        cycles += met
        rows = np.repeat(np.arange(len(cycles)), [len(cycle) for cycle in cycles])
        table = coo_array((np.ones(len(rows)), (rows, np.concatenate(cycles))), shape=(len(cycles), size))
        solution = milp(
            weights / weights.max(),
            integrality=np.ones(size, np.int64),
            bounds=Bounds(0, 1),
            constraints=LinearConstraint(table.tocsr(), lb=1.0),
            options={"mip_rel_gap": 0.0},
        )
        gone = np.asarray(solution.x) > 0.5
    return np.flatnonzero(gone)


def _cycles_left(relations: Relations, gone: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Return cycles among the relations not gone, no two with a relation in common; none if all are opened."""
    gone = gone.copy()
    met: list[NDArray[np.int64]] = []
    while loops := loops_of(_without(relations, gone)):
        left = np.flatnonzero(~gone)
        for loop in loops:
            cycle = left[list(loop.shortest.relations)]
            gone[cycle] = True
            met.append(cycle)
    return met


def _light(relations: Relations, weights: NDArray[np.float64]) -> tuple[NDArray[np.int64], float]:
    """Return a light set that opens the loop and a lower bound of the lightest."""
    below = neighbours_below(relations)
    gone, at_least = _pay_cycles(below.starts, below.contexts, weights[below.relations])
    doubted = np.zeros(len(relations), np.bool_)
    doubted[below.relations] = gone
    return np.flatnonzero(_put_back(relations, doubted, weights)), float(at_least)


@compiled
def _pay_cycles(
    starts: NDArray[np.int64], ends: NDArray[np.int32], weights: NDArray[np.float64]
) -> tuple[NDArray[np.bool_], float]:
    """Walk down depth first; at each cycle met take the lightest weight from all its steps."""
    count = len(starts) - 1
    left = weights.copy()
    next_step = starts[:-1].copy()
    entered = np.full(count, -1, np.int64)  # place of a context on the walk; -1 not on it, -2 finished
    walk = np.empty(count + 1, np.int32)
    taken = np.empty(count + 1, np.int64)  # the step that led to each place of the walk
    paid = 0.0
    for root in range(count):
        if entered[root] != -1:
            continue
        walk[0], entered[root], depth = root, 0, 0
        while depth >= 0:
            context = walk[depth]
            if next_step[context] == starts[context + 1]:
                entered[context] = -2
                depth -= 1
                continue
            step = next_step[context]
            next_step[context] += 1
            end = ends[step]
            if left[step] <= 0.0 or entered[end] == -2:
                continue
            depth += 1
            taken[depth] = step
            if entered[end] == -1:
                walk[depth], entered[end] = end, depth
                next_step[end] = starts[end]
            else:
                cost, depth_left = _pay_one(left, taken, entered[end], depth)
                paid += cost
                for place in range(depth_left + 1, depth):
                    entered[walk[place]] = -1
                next_step[walk[depth_left]] = taken[depth_left + 1]
                depth = depth_left
    return left <= 0.0, paid


@compiled
def _pay_one(left: NDArray[np.float64], taken: NDArray[np.int64], first: int, last: int) -> tuple[float, int]:
    """Take the lightest weight from the steps after `first`; return it and the place before the first used up."""
    lightest = np.inf
    for place in range(first + 1, last + 1):
        lightest = min(lightest, left[taken[place]])
    cut = last
    for place in range(last, first, -1):
        left[taken[place]] -= lightest
        if left[taken[place]] <= 1e-12:
            left[taken[place]] = 0.0
            cut = place
    return lightest, cut - 1


def _put_back(relations: Relations, doubted: NDArray[np.bool_], weights: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Put back, heaviest first, doubted relations that close no cycle."""
    below = neighbours_below(relations)
    present = ~doubted[below.relations]
    steps = np.flatnonzero(~present)
    heaviest_first = steps[np.argsort(-weights[below.relations[steps]], kind="stable")]
    _try_steps(below.starts, below.contexts, present, heaviest_first, PUT_BACK_WORK)
    left = np.zeros(len(relations), np.bool_)
    left[below.relations] = ~present
    place = np.empty(relations.count, np.int32)
    place[layering(neighbours_below(_without(relations, left))).taken] = np.arange(relations.count)
    return left & (place[relations.later] > place[relations.earlier])


@compiled
def _try_steps(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    present: NDArray[np.bool_],
    steps: NDArray[np.int64],
    work: int,
) -> None:
    """Make each of `steps` present when no chain leads back over it, as long as the work lasts."""
    seen = np.full(len(starts) - 1, -1, np.int64)
    stack = np.empty(len(starts), np.int32)
    for step in steps:
        target = np.searchsorted(starts, step, side="right") - 1
        stack[0], seen[ends[step]], top = ends[step], step, 1
        while top and seen[target] != step and work > 0:
            top -= 1
            context = stack[top]
            for down in range(starts[context], starts[context + 1]):
                work -= 1
                if present[down] and seen[ends[down]] != step:
                    seen[ends[down]] = step
                    stack[top] = ends[down]
                    top += 1
        if work <= 0:
            break
        present[step] = seen[target] != step
