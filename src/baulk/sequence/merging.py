"""Joining the contexts that are one: same as, bonded with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from baulk.sequence.graph import Neighbours, shortest_chain, sort_by_key
from baulk.sequence.relations import Relations, distinct_relations

__all__ = ["Contradiction", "Merging", "contradiction_in_words", "merge_same"]

NAMED_MEMBERS = 4


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A relation between two contexts that are also recorded as one.

    Parameters
    ----------
    row : int
        The relation, as a row of those given.
    later, earlier : int
        Its contexts.
    same_rows : tuple of int
        The rows of `Relations.same` that join the two.
    contexts : tuple of int
        The contexts along that chain, from `later` to `earlier`.
    """

    row: int
    later: int
    earlier: int
    same_rows: tuple[int, ...]
    contexts: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Merging:
    """Contexts joined into groups, and the relations between the groups.

    Parameters
    ----------
    group : int32 array, shape (count,)
        The group of each context; groups are counted in the order of their first context.
    relations : Relations
        Distinct relations between groups; a group of several contexts is named "1001 = 1004".
    relation_of_row : int32 array, shape (rows given,)
        The distinct relation that each given row became; -1 for a row inside a group.
    contradictions : tuple of Contradiction
        The rows inside a group.
    """

    group: NDArray[np.int32]
    relations: Relations
    relation_of_row: NDArray[np.int32]
    contradictions: tuple[Contradiction, ...]

    def rows(self, relation: int) -> NDArray[np.int64]:
        """Return the given rows that became one relation between groups."""
        return np.flatnonzero(self.relation_of_row == relation)

    def members(self, group: int) -> NDArray[np.int64]:
        """Return the contexts of one group."""
        return np.flatnonzero(self.group == group)


def merge_same(relations: Relations) -> Merging:
    """Join the contexts that are one and restate the relations between the groups.

    Parameters
    ----------
    relations : Relations
        The relations as given, with the pairs of contexts that are one.

    Returns
    -------
    Merging
        Groups, distinct relations between them, and the relations that contradict a group.

    Notes
    -----
    "Same as" is taken to be transitive: groups are the connected components of the pairs. A relation inside
    a group cannot be true together with the pairs that join it; it is set aside and reported, never dropped
    in silence.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> merging = merge_same(relations_of(4, [0, 1], [1, 2], same=[(1, 3)]))
    >>> merging.group.tolist(), len(merging.relations)
    ([0, 1, 2, 1], 2)
    """
    group, number = _groups(relations)
    later, earlier = group[relations.later], group[relations.earlier]
    inside = later == earlier
    outside = np.flatnonzero(~inside)
    between = Relations(
        count=number,
        later=later[outside],
        earlier=earlier[outside],
        certainty=relations.certainty[outside],
        sides=relations.sides[outside],
        same=np.zeros((0, 2), np.int32),
        names=_group_names(relations, group, number),
    )
    distinct = distinct_relations(between)
    relation_of_row = np.full(len(relations), -1, np.int32)
    relation_of_row[outside] = distinct.relation_of_row
    return Merging(group, distinct.relations, relation_of_row, _contradictions(relations, np.flatnonzero(inside)))


def contradiction_in_words(relations: Relations, contradiction: Contradiction) -> str:
    """Return one sentence that shows the relation, the chain that contradicts it, and what to settle.

    Parameters
    ----------
    relations : Relations
        The relations that were merged.
    contradiction : Contradiction
        One of the contradictions found in them.

    Returns
    -------
    str
        A message in the contexts' numbers.
    """
    later, earlier = relations.name(contradiction.later), relations.name(contradiction.earlier)
    chain = " = ".join(relations.name(context) for context in contradiction.contexts)
    return (
        f"Layer {later} is recorded as later than {earlier} and also as the same ({chain}). One layer cannot be "
        "later than itself: see whether the relation or one of the equations is wrong."
    )


def _groups(relations: Relations) -> tuple[NDArray[np.int32], int]:
    """Return the group of each context, counted in the order of first contexts, and the number of groups."""
    if not len(relations.same):
        return np.arange(relations.count, dtype=np.int32), relations.count
    ones = np.ones(len(relations.same), np.int8)
    links = coo_array((ones, (relations.same[:, 0], relations.same[:, 1])), shape=(relations.count, relations.count))
    number, label = connected_components(links, directed=False)
    first = np.full(number, relations.count)
    np.minimum.at(first, label, np.arange(relations.count))
    rank = np.empty(number, np.int32)
    rank[np.argsort(first)] = np.arange(number, dtype=np.int32)
    return rank[label], int(number)


def _group_names(relations: Relations, group: NDArray[np.int32], number: int) -> tuple[str, ...]:
    if number == relations.count:
        return relations.names
    starts, members = sort_by_key(group, number)
    names = [relations.name(int(context)) for context in members[starts[:-1]]]
    for one in np.flatnonzero(np.diff(starts) > 1):
        inside = [relations.name(int(context)) for context in members[starts[one] : starts[one + 1]]]
        more = [f"{len(inside) - NAMED_MEMBERS} more"] if len(inside) > NAMED_MEMBERS else []
        names[int(one)] = " = ".join(inside[:NAMED_MEMBERS] + more)
    return tuple(names)


def _contradictions(relations: Relations, rows: NDArray[np.int64]) -> tuple[Contradiction, ...]:
    if not len(rows):
        return ()
    pairs = relations.same
    from_both = np.concatenate((pairs[:, 0], pairs[:, 1])).astype(np.int32)
    to_both = np.concatenate((pairs[:, 1], pairs[:, 0])).astype(np.int32)
    starts, order = sort_by_key(from_both, relations.count)
    links = Neighbours(starts, to_both[order], (order % len(pairs)).astype(np.int32))
    found = []
    for row in rows:
        later, earlier = int(relations.later[row]), int(relations.earlier[row])
        chain = shortest_chain(links, later, earlier) or ()
        contexts = [later]
        for same_row in chain:
            one, other = (int(context) for context in pairs[same_row])
            contexts.append(other if one == contexts[-1] else one)
        found.append(Contradiction(int(row), later, earlier, chain, tuple(contexts)))
    return tuple(found)
