"""Right-angled lines between the rows, each horizontal run on a track of its own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from baulk.drawing.layered.items import Items

__all__ = ["Tracks", "ports_of", "tracks_between"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Tracks:
    """The tracks of the space under one row: the items whose lines turn there, and each one's track from the top, from 0."""

    uppers: Ints
    tracks: Ints
    count: int


def ports_of(items: Items, centres: Floats, widths: Floats, room: float) -> Floats:
    """Return where each short line enters the item below it: straight from above where it can, never two at one place.

    Parameters
    ----------
    items : Items
        Items and short lines.
    centres, widths : float array, shape (n,)
        Millimetres.
    room : float
        Least distance between two lines that enter one context, millimetres.
    """
    ports = centres[items.lower].copy()
    entering = np.bincount(items.lower, minlength=items.count)
    order = np.lexsort((centres[items.upper], items.lower))
    bounds = np.concatenate([[0], np.cumsum(entering)])
    for item in np.flatnonzero(entering > 0):
        lines = order[bounds[item] : bounds[item + 1]]
        if item >= items.real:
            continue
        half = max(widths[item] / 2 - room, 0.0)
        step = min(room, 2 * half / max(len(lines) - 1, 1))
        wish = np.clip(centres[items.upper[lines]], centres[item] - half, centres[item] + half)
        ports[lines] = _spread(wish, step, centres[item] - half, centres[item] + half)
    return ports


def _spread(wish: Floats, step: float, low: float, high: float) -> Floats:
    """Return sorted places at least `step` apart inside the bounds, near the wished ones."""
    places = wish.copy()
    for at in range(1, len(places)):
        places[at] = max(places[at], places[at - 1] + step)
    over = places[-1] - high
    if over > 0:
        places[-1] = high
        for at in range(len(places) - 2, -1, -1):
            places[at] = min(places[at], places[at + 1] - step)
    return np.maximum(places, low)


def tracks_between(items: Items, row: int, centres: Floats, ports: Floats) -> Tracks:
    """Return the tracks of the lines that leave `row` downwards, in an order that crosses little and never overlaps."""
    lines = np.flatnonzero(items.row[items.upper] == row)
    lines = lines[np.argsort(items.upper[lines], kind="stable")]
    uppers, starts, counts = np.unique(items.upper[lines], return_index=True, return_counts=True)
    if len(uppers) == 0:
        return Tracks(uppers, np.zeros(0, dtype=np.int64), 0)
    trunks = centres[uppers]
    low = np.minimum(trunks, np.minimum.reduceat(ports[lines], starts))
    high = np.maximum(trunks, np.maximum.reduceat(ports[lines], starts))
    turning = high - low > 1e-6
    if not turning.any():
        return Tracks(uppers[turning], np.zeros(0, dtype=np.int64), 0)
    ends = [ports[lines[start : start + count]] for start, count in zip(starts[turning], counts[turning], strict=True)]
    end_starts = np.concatenate([[0], np.cumsum([len(end) for end in ends])]).astype(np.int64)
    tracks = _assign(trunks[turning], low[turning], high[turning], end_starts, np.concatenate(ends))
    return Tracks(uppers[turning], tracks, int(tracks.max()) + 1)


@njit(cache=True)
def _cost(a: int, b: int, trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats) -> float:
    """Return the crossings, overlaps counted heavily, when the run of `a` lies above the run of `b`."""
    cost = 0.0
    if low[a] + 1e-6 < trunks[b] < high[a] - 1e-6:
        cost += 1
    for at in range(starts[a], starts[a + 1]):
        if low[b] + 1e-6 < ends[at] < high[b] - 1e-6:
            cost += 1
        if abs(ends[at] - trunks[b]) < 0.3:
            cost += 50
    return cost


@njit(cache=True)
def _assign(trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats) -> Ints:
    count = len(trunks)
    order = np.argsort((low + high) / 2, kind="mergesort")
    for _ in range(min(count, 12)):
        moved = False
        for at in range(count - 1):
            a, b = order[at], order[at + 1]
            above = _cost(a, b, trunks, low, high, starts, ends)
            if above > 0 and _cost(b, a, trunks, low, high, starts, ends) < above:
                order[at], order[at + 1] = b, a
                moved = True
        if not moved:
            break
    tracks = np.zeros(count, dtype=np.int64)
    for at in range(count):
        a = order[at]
        for before in range(at):
            b = order[before]
            if low[a] < high[b] + 0.8 and low[b] < high[a] + 0.8 and tracks[b] >= tracks[a]:
                tracks[a] = tracks[b] + 1
    return tracks
