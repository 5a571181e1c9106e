"""Right-angled lines between the rows, each horizontal run on a track of its own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered.items import Items
from baulk.sequence.compiled import compiled

__all__ = ["Tracks", "ports_of", "tracks_between"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


APART = 0.6
"""Millimetres: two upright runs nearer than this would be read as one."""


@dataclass(frozen=True, eq=False)
class Tracks:
    """The tracks of the space under one row.

    Parameters
    ----------
    uppers : int array, shape (k,)
        The items whose lines turn there.
    tracks : int array, shape (k,)
        The track of each, from the top, from 0.
    count : int
        Number of tracks.
    clashes : int array
        Short lines that come down on top of another item's line, whatever the tracks.
    """

    uppers: Ints
    tracks: Ints
    count: int
    clashes: Ints


def ports_of(items: Items, centres: Floats, widths: Floats, room: float, aside: Floats) -> Floats:
    """Return where each short line enters the item below it: straight from above where it can, never two at one place.

    Parameters
    ----------
    items : Items
        Items and short lines.
    centres, widths : float array, shape (n,)
        Millimetres.
    room : float
        Least distance between two lines that enter one context, millimetres.
    aside : float array, shape (k,)
        How far to the right of straight above each short line should enter.
    """
    ports = centres[items.lower].copy()
    entering = np.bincount(items.lower, minlength=items.count)
    order = np.lexsort((centres[items.upper], items.lower))
    bounds = np.concatenate([[0], np.cumsum(entering)])
    for item in np.flatnonzero(entering[: items.real] > 0):
        lines = order[bounds[item] : bounds[item + 1]]
        half = max(widths[item] / 2 - room, 0.0)
        step = min(room, 2 * half / len(lines))
        low, high = centres[item] - half, centres[item] + half
        wish = np.clip(np.clip(centres[items.upper[lines]], low, high) + aside[lines], low, high)
        ports[lines] = _spread(np.maximum.accumulate(wish), step, low, high)
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


def tracks_between(items: Items, lines: Ints, centres: Floats, ports: Floats) -> Tracks:
    """Return the tracks of some short lines that leave one row, sorted by upper item, in an order that crosses little."""
    uppers, starts, counts = np.unique(items.upper[lines], return_index=True, return_counts=True)
    none = np.zeros(0, dtype=np.int64)
    if len(uppers) == 0:
        return Tracks(uppers, none, 0, none)
    trunks = centres[uppers]
    low = np.minimum(trunks, np.minimum.reduceat(ports[lines], starts))
    high = np.maximum(trunks, np.maximum.reduceat(ports[lines], starts))
    turning = high - low > 1e-6
    if not turning.any():
        return Tracks(uppers[turning], none, 0, none)
    own = lines[np.repeat(turning, counts)]
    bounds = np.concatenate([[0], np.cumsum(counts[turning])]).astype(np.int64)
    trunks, low, high = trunks[turning], low[turning], high[turning]
    tracks = np.argsort((low + high) / 2, kind="stable")
    clashing = np.zeros(len(own), dtype=np.int64)
    _assign(trunks, low, high, bounds, ports[own], tracks, clashing)
    return Tracks(uppers[turning], tracks, int(tracks.max()) + 1, own[clashing > 0])


@compiled
def _cost(a: int, b: int, trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats) -> float:
    """Return the crossings, overlaps counted heavily, when the run of `a` lies above the run of `b`."""
    cost = 0.0
    if low[a] + 1e-6 < trunks[b] < high[a] - 1e-6:
        cost += 1
    for at in range(starts[a], starts[a + 1]):
        if low[b] + 1e-6 < ends[at] < high[b] - 1e-6:
            cost += 1
        if abs(ends[at] - trunks[b]) < APART:
            cost += 50
    return cost


@compiled
def _shift(
    order: Ints, at: int, step: int, trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats
) -> tuple[float, int]:
    """Return the least change in cost when one item moves up (step -1) or down (1) in the order, and its place then."""
    item, change, least, place = order[at], 0.0, 0.0, at
    other = at + step
    while 0 <= other < len(order):
        near = order[other]
        if low[near] < high[item] and low[item] < high[near]:
            above = _cost(item, near, trunks, low, high, starts, ends) - _cost(near, item, trunks, low, high, starts, ends)
            change -= step * above
        if change < least:
            least, place = change, other
        other += step
    return least, place


@compiled
def _sifted(order: Ints, trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats) -> bool:
    """Move each item to where it costs least in the order from above; return whether any moved."""
    moved = False
    for at in range(len(order)):
        up, above = _shift(order, at, -1, trunks, low, high, starts, ends)
        down, below = _shift(order, at, 1, trunks, low, high, starts, ends)
        place = above if up <= down else below
        if place != at:
            item, step, moved = order[at], 1 if place > at else -1, True
            for spot in range(at, place, step):
                order[spot] = order[spot + step]
            order[place] = item
    return moved


@compiled
def _mark(tracks: Ints, trunks: Floats, starts: Ints, ends: Floats, clashing: Ints) -> None:
    """Mark the ends that come down on the trunk of an item with a lower track."""
    for a in range(len(trunks)):
        for at in range(starts[a], starts[a + 1]):
            for b in range(len(trunks)):
                if b != a and abs(ends[at] - trunks[b]) < APART and tracks[b] > tracks[a]:
                    clashing[at] = 1


@compiled
def _assign(trunks: Floats, low: Floats, high: Floats, starts: Ints, ends: Floats, tracks: Ints, clashing: Ints) -> None:
    """Turn `tracks`, at first the order from above, into tracks, and mark the ends that come down on another's trunk."""
    count = len(trunks)
    order = np.zeros(count, np.int64)
    for at in range(count):
        order[at] = tracks[at]
    for _ in range(min(count, 12)):
        if not _sifted(order, trunks, low, high, starts, ends):
            break
    for at in range(count):
        a = order[at]
        tracks[a] = 0
        for before in range(at):
            b = order[before]
            if low[a] < high[b] + 0.8 and low[b] < high[a] + 0.8 and tracks[b] >= tracks[a]:
                tracks[a] = tracks[b] + 1
    _mark(tracks, trunks, starts, ends, clashing)
