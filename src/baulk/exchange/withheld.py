"""What files that leave the site hold: the record as a viewer may have it, and in words what was kept back.

The rule is that of `baulk.record.withholding`; outlines that would show a withheld shape are kept back with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from baulk.drawing.withheld import neighbours_that_show
from baulk.record import BARE_FIELDS, Context, Entity, SiteRecord, View, fields_for, record_for, view_of, withheld_from

__all__ = ["fields_given", "given_from", "held_back", "withheld"]

_BARE_WORDS = {kind: "number and kind only" if kind is Context else "without free words" for kind in BARE_FIELDS}


def fields_given(kind: type[Entity], *, restricted: bool = False, public: bool = False) -> tuple[str, ...]:
    """Return the fields of a kind that may be given, `id` first.

    Parameters
    ----------
    kind : type of Entity
        The kind.
    restricted : bool
        True to give restricted fields too.
    public : bool
        True for a public version, which leaves out the fields kept for agencies.
    """
    return tuple(name for name, _ in fields_for(kind, view_of(restricted=restricted, public=public)) if name != "absences")


def held_back(record: SiteRecord, view: View) -> frozenset[str]:
    """Return the ids of the records that are kept back altogether."""
    if view is View.RESTRICTED:
        return frozenset()
    return neighbours_that_show(record) | withheld_from(record, view).why.keys()


def given_from(record: SiteRecord, *, restricted: bool = False, public: bool = False) -> SiteRecord:
    """Return what of a record is given; the parameters are those of `fields_given`."""
    view = view_of(restricted=restricted, public=public)
    key = f"given for {view}"
    known = record.worked_out.get(key)
    if known is None:
        known = record.worked_out[key] = record_for(record, view, also=held_back(record, view))
    assert isinstance(known, SiteRecord)
    return known


def withheld(
    record: SiteRecord, kinds: Iterable[type[Entity]], *, restricted: bool = False, public: bool = False
) -> tuple[str, ...]:
    """Return in words what was kept back of these kinds, without numbers or places."""
    view = view_of(restricted=restricted, public=public)
    held, bare = held_back(record, view), withheld_from(record, view).bare
    lines: list[str] = []
    for kind in kinds:
        entities = record.entities.get(kind.KIND, ())
        count = sum(entity.id in held for entity in entities)
        if count:
            lines.append(f"{kind.TITLE}: {count} of {len(entities)}, restricted.")
        told = sum(entity.id in bare for entity in entities)
        if told:
            lines.append(f"{kind.TITLE}: {told} of {len(entities)}, {_BARE_WORDS[kind]}.")
        given = set(fields_given(kind, restricted=restricted, public=public))
        blank = Counter(
            name
            for entity in entities
            if entity.id not in held and entity.id not in bare
            for name in kind.model_fields
            if name not in given and name != "absences" and not entity.is_blank(name)
        )
        lines += [f"{kind.TITLE}: the field {name}, filled in {times}." for name, times in blank.items()]
    return tuple(lines)
