"""The compiled steps of a live order: linking relations, searching between two places, moving contexts, renewing ranks."""

from __future__ import annotations

import heapq

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.compiled import compiled

__all__ = ["link", "make_room", "path_within", "renew_ranks", "split_off", "unlink"]

Whole = NDArray[np.int32]
Long = NDArray[np.int64]


@compiled
def link(first: Whole, after: Whole, before: Whole, context: int, relation: int) -> None:
    """Put a relation at the head of the chain that hangs on a context."""
    head = first[context]
    after[relation], before[relation] = head, -1
    if head >= 0:
        before[head] = relation
    first[context] = relation


@compiled
def unlink(first: Whole, after: Whole, before: Whole, context: int, relation: int) -> None:
    """Take a relation out of the chain that hangs on a context."""
    ahead, behind = before[relation], after[relation]
    if ahead >= 0:
        after[ahead] = behind
    else:
        first[context] = behind
    if behind >= 0:
        before[behind] = ahead


@compiled
def path_within(
    first: Whole, after: Whole, ends: Whole, place: Long, seen: Long, via: Whole, queue: Whole, source: int, target: int, mark: int
) -> int:
    """Search downward from `source`, no lower than the place of `target`; return how many contexts were met.

    They stand in `queue`, nearest first, and `via` holds the relation that led to each; ``seen[target] == mark`` tells whether it
    was met, and then the way to it is a shortest one.
    """
    lowest = place[target]
    seen[source] = mark
    queue[0], now, free = source, 0, 1
    while now < free:
        relation = first[queue[now]]
        now += 1
        while relation >= 0:
            end = ends[relation]
            if seen[end] != mark and place[end] <= lowest:
                seen[end] = mark
                via[end] = relation
                queue[free] = end
                free += 1
                if end == target:
                    return free
            relation = after[relation]
    return free


@compiled
def split_off(
    first: Whole, after: Whole, ends: Whole, place: Long, seen: Long, queue: Whole, source: int, highest: int, mark: int
) -> int:
    """Search upward from `source`, no higher than a place; return how many contexts were met, which stand in `queue`."""
    seen[source] = mark
    queue[0], now, free = source, 0, 1
    while now < free:
        relation = first[queue[now]]
        now += 1
        while relation >= 0:
            end = ends[relation]
            if seen[end] != mark and place[end] >= highest:
                seen[end] = mark
                queue[free] = end
                free += 1
            relation = after[relation]
    return free


@compiled
def make_room(place: Long, at: Whole, upper: Whole, lower: Whole) -> None:
    """Share out the places of two sets of contexts anew: all of `upper` before all of `lower`, each set in its old order."""
    count_upper, count = len(upper), len(upper) + len(lower)
    free = np.empty(count, np.int64)
    free[:count_upper] = place[upper]
    free[count_upper:] = place[lower]
    in_order = np.empty(count, np.int32)
    in_order[:count_upper] = upper[np.argsort(free[:count_upper])]
    in_order[count_upper:] = lower[np.argsort(free[count_upper:])]
    free.sort()
    for row in range(count):
        place[in_order[row]] = free[row]
        at[free[row]] = in_order[row]


@compiled
def renew_ranks(
    first_down: Whole,
    after_down: Whole,
    earlier: Whole,
    first_up: Whole,
    after_up: Whole,
    later: Whole,
    place: Long,
    at: Whole,
    from_top: Whole,
    seen: Long,
    start: int,
    mark: int,
) -> int:
    """Renew the steps from the top of a context, and of all below whose steps change with it; return how many changed.

    Contexts are taken by their place, so that each is renewed once, after everything above it.
    """
    waiting = [place[start]]
    seen[start] = mark
    changed = 0
    while waiting:
        context = at[heapq.heappop(waiting)]
        steps = 0
        relation = first_up[context]
        while relation >= 0:
            steps = max(steps, from_top[later[relation]] + 1)
            relation = after_up[relation]
        if steps == from_top[context]:
            continue
        from_top[context] = steps
        changed += 1
        relation = first_down[context]
        while relation >= 0:
            end = earlier[relation]
            if seen[end] != mark:
                seen[end] = mark
                heapq.heappush(waiting, place[end])
            relation = after_down[relation]
    return changed
