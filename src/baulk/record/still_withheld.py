"""What is withheld, brought along when a record is renewed: worked out anew only when something that was touched bears on it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from baulk.record.entity import Entity
from baulk.record.site_record import SiteRecord
from baulk.record.withholding import View, withheld_contexts, withheld_from

__all__ = ["bring_withheld_along"]

_FEW = 500
"""Kinds with up to so many records are looked at whole."""


def bring_withheld_along(before: SiteRecord, now: SiteRecord, touched: Collection[str], view: View) -> bool:
    """Keep for `now` what was worked out for `before` if it still holds, and tell whether it does.

    Parameters
    ----------
    before, now : SiteRecord
        The whole record as it stood and as it stands.
    touched : collection of str
        Ids of all records in which they differ.
    view : View
        From whom.

    Notes
    -----
    The rule only ever adds: a record is withheld for what it says itself, or because another that is withheld names it or is named
    by it. So as long as no touched record was withheld, and none is when the rule is asked of the touched records beside those that
    were withheld before, the rule gives the same as before. That second question is put to the rule itself on a small record.
    """
    key = f"withheld from {view}"
    if view is View.RESTRICTED or key not in before.worked_out:
        return False
    withheld, contexts = withheld_from(before, view), withheld_contexts(before)
    concerned = withheld.why.keys() | withheld.bare | contexts
    if not concerned.isdisjoint(touched):
        return False
    small = SiteRecord.of(_once((*_beside(now, concerned), *_of_ids(now, touched))))
    asked = withheld_from(small, view)
    if not (asked.why.keys() | asked.bare | withheld_contexts(small)).isdisjoint(touched):
        return False
    now.worked_out[key], now.worked_out["withheld contexts"] = withheld, contexts
    return True


def _beside(record: SiteRecord, concerned: Iterable[str]) -> Iterator[Entity]:
    yield from _of_ids(record, concerned)
    for entities in record.entities.values():
        if len(entities) <= _FEW:
            yield from entities


def _of_ids(record: SiteRecord, ids: Iterable[str]) -> Iterator[Entity]:
    return (entity for each in ids if (entity := record.by_id.get(each)) is not None)


def _once(entities: Iterable[Entity]) -> Iterable[Entity]:
    return {entity.id: entity for entity in entities}.values()
