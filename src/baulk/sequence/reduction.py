"""Transitive reduction: which relations say nothing that the others do not already say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import OrderError
from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Layering, Neighbours, layering, neighbours_below, shortest_chain, sort_by_key
from baulk.sequence.loops import refuse_loops
from baulk.sequence.relations import Relations

__all__ = ["Reduction", "implied_by", "reduce_relations"]

FIRST_BUDGET = 64
"""Relations that a first search below one context may follow before the context is put off."""

SEARCH_COST = 3.0
"""Time of following one relation in a search, in the time of following one in a sweep (measured)."""

WORDS = 8
"""64-bit words in one block of targets, one cache line: 512 contexts are asked about in one sweep."""


@dataclass(frozen=True, slots=True, eq=False)
class Reduction:
    """The relations that carry the order, and those that follow from them.

    Parameters
    ----------
    kept : bool array, shape (m,)
        Whether each relation is needed; the two rows of a repeated relation share one answer.
    redundant : int32 array, shape (≤ m,)
        The relations that are not needed, ascending. They stay in the record.
    """

    kept: NDArray[np.bool_]
    redundant: NDArray[np.int32]


def reduce_relations(relations: Relations) -> Reduction:
    """Find the relations that follow from a chain of others.

    Parameters
    ----------
    relations : Relations
        Relations without a loop.

    Returns
    -------
    Reduction
        The unique smallest set of relations with the same order, and the rest.

    Raises
    ------
    OrderError
        If the relations hold a loop: then no smallest set is unique.

    Notes
    -----
    A relation (u, v) is redundant when a chain of at least two relations leads from u to v. The contexts are
    sorted by steps from the top. A search below u stops at the level of its lowest neighbour, counted both
    from the top and from the bottom, so its cost is local where relations are local. Contexts whose search
    grows beyond a budget are put off; these are settled together by sweeps upward that carry, for a block of
    512 lower contexts at a time, the set of those reached.

    References
    ----------
    A. V. Aho, M. R. Garey, J. D. Ullman, "The transitive reduction of a directed graph", SIAM Journal on
    Computing 1 (1972) 131-137 (from memory).

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> reduce_relations(relations_of(3, [0, 1, 0], [1, 2, 2])).redundant.tolist()
    [2]
    """
    below = neighbours_below(relations)
    layers = layering(below)
    if not layers.complete:
        refuse_loops(relations, "The list of redundant relations")
    kept = _kept(relations, layers)
    return Reduction(kept, np.flatnonzero(~kept).astype(np.int32))


def implied_by(relations: Relations, reduction: Reduction, relation: int) -> tuple[int, ...]:
    """Return the shortest chain of needed relations that implies a redundant one.

    Parameters
    ----------
    relations : Relations
        The relations that were reduced.
    reduction : Reduction
        Their reduction.
    relation : int
        One of the redundant relations.

    Returns
    -------
    tuple of int
        At least two relations, from the later context down to the earlier.

    Raises
    ------
    OrderError
        If the relation is needed: no others imply it.
    """
    later, earlier = int(relations.later[relation]), int(relations.earlier[relation])
    if reduction.kept[relation]:
        raise OrderError(
            f"The relation {relations.name(later)} later than {relations.name(earlier)} is needed: no chain of "
            "others implies it. Ask about one of the redundant relations."
        )
    below = neighbours_below(relations)
    needed = reduction.kept[below.relations]
    starts = np.concatenate(([0], np.cumsum(needed)))[below.starts]
    slim = Neighbours(starts, below.contexts[needed], below.relations[needed])
    return shortest_chain(slim, later, earlier) or ()


def _kept(relations: Relations, layers: Layering) -> NDArray[np.bool_]:
    """Number contexts by their place in the layering, sort each row of neighbours downward, and reduce."""
    place = np.empty(relations.count, np.int32)
    place[layers.taken] = np.arange(relations.count, dtype=np.int32)
    later, earlier = place[relations.later], place[relations.earlier]
    _, by_earlier = sort_by_key(earlier, relations.count)
    starts, by_later = sort_by_key(later[by_earlier], relations.count)
    rows = by_earlier[by_later]
    needed = _reduce_rows(starts, earlier[rows], layers.from_top[layers.taken], layers.from_bottom[layers.taken])
    kept = np.empty(len(relations), np.bool_)
    kept[rows] = needed
    return kept


def _reduce_rows(
    starts: NDArray[np.int64], ends: NDArray[np.int32], depth: NDArray[np.int32], height: NDArray[np.int32]
) -> NDArray[np.bool_]:
    """Search below each context with a growing budget, as long as that is cheaper than sweeping the rest."""
    kept = np.ones(len(ends), np.bool_)
    waiting = np.flatnonzero(np.diff(starts) > 1).astype(np.int32)
    budget = FIRST_BUDGET
    sweep = np.inf
    while len(waiting) and SEARCH_COST * len(waiting) * budget < sweep:
        waiting = _search_below(starts, ends, depth, height, waiting, budget, kept)
        budget *= 8
        sweep = _sweep_cost(starts, ends, waiting) if len(waiting) else 0.0
    if len(waiting):
        _sweep_blocks(starts, ends, waiting, kept)
    return kept


@compiled
def _search_below(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    depth: NDArray[np.int32],
    height: NDArray[np.int32],
    contexts: NDArray[np.int32],
    budget: int,
    kept: NDArray[np.bool_],
) -> NDArray[np.int32]:
    """Settle the rows of `contexts` one by one; return those that ran over the budget."""
    seen = np.full(len(depth), -1, np.int32)
    stack = np.empty(len(depth), np.int32)
    put_off = np.empty(len(contexts), np.int32)
    number = 0
    for context in contexts:
        first, last = starts[context], starts[context + 1]
        lowest = depth[ends[last - 1]]
        if depth[ends[first]] == lowest:
            continue
        floor = height[ends[first]]
        for step in range(first + 1, last):
            floor = min(floor, height[ends[step]])
        left = budget
        for step in range(first, last):
            end = ends[step]
            if step > first and end == ends[step - 1]:
                kept[step] = kept[step - 1]
            elif seen[end] == context:
                kept[step] = False
            elif depth[end] < lowest and height[end] > floor:
                kept[step] = True
                left = _mark_below(starts, ends, depth, height, end, context, lowest, floor, left, seen, stack)
                if left < 0:
                    put_off[number] = context
                    number += 1
                    break
    return put_off[:number].copy()


@compiled
def _mark_below(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    depth: NDArray[np.int32],
    height: NDArray[np.int32],
    source: int,
    mark: int,
    lowest: int,
    floor: int,
    left: int,
    seen: NDArray[np.int32],
    stack: NDArray[np.int32],
) -> int:
    """Mark what lies below `source` down to a level; return what is left of the budget, negative if overrun."""
    seen[source] = mark
    stack[0] = source
    top = 1
    while top and left >= 0:
        top -= 1
        context = stack[top]
        for step in range(starts[context], starts[context + 1]):
            end = ends[step]
            left -= 1
            if depth[end] > lowest:
                break
            if seen[end] != mark:
                seen[end] = mark
                if depth[end] < lowest and height[end] > floor:
                    stack[top] = end
                    top += 1
    return left


@compiled
def _block_tops(starts: NDArray[np.int64], ends: NDArray[np.int32], contexts: NDArray[np.int32], width: int) -> NDArray[np.int64]:
    """Return for each block of targets the highest context of `contexts` that has a neighbour in it, or -1."""
    tops = np.full((len(starts) - 2) // width + 1, -1, np.int64)
    for place in range(len(contexts) - 1, -1, -1):
        context = contexts[place]
        for step in range(starts[context], starts[context + 1]):
            tops[ends[step] // width] = context
    return tops


def _sweep_cost(starts: NDArray[np.int64], ends: NDArray[np.int32], contexts: NDArray[np.int32]) -> float:
    """Return how many relations the sweeps for `contexts` would follow."""
    width = 64 * WORDS
    tops = _block_tops(starts, ends, contexts, width)
    bottoms = np.minimum(width * (np.arange(len(tops)) + 1), len(starts) - 1)
    asked = tops >= 0
    return float((starts[bottoms[asked]] - starts[tops[asked]]).sum())


@compiled
def _sweep_blocks(starts: NDArray[np.int64], ends: NDArray[np.int32], contexts: NDArray[np.int32], kept: NDArray[np.bool_]) -> None:
    """Settle the rows of `contexts`, for each block of targets by one sweep upward."""
    count = len(starts) - 1
    width = 64 * WORDS
    tops = _block_tops(starts, ends, contexts, width)
    asked = np.zeros(count, np.bool_)
    for context in contexts:
        asked[context] = True
    reached = np.zeros((count, WORDS), np.uint64)
    for block in range(len(tops)):
        if tops[block] >= 0:
            first = block * width
            last = min(first + width, count)
            for context in range(last - 1, tops[block] - 1, -1):
                _gather(starts, ends, context, first, last, asked[context], reached, kept)


@compiled
def _gather(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    context: int,
    first: int,
    last: int,
    asked: bool,
    reached: NDArray[np.uint64],
    kept: NDArray[np.bool_],
) -> None:
    """Gather which targets of a block a context reaches; settle its own neighbours there when it is asked about."""
    one = np.uint64(1)
    first_word = second = third = fourth = fifth = sixth = seventh = eighth = np.uint64(0)
    step = starts[context]
    while step < starts[context + 1] and ends[step] < last:
        row = reached[ends[step]]
        first_word |= row[0]  # written out, so that the eight words stay in registers: 1.7 times the speed
        second |= row[1]
        third |= row[2]
        fourth |= row[3]
        fifth |= row[4]
        sixth |= row[5]
        seventh |= row[6]
        eighth |= row[7]
        step += 1
    row = reached[context]
    row[0], row[1], row[2], row[3] = first_word, second, third, fourth
    row[4], row[5], row[6], row[7] = fifth, sixth, seventh, eighth
    inside = step
    while inside > starts[context] and ends[inside - 1] >= first:
        inside -= 1
        if asked:
            bit = ends[inside] - first
            kept[inside] = not (row[bit >> 6] >> np.uint64(bit & 63)) & one
    for own in range(inside, step):
        bit = ends[own] - first
        row[bit >> 6] |= one << np.uint64(bit & 63)
