"""The order of a site in one result: groups, loops, needed and redundant relations, ranks, gaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import OrderError
from baulk.sequence.gaps import Floating, floating, off_sheet, one_sided
from baulk.sequence.loops import Loop, cycle_in_words, loops_of
from baulk.sequence.merging import Merging, contradiction_in_words, merge_same
from baulk.sequence.paths import chain_in_words, why
from baulk.sequence.phases import Ranks, ranks_of
from baulk.sequence.reduction import Reduction, implied_by, reduce_relations
from baulk.sequence.relations import Relations

__all__ = ["Order", "order_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """Everything that follows from the relations of a site.

    Parameters
    ----------
    given : Relations
        The relations as given.
    merging : Merging
        Contexts joined into groups; all fields below speak of groups and of the distinct relations between
        them, ``merging.relations``.
    loops : tuple of Loop
        The loops; empty when there is an order.
    reduction : Reduction or None
        Needed and redundant relations; None while a loop stands.
    ranks : Ranks
        Distance of each group from the top and the bottom; a loop counts as one.
    one_sided : int32 array
        Relations entered on one sheet only.
    off_sheet : int32 array
        Relations that stand on neither sheet.
    floating : Floating
        Groups with nothing above, nothing below, or neither.
    """

    given: Relations
    merging: Merging
    loops: tuple[Loop, ...]
    reduction: Reduction | None
    ranks: Ranks
    one_sided: NDArray[np.int32]
    off_sheet: NDArray[np.int32]
    floating: Floating

    @property
    def relations(self) -> Relations:
        """The distinct relations between groups."""
        return self.merging.relations

    @property
    def redundant(self) -> NDArray[np.int32]:
        """The redundant relations; empty while a loop stands, when none can be named."""
        return np.zeros(0, np.int32) if self.reduction is None else self.reduction.redundant

    @property
    def in_words(self) -> tuple[str, ...]:
        """What stands against an order: each contradiction and each loop in one line; empty when nothing does."""
        clashes = tuple(contradiction_in_words(self.given, one) for one in self.merging.contradictions)
        return clashes + tuple(cycle_in_words(self.relations, loop.shortest) for loop in self.loops)

    def rows(self, relation: int) -> NDArray[np.int64]:
        """Return the given rows that say one distinct relation."""
        return self.merging.rows(relation)

    def implied_by(self, relation: int) -> tuple[int, ...]:
        """Return the needed relations that imply a redundant one, from the later group down.

        Raises
        ------
        OrderError
            If the relation is needed, or a loop stands.
        """
        if self.reduction is None:
            raise OrderError(
                f"The relations hold {len(self.loops)} loops, the first being "
                f"{cycle_in_words(self.relations, self.loops[0].shortest)}. Redundant relations are only defined "
                "without loops: open the loops first."
            )
        return implied_by(self.relations, self.reduction, relation)

    def why(self, later: int, earlier: int) -> tuple[int, ...] | None:
        """Return the shortest chain of distinct relations that makes one context later than another, or None.

        The two are contexts as given, not groups.
        """
        return why(self.relations, int(self.merging.group[later]), int(self.merging.group[earlier]))

    def why_in_words(self, later: int, earlier: int) -> str:
        """Return the chain of `why` as "1039 > 1040 > 1042", or a sentence that none is recorded."""
        chain = self.why(later, earlier)
        if chain is None:
            return (
                f"Nothing recorded makes {self.given.name(later)} later than {self.given.name(earlier)}: "
                "no chain of relations leads down from the first to the second."
            )
        return chain_in_words(self.relations, chain)


def order_of(relations: Relations) -> Order:
    """Work out the order of a site.

    Parameters
    ----------
    relations : Relations
        The relations as given; repeats, equations and loops are allowed.

    Returns
    -------
    Order
        The order. While loops stand, all that does not need an order without loops is given all the same.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> order = order_of(relations_of(3, [0, 1, 0], [1, 2, 2], names=("1", "2", "3")))
    >>> order.redundant.tolist(), order.why_in_words(0, 2)
    ([2], '1 > 3')
    """
    merging = merge_same(relations)
    distinct = merging.relations
    loops = loops_of(distinct)
    return Order(
        given=relations,
        merging=merging,
        loops=loops,
        reduction=None if loops else reduce_relations(distinct),
        ranks=ranks_of(distinct),
        one_sided=one_sided(distinct),
        off_sheet=off_sheet(distinct),
        floating=floating(distinct),
    )
