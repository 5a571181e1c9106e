"""The order of the items in each row: the one with the fewest crossings that the search finds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered.beginnings import between_ends, carried, parts_of, smoothed
from baulk.drawing.layered.items import Items
from baulk.drawing.layered.replacing import Arrangement, replace_paths
from baulk.drawing.layered.sweeping import count_crossings, sweep

__all__ = ["arranged", "crossings_in", "places_in_rows"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

SMOOTHED = 2
"""First arrangements that are smoothed from chance places, beside the one between the ends."""

TRIED = 1000
"""Items searched before one arrangement is chosen: a small order is searched from several, a large one from the best alone."""

FIRST_REACHES, LAST_REACHES = (1, 2, 3), (5, 2, 4)
"""In each round, a path goes on through a context with chance 1 − 1/reach."""

SEED = 20261125
"""Of the draws among equal places: the same order gives the same drawing."""


def places_in_rows(items: Items, *, start: Ints | None = None) -> Ints:
    """Return the place of each item in its row, from 0 at the left; parts that nothing joins stand side by side.

    Parameters
    ----------
    items : Items
        Items and short lines.
    start : int array, shape (n,), optional
        Wished order of the contexts from left to right (any numbers), as in an earlier drawing of the same order. Contexts then
        change places only where that saves crossings.

    Notes
    -----
    First arrangements: by distance from the two ends of a part, and by smoothing chance places along the lines; sweeps down and up
    put each item at the mean place of its neighbours. The best is then searched path by path: a path of items in neighbouring rows
    (a long line; a context with a line above and below; a chain of contexts) is taken out and put back where it crosses least,
    found exactly by dynamic programming within a window of places, ties being drawn from a fixed sequence. Not proved least: the
    problem is NP-hard.

    References
    ----------
    Sweeps: Sugiyama, Tagawa & Toda 1981, *Methods for visual understanding of hierarchical system structures*, IEEE Trans. Syst.
    Man Cybern. 11(2), 109–125 (from memory). Paths are our own step; it widens the exchange of single items (sifting).
    """
    if items.count == 0:
        return np.zeros(0, dtype=np.int64)
    part = parts_of(items)
    if start is None:
        best = _searched(items, part)
    else:
        best = arranged(items, carried(items, start.astype(np.float64)), part)
        _search(best, items, FIRST_REACHES, draws=-1)
    return arranged(items, best.places, part).places


def crossings_in(items: Items, places: Ints) -> int:
    """Return how many pairs of short lines cross."""
    if items.count == 0:
        return 0
    return int(count_crossings(arranged(items, places, np.zeros(items.count, dtype=np.int64))))


def _searched(items: Items, part: Ints) -> Arrangement:
    """Return the best arrangement found from several first ones."""
    rng = np.random.default_rng(SEED)
    wishes = [between_ends(items, part), *(smoothed(items, rng) for _ in range(SMOOTHED))]
    firsts = [arranged(items, wish, part) for wish in wishes]
    swept = [int(sweep(first, 8)) for first in firsts]
    tried = np.argsort(swept, kind="stable")[: min(max(TRIED // items.count, 1), len(firsts))]
    fewest = [swept[one] - _search(firsts[one], items, FIRST_REACHES, draws=SEED) for one in tried]
    best: Arrangement = firsts[tried[int(np.argmin(fewest))]]
    _search(best, items, LAST_REACHES, draws=SEED + 1)
    return best


def _search(arrangement: Arrangement, items: Items, reaches: tuple[int, ...], *, draws: int) -> int:
    """Search path by path, through every context and every long line; negative `draws` keep ties where they are."""
    passing = np.flatnonzero((items.lower >= items.real) & (items.upper < items.real))
    visits = np.concatenate([np.arange(items.real), items.lower[passing]])
    order, dice, saved = np.random.default_rng(SEED), np.array([draws]), 0
    for reach in reaches:
        order.shuffle(visits)
        saved += int(replace_paths(arrangement, visits, items.real, reach, dice))
    return saved


def arranged(items: Items, wish: Floats | Ints, part: Ints) -> Arrangement:
    """Return the items of each row part by part, in each part in the order of `wish`."""
    rows = int(items.row.max()) + 1
    starts = np.zeros(rows + 1, dtype=np.int64)
    np.cumsum(np.bincount(items.row, minlength=rows), out=starts[1:])
    flat = np.lexsort((wish, part, items.row))
    places = np.empty(items.count, dtype=np.int64)
    places[flat] = np.arange(items.count) - starts[items.row[flat]]
    return Arrangement(flat, starts, places, items.row, *items.neighbours(up=True), *items.neighbours(up=False))
