"""The records of one unit, gathered once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from baulk.errors import UnknownRecord
from baulk.record import Context, Entity, Relation, SiteRecord, Unit, natural_number
from baulk.report.shown import Shown

__all__ = ["UnitScope", "unit_scope"]

E = TypeVar("E", bound=Entity)


@dataclass(frozen=True)
class UnitScope:
    """One unit's part of the record.

    Parameters
    ----------
    shown : Shown
        The record with its words.
    unit : Unit
    contexts : tuple of Context
        Contexts seen in the unit, in natural order of number, without void ones.
    """

    shown: Shown
    unit: Unit
    contexts: tuple[Context, ...]

    @property
    def record(self) -> SiteRecord:
        """The whole record."""
        return self.shown.record

    @cached_property
    def ids(self) -> frozenset[str]:
        """Ids of the unit's contexts."""
        return frozenset(context.id for context in self.contexts)

    def of_unit(self, kind: type[E], field: str = "unit") -> tuple[E, ...]:
        """Return the records of a kind that name the unit."""
        return self.record.pointing_at(kind, field, self.unit.id)

    def of_contexts(self, kind: type[E], field: str) -> tuple[E, ...]:
        """Return the records of a kind that name a context of the unit, each once, in their own order."""
        found = {entity.id for context in self.contexts for entity in self.record.pointing_at(kind, field, context.id)}
        return tuple(entity for entity in self.record.all(kind) if entity.id in found) if found else ()

    def seen_in(self, kind: type[E]) -> tuple[E, ...]:
        """Return the records of a kind that name the unit, or list a context of it."""
        found = {entity.id for entity in (*self.of_unit(kind), *self.of_contexts(kind, "contexts"))}
        return tuple(entity for entity in self.record.all(kind) if entity.id in found) if found else ()

    @cached_property
    def relations(self) -> tuple[Relation, ...]:
        """Relations with at least one context of the unit."""
        found = {
            relation.id
            for context in self.contexts
            for field in ("later", "earlier")
            for relation in self.record.pointing_at(Relation, field, context.id)
        }
        return tuple(sorted((relation for relation in self.record.all(Relation) if relation.id in found), key=self._by_numbers))

    def _by_numbers(self, relation: Relation) -> tuple[object, ...]:
        return natural_number(self.record.label(relation.later)), natural_number(self.record.label(relation.earlier)), relation.id

    def relations_of(self, context: Context) -> tuple[Relation, ...]:
        """Return the relations of one context, as the later first."""
        return (
            *self.record.pointing_at(Relation, "later", context.id),
            *self.record.pointing_at(Relation, "earlier", context.id),
        )


def unit_scope(shown: Shown, unit_id: str) -> UnitScope:
    """Gather the records of a unit.

    Raises
    ------
    UnknownRecord
        When the record has no unit of that id.
    """
    unit = shown.record.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord(Unit.TITLE, unit_id, [unit.number for unit in shown.record.all(Unit) if unit.number])
    return UnitScope(shown, unit, shown.record.pointing_at(Context, "units", unit_id))
