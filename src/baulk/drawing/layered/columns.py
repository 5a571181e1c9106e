"""How far to the right each item stands: lines as straight as the spacing allows."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array

from baulk.drawing.layered.items import Items
from baulk.drawing.layered.solver import least
from baulk.errors import OrderError
from baulk.sequence.compiled import compiled

__all__ = ["EXACT_LIMIT", "columns_of"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

EXACT_LIMIT = 12_000
"""Items up to which the straightest placing is solved exactly; beyond it sweeps come near it."""


def columns_of(items: Items, places: Ints, widths: Floats, gap: float) -> Floats:
    """Return the centre of each item, the leftmost edge at 0.

    Parameters
    ----------
    items : Items
        Items and short lines.
    places : int array, shape (n,)
        Place of each item in its row.
    widths : float array, shape (n,)
        Width of each item in millimetres.
    gap : float
        Least room between two items of a row, millimetres.

    Notes
    -----
    Minimise Σ w |x[upper] − x[lower]| under the spacing of each row; a line that passes rows weighs 8, one that enters or leaves a
    context 2, one between contexts 1, so that long lines are the straightest. Solved in its dual, a flow of least cost.

    References
    ----------
    Gansner et al. 1993 (see `ranks`), section 4 (from memory).
    """
    if items.count == 0:
        return np.zeros(0)
    flat = np.lexsort((places, items.row))
    same = items.row[flat[1:]] == items.row[flat[:-1]]
    left, right = flat[:-1][same], flat[1:][same]
    room = (widths[left] + widths[right]) / 2 + gap
    through = (items.upper >= items.real).astype(np.int64) + (items.lower >= items.real)
    weight = np.array([1.0, 2.0, 8.0])[through]
    if items.count <= EXACT_LIMIT:
        centres = _straightest(items, left, right, room, weight)
    else:
        centres = _swept(items, flat, widths, gap, weight)
    return np.asarray(centres - (centres - widths / 2).min(), dtype=np.float64)


def _straightest(items: Items, left: Ints, right: Ints, room: Floats, weight: Floats) -> Floats:
    """Solve the placing as a flow: what the rooms push and the lines pull is balanced at each item; its prices are the centres."""
    count, spaces, lines = items.count, len(left), len(items.upper)
    pair, short = np.arange(spaces), spaces + np.arange(lines)
    ends = (np.concatenate([right, left, items.upper, items.lower]), np.concatenate([pair, pair, short, short]))
    if spaces + lines == 0:
        return np.zeros(count)
    few, ones = np.ones(spaces), np.ones(lines)
    matrix = coo_array((np.concatenate([few, -few, ones, -ones]), ends), shape=(count, spaces + lines)).tocsr()
    low, high = np.concatenate([np.zeros(spaces), -weight]), np.concatenate([np.full(spaces, np.inf), weight])
    cost = np.concatenate([-room, np.zeros(lines)])
    centres = least(cost, matrix, np.full(count, 1e-4), (low, high), method="highs-ds", prices=True)
    if centres is None:  # never met: items side by side at their least distance always satisfy the spacing
        raise OrderError("The order cannot be laid out: the spacing of its rows has no solution. Please report this record.")
    return centres


def _swept(items: Items, flat: Ints, widths: Floats, gap: float, weight: Floats, sweeps: int = 30) -> Floats:
    """Come near it: each row in turn moves to the weighted mean of its neighbours, kept apart by isotonic regression."""
    rows = [flat[start:end] for start, end in _row_bounds(items.row[flat])]
    centres = np.zeros(items.count)
    for members in rows:
        offsets = _offsets(widths[members], gap)
        centres[members] = offsets - offsets.mean()
    near = _near(items, weight)
    for sweep in range(sweeps):
        down = sweep % 2 == 0
        shares = (1.0, 0.05) if down else (0.05, 1.0)
        for members in rows if down else rows[::-1]:
            wish, mass = np.zeros(len(members)), np.zeros(len(members))
            for share, (starts, others, masses) in zip(shares, near, strict=True):
                _gather(members, starts, others, masses * share, centres, wish, mass)
            wish = np.where(mass > 0, wish / np.maximum(mass, 1e-12), centres[members])
            offsets = _offsets(widths[members], gap)
            centres[members] = _isotonic(wish - offsets, np.maximum(mass, 0.05)) + offsets
    return centres


def _near(items: Items, weight: Floats) -> list[tuple[Ints, Ints, Floats]]:
    """Return the neighbours above and below with the weight of each line, in compressed rows."""
    tables = []
    for of, other in ((items.lower, items.upper), (items.upper, items.lower)):
        order = np.argsort(of, kind="stable")
        starts = np.zeros(items.count + 1, dtype=np.int64)
        np.cumsum(np.bincount(of, minlength=items.count), out=starts[1:])
        tables.append((starts, other[order], weight[order]))
    return tables


@compiled
def _gather(members: Ints, starts: Ints, others: Ints, masses: Floats, centres: Floats, wish: Floats, mass: Floats) -> None:
    for place in range(len(members)):
        for at in range(starts[members[place]], starts[members[place] + 1]):
            wish[place] += masses[at] * centres[others[at]]
            mass[place] += masses[at]


def _row_bounds(sorted_rows: Ints) -> list[tuple[int, int]]:
    edges = np.concatenate([[0], np.flatnonzero(np.diff(sorted_rows)) + 1, [len(sorted_rows)]])
    return [(int(start), int(end)) for start, end in pairwise(edges)]


def _offsets(widths: Floats, gap: float) -> Floats:
    steps = (widths[:-1] + widths[1:]) / 2 + gap
    return np.concatenate([[0.0], np.cumsum(steps)])


def _isotonic(wish: Floats, weight: Floats) -> Floats:
    """Return the non-decreasing sequence nearest to `wish` in weighted squares (pool adjacent violators)."""
    means: list[float] = []
    weights: list[float] = []
    sizes: list[int] = []
    for value, mass in zip(wish.tolist(), weight.tolist(), strict=True):
        means.append(value)
        weights.append(mass)
        sizes.append(1)
        while len(means) > 1 and means[-2] > means[-1]:
            both = weights[-2] + weights[-1]
            means[-2] = (means[-2] * weights[-2] + means[-1] * weights[-1]) / both
            weights[-2] = both
            sizes[-2] += sizes[-1]
            means.pop()
            weights.pop()
            sizes.pop()
    return np.repeat(means, sizes)
