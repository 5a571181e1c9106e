"""The smallest set of relations to doubt so that no loop remains."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from baulk.sequence.compiled import compiled
from baulk.sequence.graph import layering, neighbours_below, shortest_chain
from baulk.sequence.loops import Loop, loop_groups, loops_of
from baulk.sequence.relations import Relations, relations_of

__all__ = ["Doubt", "doubt_weights", "doubts_of", "relations_to_doubt"]

EXACT_UP_TO = 60
"""Largest number of relations in a loop for which the smallest set is always found exactly."""

LAZY_ROUNDS, LAZY_WORK = 30, 10_000_000
"""Rounds of solving, and relations followed, at most in trying a larger loop exactly."""

CYCLES_A_ROUND = 16
"""Cycles looked for before the solver is asked again."""

SOLVER_NODES = 1
"""Branches of one call of the solver in a larger loop."""

UNBOUNDED = 2**31 - 1

WEIGHT_CLASSES = 8
"""Steps from heavy to light in which doubted relations that agree with an order are put back."""

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
    Minimise w·x over x in {0, 1}^m with sum of x over every cycle >= 1 (the weighted minimum feedback arc set).
    Cycles are added as they are met: solve, look for shortest cycles among the relations left, add them, and
    solve again until none is left; the last solution is optimal for all cycles, as it is optimal for fewer. Up
    to 60 relations this runs to its end. In a larger loop it runs while a set amount of work lasts, and may well
    end; if it does not, cycles left are met one after another: each takes its lightest remaining weight from all
    its relations, and those used up are doubted; then doubted relations that close no cycle are put back. The
    last solution, and the weights taken from all cycles, are both lower bounds.

    References
    ----------
    C. Demetrescu, I. Finocchi, "Combinatorial algorithms for feedback problems in directed graphs",
    Information Processing Letters 86 (2003) 129-136 (from memory).
    """
    inner = _inner_relations(relations, loop)
    own = weights[loop.relations]
    small = len(inner) <= EXACT_UP_TO
    rounds = UNBOUNDED if small else min(LAZY_ROUNDS, LAZY_WORK // (len(inner) * CYCLES_A_ROUND))
    gone, at_least, finished = _lightest(inner, own, rounds, UNBOUNDED if small else SOLVER_NODES)
    if not finished:
        gone, at_least = _open_the_rest(inner, own, gone, at_least)
    weight = float(own[gone].sum())
    return Doubt(loop.relations[gone], weight, min(at_least, weight), exact=finished or weight <= at_least * (1 + 1e-9))


def _inner_relations(relations: Relations, loop: Loop) -> Relations:
    """Return the relations of a loop on their own, contexts counted anew."""
    later = np.searchsorted(loop.contexts, relations.later[loop.relations])
    earlier = np.searchsorted(loop.contexts, relations.earlier[loop.relations])
    return relations_of(len(loop.contexts), later, earlier)


def _without(relations: Relations, gone: NDArray[np.bool_]) -> Relations:
    return relations_of(relations.count, relations.later[~gone], relations.earlier[~gone])


def _lightest(relations: Relations, weights: NDArray[np.float64], rounds: int, nodes: int) -> tuple[NDArray[np.bool_], float, bool]:
    """Solve for the lightest set with the cycles met so far, until it opens every cycle or the rounds are over.

    Returns the set, a lower bound of the lightest weight, and whether the set opens every cycle.
    """
    cycles: list[NDArray[np.int64]] = []
    gone, bound = np.zeros(len(relations), np.bool_), 0.0
    for number in range(rounds):
        met = _cycles_left(relations, gone, number)
        if not met:
            return gone, bound, True
        cycles += met
        solved = _hit_all(cycles, weights, nodes)
        if solved is None:
            return gone, bound, False
        gone[:] = False
        gone[solved] = True
        bound = float(weights[solved].sum())
    return gone, bound, not _cycles_left(relations, gone, rounds)


def _hit_all(cycles: list[NDArray[np.int64]], weights: NDArray[np.float64], nodes: int) -> NDArray[np.int64] | None:
    """Return the lightest set with a relation of every cycle, or None when the solver stops before it is proved."""
    members, table = _who_hits_what(cycles, weights)
    solution = milp(
        weights[members] / weights[members].max(),
        integrality=np.ones(len(members), np.int64),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(table, lb=1.0),
        options={"mip_rel_gap": 0.0, "node_limit": nodes},
    )
    return members[np.asarray(solution.x) > 0.5] if solution.status == 0 else None


def _who_hits_what(cycles: list[NDArray[np.int64]], weights: NDArray[np.float64]) -> tuple[NDArray[np.int64], csr_array]:
    """Return the relations that matter and which cycles each is in; of those in the same cycles only the lightest matters."""
    joined = np.concatenate(cycles)
    order = np.argsort(joined, kind="stable")
    rows = np.repeat(np.arange(len(cycles)), [len(cycle) for cycle in cycles])[order]
    relations, starts = np.unique(joined[order], return_index=True)
    lightest: dict[bytes, int] = {}
    for relation, start, end in zip(relations.tolist(), starts, [*starts[1:], len(joined)], strict=True):
        in_cycles = rows[start:end].tobytes()
        if in_cycles not in lightest or weights[relation] < weights[lightest[in_cycles]]:
            lightest[in_cycles] = relation
    hit = [np.frombuffer(in_cycles, rows.dtype) for in_cycles in lightest]
    column = np.repeat(np.arange(len(hit)), [len(one) for one in hit])
    table = csr_array((np.ones(len(column)), (np.concatenate(hit), column)), shape=(len(cycles), len(hit)))
    return np.array(list(lightest.values()), np.int64), table


def _cycles_left(relations: Relations, gone: NDArray[np.bool_], number: int) -> list[NDArray[np.int64]]:
    """Return some short cycles among the relations not gone, others in each round; none if all are opened."""
    left = _stirred(np.flatnonzero(~gone), number)
    slim = relations_of(relations.count, relations.later[left], relations.earlier[left])
    groups, group = loop_groups(slim)
    if groups == relations.count:
        return []
    inner = np.flatnonzero(group[slim.later] == group[slim.earlier])
    below = neighbours_below(slim)
    met: dict[frozenset[int], NDArray[np.int64]] = {}
    for relation in inner[np.unique(np.linspace(0, len(inner) - 1, CYCLES_A_ROUND, dtype=np.int64))].tolist():
        back = shortest_chain(below, int(slim.earlier[relation]), int(slim.later[relation])) or ()
        met[frozenset((relation, *back))] = left[[relation, *back]]
    return list(met.values())


def _stirred(rows: NDArray[np.int64], number: int) -> NDArray[np.int64]:
    """Return rows in a scattered order, so that of many shortest ways not always the same is taken."""
    scattered = (rows + 1) * np.int64(2_654_435_761) * (number + 1) % np.int64(2**32)
    return rows[np.argsort(scattered, kind="stable")]


def _open_the_rest(
    relations: Relations, weights: NDArray[np.float64], gone: NDArray[np.bool_], bound: float
) -> tuple[NDArray[np.bool_], float]:
    """Open what a set leaves closed, then put back what need not be doubted; return the set and a lower bound."""
    below = neighbours_below(relations)
    _, paid = _pay_cycles(below.starts, below.contexts, weights[below.relations])
    left = np.flatnonzero(~gone)
    slim = _without(relations, gone)
    below = neighbours_below(slim)
    used_up, _ = _pay_cycles(below.starts, below.contexts, weights[left[below.relations]])
    doubted = gone.copy()
    doubted[left[below.relations]] = used_up
    return _put_back(relations, doubted, weights), max(bound, float(paid))


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
    """Put back doubted relations that close no cycle: those that agree with an order of the rest, then one by one."""
    doubted = doubted.copy()
    for heavy in np.unique(np.quantile(weights[doubted], np.linspace(1, 0, WEIGHT_CLASSES), method="lower"))[::-1]:
        place = _places(relations, doubted)
        doubted &= (weights < heavy) | (place[relations.later] > place[relations.earlier])
    below = neighbours_below(relations)
    present = ~doubted[below.relations]
    steps = np.flatnonzero(~present)
    heaviest_first = steps[np.argsort(-weights[below.relations[steps]], kind="stable")]
    _try_steps(below.starts, below.contexts, present, heaviest_first, PUT_BACK_WORK)
    left = np.zeros(len(relations), np.bool_)
    left[below.relations] = ~present
    return left


def _places(relations: Relations, gone: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Return each context's place in one order of the relations not gone."""
    place = np.empty(relations.count, np.int32)
    place[layering(neighbours_below(_without(relations, gone))).taken] = np.arange(relations.count, dtype=np.int32)
    return place


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
