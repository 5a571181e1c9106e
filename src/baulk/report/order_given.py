"""The computed order, turned from indices of arrays into ids of records."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.report.given import ImpliedRelation, SequenceFacts
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.order import Order

__all__ = ["sequence_facts"]


def sequence_facts(made: ContextRelations, order: Order, contradictions: tuple[str, ...] = ()) -> SequenceFacts:
    """Return the order as the report prints it.

    Parameters
    ----------
    made : ContextRelations
        The relations of the record as arrays.
    order : Order
        The order of ``made.relations``.
    contradictions : tuple of str
        Sentences on phases that contradict the order.

    Returns
    -------
    SequenceFacts
        Steps count from 1, the earliest of the whole site; a context in a loop has none.
    """
    return SequenceFacts(
        steps=_steps(made, order),
        loops=tuple(tuple(_first(made, order, group) for group in loop.shortest.contexts) for loop in order.loops),
        one_sided=tuple(_rows(made, order, order.one_sided.tolist())),
        implied=tuple(_implied(made, order)),
        floating=tuple(
            made.contexts[int(context)] for group in order.floating.alone.tolist() for context in order.merging.members(group)
        ),
        set_aside=made.set_aside,
        contradictions=contradictions,
    )


def _steps(made: ContextRelations, order: Order) -> dict[str, tuple[int, int]]:
    ranks = order.ranks
    longest = int(ranks.from_bottom.max(initial=0))
    group = order.merging.group
    bottom, top, looped = (column[group].tolist() for column in (ranks.from_bottom, ranks.from_top, ranks.in_loop))
    return {
        context: (bottom[place] + 1, longest + 1 - top[place]) for place, context in enumerate(made.contexts) if not looped[place]
    }


def _first(made: ContextRelations, order: Order, group: int) -> str:
    """Return the id of a group's first context."""
    return made.contexts[int(order.merging.members(group)[0])]


def _rows(made: ContextRelations, order: Order, distinct: list[int]) -> Iterator[str]:
    """Yield the ids of all given relations that became one of the `distinct` ones."""
    wanted = set(distinct)
    for row, relation in enumerate(order.merging.relation_of_row.tolist()):
        if relation in wanted:
            yield made.rows[row]


def _implied(made: ContextRelations, order: Order) -> Iterator[ImpliedRelation]:
    relations = order.relations
    first = {group: made.contexts[place] for place, group in reversed(list(enumerate(order.merging.group.tolist())))}
    rows: dict[int, list[str]] = {}
    for row, relation in enumerate(order.merging.relation_of_row.tolist()):
        rows.setdefault(relation, []).append(made.rows[row])
    for relation in order.redundant.tolist():
        chain = order.implied_by(relation)
        path = (first[int(relations.later[chain[0]])], *(first[int(relations.earlier[step])] for step in chain))
        for identity in rows.get(relation, ()):
            yield ImpliedRelation(identity, path)
