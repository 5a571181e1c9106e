"""Sweeps of one chain: all moves once, draws kept, and the running chances of every cell."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.joint_moves import move_blocks
from baulk.dating.moves_arrays import Setting
from baulk.dating.single_moves import limits, mass_to, move_boundaries, move_events
from baulk.dating.whole_moves import shift_all, stretch_boundaries
from baulk.sequence.compiled import compiled

__all__ = ["any_start", "run_sweeps"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]
BLOCK_SCALES = 4
"""Lengths of stretches, halved from a whole block down, tried in one sweep at random: measured on 200 and 1,000 events."""


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
            move_events(rng, setting, times)
            move_boundaries(rng, setting, times)
            move_blocks(rng, setting, times, BLOCK_SCALES)
            order = np.argsort(times).astype(np.int32)
            stretch_boundaries(rng, setting, times, order)
            shift_all(rng, setting, times, order)
        if len(draws):
            for node in range(len(times)):
                draws[turn, node] = times[node]
                _add(setting, times, node, chances)


@compiled
def _add(setting: Setting, times: Floats, node: int, chances: NDArray[np.float32]) -> None:
    """Add a node's conditional chance of every cell, given its neighbours; of a boundary the cell that it is in."""
    cells = chances.shape[1]
    low, high = limits(setting, times, node)
    left, right = low / setting.step, high / setting.step
    row = setting.row[node]
    whole = right - left
    if row >= 0:
        whole = mass_to(setting.total[row], right) - mass_to(setting.total[row], left)
    if node >= setting.events or whole <= (1e-9 if row < 0 else 1e-9 * setting.total[row, -1]):
        chances[node, min(int(times[node] / setting.step), cells - 1)] += 1.0
        return
    for cell in range(int(left), min(int(right) + 1, cells)):
        share = min(right, cell + 1.0) - max(left, float(cell))
        if share > 0.0:
            if row >= 0:
                share *= setting.total[row, cell + 1] - setting.total[row, cell]
            chances[node, cell] += share / whole
