"""What the relations of a site say, as the closing rules ask it: loops, neighbours, and whether a path leads down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from baulk.record import SiteRecord
from baulk.sequence.from_record import ContextRelations, relations_from
from baulk.sequence.graph import Layering, Neighbours, layering, neighbours_below
from baulk.sequence.loops import Loop, loop_groups, loops_of
from baulk.sequence.merging import Merging, merge_same
from baulk.sequence.order import Order
from baulk.sequence.relations import relations_of

__all__ = ["OrderFacts"]


@dataclass(frozen=True, eq=False)
class OrderFacts:
    """The order of a site as the rules ask it; contexts are named by their ids.

    Parameters
    ----------
    made : ContextRelations
        The relations as arrays, with their records.
    merging : Merging
        Contexts that are one (same as, bonded with) joined into groups, and the relations between the groups.
    loops : tuple of Loop
        The loops between groups.
    knot : int array, shape (contexts,)
        The group of each context after every loop is drawn together to one point, so that what remains has no loop.
    """

    made: ContextRelations
    merging: Merging
    loops: tuple[Loop, ...]
    knot: NDArray[np.int32]

    @classmethod
    def of(cls, record: SiteRecord, order: Order | None = None) -> OrderFacts:
        """Work the facts out, in time proportional to contexts and relations.

        Parameters
        ----------
        record : SiteRecord
        order : Order, optional
            The order of the same record, when it is worked out already.
        """
        made = relations_from(record)
        merging = merge_same(made.relations) if order is None else order.merging
        loops = loops_of(merging.relations) if order is None else order.loops
        _, knots = loop_groups(merging.relations)
        return cls(made, merging, loops, np.asarray(knots, np.int32)[merging.group])

    @cached_property
    def group(self) -> NDArray[np.int32]:
        """The group of each context."""
        return self.merging.group

    @cached_property
    def in_loop(self) -> Mapping[str, tuple[str, ...]]:
        """Each context that is recorded as earlier than itself, with the shortest such loop, the first repeated last."""
        cycles: dict[int, tuple[int, ...]] = {}
        for loop in self.loops:
            cycles.update(dict.fromkeys(loop.contexts.tolist(), (*loop.shortest.contexts, loop.shortest.contexts[0])))
        held: dict[str, tuple[str, ...]] = {}
        for context, group in zip(self.made.contexts, self.group.tolist(), strict=True):
            if group in cycles:
                held[context] = tuple(self._first_of_group[step] for step in cycles[group])
        for clash in self.merging.contradictions:
            later, earlier = self.made.contexts[clash.later], self.made.contexts[clash.earlier]
            held.update(dict.fromkeys((later, earlier), (later, earlier, later)))
        return held

    def knows(self, context: str) -> bool:
        """Tell whether the context is on record and not void."""
        return context in self.made.index

    def has_above(self, context: str) -> bool:
        """Tell whether anything is recorded as later than the context or one that is the same."""
        return bool(self._counts[0][self.group[self.made.index[context]]])

    def has_below(self, context: str) -> bool:
        """Tell whether anything is recorded as earlier than the context or one that is the same."""
        return bool(self._counts[1][self.group[self.made.index[context]]])

    @cached_property
    def _counts(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        size = self.merging.relations.count
        return np.bincount(self.merging.relations.earlier, minlength=size), np.bincount(
            self.merging.relations.later, minlength=size
        )

    @cached_property
    def _first_of_group(self) -> Mapping[int, str]:
        first: dict[int, str] = {}
        for place, group in enumerate(self.group.tolist()):
            first.setdefault(group, self.made.contexts[place])
        return first

    def rank(self, context: str) -> int:
        """Return the length of the longest chain from the top down to the context, loops drawn together."""
        return self._walk[2][int(self.knot[self.made.index[context]])]

    def below(self, context: str, others: Iterable[str]) -> frozenset[str]:
        """Return those of the `others` to which a chain of relations leads down; none that share a loop or are the same.

        The search goes no deeper than the deepest of the others, so that its cost is local where the others are near.
        """
        starts, ends, depth = self._walk
        source = int(self.knot[self.made.index[context]])
        wanted: dict[int, list[str]] = {}
        for other in others:
            knot = int(self.knot[self.made.index[other]])
            if knot != source:
                wanted.setdefault(knot, []).append(other)
        deepest = max((depth[knot] for knot in wanted), default=-1)
        found: set[str] = set()
        seen, stack = {source}, [source]
        while stack and wanted:
            here = stack.pop()
            for end in ends[starts[here] : starts[here + 1]]:
                if end not in seen and depth[end] <= deepest:
                    seen.add(end)
                    stack.append(end)
                    found.update(wanted.pop(end, ()))
        return frozenset(found)

    def same_time(self, one: str, other: str) -> bool:
        """Tell whether two contexts are recorded as one."""
        return bool(self.group[self.made.index[one]] == self.group[self.made.index[other]])

    def highest_below(self, own: Mapping[str, int]) -> Mapping[str, tuple[int, str]]:
        """Carry the highest of some values upward along the order.

        Parameters
        ----------
        own : mapping of context id to int
            The value that a context has itself, such as the year before which its latest find was not made.

        Returns
        -------
        mapping of context id to (int, str)
            For each context with something of value below it, the highest value below and the context that has it.
        """
        starts, ends, _ = self._walk
        held: dict[int, tuple[int, str]] = {}
        for context, value in own.items():
            knot = int(self.knot[self.made.index[context]])
            held[knot] = max(held.get(knot, (value, context)), (value, context))
        best: dict[int, tuple[int, str]] = {}
        for knot in reversed(self._layers.taken.tolist()):
            under = [found for end in ends[starts[knot] : starts[knot + 1]] for found in (best.get(end), held.get(end)) if found]
            if under:
                best[knot] = max(under)
        knots = self.knot.tolist()
        return {context: best[knots[place]] for place, context in enumerate(self.made.contexts) if knots[place] in best}

    @cached_property
    def _knotted_below(self) -> Neighbours:
        given = self.made.relations
        later, earlier = self.knot[given.later], self.knot[given.earlier]
        apart = later != earlier
        return neighbours_below(relations_of(int(self.knot.max(initial=-1)) + 1, later[apart], earlier[apart]))

    @cached_property
    def _layers(self) -> Layering:
        return layering(self._knotted_below)

    @cached_property
    def _walk(self) -> tuple[list[int], list[int], list[int]]:
        """Starts, ends and depths as plain lists: single look-ups in arrays are slow."""
        below = self._knotted_below
        return below.starts.tolist(), below.contexts.tolist(), self._layers.from_top.tolist()
