"""Why one context is later than another: the chain of relations that proves it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Layering, Neighbours, layering, neighbours_below, shortest_chain, sort_by_key
from baulk.sequence.loops import loop_groups
from baulk.sequence.relations import Relations

__all__ = ["chain_in_words", "reaches", "why"]

BLOCK = 64


def why(relations: Relations, later: int, earlier: int) -> tuple[int, ...] | None:
    """Return the shortest chain of relations that makes one context later than another.

    Parameters
    ----------
    relations : Relations
        Any relations, loops allowed.
    later, earlier : int
        The two contexts.

    Returns
    -------
    tuple of int or None
        The relations from the later context down; None when nothing recorded makes it later.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> relations = relations_of(4, [0, 1, 0], [1, 2, 3])
    >>> why(relations, 0, 2), why(relations, 2, 0)
    ((0, 1), None)
    """
    return shortest_chain(neighbours_below(relations), later, earlier)


def chain_in_words(relations: Relations, chain: tuple[int, ...]) -> str:
    """Return a chain of relations as "1039 > 1040 > 1042", each context later than the next."""
    contexts = [int(relations.later[relation]) for relation in chain] + [int(relations.earlier[chain[-1]])]
    return relations.chain(contexts, ">")


def reaches(relations: Relations, later: ArrayLike, earlier: ArrayLike) -> NDArray[np.bool_]:
    """Say for many pairs at once whether a chain of relations leads from the first down to the second.

    Parameters
    ----------
    relations : Relations
        Any relations, loops allowed.
    later, earlier : array-like of int, shape (k,)
        The pairs asked about.

    Returns
    -------
    bool array, shape (k,)
        True where the first is later than the second; a context is later than itself only inside a loop.

    Notes
    -----
    Loops are drawn together first. Then the distinct lower contexts are taken in blocks of 64, and one sweep
    from the bottom carries for each context which of the 64 it reaches: the cost is the number of relations
    times the number of blocks, and no table of all pairs is kept.
    """
    tops, bottoms = np.asarray(later, np.int32).reshape(-1), np.asarray(earlier, np.int32).reshape(-1)
    number, group = loop_groups(relations)
    in_loop = np.bincount(group, minlength=number) > 1
    upper, lower = group[tops], group[bottoms]
    below = _between_groups(relations, group, number)
    layers = layering(below)
    answer: NDArray[np.bool_] = (upper == lower) & in_loop[upper]
    place = np.empty(number, np.int32)
    place[layers.taken] = np.arange(number, dtype=np.int32)
    open_pairs = np.flatnonzero(_possible(layers, upper, lower))
    targets, column = np.unique(place[lower[open_pairs]], return_inverse=True)
    by_block = np.argsort(column // BLOCK, kind="stable")
    edges = np.searchsorted(column[by_block] // BLOCK, np.arange(len(targets) // BLOCK + 2))
    for block in range(len(targets) // BLOCK + 1):
        rows = open_pairs[by_block[edges[block] : edges[block + 1]]]
        if len(rows):
            some = layers.taken[targets[block * BLOCK : (block + 1) * BLOCK]]
            highest = int(place[upper[rows]].min())
            bits = _sweep(below.starts, below.contexts, layers.taken, some, highest)
            bit = (column[by_block[edges[block] : edges[block + 1]]] % BLOCK).astype(np.uint64)
            answer[rows] = (bits[upper[rows]] >> bit) & np.uint64(1) == 1
    return answer


def _possible(layers: Layering, upper: NDArray[np.int32], lower: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Return the pairs whose distances from the top and the bottom leave room for a chain."""
    room: NDArray[np.bool_] = layers.from_top[upper] < layers.from_top[lower]
    return room & (layers.from_bottom[upper] > layers.from_bottom[lower])


def _between_groups(relations: Relations, group: NDArray[np.int32], number: int) -> Neighbours:
    later, earlier = group[relations.later], group[relations.earlier]
    between = np.flatnonzero(later != earlier).astype(np.int32)
    starts, order = sort_by_key(later[between], number)
    return Neighbours(starts, earlier[between][order], between[order])


@compiled
def _sweep(
    starts: NDArray[np.int64],
    ends: NDArray[np.int32],
    taken: NDArray[np.int32],
    targets: NDArray[np.int32],
    highest: int,
) -> NDArray[np.uint64]:
    """Return for each context which of up to 64 targets lie below it."""
    one = np.uint64(1)
    own = np.zeros(len(starts) - 1, np.uint64)
    for bit in range(len(targets)):
        own[targets[bit]] = one << np.uint64(bit)
    reached = np.zeros(len(starts) - 1, np.uint64)
    for place in range(len(taken) - 1, highest - 1, -1):
        context = taken[place]
        for step in range(starts[context], starts[context + 1]):
            reached[context] |= reached[ends[step]] | own[ends[step]]
    return reached
