"""The whole record of a site at one revision: frozen, with the look-ups that calculations and drawings need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TypeVar, cast

from baulk.errors import UnknownRecord
from baulk.quantities import LengthUnit, metres_per
from baulk.record.entity import Entity
from baulk.record.fold import Difference
from baulk.record.natural import by_natural_number, natural_number
from baulk.record.renewing import exchanged, numbers_renewed, pointers_renewed, targets_of
from baulk.record.site import Site

__all__ = ["SiteRecord", "by_natural_number", "natural_number"]

E = TypeVar("E", bound=Entity)


@dataclass(frozen=True)
class SiteRecord:
    """Every record of a site by kind, in natural order of number.

    Parameters
    ----------
    entities : mapping of kind name to tuple of Entity
        Void records included; a kind that is missing has none.
    differences : tuple of Difference
        Fields that two people changed without sight of each other.
    revision : int
        How many changes the record is the fold of.
    """

    entities: Mapping[str, tuple[Entity, ...]] = field(default_factory=dict)
    differences: tuple[Difference, ...] = ()
    revision: int = 0

    @classmethod
    def of(cls, entities: Iterable[Entity], differences: Iterable[Difference] = (), revision: int = 0) -> SiteRecord:
        """Return the record that holds `entities`."""
        by_kind: dict[str, list[Entity]] = {}
        for entity in entities:
            by_kind.setdefault(entity.KIND, []).append(entity)
        ordered = {kind: tuple(sorted(found, key=by_natural_number)) for kind, found in by_kind.items()}
        return cls(MappingProxyType(ordered), tuple(differences), revision)

    def renewed(
        self, touched: Mapping[str, Entity | None], differences: Iterable[Difference] = (), revision: int = 0
    ) -> SiteRecord:
        """Return the record with some of its records as they stand now, and its look-ups brought along.

        Parameters
        ----------
        touched : mapping of str to Entity or None
            Records by id as they stand now, new ones included; None takes one out.
        differences : iterable of Difference
            All of them, as they stand now.
        revision : int
            How many changes the new record is the fold of.

        Notes
        -----
        The answer equals the record made anew from all its records; what it costs is a copy of the look-ups of the kinds that were
        touched, some milliseconds on a site of 200,000 contexts, and not a second look at every record.
        """
        before = {identity: self.by_id.get(identity) for identity in touched}
        kinds = {entity.KIND for entity in (*before.values(), *touched.values()) if entity is not None}
        entities = dict(self.entities)
        for kind in kinds:
            out = [entity for entity in before.values() if entity is not None and kind == entity.KIND]
            into = [entity for entity in touched.values() if entity is not None and kind == entity.KIND]
            entities[kind] = exchanged(entities.get(kind, ()), out, into)
        now = SiteRecord(MappingProxyType(entities), tuple(differences), revision)
        by_id = dict(self.by_id)
        for identity, entity in touched.items():
            if entity is None:
                by_id.pop(identity, None)
            else:
                by_id[identity] = entity
        vars(now)["by_id"] = by_id
        if "_by_number" in vars(self):
            vars(now)["_by_number"] = numbers_renewed(self._by_number, entities, before, touched)
        vars(now)["_of_kind"] = {key: held for key, held in self._of_kind.items() if key[0].KIND not in kinds}
        vars(now)["_counts"] = {kind: count for kind, count in self._counts.items() if kind not in kinds}
        vars(now)["_pointer_tables"] = {
            key: pointers_renewed(table, key, before, touched) if key[0] in kinds else table
            for key, table in self._pointer_tables.items()
        }
        return now

    def all(self, kind: type[E], *, void: bool = False) -> tuple[E, ...]:
        """Return every record of a kind, without the void ones unless `void` is true."""
        key = (kind, void)
        if key not in self._of_kind:
            found = self.entities.get(kind.KIND, ())
            self._of_kind[key] = tuple(entity for entity in found if isinstance(entity, kind) and (void or entity.void is None))
        return cast("tuple[E, ...]", self._of_kind[key])

    @cached_property
    def _of_kind(self) -> dict[tuple[type[Entity], bool], tuple[Entity, ...]]:
        return {}

    def count(self, kind: type[Entity]) -> int:
        """Return how many records of a kind there are, without the void ones."""
        if kind.KIND not in self._counts:
            self._counts[kind.KIND] = sum(entity.void is None for entity in self.entities.get(kind.KIND, ()))
        return self._counts[kind.KIND]

    @cached_property
    def _counts(self) -> dict[str, int]:
        return {}

    @cached_property
    def by_id(self) -> Mapping[str, Entity]:
        """Every record by its id."""
        return {entity.id: entity for found in self.entities.values() for entity in found}

    def get(self, kind: type[E], identity: str | None) -> E | None:
        """Return the record of that id, or None when there is none of that kind."""
        found = self.by_id.get(identity or "")
        return found if isinstance(found, kind) else None

    def numbered(self, kind: type[E], number: str) -> E:
        """Return the record of that number; a void one only when no other has the number.

        Raises
        ------
        UnknownRecord
            When no record of the kind has the number; near numbers are offered.
        """
        found = self._by_number.get((kind.KIND, number.strip()))
        if isinstance(found, kind):
            return found
        raise UnknownRecord(kind.TITLE, number, [known for name, known in self._by_number if name == kind.KIND])

    @cached_property
    def _by_number(self) -> dict[tuple[str, str], Entity]:
        table: dict[tuple[str, str], Entity] = {}
        for kind, found in self.entities.items():
            for entity in found:
                number = entity.__dict__.get("number")
                if number is not None and (table.get((kind, number)) is None or entity.void is None):
                    table[kind, number] = entity
        return table

    def label(self, identity: str | None) -> str:
        """Return what a person calls the record of that id: its number, else its kind and the start of its id."""
        entity = self.by_id.get(identity or "")
        if entity is None:
            return f"unknown ({(identity or 'blank')[:8]})"
        number = getattr(entity, "number", None)
        return str(number) if number else f"{entity.TITLE} {entity.id[-6:]}"

    def pointing_at(self, kind: type[E], field_name: str, identity: str) -> tuple[E, ...]:
        """Return the records of `kind` whose `field_name` holds, or lists, that id."""
        return tuple(found for found in self._pointers(kind, field_name).get(identity, ()) if isinstance(found, kind))

    def _pointers(self, kind: type[E], field_name: str) -> Mapping[str, tuple[Entity, ...]]:
        key = (kind.KIND, field_name)
        if key not in self._pointer_tables:
            table: dict[str, list[Entity]] = {}
            for entity in self.all(kind):
                for target in targets_of(entity, field_name):
                    table.setdefault(target, []).append(entity)
            self._pointer_tables[key] = {target: tuple(found) for target, found in table.items()}
        return self._pointer_tables[key]

    @cached_property
    def _pointer_tables(self) -> dict[tuple[str, str], Mapping[str, tuple[Entity, ...]]]:
        return {}

    @cached_property
    def worked_out(self) -> dict[str, object]:
        """What follows from this record and was worked out once, by what it is."""
        return {}

    @cached_property
    def site(self) -> Site:
        """The site; a nameless one in metres when none is recorded yet."""
        sites = self.all(Site)
        return sites[0] if sites else Site(id="")

    @cached_property
    def length_unit(self) -> LengthUnit:
        """The quantity in which lengths, levels and co-ordinates are kept."""
        return LengthUnit(self.site.length_unit or "m")

    @cached_property
    def metres(self) -> float:
        """How many metres one of the site's own lengths is."""
        return metres_per(self.length_unit)
