"""Why one context is later than another: the chain step by step, with the records that say each."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.sequence.from_record import ContextRelations
from baulk.sequence.order import Order

__all__ = ["WhyStep", "why_steps"]


@dataclass(frozen=True, slots=True)
class WhyStep:
    """One step of the chain.

    Parameters
    ----------
    later, earlier : tuple of str
        Ids of the contexts on either side; several where some are recorded as one.
    relations : tuple of str
        Ids of the relations on record that say it.
    certainty : float
        How sure the step is, from 0 to 1.
    """

    later: tuple[str, ...]
    earlier: tuple[str, ...]
    relations: tuple[str, ...]
    certainty: float


def why_steps(known: ContextRelations, order: Order, later: int, earlier: int) -> tuple[WhyStep, ...] | None:
    """Return the shortest chain that makes one context later than another.

    Parameters
    ----------
    known : ContextRelations
        The relations with the records that they stand for.
    order : Order
        What follows from them.
    later, earlier : int
        Indices of the two contexts.

    Returns
    -------
    tuple of WhyStep or None
        From the later context down; None when nothing recorded makes it later, or the two are recorded as one.
    """
    group = order.merging.group
    if group[later] == group[earlier]:
        return None
    chain = order.why(later, earlier)
    return None if chain is None else tuple(_step(known, order, relation) for relation in chain)


def _step(known: ContextRelations, order: Order, relation: int) -> WhyStep:
    relations = order.relations
    return WhyStep(
        _ids(known, order, int(relations.later[relation])),
        _ids(known, order, int(relations.earlier[relation])),
        tuple(known.rows[int(row)] for row in order.rows(relation)),
        float(relations.certainty[relation]),
    )


def _ids(known: ContextRelations, order: Order, group: int) -> tuple[str, ...]:
    return tuple(known.contexts[int(place)] for place in order.merging.members(group))
