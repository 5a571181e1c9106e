"""The arrays that the compiled moves work on, gathered under names."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baulk.dating.nodes import Nodes
from baulk.dating.tables import Tables
from baulk.sequence.compiled import compiled

__all__ = ["Setting", "log_at", "setting_of", "span_log"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]


class Setting(NamedTuple):
    """Everything that stays while the dates move; shapes as in `Nodes` and `Tables`, for all nodes.

    `order` names the events, each after everything earlier; `near` holds what the event at each place of it is directly later than,
    and then what it is earlier than: two runs a place, ended by `near_starts` (2 * events + 1). `bare` says that nothing is dated
    and every span as likely.
    """

    row: Places
    log: Floats
    total: Floats
    step: float
    low: Floats
    high: Floats
    below_starts: NDArray[np.int64]
    below: Places
    above_starts: NDArray[np.int64]
    above: Places
    events: int
    start: Places
    end: Places
    weight: Floats
    length: float
    corrected: bool
    order: Places
    near_starts: Places
    near: Places
    bare: bool


def setting_of(nodes: Nodes, tables: Tables, step: int, *, dated: bool = True) -> Setting:
    """Return the arrays of a chronology; with ``dated=False`` without its evidence, for the prior."""
    row = np.full(nodes.count, -1, np.int32)
    low, high = np.zeros(nodes.count), np.full(nodes.count, nodes.length)
    if dated:
        row[: nodes.events] = tables.row
        low, high = nodes.low, nodes.high
    return Setting(
        row, tables.log, tables.total, float(step), low, high, nodes.below.starts, nodes.below.contexts, nodes.above.starts,
        nodes.above.contexts, nodes.events, nodes.start, nodes.end, nodes.weight, nodes.length,
        nodes.corrected, *_packed(nodes), nodes.corrected and not dated,
    )  # fmt: skip


def _packed(nodes: Nodes) -> tuple[Places, Places, Places]:
    """Return the order in which events are moved, and their neighbours laid in that order."""
    order = nodes.rising[nodes.rising < nodes.events].astype(np.int32)
    starts, runs = [0], []
    for node in order.tolist():
        for side in (nodes.below, nodes.above):
            runs.append(side.contexts[side.starts[node] : side.starts[node + 1]])
            starts.append(starts[-1] + len(runs[-1]))
    return order, np.array(starts, np.int32), np.concatenate(runs).astype(np.int32)


@compiled
def log_at(setting: Setting, node: int, time: float) -> float:
    """Return the log-likelihood of a node at a time; minus infinity outside of its hard bounds."""
    if time < setting.low[node] or time > setting.high[node]:
        return -np.inf
    row = setting.row[node]
    if row < 0:
        return 0.0
    cell = min(int(time / setting.step), setting.log.shape[1] - 1)
    return float(setting.log[row, cell])


@compiled
def span_log(setting: Setting, times: Floats, moved: int, to: float) -> float:
    """Return the log-density of the lengths of site and phases, with one node (or none: -1) moved to another time."""
    found = 0.0
    for place in range(len(setting.start)):
        first, last = setting.start[place], setting.end[place]
        begin = to if first == moved else times[first]
        finish = to if last == moved else times[last]
        if setting.weight[place] > 0:
            if finish <= begin:
                return -np.inf
            found -= setting.weight[place] * np.log(finish - begin)
        if place == 0 and setting.corrected:
            found -= np.log(max(setting.length - (finish - begin), 1e-300))
    return found
