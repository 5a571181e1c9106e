"""Which records belong to which units: what a device that works on a few units carries with it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from baulk.record import KINDS, Change, Context, Entity, Relation, SiteRecord, Unit, facts_of, fields_of

__all__ = ["Scope", "all_in_scope", "moved_with", "open_units"]

_RANK = {kind: rank for rank, kind in enumerate(KINDS)}
_MOVING = ("closed", "void")
_NOWHERE: frozenset[str] = frozenset()


def open_units(record: SiteRecord) -> frozenset[str]:
    """Return the ids of the units that are not closed."""
    return frozenset(unit.id for unit in record.all(Unit) if unit.closed is None)


class Scope:
    """Tells whether a record belongs to some units, or to the site as a whole.

    Parameters
    ----------
    record : SiteRecord
        The whole record; one revision.
    units : collection of str
        Ids of the units.

    Notes
    -----
    A record belongs to the units that its references lead to, over any number of steps; one that leads to none belongs to the site
    and is always in scope, as every unit is. A context that a relation ties to one of the units is in scope too, so that a relation
    never points into nothing.
    """

    def __init__(self, record: SiteRecord, units: Collection[str]) -> None:
        self._record, self._units = record, frozenset(units)
        self._places: dict[str, frozenset[str]] = {}

    def __contains__(self, entity: Entity) -> bool:
        """Tell whether a record is in scope."""
        if isinstance(entity, Unit):
            return True
        return self._reaches(entity) or (isinstance(entity, Context) and any(map(self._reaches, self._related(entity))))

    def _reaches(self, entity: Entity) -> bool:
        places = self.units_of(entity)
        return not places or not places.isdisjoint(self._units)

    def _related(self, context: Context) -> Iterator[Relation]:
        for side in ("later", "earlier"):
            yield from self._record.pointing_at(Relation, side, context.id)

    def units_of(self, entity: Entity) -> frozenset[str]:
        """Return the ids of the units that a record's references lead to."""
        known = self._places.get(entity.id)
        if known is None:
            known = self._places[entity.id] = self._led_to(entity)
        return known

    def _led_to(self, entity: Entity) -> frozenset[str]:
        if isinstance(entity, Unit):
            return frozenset((entity.id,))
        found: set[str] = set()
        for name in _leads(type(entity)):
            held = getattr(entity, name)
            for target in held if isinstance(held, tuple) else (held,):
                other = self._record.by_id.get(target) if target else None
                if other is not None and _RANK[other.KIND] < _RANK[entity.KIND]:  # a field that breaks this rule leads nowhere
                    found |= self.units_of(other)
        return frozenset(found) if found else _NOWHERE


def all_in_scope(record: SiteRecord, units: Collection[str]) -> set[str]:
    """Return the ids of all records that `Scope` has in it, from one walk over the record.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    units : collection of str
        Ids of the units.
    """
    inside, outside = record.by_id.keys() & set(units), {unit.id for unit in record.all(Unit, void=True)}.difference(units)
    found = {*inside, *outside}
    for name, kind in KINDS.items():  # kinds lead to earlier kinds only
        names = _leads(kind)
        for entity in record.entities.get(name, ()) if kind is not Unit else ():
            led = _led(entity.__dict__, names, inside, outside)
            if led is None:
                found.add(entity.id)
            elif led:
                inside.add(entity.id)
                found.add(entity.id)
            else:
                outside.add(entity.id)
    for relation in record.all(Relation):
        if relation.id in found:
            found.update(each for each in (relation.later, relation.earlier) if record.get(Context, each) is not None)
    return found


def moved_with(record: SiteRecord, changes: Iterable[Change]) -> set[str]:
    """Return the ids of the records that changes may have brought into another scope without touching them.

    Parameters
    ----------
    record : SiteRecord
        The whole record after the changes.
    changes : iterable of Change
        Such as those that reopen a unit, or say that a context lies in another one.
    """
    todo = [
        change.record for change in changes if change.creates or change.field in _MOVING or change.field in _moving(change.kind)
    ]
    found: set[str] = set()
    while todo:
        entity = record.by_id.get(todo.pop())
        for kind, name in _led_from(entity.KIND) if entity is not None else ():
            for one in record.pointing_at(kind, name, entity.id if entity else ""):
                if one.id not in found:
                    found.add(one.id)
                    todo.append(one.id)
    return found


@cache
def _moving(kind: str) -> tuple[str, ...]:
    return _leads(KINDS[kind]) if kind in KINDS else ()


@cache
def _led_from(kind: str) -> tuple[tuple[type[Entity], str], ...]:
    return tuple((other, name) for other in KINDS.values() for name in _leads(other) if facts_of(other, name).refers == kind)


def _led(values: Mapping[str, Any], names: Iterable[str], inside: set[str], outside: set[str]) -> bool | None:
    """Return whether some fields lead inside, or only outside; None when they lead nowhere. A million records are asked."""
    led = None
    for name in names:
        held = values[name]
        if held:
            for each in (held,) if type(held) is str else held:
                if each in inside:
                    return True
                if each in outside:
                    led = False
    return led


@cache
def _leads(kind: type[Entity]) -> tuple[str, ...]:
    """Return the fields that point to records of other kinds; kinds point to earlier kinds only, so following them ends."""
    return tuple(name for name, said in fields_of(kind) if said.refers not in ("", kind.KIND))
