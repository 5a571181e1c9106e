"""The phase table: for each context the phase it was put in, and the phases that the order leaves open to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from baulk.sequence.graph import Neighbours, neighbours_below, shortest_chain
from baulk.sequence.order import Order
from baulk.sequence.paths import chain_in_words
from baulk.sequence.phases import PhaseConflict, phase_ranges
from baulk.sequence.relations import Relations, relations_of

__all__ = ["PhaseLine", "phase_table"]


@dataclass(frozen=True, slots=True)
class PhaseLine:
    """One context of the phase table; contexts are given by their indices.

    Parameters
    ----------
    context : int
        The context.
    given : int or None
        The phase it was put in, 1 the earliest; None when in none yet.
    earliest, latest : int or None
        The phases that the order leaves open to it; `earliest` above `latest` shows a conflict. None when no context has a phase.
    earliest_from, latest_from : int or None
        The context whose given phase set the bound; None where only the first or the last phase does.
    conflict : str
        What the phase given contradicts, with the path, and what to settle; empty when nothing.
    against : int or None
        The context that it contradicts.
    """

    context: int
    given: int | None
    earliest: int | None
    latest: int | None
    earliest_from: int | None
    latest_from: int | None
    conflict: str = ""
    against: int | None = None


def phase_table(order: Order, phases: Sequence[int | None]) -> tuple[PhaseLine, ...]:
    """Return the phase table of a site.

    Parameters
    ----------
    order : Order
        The order; loops are allowed, and all contexts of one have the same bounds.
    phases : sequence of int or None, one for each context as given
        The phase each context was put in, 1 the earliest.

    Returns
    -------
    tuple of PhaseLine
        One for each context as given, in the same order. Contexts that are one have the same bounds, and contradict each other when
        they were put in different phases.

    Raises
    ------
    InputError
        If there is not one phase for each context, or one is below 1.

    Examples
    --------
    >>> from baulk.sequence.order import order_of
    >>> lines = phase_table(order_of(relations_of(3, [0, 1], [1, 2], names=("1", "2", "3"))), [1, None, 2])
    >>> [(line.given, line.earliest, line.latest) for line in lines], lines[0].conflict[:40]
    ([(1, 2, 1), (None, 2, 1), (2, 2, 1)], 'Layer 1 is put in phase 1, but it is lat')
    """
    given = np.array([phase or 0 for phase in phases], np.int32)
    found = phase_ranges(_joined(order.given), given)
    conflicts = {one.later: one for one in found.conflicts}
    any_given = bool(given.any())
    below = neighbours_below(order.relations)

    def line(context: int) -> PhaseLine:
        conflict = conflicts.get(context)
        return PhaseLine(
            context,
            phases[context] or None,
            int(found.earliest[context]) if any_given else None,
            int(found.latest[context]) if any_given else None,
            _known(int(found.earliest_from[context])),
            _known(int(found.latest_from[context])),
            _in_words(order, below, conflict) if conflict else "",
            conflict.earlier if conflict else None,
        )

    return tuple(line(context) for context in range(order.given.count))


def _known(context: int) -> int | None:
    return None if context < 0 else context


def _joined(relations: Relations) -> Relations:
    """Return the relations with contexts that are one tied both ways, so that they share their bounds as a loop does."""
    one, other = relations.same[:, 0], relations.same[:, 1]
    apart = one != other
    one, other = one[apart], other[apart]
    return relations_of(
        relations.count,
        np.concatenate((relations.later, one, other)),
        np.concatenate((relations.earlier, other, one)),
        names=relations.names,
    )


def _in_words(order: Order, below: Neighbours, conflict: PhaseConflict) -> str:
    names, group = order.given, order.merging.group
    later, earlier = names.name(conflict.later), names.name(conflict.earlier)
    if group[conflict.later] == group[conflict.earlier]:
        return (
            f"Layer {later} is put in phase {conflict.later_phase}, and {earlier}, which is recorded as the same, in phase "
            f"{conflict.earlier_phase}. One layer belongs to one phase: change one of the two, or see whether they are one."
        )
    chain = shortest_chain(below, int(group[conflict.later]), int(group[conflict.earlier]))
    path = f" ({chain_in_words(order.relations, chain)})" if chain else ""
    return (
        f"Layer {later} is put in phase {conflict.later_phase}, but it is later than {earlier} of phase "
        f"{conflict.earlier_phase}{path}. A layer belongs to the same phase as what lies below it, or to a later one: change one "
        "of the two phases, or see which relation is wrong."
    )
