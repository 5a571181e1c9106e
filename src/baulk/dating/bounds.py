"""Bounds through the order: not earlier than the latest thing in or below a context, not later than a firm date in or above it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.dating.termini import Side, Termini
from baulk.errors import InputError
from baulk.sequence.compiled import compiled
from baulk.sequence.graph import layering, neighbours_above, neighbours_below
from baulk.sequence.loops import loop_groups
from baulk.sequence.order import Order
from baulk.sequence.relations import Relations

__all__ = ["Bounds", "bounds_of", "without"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Bounds:
    """The bounds of every context, and what set them.

    Parameters
    ----------
    order : Order
        The order they were carried through.
    termini : Termini
        The finds and documents.
    tpq, taq : float64 array, shape (groups,)
        Year of the bound; NaN where none is set. Contexts that are recorded as one share a group: use `place`.
    tpq_row, taq_row : int32 array, shape (groups,)
        The terminus that set it; -1 where none did.
    tpq_step, taq_step : int32 array, shape (groups,)
        The relation (distinct, between groups) over which it came; -1 where it is the context's own.
    dropped : int32 array
        Relations inside loops: they carry nothing, since one of each loop is wrong.
    """

    order: Order
    termini: Termini
    tpq: Floats
    taq: Floats
    tpq_row: Places
    taq_row: Places
    tpq_step: Places
    taq_step: Places
    dropped: Places

    def place(self, context: int) -> int:
        """Return where a context stands in the arrays."""
        return int(self.order.merging.group[context])

    @property
    def conflicts(self) -> NDArray[np.int64]:
        """Groups that would have to be later than they can be."""
        return np.flatnonzero(self.tpq > self.taq)

    def path(self, group: int, side: Side) -> tuple[int, ...]:
        """Return the relations over which a bound came, from the group to where its find or document is; empty for its own."""
        steps = self.tpq_step if side is Side.POST else self.taq_step
        relations, found, here = self.order.relations, [], group
        while steps[here] >= 0:
            found.append(int(steps[here]))
            here = int((relations.earlier if side is Side.POST else relations.later)[steps[here]])
        return tuple(found)

    def chain(self, group: int, side: Side) -> tuple[int, ...]:
        """Return the groups along the path of a bound, from the group to where its find or document is."""
        relations = self.order.relations
        ends = relations.earlier if side is Side.POST else relations.later
        return (group, *(int(ends[step]) for step in self.path(group, side)))


def bounds_of(order: Order, termini: Termini) -> Bounds:
    """Carry finds and documents through the order.

    Parameters
    ----------
    order : Order
        The order of the site. Contexts that are one share their bounds. Relations inside a loop carry nothing.
    termini : Termini
        What sets bounds, by context.

    Returns
    -------
    Bounds
        Both bounds of each group of contexts, each with the terminus that set it and the relation it came over.

    Raises
    ------
    InputError
        If a terminus names a context that the order does not have.

    Notes
    -----
    tpq(c) = max(own termini, tpq of every earlier context); taq(c) = min(own firm termini, taq of every later context). Of equal
    bounds the context's own is named, then the one over the fewest relations. One pass each way: the cost is the number of
    relations.

    References
    ----------
    Rules as read: deposits stratigraphically later must be of a later date (archaeologs.com, terminus post quem); a context sealed
    between two dated layers lies between their dates (encyclopaedia).

    Examples
    --------
    >>> from baulk.sequence.order import order_of
    >>> from baulk.sequence.relations import relations_of
    >>> found = bounds_of(order_of(relations_of(3, [0, 1], [1, 2])), Termini.of([2, 1], [1799, 1850], [Side.POST, Side.ANTE]))
    >>> found.tpq.tolist(), found.taq.tolist()
    ([1799.0, 1799.0, 1799.0], [nan, 1850.0, 1850.0])
    """
    outside = np.flatnonzero((termini.context < 0) | (termini.context >= order.given.count))
    if len(outside):
        row = int(outside[0])
        raise InputError(
            f"{termini.names[row]} belongs to context {int(termini.context[row])}, but the contexts are counted from 0 to "
            f"{order.given.count - 1}. Give the context's place in the order."
        )
    kept, dropped = _outside_loops(order)
    return _carried(order, termini, kept, dropped)


def without(bounds: Bounds, *, termini: Sequence[int] = (), relations: Sequence[int] = ()) -> Bounds:
    """Return the bounds as they would be without some termini (rows) or without some distinct relations between groups."""
    used = bounds.termini.used.copy()
    used[list(termini)] = False
    held = bounds.termini
    fewer = Termini(held.context, held.year, held.side, held.names, used)
    kept, dropped = _outside_loops(bounds.order)
    return _carried(bounds.order, fewer, np.setdiff1d(kept, np.array(relations, np.int32)), dropped)


def _carried(order: Order, termini: Termini, kept: Places, dropped: Places) -> Bounds:
    """Carry the termini over the relations that are kept; steps name the rows of all relations between groups."""
    whole = order.relations
    part = Relations(
        whole.count, whole.later[kept], whole.earlier[kept], whole.certainty[kept], whole.sides[kept], np.zeros((0, 2), np.int32)
    )
    below, above = neighbours_below(part), neighbours_above(part)
    taken = layering(below).taken
    group = order.merging.group[termini.context]
    tpq, tpq_row = _own(group, termini, Side.POST, whole.count)
    taq, taq_row = _own(group, termini, Side.ANTE, whole.count)
    tpq_step = _carry(below.starts, below.contexts, below.relations, taken[::-1].copy(), tpq, tpq_row)
    taq_step = _carry(above.starts, above.contexts, above.relations, taken, taq, taq_row)
    tpq_step, taq_step = _whole_rows(tpq_step, kept), _whole_rows(taq_step, kept)
    return Bounds(
        order,
        termini,
        np.where(tpq_row < 0, np.nan, tpq),
        np.where(taq_row < 0, np.nan, -taq),
        tpq_row,
        taq_row,
        tpq_step,
        taq_step,
        dropped,
    )


def _whole_rows(steps: Places, kept: Places) -> Places:
    """Return the steps as rows of all relations; -1 stays."""
    return np.append(kept, np.int32(-1))[steps]  # the step -1 reads the last place


def _outside_loops(order: Order) -> tuple[Places, Places]:
    """Return the relations between groups that no loop holds, and those that one does."""
    relations = order.relations
    if not order.loops:
        return np.arange(len(relations), dtype=np.int32), np.zeros(0, np.int32)
    _, ring = loop_groups(relations)
    inside = ring[relations.later] == ring[relations.earlier]
    return np.flatnonzero(~inside).astype(np.int32), np.flatnonzero(inside).astype(np.int32)


def _own(group: Places, termini: Termini, side: Side, count: int) -> tuple[Floats, Places]:
    """Return each group's own bound and its row; a TAQ's year has its sign turned so that the larger binds; -inf and -1 if none."""
    rows = np.flatnonzero((termini.side == side) & termini.used).astype(np.int32)
    years = termini.year[rows] if side is Side.POST else -termini.year[rows]
    rising = np.lexsort((-rows, years))  # of equal years the first row is written last
    value, row = np.full(count, -np.inf), np.full(count, -1, np.int32)
    value[group[rows[rising]]] = years[rising]
    row[group[rows[rising]]] = rows[rising]
    return value, row


@compiled
def _carry(starts: NDArray[np.int64], ends: Places, relations: Places, taken: Places, value: Floats, row: Places) -> Places:
    """Carry the larger value from neighbours already settled; change `value` and `row`, and return the relation it came over."""
    step = np.full(len(value), -1, np.int32)
    hops = np.zeros(len(value), np.int32)
    for context in taken:
        for at in range(starts[context], starts[context + 1]):
            end = ends[at]
            nearer = value[end] == value[context] and step[context] >= 0 and hops[end] + 1 < hops[context]
            if row[end] >= 0 and (value[end] > value[context] or nearer):
                value[context], row[context] = value[end], row[end]
                step[context], hops[context] = relations[at], hops[end] + 1
    return step
