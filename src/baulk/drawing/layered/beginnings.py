"""Where the search for few crossings begins: wishes from left to right for every item."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components, dijkstra

from baulk.drawing.layered.items import Items

__all__ = ["between_ends", "carried", "parts_of", "smoothed"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


def parts_of(items: Items) -> Ints:
    """Return the number of the part of the order that each item belongs to, the largest part first."""
    count, part = connected_components(_joined(items), directed=False)
    rank = np.empty(count, dtype=np.int64)
    rank[np.argsort(-np.bincount(part, minlength=count), kind="stable")] = np.arange(count)
    return np.asarray(rank[part], dtype=np.int64)


def between_ends(items: Items, part: Ints) -> Floats:
    """Return how much nearer each item is to one end of its part than to the other, counted in short lines.

    The ends are the item farthest from any one, and the item farthest from that: in an order that is wider than high they lie at
    the left and at the right.
    """
    joined = _joined(items)
    first = np.unique(part, return_index=True)[1]
    left = _farthest(_steps(joined, first), part)
    from_left = _steps(joined, left)
    return np.asarray(from_left - _steps(joined, _farthest(from_left, part)), dtype=np.float64)


def smoothed(items: Items, rng: np.random.Generator, rounds: int = 150) -> Floats:
    """Return places drawn by chance and then smoothed along the lines, each row kept balanced about 0."""
    joined = _joined(items)
    lines = np.maximum(np.bincount(np.concatenate([items.upper, items.lower]), minlength=items.count), 1)
    width = np.bincount(items.row)
    wish = rng.standard_normal(items.count)
    for _ in range(rounds):
        wish = 0.5 * wish + 0.5 * (joined @ wish) / lines
        wish -= (np.bincount(items.row, wish) / np.maximum(width, 1))[items.row]
        wish /= max(float(np.linalg.norm(wish)), 1e-300)
    return wish


def carried(items: Items, wished: Floats) -> Floats:
    """Return the wish of every item from those of the contexts: on a long line it goes over from one end's to the other's."""
    wish = np.zeros(items.count)
    wish[: items.real] = wished
    inside = np.flatnonzero(items.lower >= items.real)
    top, foot = items.ends()
    line, item = items.line[inside], items.lower[inside]
    share = (items.row[item] - items.row[top[line]]) / (items.row[foot[line]] - items.row[top[line]])
    wish[item] = wish[top[line]] * (1 - share) + wish[foot[line]] * share
    return wish


def _joined(items: Items) -> csr_array:
    ends = np.concatenate([items.upper, items.lower]), np.concatenate([items.lower, items.upper])
    return coo_array((np.ones(len(ends[0])), ends), shape=(items.count, items.count)).tocsr()


def _steps(joined: csr_array, sources: Ints) -> Floats:
    """Return the short lines from each item to the nearest source."""
    return np.asarray(dijkstra(joined, directed=False, indices=sources, unweighted=True, min_only=True), dtype=np.float64)


def _farthest(steps: Floats, part: Ints) -> Ints:
    """Return the farthest item of each part."""
    order = np.lexsort((steps, part))
    return order[np.flatnonzero(np.append(part[order][1:] != part[order][:-1], True))]
