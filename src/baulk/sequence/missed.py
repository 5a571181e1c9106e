"""Missed and contradicted relations: what outlines, levels, walls and kinds say beside the table of relations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from baulk.record import Context, SiteRecord
from baulk.sequence.closeness import HOUSE_CLOSENESS, Closeness
from baulk.sequence.from_record import ContextRelations, relations_from
from baulk.sequence.missed_in_plan import missed_in_plan
from baulk.sequence.missed_in_walls import missed_in_walls
from baulk.sequence.order import Order
from baulk.sequence.placed_contexts import PlacedContexts
from baulk.sequence.suspicion import Mend, Suspicion
from baulk.sequence.wrong_levels import wrong_levels

__all__ = ["KINDS_OF_SUSPICION", "missed_relations"]

KINDS_OF_SUSPICION = (
    "missed relation",
    "missed contact",
    "contradicted by a wall",
    "contradicted by levels",
    "fill without a cut",
    "cut that cuts nothing",
    "floating context",
)
"""Everything that `Suspicion.what` can be."""


def missed_relations(
    record: SiteRecord, order: Order, *, known: ContextRelations | None = None, closeness: Closeness = HOUSE_CLOSENESS
) -> tuple[Suspicion, ...]:
    """Return the relations that seem to be missed or wrong, from all that the record holds beside them.

    Parameters
    ----------
    record : SiteRecord
        The record; void records are passed over.
    order : Order
        The order of the same record.
    known : ContextRelations, optional
        The record's relations as arrays, when they are made already.
    closeness : Closeness
        How near counts as near.

    Returns
    -------
    tuple of Suspicion
        Kind by kind, in the order of `KINDS_OF_SUSPICION`. Nothing here is decided: each says what was seen and how to settle it.

    Notes
    -----
    Outlines are compared through a tree of boxes, and paths are asked for all pairs in one sweep, so that no step grows with the
    square of the number of contexts. Contexts of a loop are not held beside each other: the loop comes first.

    Examples
    --------
    >>> from baulk.record import Context, SiteRecord
    >>> from baulk.sequence.order import order_of
    >>> record = SiteRecord.of([Context(id="a", number="1", kind="fill")])
    >>> order = order_of(relations_from(record).relations)
    >>> [found.what for found in missed_relations(record, order)]
    ['fill without a cut', 'floating context']
    """
    placed = PlacedContexts(record, relations_from(record) if known is None else known, order)
    walls = tuple(missed_in_walls(placed))
    sheets = tuple(_fills_on_sheets(placed))
    drawn = [(one.later, one.earlier) for one in (*walls, *sheets) if one.mend is not None and one.earlier is not None]
    plans = missed_in_plan(placed, closeness, drawn)
    found = chain(sheets, plans, walls, wrong_levels(record, closeness), _cuts(placed), _floating(placed))
    return tuple(sorted(found, key=lambda one: KINDS_OF_SUSPICION.index(one.what)))


def _fills_on_sheets(placed: PlacedContexts) -> Iterator[Suspicion]:
    index, record, group = placed.known.index, placed.record, placed.order.merging.group
    for context in record.all(Context):
        cut = context.fill_of
        if cut is None or cut not in index or group[index[context.id]] == group[index[cut]]:
            continue
        if not placed.leads_down(context.id, cut) and not placed.leads_down(cut, context.id):
            name, of = record.label(context.id), record.label(cut)
            yield Suspicion(
                "missed relation",
                context.id,
                cut,
                f"The sheet of {name} says that it fills {of}, and no relation or path says so.",
                f"See whether {name} lies in {of}; if so, enter “fills” from both sheets, else mend the sheet.",
                (context.id, cut),
                Mend(None, "how", "fills"),
            )


def _cuts(placed: PlacedContexts) -> Iterator[Suspicion]:
    gaps = placed.cut_gaps
    record = placed.record
    for context in _records(placed, gaps.fills_without_cut.tolist()):
        if context.id in placed.fills_without_cut:
            yield Suspicion(
                "fill without a cut",
                context.id,
                None,
                f"{record.label(context.id)} is recorded as a fill, and neither its sheet nor a relation names the cut it fills.",
                "Find the edge that holds it in, give the cut a number and enter “fills”; if there is none, it is a deposit.",
                (context.id,),
            )
    for context in _records(placed, gaps.cuts_cutting_nothing.tolist()):
        if placed.unsaid_below(context.id):
            continue
        yield Suspicion(
            "cut that cuts nothing",
            context.id,
            None,
            f"{record.label(context.id)} is recorded as a cut, and no relation says what it cuts.",
            "Clean its edge, see which layers end at it, and enter “cuts” for the uppermost of them.",
            (context.id,),
        )


def _records(placed: PlacedContexts, places: Sequence[int]) -> Iterator[Context]:
    for place in places:
        found = placed.record.get(Context, placed.known.contexts[place])
        if found is not None:
            yield found


def _floating(placed: PlacedContexts) -> Iterator[Suspicion]:
    order, record = placed.order, placed.record
    for group in order.floating.alone.tolist():
        ids = tuple(placed.known.contexts[int(place)] for place in order.merging.members(group))
        yield Suspicion(
            "floating context",
            ids[0],
            None,
            f"{record.label(ids[0])} has no relation to any other context: nothing says when it was.",
            "See in plan and wall what lies above it and what below, and enter both; if it was never in the ground, void it.",
            ids,
        )
