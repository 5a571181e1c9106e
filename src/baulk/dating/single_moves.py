"""Moves of one boundary at a time, by a slice between its neighbours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.moves_arrays import Setting, span_log
from baulk.sequence.compiled import compiled

__all__ = ["move_boundaries"]

Floats = NDArray[np.float64]
TRIES = 200


@compiled
def _limits(setting: Setting, times: Floats, node: int) -> tuple[float, float]:
    """Return the times between which a node may lie, its neighbours where they are."""
    low, high = setting.low[node], setting.high[node]
    for at in range(setting.below_starts[node], setting.below_starts[node + 1]):
        low = max(low, times[setting.below[at]])
    for at in range(setting.above_starts[node], setting.above_starts[node + 1]):
        high = min(high, times[setting.above[at]])
    return low, high


@compiled
def move_boundaries(rng: np.random.Generator, setting: Setting, times: Floats) -> None:
    """Move each boundary between its neighbours, by a slice under the density of the lengths; changes `times`."""
    for node in range(setting.events, len(times)):
        low, high = _limits(setting, times, node)
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
