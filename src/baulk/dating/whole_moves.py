"""Moves of everything between two boundaries of phases, and of the whole site: stretched about a boundary, or shifted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.moves_arrays import Setting, log_at
from baulk.sequence.compiled import compiled

__all__ = ["redraw_span", "shift_all", "stretch_boundaries"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]
TRIES = 60
MOVES = 5
"""Moves of each boundary in one sweep, most with some of its nearest nodes: measured, as the next two, on 200 and 1,000 events."""
FAR = 0.15
"""Share of them that reach to another boundary, or an edge of the window."""
OCTAVES = 3.0
"""How far down from all the room the first reach of a slice may be halved; shrinking does the rest, and a try far out is dropped
after a few nodes."""


@compiled
def stretch_boundaries(rng: np.random.Generator, setting: Setting, times: Floats, order: Places) -> None:
    """Move each boundary with all between two others, or an edge of the window, and with its nearest nodes; changes `times`.

    The two ends that stay are chosen at random, by their places among the boundaries or by how many nodes lie between.
    """
    count = len(order)
    places = np.empty(count - setting.events, np.int64)
    found = 0
    for place in range(count):
        if order[place] >= setting.events:
            places[found] = place
            found += 1
    for one in range(found):
        for _ in range(MOVES):
            if rng.random() < FAR:
                before = int(rng.random() * (one + 1)) - 1
                after = one + 1 + int(rng.random() * (found - one))
                left = places[before] if before >= 0 else -1
                right = places[after] if after < found else count
            else:
                left = max(places[one] - int(2.0 ** (rng.random() * np.log2(count))), -1)
                right = min(places[one] + int(2.0 ** (rng.random() * np.log2(count))), count)
            _stretch(rng, setting, times, order, left, places[one], right)


@compiled
def _stretch(
    rng: np.random.Generator, setting: Setting, times: Floats, order: Places, left: int, pivot: int, right: int
) -> None:  # fmt: skip
    """Move the node at one rank by a slice; what lies between it and two other ranks is stretched in proportion."""
    low = times[order[left]] if left >= 0 else 0.0
    high = times[order[right]] if right < len(order) else setting.length
    here = times[order[pivot]]
    if not low < here < high:
        return
    held = (low, here, high)
    level = _level(setting, times, order, left, pivot, right, held, here, -np.inf) - rng.standard_exponential()
    if level == -np.inf:  # a hard bound met to the last digit, and rounded past it
        return
    reach = (high - low) * 2.0 ** (-OCTAVES * rng.random())
    bottom = here - rng.random() * reach
    bottom, top = max(bottom, low), min(bottom + reach, high)
    for _ in range(TRIES):
        there = bottom + rng.random() * (top - bottom)
        if low < there < high and _level(setting, times, order, left, pivot, right, held, there, level) >= level:
            for place in range(left + 1, right):
                times[order[place]] = _stretched(times[order[place]], held, there)
            return
        if there < here:
            bottom = there
        else:
            top = there


@compiled
def _stretched(time: float, held: tuple[float, float, float], there: float) -> float:
    low, here, high = held
    if time <= low or time >= high:
        return time
    if time <= here:
        return low + (time - low) * (there - low) / (here - low)
    return high - (high - time) * (high - there) / (high - here)


@compiled
def _level(
    setting: Setting, times: Floats, order: Places, left: int, pivot: int, right: int,
    held: tuple[float, float, float], there: float, least: float,
) -> float:  # fmt: skip
    """Return the log-density with the pivot there: evidence, lengths, and the change of volume; minus infinity below `least`."""
    low, _here, high = held
    found = float((pivot - left - 1) * np.log(there - low) + (right - pivot - 1) * np.log(high - there))
    for place in range(len(setting.start)):
        begin = _stretched(times[setting.start[place]], held, there)
        finish = _stretched(times[setting.end[place]], held, there)
        if setting.weight[place] > 0:
            if finish <= begin:
                return -np.inf
            found -= setting.weight[place] * np.log(finish - begin)
        if place == 0 and setting.corrected:
            found -= np.log(max(setting.length - (finish - begin), 1e-300))
    if found < least:
        return -np.inf
    return found + _evidence(setting, times, order[left + 1 : right], held, there, least - found)


@compiled
def _evidence(
    setting: Setting, times: Floats, between: Places, held: tuple[float, float, float], there: float, least: float
) -> float:  # fmt: skip
    """Return the log-likelihood of what lies between, stretched; minus infinity below `least`, as no row holds more than 0."""
    low, here, high = held
    rows, log, bottom, top, per_year = setting.row, setting.log, setting.low, setting.high, 1.0 / setting.step
    last, under, over = log.shape[1] - 1, (there - low) / (here - low), (high - there) / (high - here)
    found = 0.0
    for place in range(len(between)):
        node = between[place]
        time = times[node]
        time = low + (time - low) * under if time <= here else high - (high - time) * over
        if time < bottom[node] or time > top[node]:
            return -np.inf
        if rows[node] >= 0:
            found += log[rows[node], min(int(time * per_year), last)]
            if found < least:
                return -np.inf
    return found


@compiled
def shift_all(rng: np.random.Generator, setting: Setting, times: Floats, order: Places) -> None:
    """Shift everything by a slice; changes `times`."""
    low, high = -times[order[0]], setting.length - times[order[-1]]
    if not low < 0.0 < high:
        return
    level = _shifted(setting, times, 0.0) - rng.standard_exponential()
    reach = (high - low) * 2.0 ** (-8.0 * rng.random())
    bottom = -rng.random() * reach
    bottom, top = max(bottom, low), min(bottom + reach, high)
    for _ in range(TRIES):
        by = bottom + rng.random() * (top - bottom)
        if low < by < high and _shifted(setting, times, by) >= level:
            times += by
            return
        if by < 0.0:
            bottom = by
        else:
            top = by


@compiled
def _shifted(setting: Setting, times: Floats, by: float) -> float:
    found = 0.0
    for node in range(len(times)):
        found += log_at(setting, node, times[node] + by)
        if found == -np.inf:
            break
    return found


@compiled
def redraw_span(rng: np.random.Generator, setting: Setting, times: Floats) -> None:
    """Draw span and start of a bare site anew, everything else where it is within the span; changes `times`.

    Laid out by shares of the span, the powers of the lengths and the change of volume cancel: what is left is a span even up to the
    length of the window, and a start even in the room that the span leaves.
    """
    start, span = times[setting.start[0]], times[setting.end[0]] - times[setting.start[0]]
    wanted = setting.length * (1.0 - rng.random())
    begin = (setting.length - wanted) * rng.random()
    if span > 0.0:
        for node in range(len(times)):
            times[node] = begin + (times[node] - start) * (wanted / span)
