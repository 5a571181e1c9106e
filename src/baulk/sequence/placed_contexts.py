"""A record, its relations as arrays and its order, side by side, as the search for missed relations asks them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from baulk.record import Context, Relation, SiteRecord
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.gaps import ContextKind, CutGaps, RelationKind, cut_gaps
from baulk.sequence.order import Order
from baulk.sequence.paths import reaches

__all__ = ["PlacedContexts"]

_KINDS = MappingProxyType(
    {
        "deposit": ContextKind.DEPOSIT,
        "cut": ContextKind.CUT,
        "fill": ContextKind.FILL,
        "structure": ContextKind.STRUCTURE,
        "timber": ContextKind.STRUCTURE,
        "surface": ContextKind.SURFACE,
        "disturbance": ContextKind.DISTURBANCE,
    }
)
_HOWS = MappingProxyType(
    {"overlies": RelationKind.OVERLIES, "cuts": RelationKind.CUTS, "fills": RelationKind.FILLS, "abuts": RelationKind.ABUTS}
)


@dataclass(frozen=True, eq=False)
class PlacedContexts:
    """What is known of the contexts of a record.

    Parameters
    ----------
    record : SiteRecord
        The record.
    known : ContextRelations
        Its relations as arrays.
    order : Order
        What follows from them.
    """

    record: SiteRecord
    known: ContextRelations
    order: Order

    @cached_property
    def in_loop(self) -> NDArray[np.bool_]:
        """Whether each context lies in a loop."""
        held: NDArray[np.bool_] = self.order.ranks.in_loop[self.order.merging.group]
        return held

    @cached_property
    def cut_gaps(self) -> CutGaps:
        """Fills without a cut and cuts that cut nothing, contexts that are one counting together."""
        kinds = [_KINDS.get(context.kind or "", ContextKind.UNKNOWN) for context in self.record.all(Context)]
        relations = (self.record.get(Relation, identity) for identity in self.known.rows)
        hows = [_HOWS.get((found.how if found else None) or "", RelationKind.UNKNOWN) for found in relations]
        return cut_gaps(self.known.relations, kinds, hows, group=self.order.merging.group)

    @cached_property
    def fills_without_cut(self) -> frozenset[str]:
        """Ids of the fills of which neither a relation nor their own sheet names a cut."""
        found = (self.record.get(Context, self.known.contexts[place]) for place in self.cut_gaps.fills_without_cut.tolist())
        return frozenset(context.id for context in found if context is not None and context.fill_of is None)

    def apart(self, one: NDArray[np.int64], other: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Tell of pairs of contexts whether no path leads from either to the other, they are not one, and none is in a loop."""
        group = self.order.merging.group
        upper, lower = group[one], group[other]
        free: NDArray[np.bool_] = (upper != lower) & ~self.in_loop[one] & ~self.in_loop[other]
        places = np.flatnonzero(free)
        relations = self.order.relations
        related = reaches(relations, upper[places], lower[places]) | reaches(relations, lower[places], upper[places])
        free[places[related]] = False
        return free

    def leads_down(self, later: str, earlier: str) -> bool:
        """Tell whether a path leads from one context down to another."""
        index = self.known.index
        return later in index and earlier in index and self.order.why(index[later], index[earlier]) is not None

    def unsaid_below(self, context: str) -> bool:
        """Tell whether a relation from the context down does not say how."""
        return any(found.how is None for found in self.record.pointing_at(Relation, "later", context))
