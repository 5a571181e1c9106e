"""Sweeps that put each item at the mean place of its neighbours, and the count of crossings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered.replacing import Arrangement
from baulk.sequence.compiled import compiled

__all__ = ["count_crossings", "sweep"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@compiled
def count_crossings(a: Arrangement) -> int:
    """Return how many pairs of short lines cross, with a binary indexed tree of the ends met so far.

    Notes
    -----
    Barth, Jünger & Mutzel 2002, *Simple and efficient bilayer cross counting*, Graph Drawing, LNCS 2528, 130–141 (from memory).
    """
    total, tree = 0, np.zeros(len(a.flat) + 1, np.int64)
    for row in range(len(a.starts) - 2):
        width, seen = a.starts[row + 2] - a.starts[row + 1], 0
        for index in range(width + 1):
            tree[index] = 0
        for at in range(a.starts[row], a.starts[row + 1]):
            first, last = a.down_starts[a.flat[at]], a.down_starts[a.flat[at] + 1]
            for end in range(first, last):
                index, total = a.places[a.down[end]] + 1, total + seen
                while index > 0:
                    total -= tree[index]
                    index -= index & -index
            for end in range(first, last):
                index, seen = a.places[a.down[end]] + 1, seen + 1
                while index <= width:
                    tree[index] += 1
                    index += index & -index
    return total


@compiled
def _sorted(flat: Ints, begin: int, end: int, wish: Floats, places: Ints) -> None:
    """Sort the items of one row by wish, then by place (a comb sort: the same for any input, and quick to compile)."""
    gap, moved = end - begin, True
    while gap > 1 or moved:
        gap = max(gap * 10 // 13, 1)
        moved = False
        for at in range(begin, end - gap):
            one, two = flat[at], flat[at + gap]
            if wish[one] > wish[two] or (wish[one] == wish[two] and places[one] > places[two]):
                flat[at], flat[at + gap] = two, one
                moved = True
    for at in range(begin, end):
        places[flat[at]] = at - begin


@compiled
def _arrange(a: Arrangement, row: int, starts: Ints, near: Ints, wish: Floats) -> None:
    """Order one row by its neighbours in another; items without neighbours stay about where they are."""
    for at in range(a.starts[row], a.starts[row + 1]):
        item = a.flat[at]
        first, last = starts[item], starts[item + 1]
        wish[item] = a.places[item]
        if last > first:
            sum_ = 0
            for end in range(first, last):
                sum_ += a.places[near[end]]
            wish[item] = sum_ / (last - first)
    _sorted(a.flat, a.starts[row], a.starts[row + 1], wish, a.places)


@compiled
def _copied(source: Ints, target: Ints) -> None:
    """Copy one by one: a slice would take numba much longer to compile."""
    for at in range(len(source)):
        target[at] = source[at]


@compiled
def sweep(a: Arrangement, sweeps: int) -> int:
    """Sweep down and up in turn and leave the best arrangement met; return its crossings."""
    rows, wish, best = len(a.starts) - 1, np.zeros(len(a.flat)), np.zeros(len(a.flat), np.int64)
    _copied(a.flat, best)
    fewest, stale = count_crossings(a), 0
    for number in range(sweeps):
        for step in range(1, rows):
            if number % 2 == 0:
                _arrange(a, step, a.up_starts, a.up, wish)
            else:
                _arrange(a, rows - 1 - step, a.down_starts, a.down, wish)
        crossings = count_crossings(a)
        stale += 1
        if crossings < fewest:
            fewest, stale = crossings, 0
            _copied(a.flat, best)
        if fewest == 0 or stale > 5:
            break
    _copied(best, a.flat)
    for row in range(rows):
        for at in range(a.starts[row], a.starts[row + 1]):
            a.places[a.flat[at]] = at - a.starts[row]
    return fewest
