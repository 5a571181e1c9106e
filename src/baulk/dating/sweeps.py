"""Sweeps of one chain: all moves once, draws kept, and the running chances of every cell."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.event_moves import add_chances, draw_events, turn_events
from baulk.dating.moves_arrays import Setting
from baulk.dating.single_moves import move_boundaries
from baulk.dating.whole_moves import redraw_span, shift_all, stretch_boundaries
from baulk.sequence.compiled import compiled

__all__ = ["any_start", "run_sweeps"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]
MOST_TURNS = 9
"""Most passes of turning over in one sweep, a number drawn anew each time: an even number that stays the same would lead an event
that has no neighbours near back to where it was. Measured on 200 and 1,000 events."""


@compiled
def any_start(rng: np.random.Generator, setting: Setting, rising: Places, high: Floats) -> Floats:
    """Return times that keep every order and every hard bound, spread at random.

    `rising` names every node after all earlier ones; `high` holds hard bounds carried through the order.
    """
    times = np.zeros(len(rising))
    above = np.zeros(len(rising))
    for node in rising[::-1]:
        for at in range(setting.above_starts[node], setting.above_starts[node + 1]):
            above[node] = max(above[node], above[setting.above[at]] + 1.0)
    for node in rising:
        low, top = setting.low[node], min(setting.high[node], high[node])
        for at in range(setting.below_starts[node], setting.below_starts[node + 1]):
            low = max(low, times[setting.below[at]])
        share = 2.0 * rng.random() / (above[node] + 2.0)
        times[node] = low + (top - low) * min(share, 0.999)
    return times


@compiled
def run_sweeps(
    rng: np.random.Generator, setting: Setting, times: Floats, kept: int, each: int, draws: NDArray[np.float32],
    chances: NDArray[np.float32],
) -> None:  # fmt: skip
    """Make ``kept * each`` sweeps; change `times`, and fill `draws` (kept, nodes) and add to `chances` (nodes, cells).

    With empty `draws` nothing is kept.
    """
    for turn in range(kept):
        for _ in range(each):
            draw_events(rng, setting, times)
            for _ in range(1 + int(rng.random() * MOST_TURNS)):
                turn_events(setting, times)
                move_boundaries(rng, setting, times)
            order = np.argsort(times).astype(np.int32)
            stretch_boundaries(rng, setting, times, order)
            if setting.bare:
                redraw_span(rng, setting, times)
            else:
                shift_all(rng, setting, times, order)
        if len(draws):
            for node in range(len(times)):
                draws[turn, node] = times[node]
            add_chances(setting, times, chances)
