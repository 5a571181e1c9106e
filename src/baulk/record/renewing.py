"""The look-ups of a record brought along when few of its records change, in place of making them anew from all."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile

from baulk.record.entity import Entity
from baulk.record.natural import by_natural_number, natural_number

__all__ = ["exchanged", "numbers_renewed", "pointers_renewed", "targets_of"]

_FEW = 500
"""Up to so many changes records are put in one by one; more are sorted in."""

_Touched = Mapping[str, Entity | None]


def targets_of(entity: Entity, field_name: str) -> tuple[str, ...]:
    """Return the ids that a reference field of a record holds, each once."""
    held = entity.__dict__[field_name]
    if isinstance(held, tuple):
        return tuple(dict.fromkeys(held))
    return () if held is None else (held,)


def exchanged(held: tuple[Entity, ...], out: Sequence[Entity], into: Sequence[Entity]) -> tuple[Entity, ...]:
    """Return records in natural order of number with some taken out and others put in.

    Parameters
    ----------
    held : tuple of Entity
        Of one kind, in natural order of number.
    out, into : sequence of Entity
        Records that are among `held`, and such as take their place.
    """
    if len(out) + len(into) > _FEW:
        gone = {entity.id for entity in out}
        return tuple(sorted((*(one for one in held if one.id not in gone), *into), key=by_natural_number))
    found = list(held)
    for entity in out:
        del found[bisect_left(found, by_natural_number(entity), key=by_natural_number)]
    for entity in into:
        found.insert(bisect_left(found, by_natural_number(entity), key=by_natural_number), entity)
    return tuple(found)


def numbers_renewed(
    table: Mapping[tuple[str, str], Entity], entities: Mapping[str, tuple[Entity, ...]], before: _Touched, touched: _Touched
) -> dict[tuple[str, str], Entity]:
    """Return the look-up by kind and number after some records changed; `entities` are those after."""
    renewed = dict(table)
    changed = (*before.values(), *touched.values())
    for kind, number in {(one.KIND, number) for one in changed if one and (number := getattr(one, "number", None)) is not None}:
        best: Entity | None = None
        for entity in _numbered(entities.get(kind, ()), number):
            if best is None or entity.void is None:
                best = entity
        if best is None:
            renewed.pop((kind, number), None)
        else:
            renewed[kind, number] = best
    return renewed


def _numbered(of_kind: tuple[Entity, ...], number: str) -> Iterator[Entity]:
    """Yield the records of a number, which stand together with those whose number sorts alike, such as 07 beside 7."""
    key = (False, natural_number(number))
    first = bisect_left(of_kind, key, key=lambda entity: by_natural_number(entity)[:2])
    alike = takewhile(lambda entity: by_natural_number(entity)[:2] == key, (of_kind[at] for at in range(first, len(of_kind))))
    return (entity for entity in alike if getattr(entity, "number", None) == number)


def pointers_renewed(
    table: Mapping[str, tuple[Entity, ...]], key: tuple[str, str], before: _Touched, touched: _Touched
) -> Mapping[str, tuple[Entity, ...]]:
    """Return the look-up by what a field points to, after some records changed; void records are in none.

    Parameters
    ----------
    table : mapping of str to tuple of Entity
        By the id that is pointed to.
    key : tuple of str
        Kind and field of the look-up.
    before, touched : mapping of str to Entity or None
        The records that changed by id, as they stood and as they stand.
    """
    kind, field_name = key
    out: defaultdict[str, list[Entity]] = defaultdict(list)
    into: defaultdict[str, list[Entity]] = defaultdict(list)
    for changed, by_target in ((before, out), (touched, into)):
        for entity in changed.values():
            if entity is not None and kind == entity.KIND and entity.void is None:
                for target in targets_of(entity, field_name):
                    by_target[target].append(entity)
    if not out and not into:
        return table
    renewed = dict(table)
    for target in out.keys() | into.keys():
        found = exchanged(renewed.get(target, ()), out[target], into[target])
        if found:
            renewed[target] = found
        else:
            renewed.pop(target, None)
    return renewed
