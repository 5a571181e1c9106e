"""The order of the items in each row: the one with the fewest crossings that sweeping finds."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from baulk.drawing.layered.items import Items

__all__ = ["crossings_in", "places_in_rows"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


def places_in_rows(items: Items, *, sweeps: int = 24, start: Ints | None = None) -> Ints:
    """Return the place of each item in its row, from 0 at the left.

    Parameters
    ----------
    items : Items
        Items and short lines.
    sweeps : int
        Sweeps down and up from each start.
    start : int array, shape (n,), optional
        Wished order of the contexts from left to right (any numbers), as in an earlier drawing of the same order.

    Notes
    -----
    Alternating sweeps of barycentres and medians, each followed by exchanges of neighbours while that lessens crossings; the
    best of several starts is kept. Not proved least: the problem is NP-hard.

    References
    ----------
    Gansner et al. 1993 (see `ranks`), section 3 (from memory). Counting by a binary indexed tree: Barth, Jünger & Mutzel 2002,
    *Simple and efficient bilayer cross counting*, Graph Drawing, LNCS 2528, 130–141 (from memory).
    """
    up, down = items.neighbours(up=True), items.neighbours(up=False)
    rows = int(items.row.max()) + 1 if items.count else 0
    starts = np.zeros(rows + 1, dtype=np.int64)
    np.cumsum(np.bincount(items.row, minlength=rows), out=starts[1:])
    best, fewest = np.zeros(items.count, dtype=np.int64), -1
    for first in _starts(items, up, down, start):
        flat = np.lexsort((first, items.row))
        flat, crossings = _sweep(flat, starts, up[0], up[1], down[0], down[1], sweeps)
        if fewest < 0 or crossings < fewest:
            fewest = crossings
            best[flat] = np.arange(items.count) - starts[items.row[flat]]
        if fewest == 0:
            break
    return best


def _starts(items: Items, up: tuple[Ints, Ints], down: tuple[Ints, Ints], wished: Ints | None) -> list[Ints]:
    """Return orders to start from: the wished one, and walks through the order from above and from below."""
    walks = [_walk(items.count, up, down, from_top=True, items=items), _walk(items.count, up, down, from_top=False, items=items)]
    if wished is None:
        return walks
    carried = np.zeros(items.count, dtype=np.int64)
    carried[: items.real] = wished
    for upper, lower in zip(items.upper, items.lower, strict=True):
        if lower >= items.real:
            carried[lower] = carried[upper]
    return [carried, *walks]


def _walk(count: int, up: tuple[Ints, Ints], down: tuple[Ints, Ints], *, from_top: bool, items: Items) -> Ints:
    rank = items.row if from_top else -items.row
    place = np.full(count, -1, dtype=np.int64)
    met = 0
    for root in np.argsort(rank, kind="stable"):
        stack = [int(root)]
        while stack:
            item = stack.pop()
            if place[item] >= 0:
                continue
            place[item] = met
            met += 1
            for starts, others in (up, down) if not from_top else (down, up):
                stack += [int(other) for other in others[starts[item] : starts[item + 1]][::-1] if place[other] < 0]
    return place


def crossings_in(items: Items, places: Ints) -> int:
    """Return how many pairs of short lines cross."""
    rows = int(items.row.max()) + 1 if items.count else 0
    starts = np.zeros(rows + 1, dtype=np.int64)
    np.cumsum(np.bincount(items.row, minlength=rows), out=starts[1:])
    flat = np.lexsort((places, items.row))
    down = items.neighbours(up=False)
    return int(_count_all(flat, starts, places, down[0], down[1]))


@njit(cache=True)
def _count_all(flat: Ints, starts: Ints, places: Ints, down_starts: Ints, down: Ints) -> int:
    total = 0
    for row in range(len(starts) - 2):
        width = starts[row + 2] - starts[row + 1]
        tree = np.zeros(width + 1, dtype=np.int64)
        seen = 0
        for at in range(starts[row], starts[row + 1]):
            item = flat[at]
            ends = np.sort(places[down[down_starts[item] : down_starts[item + 1]]])
            for end in ends:
                below, index = 0, end + 1
                while index > 0:
                    below += tree[index]
                    index -= index & -index
                total += seen - below
            for end in ends:
                index = end + 1
                while index <= width:
                    tree[index] += 1
                    index += index & -index
                seen += 1
    return total


@njit(cache=True)
def _pair(item: int, other: int, places: Ints, starts: Ints, near: Ints) -> int:
    """Crossings when `item` stands left of `other`, less those when it stands right."""
    left_first = 0
    for a in range(starts[item], starts[item + 1]):
        for b in range(starts[other], starts[other + 1]):
            if places[near[a]] > places[near[b]]:
                left_first += 1
            elif places[near[a]] < places[near[b]]:
                left_first -= 1
    return left_first


@njit(cache=True)
def _exchange(flat: Ints, starts: Ints, places: Ints, us: Ints, u: Ints, ds: Ints, d: Ints) -> bool:
    better = False
    for row in range(len(starts) - 1):
        for at in range(starts[row], starts[row + 1] - 1):
            item, other = flat[at], flat[at + 1]
            if _pair(item, other, places, us, u) + _pair(item, other, places, ds, d) > 0:
                flat[at], flat[at + 1] = other, item
                places[item], places[other] = places[other], places[item]
                better = True
    return better


@njit(cache=True)
def _arrange(flat: Ints, begin: int, end: int, places: Ints, starts: Ints, near: Ints, median: bool) -> None:
    """Order one row by its neighbours in another; items without neighbours stay where they are."""
    width = end - begin
    wish = np.empty(width, dtype=np.float64)
    for at in range(width):
        item = flat[begin + at]
        first, last = starts[item], starts[item + 1]
        if first == last:
            wish[at] = -1.0
        elif median:
            ends = np.sort(places[near[first:last]])
            middle = len(ends) // 2
            wish[at] = ends[middle] if len(ends) % 2 else (ends[middle - 1] + ends[middle]) / 2
        else:
            wish[at] = np.mean(places[near[first:last]].astype(np.float64))
    moving = np.flatnonzero(wish >= 0)
    order = moving[np.argsort(wish[moving], kind="mergesort")]
    moved = flat[begin + order].copy()
    for index in range(len(moving)):
        flat[begin + moving[index]] = moved[index]
    for at in range(width):
        places[flat[begin + at]] = at


@njit(cache=True)
def _places(flat: Ints, starts: Ints) -> Ints:
    places = np.empty(len(flat), dtype=np.int64)
    for row in range(len(starts) - 1):
        for at in range(starts[row], starts[row + 1]):
            places[flat[at]] = at - starts[row]
    return places


@njit(cache=True)
def _pass(flat: Ints, starts: Ints, places: Ints, us: Ints, u: Ints, ds: Ints, d: Ints, sweep: int) -> None:
    """Go through the rows once, downwards in even sweeps; two sweeps by barycentre, then two by median."""
    rows, median = len(starts) - 1, sweep % 4 >= 2
    if sweep % 2 == 0:
        for row in range(1, rows):
            _arrange(flat, starts[row], starts[row + 1], places, us, u, median)
    else:
        for row in range(rows - 2, -1, -1):
            _arrange(flat, starts[row], starts[row + 1], places, ds, d, median)


@njit(cache=True)
def _sweep(flat: Ints, starts: Ints, us: Ints, u: Ints, ds: Ints, d: Ints, sweeps: int) -> tuple[Ints, int]:
    places = _places(flat, starts)
    best = flat.copy()
    fewest = _count_all(flat, starts, places, ds, d)
    stale = 0
    for sweep in range(sweeps):
        _pass(flat, starts, places, us, u, ds, d, sweep)
        for _ in range(12):
            if not _exchange(flat, starts, places, us, u, ds, d):
                break
        crossings = _count_all(flat, starts, places, ds, d)
        if crossings < fewest:
            fewest, stale = crossings, 0
            best[:] = flat
        else:
            stale += 1
        if fewest == 0 or stale > 8:
            break
    return best, fewest
