"""Ranks in the sequence, and the earliest and latest phase that each context can belong to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import InputError
from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Neighbours, layering, sort_by_key
from baulk.sequence.loops import loop_groups
from baulk.sequence.paths import chain_in_words, why
from baulk.sequence.relations import Relations

__all__ = ["PhaseConflict", "PhaseRange", "Ranks", "conflict_in_words", "phase_ranges", "ranks_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Ranks:
    """Longest distances of each context from both ends of the sequence.

    Parameters
    ----------
    from_top : int32 array, shape (count,)
        Relations in the longest chain that ends at the context; 0 for a context with nothing above it.
    from_bottom : int32 array, shape (count,)
        Relations in the longest chain that begins at the context; 0 for one with nothing below it.
    in_loop : bool array, shape (count,)
        Contexts of a loop share the ranks of the loop as a whole.
    """

    from_top: NDArray[np.int32]
    from_bottom: NDArray[np.int32]
    in_loop: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class PhaseConflict:
    """A context put in an earlier phase than one that lies below it.

    Parameters
    ----------
    later, earlier : int
        The context above and the context below.
    later_phase, earlier_phase : int
        The phases they were put in; the first is the smaller one, which the order forbids.
    """

    later: int
    earlier: int
    later_phase: int
    earlier_phase: int


@dataclass(frozen=True, slots=True, eq=False)
class PhaseRange:
    """The phases that each context can belong to; phase 1 is the earliest.

    Parameters
    ----------
    earliest, latest : int32 array, shape (count,)
        Bounds from the phases given, carried along the order; `earliest` above `latest` shows a conflict.
    earliest_from, latest_from : int32 array, shape (count,)
        The context whose given phase set the bound; -1 where only the first or last phase does.
    conflicts : tuple of PhaseConflict
        One for each context that was put in an earlier phase than something under it; `why` gives the chain.
    """

    earliest: NDArray[np.int32]
    latest: NDArray[np.int32]
    earliest_from: NDArray[np.int32]
    latest_from: NDArray[np.int32]
    conflicts: tuple[PhaseConflict, ...]


def ranks_of(relations: Relations) -> Ranks:
    """Return the longest distances of each context from the top and the bottom.

    Parameters
    ----------
    relations : Relations
        Any relations; a loop counts as one context.

    Returns
    -------
    Ranks
        Both distances.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> ranks_of(relations_of(4, [0, 1, 0], [1, 2, 2])).from_top.tolist()
    [0, 1, 2, 0]
    """
    number, group, below = _drawn_together(relations)
    layers = layering(below)
    return Ranks(layers.from_top[group], layers.from_bottom[group], np.bincount(group, minlength=number)[group] > 1)


def phase_ranges(relations: Relations, phases: ArrayLike, *, last: int | None = None) -> PhaseRange:
    """Carry the phases given to some contexts along the order to all others.

    Parameters
    ----------
    relations : Relations
        Any relations; all contexts of a loop get the same bounds.
    phases : array-like of int, shape (count,)
        The phase each context was put in, 1 = earliest; 0 = not yet put in one.
    last : int, optional
        The number of phases; the largest given when left out.

    Returns
    -------
    PhaseRange
        Bounds, what set them, and conflicts.

    Raises
    ------
    InputError
        If there is not one phase for each context, or a phase is below 0 or above `last`.

    Notes
    -----
    With c later than d the phase of c is at least that of d. So the earliest phase of c is the largest phase
    given to c or to anything below it, and its latest phase the smallest given to c or to anything above it.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> found = phase_ranges(relations_of(3, [0, 1], [1, 2]), [3, 0, 1])
    >>> found.earliest.tolist(), found.latest.tolist()
    ([3, 1, 1], [3, 3, 1])
    """
    given = np.asarray(phases, np.int32).reshape(-1)
    top = max(int(given.max(initial=1)), 1) if last is None else last
    _check_phases(relations, given, top)
    number, group, below = _drawn_together(relations)
    taken = layering(below).taken
    largest, largest_from = _extreme_inside(given, group, number, sign=1)
    smallest, smallest_from = _extreme_inside(given, group, number, sign=-1)
    under, under_from = _carry_up(below.starts, below.contexts, taken, largest, largest_from)
    over, over_from = _carry_down(below.starts, below.contexts, taken, smallest, smallest_from)
    conflicts = _conflicts(group, given, under, under_from)
    earliest_from, latest_from = under_from[group], over_from[group]
    earliest = np.where(earliest_from < 0, 1, under[group]).astype(np.int32)
    latest = np.where(latest_from < 0, top, over[group]).astype(np.int32)
    return PhaseRange(earliest, latest, earliest_from, latest_from, conflicts)


def conflict_in_words(relations: Relations, conflict: PhaseConflict) -> str:
    """Return one sentence that shows a phase conflict, its chain, and what to settle.

    Parameters
    ----------
    relations : Relations
        The relations that were used.
    conflict : PhaseConflict
        One of the conflicts found.

    Returns
    -------
    str
        A message in the contexts' numbers.
    """
    chain = chain_in_words(relations, why(relations, conflict.later, conflict.earlier) or ())
    return (
        f"Layer {relations.name(conflict.later)} is put in phase {conflict.later_phase}, but it is later than "
        f"{relations.name(conflict.earlier)} of phase {conflict.earlier_phase} ({chain}). A layer belongs to the "
        "same phase as what lies below it, or to a later one: change one of the two phases, or see which "
        "relation is wrong."
    )


def _check_phases(relations: Relations, given: NDArray[np.int32], top: int) -> None:
    if len(given) != relations.count:
        raise InputError(
            f"{len(given)} phases are given for {relations.count} contexts. Give one for each context, and 0 where none is set yet."
        )
    wrong = np.flatnonzero((given < 0) | (given > top))
    if len(wrong):
        context = int(wrong[0])
        raise InputError(
            f"Layer {relations.name(context)} is put in phase {given[context]}, but the phases run from 1 "
            f"(earliest) to {top}. Give one of these, or 0 where none is set yet."
        )


def _drawn_together(relations: Relations) -> tuple[int, NDArray[np.int32], Neighbours]:
    """Draw each loop together to one point; return their number, each context's point, and neighbours below."""
    number, group = loop_groups(relations)
    later, earlier = group[relations.later], group[relations.earlier]
    between = np.flatnonzero(later != earlier).astype(np.int32)
    starts, order = sort_by_key(later[between], number)
    return number, group, Neighbours(starts, earlier[between][order], between[order])


