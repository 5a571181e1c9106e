"""Loops: contexts that the relations make later than themselves, each shown by its shortest cycle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from baulk.errors import LoopError, OrderError
from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Neighbours, layering, neighbours_below, shortest_chain, sort_by_key, walk_back
from baulk.sequence.relations import Relations

__all__ = [
    "Cycle",
    "Loop",
    "cycle_in_words",
    "cycle_through",
    "loop_error",
    "loop_groups",
    "loops_of",
    "refuse_loops",
]

LOOP_WORK = 20_000_000
"""Relations followed at most in looking for the shortest cycle of one loop."""


@dataclass(frozen=True, slots=True)
class Cycle:
    """A chain of relations that comes back to where it began.

    Parameters
    ----------
    contexts : tuple of int
        The contexts, latest first; the last is later than the first again.
    relations : tuple of int
        ``relations[i]`` makes ``contexts[i]`` later than ``contexts[i + 1]``, and the last one closes the cycle.
    """

    contexts: tuple[int, ...]
    relations: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """Contexts of which each is recorded, by some chain, as both earlier and later than each other one.

    Parameters
    ----------
    contexts : int32 array
        All contexts of the loop, ascending.
    relations : int32 array
        All relations between them, ascending.
    shortest : Cycle
        A shortest cycle.
    surely_shortest : bool
        Whether the search could be finished; in a very large loop it is bounded, and a shorter cycle may exist.
    """

    contexts: NDArray[np.int32]
    relations: NDArray[np.int32]
    shortest: Cycle
    surely_shortest: bool


def loop_groups(relations: Relations) -> tuple[int, NDArray[np.int32]]:
    """Return the number of strongly connected groups and the group of each context.

    Parameters
    ----------
    relations : Relations
        Any relations.

    Returns
    -------
    number : int
        Number of groups; it equals the number of contexts when there is no loop.
    group : int32 array, shape (count,)
        Contexts of one loop share a group; every other context has its own. Groups are in no set order.

    References
    ----------
    R. Tarjan, "Depth-first search and linear graph algorithms", SIAM Journal on Computing 1 (1972) 146-160
    (from memory).
    """
    below = neighbours_below(relations)
    if layering(below).complete:
        return relations.count, np.arange(relations.count, dtype=np.int32)
    ones = np.ones(len(relations), np.int8)
    links = csr_array((ones, below.contexts, below.starts), shape=(relations.count, relations.count))
    number, group = connected_components(links, directed=True, connection="strong")
    return int(number), group.astype(np.int32)


def loops_of(relations: Relations) -> tuple[Loop, ...]:
    """Find every loop, with a shortest cycle in each.

    Parameters
    ----------
    relations : Relations
        Any relations.

    Returns
    -------
    tuple of Loop
        The loops in the order of their first contexts; empty when the relations hold none.

    Notes
    -----
    A search runs from each context of a loop for the shortest way back; then the context is taken out, with
    all that no longer lies on a cycle, since shorter cycles can only run elsewhere.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> loops_of(relations_of(4, [0, 1, 2, 2], [1, 2, 0, 3]))[0].shortest.contexts
    (0, 1, 2)
    """
    number, group = loop_groups(relations)
    if number == relations.count:
        return ()
    inner = np.flatnonzero(group[relations.later] == group[relations.earlier]).astype(np.int32)
    below = _inner_neighbours(relations.later[inner], relations.earlier[inner], relations.count, inner)
    above = _inner_neighbours(relations.earlier[inner], relations.later[inner], relations.count, inner)
    starts, members = sort_by_key(group, number)
    large = np.flatnonzero(np.diff(starts) > 1)
    rows_start, rows = sort_by_key(group[relations.later[inner]], number)
    alive = np.zeros(relations.count, np.bool_)
    step_to = np.full(relations.count, -1, np.int64)
    loops = []
    for one in large[np.argsort(members[starts[large]])]:
        contexts = members[starts[one] : starts[one + 1]]
        steps, finished = _shortest_cycle(
            below.starts, below.contexts, above.starts, above.contexts, contexts, alive, step_to, LOOP_WORK
        )
        cycle = _cycle_from(relations, tuple(int(below.relations[step]) for step in steps))
        own = inner[rows[rows_start[one] : rows_start[one + 1]]]
        loops.append(Loop(contexts, own, cycle, bool(finished)))
    return tuple(loops)


def cycle_through(relations: Relations, relation: int) -> Cycle | None:
    """Return a shortest cycle that runs through one relation, or None when it lies on no cycle.

    Parameters
    ----------
    relations : Relations
        Any relations.
    relation : int
        The relation in question.

    Returns
    -------
    Cycle or None
        The cycle, beginning with the relation's later context.
    """
    later, earlier = int(relations.later[relation]), int(relations.earlier[relation])
    back = shortest_chain(neighbours_below(relations), earlier, later)
    return None if back is None else _cycle_from(relations, (relation, *back))


def cycle_in_words(relations: Relations, cycle: Cycle) -> str:
    """Return a cycle as "1042 > 1039 > 1040 > 1042", each context later than the next."""
    return relations.chain((*cycle.contexts, cycle.contexts[0]), ">")


def loop_error(relations: Relations, cycle: Cycle) -> LoopError:
    """Return the error that shows a cycle in the contexts' numbers."""
    return LoopError([relations.name(context) for context in (*cycle.contexts, cycle.contexts[0])])


