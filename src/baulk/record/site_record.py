"""The whole record of a site at one revision: frozen, with the look-ups that calculations and drawings need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TypeVar

from baulk.errors import UnknownRecord
from baulk.quantities import LengthUnit, metres_per
from baulk.record.entity import Entity
from baulk.record.fold import Difference
from baulk.record.site import Site

__all__ = ["SiteRecord", "by_natural_number", "natural_number"]

E = TypeVar("E", bound=Entity)


def natural_number(number: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts numbers as a person does: 2 before 10, P2-9 before P2-10.

    Examples
    --------
    >>> sorted(["10", "2", "P10", "P2"], key=natural_number)
    ['2', '10', 'P2', 'P10']
    """
    parts: list[tuple[int, int, str]] = []
    digits = text = ""
    for mark in number + "\0":
        if mark.isdecimal() and mark.isascii():
            if text:
                parts.append((1, 0, text))
                text = ""
            digits += mark
            continue
        if digits:
            parts.append((0, int(digits), ""))
            digits = ""
        if mark != "\0":
            text += mark
    if text:
        parts.append((1, 0, text))
    return tuple(parts)


def by_natural_number(entity: Entity) -> tuple[object, ...]:
    """Return the sorting key of a numbered record; those without a number come last, in order of id."""
    number = getattr(entity, "number", None)
    return (number is None, natural_number(str(number or "")), entity.id)


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

    def all(self, kind: type[E], *, void: bool = False) -> tuple[E, ...]:
        """Return every record of a kind, without the void ones unless `void` is true."""
        found = self.entities.get(kind.KIND, ())
        return tuple(entity for entity in found if isinstance(entity, kind) and (void or entity.void is None))

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
                number = getattr(entity, "number", None)
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
                held = getattr(entity, field_name)
                for target in held if isinstance(held, tuple) else (held,):
                    if target is not None:
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
