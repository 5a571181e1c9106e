"""The tables of a live order: every relation hangs in two chains, that of its later and that of its earlier context."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Layering, layering, neighbours_below
from baulk.sequence.live_steps import link
from baulk.sequence.loops import loop_groups
from baulk.sequence.relations import Relations, relations_of

__all__ = ["LiveTables", "tables_of"]

Whole = NDArray[np.int32]


class LiveTables:
    """Columns of contexts and relations that grow, and the scratch columns of searches.

    Parameters
    ----------
    relations : Relations
        The relations to begin with.
    layers : Layering
        A layering of those that order.
    """

    def __init__(self, relations: Relations, layers: Layering) -> None:
        count, rows = relations.count, len(relations)
        self.names = relations.names
        self.relations = rows
        self.later, self.earlier = relations.later.copy(), relations.earlier.copy()
        self.state = np.ones(rows, np.uint8)
        self.first_down, self.first_up = _blank(count), _blank(count)
        self.after_down, self.before_down = _blank(rows), _blank(rows)
        self.after_up, self.before_up = _blank(rows), _blank(rows)
        self.at: Whole = layers.taken.copy()
        self.place = np.empty(count, np.int64)
        self.place[self.at] = np.arange(count)
        self.from_top: Whole = layers.from_top.copy()
        self.seen = np.zeros(count, np.int64)
        self.via, self.queue = _blank(count), _blank(count)
        self.closing: tuple[int, ...] = ()
        self._mark = 0

    def next_mark(self) -> int:
        """Return a mark that no context bears."""
        self._mark += 1
        return self._mark

    def name(self, context: int) -> str:
        """Return the number of a context; its index when it came without one."""
        return self.names[context] if context < len(self.names) else str(context)

    def add_context(self) -> int:
        """Add a context at the end of the list."""
        new = len(self.from_top)
        for column, value in (("first_down", -1), ("first_up", -1), ("via", -1), ("queue", -1), ("from_top", 0)):
            setattr(self, column, np.append(getattr(self, column), np.int32(value)))
        self.at = np.append(self.at, np.int32(new))
        self.place, self.seen = np.append(self.place, np.int64(new)), np.append(self.seen, np.int64(0))
        return new

    def add_relation(self, later: int, earlier: int) -> int:
        """Write a relation down without hanging it anywhere, and return it; columns are doubled when they are full."""
        new = self.relations
        if new == len(self.later):
            for column in ("later", "earlier", "after_down", "before_down", "after_up", "before_up", "state"):
                held = getattr(self, column)
                setattr(self, column, np.concatenate((held, np.zeros(max(len(held), 16), held.dtype))))
        self.later[new], self.earlier[new] = later, earlier
        self.relations += 1
        return new


def tables_of(relations: Relations) -> LiveTables:
    """Return the tables of relations; those that a walk from the top finds to lead back wait in `closing`.

    Parameters
    ----------
    relations : Relations
        Any relations without contexts to be joined.

    Returns
    -------
    LiveTables
        With every other relation hung in its chains, and ranks and places from them.
    """
    back = _leading_back(relations)
    kept = np.flatnonzero(~back)
    layers = layering(neighbours_below(relations_of(relations.count, relations.later[kept], relations.earlier[kept])))
    tables = LiveTables(relations, layers)
    tables.closing = tuple(np.flatnonzero(back).tolist())
    _hang(tables.first_down, tables.after_down, tables.before_down, tables.later, kept)
    _hang(tables.first_up, tables.after_up, tables.before_up, tables.earlier, kept)
    return tables


def _blank(count: int) -> Whole:
    return np.full(count, -1, np.int32)


def _leading_back(relations: Relations) -> NDArray[np.bool_]:
    """Return the relations that lead back to a context of the walk on which they are met: without them no loop is left."""
    back = np.zeros(len(relations), np.bool_)
    number, _ = loop_groups(relations)
    if number < relations.count:
        below = neighbours_below(relations)
        back[below.relations[_walk_back(below.starts, below.contexts)]] = True
    return back


@compiled
def _hang(first: Whole, after: Whole, before: Whole, contexts: Whole, rows: NDArray[np.int64]) -> None:
    for row in rows[::-1]:
        link(first, after, before, contexts[row], row)


@compiled
def _walk_back(starts: NDArray[np.int64], ends: Whole) -> NDArray[np.int64]:
    """Return the steps that lead back to a context on the walk, in one walk depth first."""
    count = len(starts) - 1
    next_step = starts[:-1].copy()
    standing = np.zeros(count, np.uint8)  # 0 not met, 1 on the walk, 2 finished
    walk = np.empty(count, np.int32)
    back = np.empty(len(ends), np.int64)
    found = 0
    for root in range(count):
        if standing[root] != 0:
            continue
        walk[0], standing[root], depth = root, 1, 0
        while depth >= 0:
            context = walk[depth]
            if next_step[context] == starts[context + 1]:
                standing[context] = 2
                depth -= 1
                continue
            step = next_step[context]
            next_step[context] += 1
            end = ends[step]
            if standing[end] == 1:
                back[found] = step
                found += 1
            elif standing[end] == 0:
                depth += 1
                walk[depth], standing[end] = end, 1
    return back[:found]
