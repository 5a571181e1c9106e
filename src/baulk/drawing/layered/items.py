"""The rows as items: contexts, and the places where a long line passes through a row."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Items", "items_of"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Items:
    """Items and the short lines between neighbouring rows.

    Parameters
    ----------
    row : int array, shape (n,)
        Row of each item; the first `real` items are the contexts.
    real : int
        Number of contexts.
    upper, lower : int array, shape (k,)
        Short lines, from an item to one in the next row.
    line : int array, shape (k,)
        The relation that each short line is part of.
    """

    row: Ints
    real: int
    upper: Ints
    lower: Ints
    line: Ints

    @property
    def count(self) -> int:
        """Number of items."""
        return len(self.row)

    def neighbours(self, *, up: bool) -> tuple[Ints, Ints]:
        """Return the neighbours of every item in the row above or below, as starts (n + 1) and a flat list."""
        of, other = (self.lower, self.upper) if up else (self.upper, self.lower)
        order = np.argsort(of, kind="stable")
        starts = np.zeros(self.count + 1, dtype=np.int64)
        np.cumsum(np.bincount(of, minlength=self.count), out=starts[1:])
        return starts, other[order]

    def ends(self) -> tuple[Ints, Ints]:
        """Return the context at the head and at the foot of each line."""
        lines = int(self.line.max(initial=-1)) + 1
        top, foot = np.zeros(lines, dtype=np.int64), np.zeros(lines, dtype=np.int64)
        leaving, coming = self.upper < self.real, self.lower < self.real
        top[self.line[leaving]], foot[self.line[coming]] = self.upper[leaving], self.lower[coming]
        return top, foot


def items_of(rows: Ints, later: Ints, earlier: Ints) -> Items:
    """Return the items of an order whose contexts stand in `rows`."""
    span = rows[earlier] - rows[later]
    passing = np.maximum(span - 1, 0)
    line = np.repeat(np.arange(len(later)), passing + 1)
    step = np.arange(len(line)) - np.repeat(np.cumsum(passing + 1) - (passing + 1), passing + 1)
    first = len(rows) + np.cumsum(passing) - passing
    upper = np.where(step == 0, later[line], first[line] + step - 1)
    lower = np.where(step == passing[line], earlier[line], first[line] + step)
    row = np.concatenate([rows, np.zeros(int(passing.sum()), dtype=np.int64)])
    inside = step < passing[line]
    row[lower[inside]] = rows[later[line[inside]]] + 1 + step[inside]
    return Items(row, len(rows), upper.astype(np.int64), lower.astype(np.int64), line.astype(np.int64))
