"""Contacts drawn on walls held beside the relations."""

from __future__ import annotations

from enum import StrEnum

from baulk.record import ORDERING, SAME, Contact, Relation, SiteRecord

__all__ = ["ContactStanding", "contact_standing"]


class ContactStanding(StrEnum):
    """How a contact drawn on a wall stands to the relations between the same two contexts."""

    AGREES = "agrees"
    OPPOSITE = "opposite"
    UNSAID = "unsaid"
    MISSING = "missing"


def contact_standing(record: SiteRecord, contact: Contact) -> ContactStanding:
    """Return how a contact stands to the relations that name its two contexts.

    Parameters
    ----------
    record : SiteRecord
        The record.
    contact : Contact
        A contact on one of its walls.

    Returns
    -------
    ContactStanding
        It agrees when a relation puts the two the same way round or makes them one; a relation that does not say how leaves it
        unsaid.
    """
    later, earlier = contact.later, contact.earlier
    down = {found.how for found in record.pointing_at(Relation, "later", later) if found.earlier == earlier}
    up = {found.how for found in record.pointing_at(Relation, "later", earlier) if found.earlier == later}
    if down & {*ORDERING, *SAME} or up & set(SAME):
        return ContactStanding.AGREES
    if up:
        return ContactStanding.OPPOSITE
    return ContactStanding.UNSAID if down else ContactStanding.MISSING
