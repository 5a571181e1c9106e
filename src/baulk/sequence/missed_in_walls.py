"""Contacts drawn on a wall that the relations lack or contradict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from baulk.record import Contact, Relation, Wall
from baulk.sequence.placed_contexts import PlacedContexts
from baulk.sequence.suspicion import Mend, Suspicion
from baulk.sequence.wall_contacts import ContactStanding, contact_standing

__all__ = ["missed_in_walls"]


def missed_in_walls(placed: PlacedContexts) -> Iterator[Suspicion]:
    """Find contacts drawn on walls that no relation says, or that a relation or a path says the other way round.

    Parameters
    ----------
    placed : PlacedContexts
        The record and its order.

    Yields
    ------
    Suspicion
        One for each two contexts, with every contact that shows them. The drawing and the table are independent evidence, so
        neither is taken to be the wrong one.
    """
    told: dict[tuple[str, str], Suspicion] = {}
    for contact in placed.record.all(Contact):
        one = _judged(placed, contact)
        if one is not None:
            before = told.get((contact.later, contact.earlier))
            again = () if before is None else before.records
            told[contact.later, contact.earlier] = replace(before or one, records=tuple(dict.fromkeys((*again, *one.records))))
    yield from told.values()


def _judged(placed: PlacedContexts, contact: Contact) -> Suspicion | None:
    standing = contact_standing(placed.record, contact)
    if standing is ContactStanding.OPPOSITE:
        return _contradicted(placed, contact)
    if standing is ContactStanding.MISSING and _both_known(placed, contact):
        turned = placed.leads_down(contact.earlier, contact.later)
        return _contradicted(placed, contact) if turned else _missing(placed, contact)
    return None


def _both_known(placed: PlacedContexts, contact: Contact) -> bool:
    return contact.later in placed.known.index and contact.earlier in placed.known.index and contact.later != contact.earlier


def _shown(placed: PlacedContexts, contact: Contact) -> str:
    record = placed.record
    wall = record.get(Wall, contact.wall)
    return f"Wall {wall.number if wall else ''} shows {record.label(contact.later)} over {record.label(contact.earlier)}"


def _missing(placed: PlacedContexts, contact: Contact) -> Suspicion:
    path = "only a path through others says so" if placed.leads_down(contact.later, contact.earlier) else "no path says so either"
    return Suspicion(
        "missed contact",
        contact.later,
        contact.earlier,
        f"{_shown(placed, contact)}; no relation between the two is on record, and {path}.",
        "Hold the drawing beside the wall: if they touch there, enter the relation from both sheets, else mend the drawing.",
        (contact.id, contact.wall),
        Mend(None, "how", contact.how or "overlies"),
    )


def _contradicted(placed: PlacedContexts, contact: Contact) -> Suspicion:
    record = placed.record
    turned = tuple(found.id for found in record.pointing_at(Relation, "later", contact.earlier) if found.earlier == contact.later)
    said = "the relation on record says the opposite" if turned else "a path of relations says the opposite"
    return Suspicion(
        "contradicted by a wall",
        contact.later,
        contact.earlier,
        f"{_shown(placed, contact)}; {said}.",
        "Hold the drawing beside the wall and see which of the two lies over the other there; mend the drawing or the relation.",
        (contact.id, contact.wall, *turned),
    )
