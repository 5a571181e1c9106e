"""Counting every order that the relations allow, and with it how often one context comes before another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.graph import layering, neighbours_below
from baulk.sequence.paths import reaches
from baulk.sequence.relations import Relations

__all__ = ["CountedOrders", "count_orders"]

WIDEST_KEY = 2**62
"""Heaps are numbered by 64-bit whole numbers."""


@dataclass(frozen=True, slots=True, eq=False)
class CountedOrders:
    """All orders of a site, counted.

    Parameters
    ----------
    earlier : float64 array, shape (count, count)
        Share of the orders in which the context of the row is earlier than that of the column; 0 on the diagonal.
    place : float64 array, shape (count, count)
        Share of the orders in which the context of the row stands at the place of the column, earliest first.
    orders : float
        Number of orders; exact up to 2^53, then to 15 figures, infinite beyond 10^308.
    """

    earlier: NDArray[np.float64]
    place: NDArray[np.float64]
    orders: float


@dataclass(frozen=True, slots=True, eq=False)
class _Strands:
    """Contexts laid in strands, each in order from the earliest; a heap is how far each strand has come."""

    strand: NDArray[np.int64]
    step: NDArray[np.int64]
    at: NDArray[np.int64]  # context at (strand, step), -1 beyond the end
    need: NDArray[np.int64]  # steps of each strand that must lie below a context
    weight: NDArray[np.int64]  # value of one step of each strand in a heap's number


@dataclass(frozen=True, slots=True, eq=False)
class _Growth:
    """All ways in which the heaps of one size grow by one context."""

    heap: NDArray[np.int32]
    context: NDArray[np.int32]
    grown: NDArray[np.int32]
    steps: NDArray[np.int16]  # shape (heaps, strands)


def count_orders(relations: Relations, *, limit: int) -> CountedOrders | None:
    """Count the orders that the relations allow, or give up when the site is too wide for it.

    Parameters
    ----------
    relations : Relations
        Relations without a loop.
    limit : int
        Heaps looked at before giving up.

    Returns
    -------
    CountedOrders or None
        None when there are more than `limit` heaps.

    Notes
    -----
    A heap (a down-set of the order) is a set of contexts that could lie in the ground at one moment: with each
    context it holds everything earlier. With f(H) the number of ways to build heap H from nothing and g(H) the
    number of ways to finish it, context x is added to H in f(H) g(H + x) of all orders, and in those every context
    outside H + x comes after x. Sums over all H and x give every P(x before y) at once. Heaps are kept as the
    steps reached in each of a few strands that cover the order; their number is at most the product of the strands'
    lengths plus one, so it stays small for a narrow site of any height and is at most 2^n.

    References
    ----------
    G. Brightwell, P. Winkler, "Counting linear extensions", Order 8 (1991) 225-242: counting is #P-complete in
    general, so a limit is needed (from memory).

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> counted = count_orders(relations_of(3, [0], [1]), limit=100)
    >>> counted.orders, round(float(counted.earlier[1, 2]), 3)
    (3.0, 0.667)
    """
    strands = _strands(relations)
    if strands is None:
        return None
    growths = _grow(strands, relations.count, limit)
    return None if growths is None else _tally(strands, growths, relations.count)


def _strands(relations: Relations) -> _Strands | None:
    """Lay the contexts in strands, first fit from the earliest; None when heaps could not be numbered."""
    count = relations.count
    upward = layering(neighbours_below(relations)).taken[::-1].astype(np.int64)
    one, other = np.divmod(np.arange(count * count), max(count, 1))
    later = reaches(relations, one, other).reshape(count, count)
    ends: list[int] = []
    strand, step = np.zeros(count, np.int64), np.zeros(count, np.int64)
    for context in upward.tolist():
        fits = [place for place, end in enumerate(ends) if later[context, end]]
        strand[context] = fits[0] if fits else len(ends)
        if fits:
            step[context] = step[ends[fits[0]]] + 1
            ends[fits[0]] = context
        else:
            ends.append(context)
    lengths = np.bincount(strand, minlength=len(ends))
    sizes = [int(length) + 1 for length in lengths]
    weights = [1]
    for size in sizes:
        weights.append(weights[-1] * size)
    if weights[-1] >= WIDEST_KEY:
        return None
    at = np.full((len(ends), int(lengths.max(initial=0)) + 1), -1, np.int64)
    at[strand, step] = np.arange(count)
    member = np.zeros((count, len(ends)), np.int64)
    member[np.arange(count), strand] = 1
    return _Strands(strand, step, at, later.astype(np.int64) @ member, np.array(weights[:-1], np.int64))


def _grow(strands: _Strands, count: int, limit: int) -> list[_Growth] | None:
    """Grow all heaps from the empty one, one context at a time; None when there are more than `limit`."""
    width = len(strands.weight)
    keys, steps = np.zeros(1, np.int64), np.zeros((1, width), np.int16)
    growths = []
    seen = 1
    for _ in range(count):
        heaps, contexts = [], []
        for strand in range(width):
            following = strands.at[strand, steps[:, strand]]
            open_heaps = np.flatnonzero(following >= 0)
            free = (steps[open_heaps] >= strands.need[following[open_heaps]]).all(axis=1)
            heaps.append(open_heaps[free])
            contexts.append(following[open_heaps[free]])
        heap = np.concatenate(heaps).astype(np.int32)
        context = np.concatenate(contexts).astype(np.int32)
        own = strands.strand[context]
        larger, first, grown = np.unique(keys[heap] + strands.weight[own], return_index=True, return_inverse=True)
        growths.append(_Growth(heap, context, grown.astype(np.int32), steps))
        seen += len(larger)
        if seen > limit:
            return None
        steps = steps[heap[first]]
        steps[np.arange(len(larger)), own[first]] += 1
        keys = larger
    return growths


def _tally(strands: _Strands, growths: list[_Growth], count: int) -> CountedOrders:
    """Count ways up from nothing and down from the whole, and share them out over contexts and pairs."""
    ways_up, doublings = [np.ones(1)], 0
    for growth in growths:
        ways, power = _scaled(_sums(growth.grown, ways_up[-1][growth.heap]))
        doublings += power
        ways_up.append(ways)
    width, length = strands.at.shape
    reached = np.zeros((count, width, length))
    place = np.zeros((count, count))
    finish = np.ones(1)
    for size in range(count - 1, -1, -1):
        growth = growths[size]
        share = ways_up[size][growth.heap] * finish[growth.grown]
        share /= share.sum()
        place[:, size] = _sums(growth.context, share, count)
        for strand in range(width):
            cell = growth.context * length + growth.steps[growth.heap, strand]
            reached[:, strand] += _sums(cell, share, count * length).reshape(count, length)
        finish, _ = _scaled(_sums(growth.heap, finish[growth.grown], len(growth.steps)))
    outside = np.cumsum(reached, axis=2)
    earlier = outside[:, strands.strand, strands.step] if count else np.zeros((0, 0))
    np.fill_diagonal(earlier, 0.0)
    with np.errstate(over="ignore"):
        orders = float(np.ldexp(ways_up[-1][0], doublings))
    return CountedOrders(np.clip(earlier, 0.0, 1.0), place, orders)


def _sums(place: NDArray[np.int32], amount: NDArray[np.float64], size: int = 0) -> NDArray[np.float64]:
    """Return the sum of the amounts at each place."""
    return np.bincount(place, weights=amount, minlength=size).astype(np.float64, copy=False)


def _scaled(ways: NDArray[np.float64]) -> tuple[NDArray[np.float64], int]:
    """Halve numbers that grow out of range, by a power of two so that no figure is lost."""
    power = int(np.frexp(ways.max())[1])
    return (ways, 0) if power < 500 else (np.ldexp(ways, -power), power)