def refuse_loops(relations: Relations, wanted: str) -> None:
    """Raise an error when the relations hold a loop.

    Parameters
    ----------
    relations : Relations
        Any relations.
    wanted : str
        What cannot be had while a loop stands, to begin the message with.

    Raises
    ------
    OrderError
        With the shortest cycle of the first loop in words, and the number of other loops.
    """
    loops = loops_of(relations)
    if loops:
        others = f" {len(loops) - 1} more stand beside it." if len(loops) > 1 else ""
        raise OrderError(
            f"{wanted} needs an order without loops, but the relations hold one: "
            f"{cycle_in_words(relations, loops[0].shortest)}.{others} A layer cannot be earlier than itself: "
            "mend or doubt one relation of each loop first."
        )


def _inner_neighbours(tails: NDArray[np.int32], heads: NDArray[np.int32], count: int, relations: NDArray[np.int32]) -> Neighbours:
    starts, order = sort_by_key(tails, count)
    return Neighbours(starts, heads[order], relations[order])


def _cycle_from(relations: Relations, chain: tuple[int, ...]) -> Cycle:
    return Cycle(tuple(int(relations.later[relation]) for relation in chain), chain)


@compiled
def _shortest_cycle(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    up_starts: NDArray[np.int64],
    up_ends: NDArray[np.int32],
    contexts: NDArray[np.int32],
    alive: NDArray[np.bool_],
    step_to: NDArray[np.int64],
    work: int,
) -> tuple[NDArray[np.int64], bool]:
    """Return the steps of a shortest cycle among `contexts`, and whether the search came to its end."""
    for context in contexts:
        alive[context] = True
    best = np.empty(0, np.int64)
    queue = np.empty(len(contexts) + 1, np.int32)
    for context in contexts:
        if not alive[context]:
            continue
        limit = len(best) - 1 if len(best) else len(contexts)
        steps, followed = _way_back(starts, ends, alive, step_to, queue, context, limit)
        if len(steps):
            best = steps
        _take_out(starts, ends, up_starts, up_ends, alive, queue, context)
        work -= followed
        if len(best) == 2 or (work < 0 and len(best)):
            break
    finished = len(best) == 2 or work >= 0
    for context in contexts:
        alive[context] = False
    return best, finished


@compiled
def _way_back(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    alive: NDArray[np.bool_],
    step_to: NDArray[np.int64],
    queue: NDArray[np.int32],
    source: int,
    limit: int,
) -> tuple[NDArray[np.int64], int]:
    """Return the steps of a shortest cycle through `source` of at most `limit` steps, and the relations followed."""
    queue[0] = source
    now, free, level, level_end, followed = 0, 1, 0, 1, 0
    while now < free and level < limit and step_to[source] < 0:
        context = queue[now]
        now += 1
        for step in range(starts[context], starts[context + 1]):
            followed += 1
            end = ends[step]
            if alive[end] and step_to[end] < 0:
                step_to[end] = step
                queue[free] = end
                free += 1
        if now == level_end:
            level += 1
            level_end = free
    steps = walk_back(starts, step_to, source, source)
    for place in range(free):
        step_to[queue[place]] = -1
    return steps, followed


@compiled
def _take_out(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    up_starts: NDArray[np.int64],
    up_ends: NDArray[np.int32],
    alive: NDArray[np.bool_],
    queue: NDArray[np.int32],
    context: int,
) -> None:
    """Take a context out, and then every neighbour that is left with nothing above or nothing below."""
    alive[context] = False
    queue[0] = context
    now, free = 0, 1
    while now < free:
        gone = queue[now]
        now += 1
        for step in range(starts[gone], starts[gone + 1]):
            end = ends[step]
            if alive[end] and not _any_alive(up_starts, up_ends, alive, end):
                alive[end] = False
                queue[free] = end
                free += 1
        for step in range(up_starts[gone], up_starts[gone + 1]):
            end = up_ends[step]
            if alive[end] and not _any_alive(starts, ends, alive, end):
                alive[end] = False
                queue[free] = end
                free += 1


@compiled
def _any_alive(starts: NDArray[np.int64], ends: NDArray[np.int32], alive: NDArray[np.bool_], context: int) -> bool:
    for step in range(starts[context], starts[context + 1]):  # noqa: SIM110  (numba compiles no generators in any())
        if alive[ends[step]]:
            return True
    return False
