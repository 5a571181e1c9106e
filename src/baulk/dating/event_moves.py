"""Moves of every event in turn: drawn anew between its neighbours, or turned over between them.

A draw anew forgets where the event was, so news of a move far along the order creeps from event to event. Turned over, an event
goes to the place that has as much of its own chance above it as it had below: the exact chance is kept, no event is refused, and a
push from below is handed on through the whole order in one pass. The events are taken from the earliest to the latest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.moves_arrays import Setting
from baulk.sequence.compiled import compiled

__all__ = ["add_chances", "draw_events", "turn_events"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]
THIN = 1e-9
"""Share of a row's total below which a difference of running sums is too coarse, and the cells are walked instead."""
THIN_TO_TURN = 1e-7
"""The same for turning over, which needs the finer sums; the event then stays, and is drawn anew only."""


@compiled
def _room(at: int, node: int, times: Floats, starts: Places, near: Places, low: Floats, high: Floats) -> tuple[float, float]:
    """Return the times between which the event at one place of the packed order may lie, its neighbours where they are."""
    bottom, top = low[node], high[node]
    for place in range(starts[2 * at], starts[2 * at + 1]):
        bottom = max(bottom, times[near[place]])
    for place in range(starts[2 * at + 1], starts[2 * at + 2]):
        top = min(top, times[near[place]])
    return bottom, top


@compiled
def _mass_to(total: Floats, row: int, place: float) -> float:
    """Return the running sum of one row up to a place in cells."""
    cell = min(int(place), total.shape[1] - 2)
    return float(total[row, cell] + (place - cell) * (total[row, cell + 1] - total[row, cell]))


@compiled
def _walk(rng: np.random.Generator, log: Floats, row: int, low: float, high: float) -> float:
    """Draw a place between two where nearly nothing of the row lies, cell by cell."""
    first, last = int(low), min(int(high), log.shape[1] - 1)
    best = -np.inf
    for cell in range(first, last + 1):
        best = max(best, log[row, cell])
    whole = 0.0
    for cell in range(first, last + 1):
        whole += np.exp(log[row, cell] - best) * max(min(high, cell + 1.0) - max(low, float(cell)), 0.0)
    wanted = rng.random() * whole
    for cell in range(first, last + 1):
        left, right = max(low, float(cell)), min(high, cell + 1.0)
        held = np.exp(log[row, cell] - best) * max(right - left, 0.0)
        if wanted <= held and held > 0.0:
            return float(left + (right - left) * wanted / held)
        wanted -= held
    return high


@compiled
def _drawn(rng: np.random.Generator, total: Floats, log: Floats, row: int, low: float, high: float) -> float:
    """Draw a place between two, in cells, by one row."""
    before, after = _mass_to(total, row, low), _mass_to(total, row, high)
    if after - before <= THIN * total[row, -1]:
        return _walk(rng, log, row, low, high)
    wanted = before + rng.random() * (after - before)
    first, last = int(low), min(int(high), total.shape[1] - 2)
    while first < last:
        middle = (first + last) // 2
        if total[row, middle + 1] > wanted:
            last = middle
        else:
            first = middle + 1
    return float(first + (wanted - total[row, first]) / (total[row, first + 1] - total[row, first]))


@compiled
def _across(total: Floats, row: int, bottom: float, here: float, top: float) -> float:
    """Return the place in cells with as much of a row above it, up to `top`, as `here` has below it, down to `bottom`."""
    before, after = _mass_to(total, row, bottom), _mass_to(total, row, top)
    if after - before <= THIN_TO_TURN * total[row, -1]:
        return here
    wanted = before + (after - _mass_to(total, row, here))
    first, last = int(bottom), min(int(top), total.shape[1] - 2)
    cell = min(max(int(bottom + (top - here)), first), last)
    while cell > first and total[row, cell] > wanted:
        cell -= 1
    while cell < last and total[row, cell + 1] <= wanted:
        cell += 1
    inside = total[row, cell + 1] - total[row, cell]
    return float(cell + (wanted - total[row, cell]) / inside) if inside > 0.0 else here


@compiled
def draw_events(rng: np.random.Generator, setting: Setting, times: Floats) -> None:
    """Draw each event anew between its neighbours; changes `times`."""
    starts, near, low, high, rows = setting.near_starts, setting.near, setting.low, setting.high, setting.row
    order, total, log, step = setting.order, setting.total, setting.log, setting.step
    per_year = 1.0 / step
    for at in range(len(order)):
        node = order[at]
        bottom, top = _room(at, node, times, starts, near, low, high)
        if not top > bottom:
            continue
        row = rows[node]
        if row < 0:
            times[node] = bottom + rng.random() * (top - bottom)
        else:
            times[node] = min(max(step * _drawn(rng, total, log, row, bottom * per_year, top * per_year), bottom), top)


@compiled
def turn_events(setting: Setting, times: Floats) -> None:
    """Turn each event over between its neighbours; changes `times`.

    The room of an event is written out here: a call gives two numbers back too slowly for the loop that is run most.
    """
    starts, near, low, high, rows = setting.near_starts, setting.near, setting.low, setting.high, setting.row
    order, total, step, per_year = setting.order, setting.total, setting.step, 1.0 / setting.step
    for at in range(len(order)):
        node = order[at]
        bottom, top = low[node], high[node]
        for place in range(starts[2 * at], starts[2 * at + 1]):
            bottom = max(bottom, times[near[place]])
        for place in range(starts[2 * at + 1], starts[2 * at + 2]):
            top = min(top, times[near[place]])
        here = times[node]
        if not bottom < here < top:
            continue
        row = rows[node]
        there = bottom + (top - here) if row < 0 else step * _across(total, row, bottom * per_year, here * per_year, top * per_year)
        times[node] = min(max(there, bottom), top)


@compiled
def add_chances(setting: Setting, times: Floats, chances: NDArray[np.float32]) -> None:
    """Add each node's conditional chance of every cell, given its neighbours; of a boundary the cell that it is in."""
    starts, near, low, high, rows = setting.near_starts, setting.near, setting.low, setting.high, setting.row
    order, total, per_year, cells = setting.order, setting.total, 1.0 / setting.step, chances.shape[1]
    for at in range(len(order)):
        node = order[at]
        bottom, top = _room(at, node, times, starts, near, low, high)
        row, left, right = rows[node], bottom * per_year, top * per_year
        whole = right - left if row < 0 else _mass_to(total, row, right) - _mass_to(total, row, left)
        if whole <= (THIN if row < 0 else THIN * total[row, -1]):
            chances[node, min(int(times[node] * per_year), cells - 1)] += 1.0
            continue
        for cell in range(int(left), min(int(right) + 1, cells)):
            share = (min(right, cell + 1.0) - max(left, float(cell))) / whole
            if row >= 0:
                share *= total[row, cell + 1] - total[row, cell]
            if share > 0.0:
                chances[node, cell] += share
    for node in range(setting.events, len(times)):
        chances[node, min(int(times[node] * per_year), cells - 1)] += 1.0
