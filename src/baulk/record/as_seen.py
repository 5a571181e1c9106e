"""A record as one viewer may have it: tables, pages and commands read this and nothing else, so that nothing can slip through."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import Any

from baulk.record.entity import Entity, fields_of
from baulk.record.fold import Difference
from baulk.record.site_record import SiteRecord
from baulk.record.withholding import BARE_FIELDS, View, Withheld, fields_for, withheld_from

__all__ = ["WITHHELD_WORD", "bare_record", "record_for", "record_for_renewed"]

WITHHELD_WORD = "withheld"
"""What stands where a withheld record was made void, in place of the reason."""


def record_for(record: SiteRecord, view: View = View.CREW, *, also: Collection[str] = ()) -> SiteRecord:
    """Return the record without what a viewer may not see.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    view : View
        Who looks.
    also : collection of str
        Ids of further records to leave out, such as neighbours whose edges would show a withheld shape.

    Returns
    -------
    SiteRecord
        Without withheld records, withheld fields and pointers to what is left out; withheld contexts bare. The record itself for
        who may know of burials.

    See Also
    --------
    baulk.record.withholding : The rule.
    """
    if view is View.RESTRICTED:
        return record
    withheld = withheld_from(record, view)
    gone = withheld.why.keys() | set(also)
    kept: dict[str, tuple[Entity, ...]] = {}
    for kind, entities in record.entities.items():
        found = tuple(_seen(entity, view, withheld, gone) for entity in entities if entity.id not in gone)
        if found:
            kept[kind] = found
    differences = tuple(one for one in record.differences if _tells_nothing(record, one, view, withheld, gone))
    return replace(record, entities=MappingProxyType(kept), differences=differences)


def record_for_renewed(
    seen: SiteRecord, now: SiteRecord, touched: Collection[str], view: View = View.CREW, *, also: Collection[str] = ()
) -> SiteRecord:
    """Return what `record_for` gives for a record that was renewed, from what a viewer had of it before.

    Parameters
    ----------
    seen : SiteRecord
        The record as the viewer had it before.
    now : SiteRecord
        The whole record as it stands; what is withheld from the viewer must be what was withheld before.
    touched : collection of str
        Ids of the records that changed.
    view : View
        Who looks; one from whom something is withheld.
    also : collection of str
        Ids of further records to leave out, the same as before.
    """
    withheld = withheld_from(now, view)
    gone = withheld.why.keys() | set(also)
    found = {each: now.by_id.get(each) for each in touched}
    kept = {each: None if entity is None or each in gone else _seen(entity, view, withheld, gone) for each, entity in found.items()}
    differences = [one for one in now.differences if _tells_nothing(now, one, view, withheld, gone)]
    return seen.renewed(kept, differences, now.revision)


def _tells_nothing(record: SiteRecord, one: Difference, view: View, withheld: Withheld, gone: Collection[str]) -> bool:
    entity = record.by_id.get(one.record)
    if entity is None or one.record in gone or one.record in withheld.bare:
        return False
    return one.field not in _barred(type(entity), view)


def _seen(entity: Entity, view: View, withheld: Withheld, gone: Collection[str]) -> Entity:
    if entity.id in withheld.bare:
        return bare_record(entity)
    barred = _barred(type(entity), view)
    changed: dict[str, Any] = {name: None for name in barred if getattr(entity, name) is not None}
    for name in _pointing(type(entity)):
        held = getattr(entity, name)
        if held and name not in changed:
            pruned = tuple(one for one in held if one not in gone) if isinstance(held, tuple) else None if held in gone else held
            if pruned != held:
                changed[name] = pruned
    if not barred.isdisjoint(entity.absences):
        changed["absences"] = {name: words for name, words in entity.absences.items() if name not in barred}
    return entity.model_copy(update=changed) if changed else entity


def bare_record(entity: Entity) -> Entity:
    """Return a record with nothing but its bare fields; that it is void is told, why is not."""
    kept: Mapping[str, Any] = {name: getattr(entity, name) for name in BARE_FIELDS[type(entity)]}
    return type(entity)(**kept, void=None if entity.void is None else WITHHELD_WORD)


@cache
def _barred(kind: type[Entity], view: View) -> frozenset[str]:
    return frozenset(name for name, _ in fields_of(kind)) - {name for name, _ in fields_for(kind, view)}


@cache
def _pointing(kind: type[Entity]) -> tuple[str, ...]:
    return tuple(name for name, said in fields_of(kind) if said.refers or name == "records")
