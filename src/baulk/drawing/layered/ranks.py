"""Which row each context stands in: the rows that make all lines together shortest."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from baulk.drawing.layered.solver import least
from baulk.errors import OrderError

__all__ = ["rows_of"]

Ints = NDArray[np.int64]


def rows_of(count: int, later: Ints, earlier: Ints, bands: Ints | None = None) -> Ints:
    """Return the row of each context, 0 on top, so that every relation points down and the sum of its lengths is least.

    Parameters
    ----------
    count : int
        Number of contexts.
    later, earlier : int array, shape (m,)
        Relations of an order without loops.
    bands : int array, shape (count,), optional
        Phase of each context, 0 where none is given; where phases do not contradict the order, every row of a later phase lies
        above every row of an earlier one.

    Raises
    ------
    OrderError
        When the relations hold a loop.

    Notes
    -----
    Minimise Σ (row[earlier] − row[later]) subject to row[earlier] − row[later] ≥ 1. The matrix is totally unimodular, so the
    linear programme's corner is whole-numbered. Contexts that nothing ties are put in the top row.

    References
    ----------
    Gansner, Koutsofios, North & Vo 1993, *A technique for drawing directed graphs*, IEEE Trans. Softw. Eng. 19(3),
    214–230, section 2 (the ranking problem; from memory). Solver: HiGHS through scipy.
    """
    if count == 0:
        return np.zeros(0, dtype=np.int64)
    above, below, separators = _with_bands(count, later, earlier, bands)
    rows = _solve(count + separators, above, below, len(later))
    if rows is None and separators:
        rows = _solve(count, later, earlier, len(later))
    if rows is None:
        raise OrderError("The order cannot be drawn: it holds a loop. Mend the loop first; the check of the order names it.")
    rows = rows[:count]
    tied = np.zeros(count, dtype=bool)
    tied[later] = tied[earlier] = True
    if tied.any():
        rows = rows - rows[tied].min()
    rows[~tied] = 0
    return _without_gaps(rows)


def _with_bands(count: int, later: Ints, earlier: Ints, bands: Ints | None) -> tuple[Ints, Ints, int]:
    """Return the relations with a separator between each two phases; separators are numbered after the contexts."""
    if bands is None or len(phases := np.unique(bands[bands > 0])) < 2:
        return later, earlier, 0
    above, below = [later], [earlier]
    for place, phase in enumerate(phases[1:]):
        separator = count + place
        late, early = np.flatnonzero(bands >= phase), np.flatnonzero((bands > 0) & (bands < phase))
        above += [late, np.full(len(early), separator)]
        below += [np.full(len(late), separator), early]
    return np.concatenate(above), np.concatenate(below), len(phases) - 1


def _solve(count: int, above: Ints, below: Ints, weighed: int) -> Ints | None:
    if len(above) == 0:
        return np.zeros(count, dtype=np.int64)
    relations = np.arange(len(above))
    ends = (np.concatenate([relations, relations]), np.concatenate([above, below]))
    matrix = csr_array((np.concatenate([np.ones(len(above)), -np.ones(len(above))]), ends), shape=(len(above), count))
    cost = np.bincount(below[:weighed], minlength=count) - np.bincount(above[:weighed], minlength=count)
    answer = least(cost.astype(np.float64), matrix, -np.ones(len(above)), (0.0, float(count)), method="highs-ds")
    return None if answer is None else np.rint(answer).astype(np.int64)


def _without_gaps(rows: Ints) -> Ints:
    return np.unique(rows, return_inverse=True)[1].astype(np.int64).reshape(rows.shape)
