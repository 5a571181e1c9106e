"""Which records belong to which units: what a device that works on a few units carries with it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cache

from baulk.record import Context, Entity, Relation, SiteRecord, Unit, fields_of

__all__ = ["Scope", "open_units"]

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
        if isinstance(entity, Context):
            return self._reaches(entity) or any(map(self._reaches, self._related(entity)))
        return self._reaches(entity)

    def _reaches(self, entity: Entity) -> bool:
        places = self.units_of(entity)
        return not places or not places.isdisjoint(self._units)

    def _related(self, context: Context) -> Iterator[Context]:
        for side, other in (("later", "earlier"), ("earlier", "later")):
            for relation in self._record.pointing_at(Relation, side, context.id):
                found = self._record.get(Context, getattr(relation, other))
                if found is not None:
                    yield found

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
                if other is not None and other.KIND != entity.KIND:
                    found |= self.units_of(other)
        return frozenset(found) if found else _NOWHERE


@cache
def _leads(kind: type[Entity]) -> tuple[str, ...]:
    """Return the fields that point to records of other kinds; kinds point to earlier kinds only, so following them ends."""
    return tuple(name for name, said in fields_of(kind) if said.refers not in ("", kind.KIND))
