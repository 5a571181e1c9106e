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


def items_of(rows: Ints, later: Ints, earlier: Ints) -> Items:
    """Return the items of an order whose contexts stand in `rows`."""
    span = rows[earlier] - rows[later]
    passing = np.maximum(span - 1, 0)
    first = len(rows) + np.concatenate([[0], np.cumsum(passing)])
    row = np.concatenate([rows, np.zeros(int(passing.sum()), dtype=np.int64)])
    upper: list[Ints] = []
    lower: list[Ints] = []
    line: list[Ints] = []
    for relation in range(len(later)):
        through = np.arange(first[relation], first[relation + 1])
        row[through] = rows[later[relation]] + 1 + np.arange(len(through))
        chain = np.concatenate([[later[relation]], through, [earlier[relation]]])
        upper.append(chain[:-1])
        lower.append(chain[1:])
        line.append(np.full(len(chain) - 1, relation))
    empty = [np.zeros(0, dtype=np.int64)]
    return Items(row, len(rows), np.concatenate(upper or empty), np.concatenate(lower or empty), np.concatenate(line or empty))
