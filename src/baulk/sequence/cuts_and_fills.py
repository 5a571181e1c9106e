"""Cuts, what fills them and what they cut, as sheets and relations say it."""

from __future__ import annotations

from baulk.record import Context, Relation, SiteRecord

__all__ = ["cuts_anything", "cuts_of_fill", "fills_of_cut"]


def fills_of_cut(record: SiteRecord, cut: str) -> tuple[str, ...]:
    """Return ids of the contexts recorded as filling a cut, on their own sheets or by a relation."""
    named = [fill.id for fill in record.pointing_at(Context, "fill_of", cut)]
    related = [found.later for found in record.pointing_at(Relation, "earlier", cut) if found.how == "fills"]
    return tuple(fill for fill in dict.fromkeys([*named, *related]) if fill != cut)


def cuts_of_fill(record: SiteRecord, fill: Context) -> frozenset[str]:
    """Return ids of the contexts that one is recorded as filling, on its own sheet or by a relation."""
    related = {found.earlier for found in record.pointing_at(Relation, "later", fill.id) if found.how == "fills"}
    return frozenset(related | ({fill.fill_of} if fill.fill_of else set()))


def cuts_anything(record: SiteRecord, cut: str) -> bool | None:
    """Tell whether a cut is recorded as cutting something; None when a relation of it does not say how."""
    hows = {found.how for found in record.pointing_at(Relation, "later", cut)}
    return True if "cuts" in hows else None if None in hows else False
