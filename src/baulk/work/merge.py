"""Bring two copies of one site together, and tell what a person has to settle."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from baulk.errors import InputError
from baulk.record import KINDS, Difference, Entity, Site, SiteRecord, natural_number
from baulk.store import Store

__all__ = ["Merged", "Shared", "merge_copies"]


@dataclass(frozen=True, slots=True)
class Shared:
    """A number that two or more records have, after both copies gave it: the kind, the number and the records' ids."""

    kind: str
    number: str
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Merged:
    """How many changes came in, the revision after them, the record, and what is to be settled."""

    taken: int
    revision: int
    record: SiteRecord
    differences: tuple[Difference, ...]
    shared: tuple[Shared, ...]


def merge_copies(store: Store, other: Store) -> Merged:
    """Take every change of another copy into a store; nothing is dropped.

    Raises
    ------
    InputError
        When the other is not a copy of the same site: no change of it is taken.
    """
    here, there = _site(store.record()), _site(other.record())
    if here is not None and there is not None and here.id != there.id:
        raise InputError(
            f"{_named(there)} is another site than {_named(here)}: only copies of one site can be brought together, made with "
            "“baulk backup” or as a copy of the file. Nothing was taken. To bring its tables over, give them and take them in."
        )
    before = store.revision()
    after = store.append(list(other.changes()), merging=True)
    record = store.record()
    known = tuple(difference for difference in record.differences if difference.kind in KINDS)
    return Merged(after - before, after, record, known, tuple(_shared(record)))


def _site(record: SiteRecord) -> Site | None:
    sites = record.all(Site)
    return sites[0] if sites else None


def _named(site: Site) -> str:
    return " ".join(part for part in (site.code, site.name) if part) or "a site without a name"


def _shared(record: SiteRecord) -> Iterator[Shared]:
    for name, kind in KINDS.items():
        if kind.NUMBERED:
            held: tuple[Entity, ...] = record.all(kind)
            counts = Counter(number for one in held if (number := getattr(one, "number", None)))
            for number in sorted((number for number, times in counts.items() if times > 1), key=natural_number):
                yield Shared(name, number, tuple(one.id for one in held if getattr(one, "number", None) == number))
