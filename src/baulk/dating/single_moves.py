"""Moves of one node at a time: an event by its exact conditional, a boundary by a slice."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.moves_arrays import Setting, span_log
from baulk.sequence.compiled import compiled

__all__ = ["draw_between", "limits", "mass_to", "move_boundaries", "move_events"]

Floats = NDArray[np.float64]
THIN = 1e-9
"""Share of a row's total below which a difference of running sums is too coarse, and the cells are walked instead."""
TRIES = 200


@compiled
def limits(setting: Setting, times: Floats, node: int) -> tuple[float, float]:
    """Return the times between which a node may lie, its neighbours where they are."""
    low, high = setting.low[node], setting.high[node]
    for at in range(setting.below_starts[node], setting.below_starts[node + 1]):
        low = max(low, times[setting.below[at]])
    for at in range(setting.above_starts[node], setting.above_starts[node + 1]):
        high = min(high, times[setting.above[at]])
    return low, high


@compiled
def mass_to(total: Floats, place: float) -> float:
    """Return the running sum of one row up to a place in cells."""
    cell = min(int(place), len(total) - 2)
    return float(total[cell] + (place - cell) * (total[cell + 1] - total[cell]))


@compiled
def _cell_of(total: Floats, mass: float, first: int, last: int) -> int:
    """Return the cell in which a running sum reaches a mass."""
    while first < last:
        middle = (first + last) // 2
        if total[middle + 1] > mass:
            last = middle
        else:
            first = middle + 1
    return first


@compiled
def _walk(rng: np.random.Generator, log: Floats, low: float, high: float) -> float:
    """Draw a place between two where nearly nothing of the row lies, cell by cell."""
    first, last = int(low), min(int(high), len(log) - 1)
    best = -np.inf
    for cell in range(first, last + 1):
        best = max(best, log[cell])
    whole = 0.0
    for cell in range(first, last + 1):
        whole += np.exp(log[cell] - best) * max(min(high, cell + 1.0) - max(low, float(cell)), 0.0)
    wanted = rng.random() * whole
    for cell in range(first, last + 1):
        left, right = max(low, float(cell)), min(high, cell + 1.0)
        held = np.exp(log[cell] - best) * max(right - left, 0.0)
        if wanted <= held and held > 0.0:
            return float(left + (right - left) * wanted / held)
        wanted -= held
    return high


@compiled
def draw_between(rng: np.random.Generator, setting: Setting, node: int, low: float, high: float) -> float:
    """Draw the time of an event between two times, by its own evidence alone."""
    row = setting.row[node]
    if row < 0:
        return float(low + rng.random() * (high - low))
    total, left, right = setting.total[row], low / setting.step, high / setting.step
    before, after = mass_to(total, left), mass_to(total, right)
    if after - before <= THIN * total[-1]:
        return _walk(rng, setting.log[row], left, right) * setting.step
    wanted = before + rng.random() * (after - before)
    cell = _cell_of(total, wanted, int(left), min(int(right), len(total) - 2))
    place = cell + (wanted - total[cell]) / (total[cell + 1] - total[cell])
    return float(min(max(place * setting.step, low), high))


@compiled
def move_events(rng: np.random.Generator, setting: Setting, times: Floats) -> None:
    """Draw each event anew between its neighbours; changes `times`."""
    for node in range(setting.events):
        low, high = limits(setting, times, node)
        if high > low:
            times[node] = draw_between(rng, setting, node, low, high)


@compiled
def move_boundaries(rng: np.random.Generator, setting: Setting, times: Floats) -> None:
    """Move each boundary between its neighbours, by a slice under the density of the lengths; changes `times`."""
    for node in range(setting.events, len(times)):
        low, high = limits(setting, times, node)
        if high <= low:
            continue
        here = times[node]
        level = span_log(setting, times, node, here) - rng.standard_exponential()
        for _ in range(TRIES):
            there = low + rng.random() * (high - low)
            if span_log(setting, times, node, there) >= level:
                times[node] = there
                break
            if there < here:
                low = there
            else:
                high = there