def _extreme_inside(
    given: NDArray[np.int32], group: NDArray[np.int32], number: int, *, sign: int
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return the largest (sign 1) or smallest (sign -1) phase given inside each point, and where; 0 and -1 if none."""
    value = np.zeros(number, np.int32)
    where = np.full(number, -1, np.int32)
    known = np.flatnonzero(given)
    rising = known[np.argsort(sign * given[known], kind="stable")]
    value[group[rising]] = given[rising]
    where[group[rising]] = rising
    return value, where


@compiled
def _carry_up(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    taken: NDArray[np.int32],
    value: NDArray[np.int32],
    where: NDArray[np.int32],
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return the largest value at or below each point, and where it comes from."""
    value, where = value.copy(), where.copy()
    for place in range(len(taken) - 1, -1, -1):
        point = taken[place]
        for step in range(starts[point], starts[point + 1]):
            end = ends[step]
            if value[end] > value[point]:
                value[point], where[point] = value[end], where[end]
    return value, where


@compiled
def _carry_down(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    taken: NDArray[np.int32],
    value: NDArray[np.int32],
    where: NDArray[np.int32],
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return the smallest value at or above each point, and where it comes from; 0 stands for none."""
    value, where = value.copy(), where.copy()
    for place in range(len(taken)):
        point = taken[place]
        for step in range(starts[point], starts[point + 1]):
            end = ends[step]
            if value[point] and (not value[end] or value[point] < value[end]):
                value[end], where[end] = value[point], where[point]
    return value, where


def _conflicts(
    group: NDArray[np.int32], given: NDArray[np.int32], under: NDArray[np.int32], under_from: NDArray[np.int32]
) -> tuple[PhaseConflict, ...]:
    wrong = np.flatnonzero((given > 0) & (given < under[group]))
    source = under_from[group[wrong]]
    columns = (wrong, source, given[wrong], given[source])
    return tuple(PhaseConflict(*row) for row in zip(*(column.tolist() for column in columns), strict=True))
