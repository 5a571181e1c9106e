"""A live order: loops and ranks kept while relations are added, doubted, trusted again and taken out one by one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError, OrderError, shorten
from baulk.sequence.live_steps import link, make_room, path_within, renew_ranks, split_off, unlink
from baulk.sequence.live_tables import LiveTables, tables_of
from baulk.sequence.loops import Cycle
from baulk.sequence.relations import Relations

__all__ = ["LiveOrder", "RelationState", "Told", "live_order"]


class RelationState(IntEnum):
    """What a relation of a live order is."""

    TAKEN_OUT = 0
    ORDERING = 1
    CLOSING = 2
    DOUBTED = 3


@dataclass(frozen=True, slots=True)
class Told:
    """What one change did.

    Parameters
    ----------
    relation : int
        The relation that was changed.
    closed : Cycle or None
        The loop that it closes; a shortest one through it.
    opened : tuple of int
        Relations that closed a loop before and no longer do.
    ranks_changed : int
        How many contexts stand at another distance from the top now.
    """

    relation: int
    closed: Cycle | None
    opened: tuple[int, ...]
    ranks_changed: int


class LiveOrder:
    """The order of a site while it is being entered; made by `live_order`.

    Notes
    -----
    Contexts stand in a list such that every ordering relation leads down it. A new relation that leads up the list makes a search
    between its two places only: either it meets the way back, and the relation closes a loop, or the contexts met change places.
    A relation that closes a loop is kept and shown, but does not order until a relation of its loop goes. So there is a loop
    exactly when some relation is closing, every loop of the site holds at least one such relation, and the ranks are those without
    them. "Same as" joins contexts for good and cannot be taken back in place: work the order out anew after it.

    References
    ----------
    D. J. Pearce, P. H. J. Kelly, "A dynamic topological sort algorithm for directed acyclic graphs", ACM Journal of Experimental
    Algorithmics 11 (2006) 1.7 (from memory).
    """

    def __init__(self, tables: LiveTables) -> None:
        self._held = tables
        self._cycles: dict[int, tuple[int, ...]] = {}
        for relation in tables.closing:
            self._put_in(relation)

    @property
    def count(self) -> int:
        """Number of contexts."""
        return len(self._held.from_top)

    @property
    def from_top(self) -> NDArray[np.int32]:
        """Relations in the longest chain down to each context, as a view that cannot be written; closing relations are left out."""
        view = self._held.from_top.view()
        view.flags.writeable = False
        return view

    @property
    def latest_first(self) -> NDArray[np.int32]:
        """The contexts in an order in which none stands before one that is later, as a copy."""
        return self._held.at.copy()

    @property
    def loops(self) -> tuple[Cycle, ...]:
        """One loop for each relation that closes one, in the order in which they were entered."""
        return tuple(self._cycle(self._cycles[relation]) for relation in sorted(self._cycles))

    @property
    def closing(self) -> tuple[int, ...]:
        """The relations that close a loop, ascending."""
        return tuple(sorted(self._cycles))

    @property
    def ordering(self) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """The later and the earlier contexts of the relations that order, as copies; they hold no loop."""
        held = self._held
        rows = np.flatnonzero(held.state[: held.relations] == RelationState.ORDERING)
        return held.later[rows], held.earlier[rows]

    def state(self, relation: int) -> RelationState:
        """Return what a relation is now."""
        self._known(relation)
        return RelationState(int(self._held.state[relation]))

    def add_context(self) -> int:
        """Add a context without relations and return it."""
        return self._held.add_context()

    def add(self, later: int, earlier: int) -> Told:
        """Enter a relation.

        Parameters
        ----------
        later, earlier : int
            Its two contexts.

        Returns
        -------
        Told
            What it did; a relation that closes a loop is kept all the same.

        Raises
        ------
        InputError
            If a context is not one of those held.
        OrderError
            If a context is to be later than itself.
        """
        for context in (later, earlier):
            if not 0 <= context < self.count:
                raise InputError(
                    f"A relation names context {context}, but the contexts are counted from 0 to {self.count - 1}. "
                    "Add the context first."
                )
        if later == earlier:
            raise OrderError(
                f"Layer {shorten(self._held.name(later))} is to be later than itself. A layer cannot be earlier than itself: "
                "see which other number was meant."
            )
        relation = self._held.add_relation(later, earlier)
        return self._told(relation)

    def remove(self, relation: int) -> Told:
        """Take a relation out for good; loops that it took part in are opened."""
        return self._take(relation, RelationState.TAKEN_OUT)

    def doubt(self, relation: int) -> Told:
        """Set a relation aside as doubted: it stays on record and orders nothing until it is trusted again."""
        return self._take(relation, RelationState.DOUBTED)

    def trust(self, relation: int) -> Told:
        """Let a doubted relation order again.

        Raises
        ------
        OrderError
            If the relation is not in doubt.
        """
        if self.state(relation) is not RelationState.DOUBTED:
            raise OrderError(f"Relation {relation} is not in doubt, so it cannot be trusted again: it counts already, or is out.")
        return self._told(relation)

    def _told(self, relation: int) -> Told:
        changed = self._put_in(relation)
        closed = self._cycle(self._cycles[relation]) if relation in self._cycles else None
        return Told(relation, closed, (), changed)

    def _take(self, relation: int, state: RelationState) -> Told:
        was = self.state(relation)
        if was is RelationState.TAKEN_OUT:
            raise OrderError(f"Relation {relation} was taken out before: there is nothing to take out or to doubt.")
        held = self._held
        held.state[relation] = state
        if was is RelationState.CLOSING:
            del self._cycles[relation]
        if was is not RelationState.ORDERING:
            return Told(relation, None, (), 0)
        later, earlier = int(held.later[relation]), int(held.earlier[relation])
        unlink(held.first_down, held.after_down, held.before_down, later, relation)
        unlink(held.first_up, held.after_up, held.before_up, earlier, relation)
        changed = self._renew(earlier)
        opened = []
        for closing in [one for one, cycle in self._cycles.items() if relation in cycle]:
            del self._cycles[closing]
            changed += self._put_in(closing)
            if closing not in self._cycles:
                opened.append(closing)
        return Told(relation, None, tuple(sorted(opened)), changed)

    def _put_in(self, relation: int) -> int:
        """Make a relation ordering, or closing when a way back exists; return how many ranks changed."""
        held = self._held
        later, earlier = int(held.later[relation]), int(held.earlier[relation])
        if held.place[earlier] < held.place[later]:
            mark = held.next_mark()
            met = path_within(
                held.first_down, held.after_down, held.earlier, held.place, held.seen, held.via, held.queue, earlier, later, mark
            )
            if held.seen[later] == mark:
                held.state[relation] = RelationState.CLOSING
                self._cycles[relation] = (relation, *self._way(earlier, later))
                return 0
            below = held.queue[:met].copy()
            met = split_off(
                held.first_up, held.after_up, held.later, held.place, held.seen, held.queue, later, int(held.place[earlier]),
                held.next_mark(),
            )  # fmt: skip
            make_room(held.place, held.at, held.queue[:met].copy(), below)
        held.state[relation] = RelationState.ORDERING
        link(held.first_down, held.after_down, held.before_down, later, relation)
        link(held.first_up, held.after_up, held.before_up, earlier, relation)
        return self._renew(earlier)

    def _way(self, source: int, target: int) -> tuple[int, ...]:
        """Return the relations by which the last search came from `source` down to `target`."""
        chain: list[int] = []
        context = target
        while context != source:
            chain.append(int(self._held.via[context]))
            context = int(self._held.later[chain[-1]])
        return tuple(reversed(chain))

    def _renew(self, context: int) -> int:
        held = self._held
        return int(
            renew_ranks(
                held.first_down, held.after_down, held.earlier, held.first_up, held.after_up, held.later,
                held.place, held.at, held.from_top, held.seen, context, held.next_mark(),
            )
        )  # fmt: skip

    def _cycle(self, chain: tuple[int, ...]) -> Cycle:
        return Cycle(tuple(int(self._held.later[relation]) for relation in chain), chain)

    def _known(self, relation: int) -> None:
        if not 0 <= relation < self._held.relations:
            raise InputError(
                f"There is no relation {relation}: the relations held are counted from 0 to {self._held.relations - 1}. "
                "Use the number that `add` gave."
            )


def live_order(relations: Relations) -> LiveOrder:
    """Return a live order that begins with these relations.

    Parameters
    ----------
    relations : Relations
        Relations with contexts that are one joined already (`merge_same`); they keep their numbers.

    Returns
    -------
    LiveOrder
        Ready for changes, in time proportional to contexts and relations, and for each relation that closes a loop a search.

    Raises
    ------
    OrderError
        If contexts that are one are not joined.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> live = live_order(relations_of(4, [0, 1], [1, 2]))
    >>> live.add(2, 0).closed.contexts, live.doubt(0).opened, live.from_top.tolist()
    ((2, 0, 1), (2,), [2, 0, 1, 0])
    """
    if len(relations.same):
        raise OrderError(
            f"{len(relations.same)} pairs of contexts are recorded as one and not joined. A live order changes one relation at a "
            "time: join the contexts first."
        )
    return LiveOrder(tables_of(relations))
