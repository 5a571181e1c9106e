"""Ports and tracks of all rows, with lines moved a little aside where one would run on top of another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered.items import Items
from baulk.drawing.layered.routes import Tracks, ports_of, tracks_between

__all__ = ["ports_and_tracks"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

ASIDE = 0.9
"""Millimetres that a line is moved at a time."""

TRIES = 8
"""Times that lines are moved before what is left is let be."""


def ports_and_tracks(items: Items, centres: Floats, widths: Floats, room: float) -> tuple[Floats, Floats, list[Tracks]]:
    """Return the centres, those of some passing lines moved aside, the ports, and the tracks under each row.

    Two lines clash when each would have to turn above the other. Then the one that comes down on the other is moved aside: at a
    context its port, else the passing line itself for as long as it runs straight.
    """
    centres, aside = centres.copy(), np.zeros(len(items.upper))
    order = np.lexsort((items.upper, items.row[items.upper]))
    rows = int(items.row.max()) + 1 if items.count else 0
    bounds = np.searchsorted(items.row[items.upper[order]], np.arange(rows + 1))
    under = {int(item): place for place, item in enumerate(items.upper) if item >= items.real}
    tracks: list[Tracks] = []
    again = np.arange(rows)
    for _ in range(TRIES):
        ports = ports_of(items, centres, widths, room, aside)
        found = {int(row): tracks_between(items, order[bounds[row] : bounds[row + 1]], centres, ports) for row in again}
        tracks = [found.get(row) or tracks[row] for row in range(rows)]
        clashes = [int(line) for row in again for line in found[int(row)].clashes]
        if not clashes:
            break
        touched: set[int] = set()
        for line in clashes:
            inward = ports[line] <= centres[items.lower[line]] if items.lower[line] < items.real else line % 2
            touched |= _moved(items, line, ASIDE if inward else -ASIDE, centres, aside, under)
        again = np.array(sorted(row for row in touched if row < rows))
    return centres, ports if rows else np.zeros(0), tracks


def _moved(items: Items, line: int, step: float, centres: Floats, aside: Floats, under: dict[int, int]) -> set[int]:
    """Move the foot of a short line aside, and what runs straight on below it; return the rows whose tracks change."""
    item = int(items.lower[line])
    touched = {int(items.row[item]) - 1}
    if item < items.real:
        aside[line] += step
        return touched
    place = centres[item]
    while item >= items.real and abs(centres[item] - place) < 1e-6:
        centres[item] += step
        touched.add(int(items.row[item]))
        item = int(items.lower[under[item]])
    return touched
