"""Neighbours of each context, an order of settling, and the shortest chain between two contexts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.compiled import compiled
from baulk.sequence.relations import Relations

__all__ = [
    "Layering",
    "Neighbours",
    "layering",
    "neighbours_above",
    "neighbours_below",
    "shortest_chain",
    "sort_by_key",
    "walk_back",
]


@dataclass(frozen=True, slots=True, eq=False)
class Neighbours:
    """The contexts next to each context, in one direction.

    Parameters
    ----------
    starts : int64 array, shape (count + 1,)
        The neighbours of context c stand at ``starts[c]`` up to ``starts[c + 1]``.
    contexts : int32 array, shape (m,)
        The neighbouring contexts.
    relations : int32 array, shape (m,)
        The relation that leads to each of them.
    """

    starts: NDArray[np.int64]
    contexts: NDArray[np.int32]
    relations: NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Layering:
    """Contexts taken from the top, each after everything that lies above it.

    Parameters
    ----------
    taken : int32 array, shape (≤ count,)
        Contexts in the order in which they could be taken, by steps from the top; contexts in or below a loop
        are missing.
    from_top, from_bottom : int32 array, shape (count,)
        Length of the longest chain of relations down to the context, and from the context down to the lowest.
        Meaningless when contexts are missing from `taken`.
    """

    taken: NDArray[np.int32]
    from_top: NDArray[np.int32]
    from_bottom: NDArray[np.int32]

    @property
    def complete(self) -> bool:
        """Whether every context could be taken, so that the relations hold no loop."""
        return len(self.taken) == len(self.from_top)


@compiled
def sort_by_key(keys: NDArray[np.int32], count: int) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    """Sort whole numbers below `count` by counting: where each key's rows start, and the rows, stably."""
    starts = np.zeros(count + 1, np.int64)
    for key in keys:
        starts[key + 1] += 1
    for key in range(count):
        starts[key + 1] += starts[key]
    free = starts[:-1].copy()
    rows = np.empty(len(keys), np.int32)
    for row in range(len(keys)):
        rows[free[keys[row]]] = row
        free[keys[row]] += 1
    return starts, rows


def neighbours_below(relations: Relations) -> Neighbours:
    """Return for each context the contexts that it is later than, in the order of the relations."""
    starts, rows = sort_by_key(relations.later, relations.count)
    return Neighbours(starts, relations.earlier[rows], rows)


def neighbours_above(relations: Relations) -> Neighbours:
    """Return for each context the contexts that it is earlier than, in the order of the relations."""
    starts, rows = sort_by_key(relations.earlier, relations.count)
    return Neighbours(starts, relations.later[rows], rows)


def layering(below: Neighbours) -> Layering:
    """Take the contexts from the top, each after everything above it.

    Parameters
    ----------
    below : Neighbours
        The neighbours below each context.

    Returns
    -------
    Layering
        The order of taking and both longest distances, in time proportional to contexts and relations.

    References
    ----------
    A. B. Kahn, "Topological sorting of large networks", Communications of the ACM 5 (1962) 558-562
    (from memory).
    """
    taken, from_top = _take_from_top(below.starts, below.contexts)
    return Layering(taken, from_top, _heights(below.starts, below.contexts, taken))


def shortest_chain(below: Neighbours, later: int, earlier: int, *, without: int = -1) -> tuple[int, ...] | None:
    """Return the shortest chain of relations that leads down from one context to another.

    Parameters
    ----------
    below : Neighbours
        The neighbours below each context.
    later, earlier : int
        The two contexts.
    without : int, optional
        A relation that the chain may not use.

    Returns
    -------
    tuple of int or None
        The relations from the later context down; None when no chain leads there. Never empty: from a context
        to itself the chain is a loop.
    """
    steps = _chain_down(below.starts, below.contexts, below.relations, later, earlier, without)
    return tuple(int(below.relations[step]) for step in steps) if len(steps) else None


@compiled
def _take_from_top(starts: NDArray[np.int64], ends: NDArray[np.int32]) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    count = len(starts) - 1
    above = np.zeros(count, np.int32)
    for end in ends:
        above[end] += 1
    taken = np.empty(count, np.int32)
    from_top = np.zeros(count, np.int32)
    free = 0
    for context in range(count):
        if above[context] == 0:
            taken[free] = context
            free += 1
    now = 0
    while now < free:
        context = taken[now]
        now += 1
        for step in range(starts[context], starts[context + 1]):
            end = ends[step]
            from_top[end] = max(from_top[end], from_top[context] + 1)
            above[end] -= 1
            if above[end] == 0:
                taken[free] = end
                free += 1
    return taken[:free].copy(), from_top


@compiled
def _heights(starts: NDArray[np.int64], ends: NDArray[np.int32], taken: NDArray[np.int32]) -> NDArray[np.int32]:
    heights = np.zeros(len(starts) - 1, np.int32)
    for place in range(len(taken) - 1, -1, -1):
        context = taken[place]
        for step in range(starts[context], starts[context + 1]):
            heights[context] = max(heights[context], heights[ends[step]] + 1)
    return heights


@compiled
def _chain_down(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    relations: NDArray[np.int32],
    source: int,
    target: int,
    without: int,
) -> NDArray[np.int64]:
    count = len(starts) - 1
    step_to = np.full(count, -1, np.int64)
    queue = np.empty(count + 1, np.int32)
    queue[0] = source
    now, free = 0, 1
    while now < free and step_to[target] < 0:
        context = queue[now]
        now += 1
        for step in range(starts[context], starts[context + 1]):
            end = ends[step]
            if step_to[end] < 0 and relations[step] != without:
                step_to[end] = step
                queue[free] = end
                free += 1
    return walk_back(starts, step_to, source, target)


@compiled
def walk_back(starts: NDArray[np.int64], step_to: NDArray[np.int64], source: int, target: int) -> NDArray[np.int64]:
    """Return the steps that a search took from `source` to `target`; empty when it did not come there."""
    if step_to[target] < 0:
        return np.empty(0, np.int64)
    chain = [step_to[target]]
    context = np.searchsorted(starts, chain[0], side="right") - 1
    while context != source:
        chain.append(step_to[context])
        context = np.searchsorted(starts, chain[-1], side="right") - 1
    return np.array(chain)[::-1].copy()
