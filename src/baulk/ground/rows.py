"""Rows and courses: pieces whose middles share one distance across the axis, or one distance from the centre they turn round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["Rows", "courses_of", "offsets_across", "rows_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Rows of pieces.

    Parameters
    ----------
    row : numpy.ndarray of shape (n,)
        The row of each piece, 0 the one of the least offset; −1 where the offset is not known.
    offsets : numpy.ndarray of shape (rows,)
        Mean offset of each row.
    counts : numpy.ndarray of shape (rows,)
        Pieces in each.
    spacing : float
        Median distance from row to row; NaN for one row.
    scatter : float
        Root of the mean squared distance of a piece from its row.
    clear : bool
        Whether the narrowest gap between rows is at least twice the scatter, so that the parting is not in doubt.
    """

    row: NDArray[np.intp]
    offsets: Floats
    counts: NDArray[np.intp]
    spacing: float
    scatter: float
    clear: bool


def rows_of(offsets: ArrayLike, width: float) -> Rows:
    """Return rows parted wherever two neighbouring offsets lie more than half a piece's width apart.

    Parameters
    ----------
    offsets : array_like of shape (n,)
        Distance of each piece's middle across the axis, or from the centre; NaN means not known.
    width : float
        Width of a piece across the rows, in the same quantity.

    Raises
    ------
    MeasureError
        The width is not above zero.

    Examples
    --------
    >>> rows_of([0.00, 0.11, 0.01, 0.10], 0.1).row.tolist()
    [0, 1, 0, 1]
    """
    if not (np.isfinite(width) and width > 0):
        raise MeasureError(f"The width of a piece is given as {width:g}. Rows are parted by it, so it is a length above zero.")
    given = np.asarray(offsets, dtype=np.float64)
    known = np.flatnonzero(np.isfinite(given))
    row = np.full(len(given), -1, np.intp)
    if not len(known):
        return Rows(row, np.empty(0), np.empty(0, np.intp), float("nan"), float("nan"), False)
    order = known[np.argsort(given[known], kind="stable")]
    gaps = np.diff(given[order])
    row[order] = np.concatenate([[0], np.cumsum(gaps > width / 2)])
    counts = np.bincount(row[known])
    means = np.bincount(row[known], given[known]) / counts
    scatter = float(np.sqrt(np.mean((given[known] - means[row[known]]) ** 2)))
    between = gaps[gaps > width / 2]
    spacing = float(np.median(np.diff(means))) if len(means) > 1 else float("nan")
    return Rows(row, means, counts, spacing, scatter, bool(len(between) == 0 or between.min() >= 2 * scatter))


def offsets_across(centres: ArrayLike, bearing: float) -> tuple[Floats, Floats]:
    """Return each middle's distance along an axis and across it (to its right), from the middle of them all.

    Parameters
    ----------
    centres : array_like of shape (n, 2)
        Easting and northing.
    bearing : float
        Of the axis, degrees.
    """
    held = np.asarray(centres, dtype=np.float64)
    away = held - np.nanmean(held, axis=0)
    turn = np.radians(bearing)
    return away @ np.array([np.sin(turn), np.cos(turn)]), away @ np.array([np.cos(turn), -np.sin(turn)])


def courses_of(levels: ArrayLike, height: float) -> Rows:
    """Return courses, lowest first, from the levels of the pieces' visible faces; as `rows_of` with a height for a width."""
    return rows_of(levels, height)
