"""What is kept back from files that leave the site: burials, and what would give the place of one away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from baulk.record import Burial, Context, Entity, Photo, Sensitivity, SiteRecord, fields_of

__all__ = ["fields_given", "held_back", "withheld"]

_PLACED = ("level", "outline", "wall_outline", "element", "find", "sample")
"""Kinds that give the place of the context they belong to."""


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
    barred = ({Sensitivity.AGENCY} if public else set()) | (set() if restricted else {Sensitivity.RESTRICTED})
    return tuple(name for name, said in fields_of(kind) if name != "absences" and said.sensitivity not in barred)


def held_back(record: SiteRecord, *, restricted: bool = False) -> frozenset[str]:
    """Return the ids of the records that are kept back: none when `restricted` is true.

    They are every record of a restricted kind; levels, outlines, pieces, finds and samples of a context that belongs to a possible
    burial or is a cut for a grave or its fill; finds of human bone; and photos marked as sensitive. The contexts themselves are
    given, since the order hangs on them; their places are not.
    """
    if restricted:
        return frozenset()
    held = {entity.id for found in record.entities.values() for entity in found if entity.RESTRICTED}
    graves = {identity for burial in record.all(Burial, void=True) for identity in burial.contexts or ()}
    graves |= {context.id for context in record.all(Context, void=True) if context.cut_function == "grave"}
    graves |= {context.id for context in record.all(Context, void=True) if context.fill_of in graves}
    for kind in _PLACED:
        for entity in record.entities.get(kind, ()):
            if getattr(entity, "context", None) in graves or getattr(entity, "material", None) == "human bone":
                held.add(entity.id)
    held |= {photo.id for photo in record.all(Photo, void=True) if photo.sensitive}
    return frozenset(held)


def withheld(
    record: SiteRecord, kinds: Iterable[type[Entity]], *, restricted: bool = False, public: bool = False
) -> tuple[str, ...]:
    """Return in words what was kept back of these kinds, without numbers or places."""
    held = held_back(record, restricted=restricted)
    lines: list[str] = []
    for kind in kinds:
        entities = record.entities.get(kind.KIND, ())
        count = sum(entity.id in held for entity in entities)
        if count:
            lines.append(f"{kind.TITLE}: {count} of {len(entities)}, restricted.")
        given = set(fields_given(kind, restricted=restricted, public=public))
        blank = Counter(
            name
            for entity in entities
            if entity.id not in held
            for name in kind.model_fields
            if name not in given and name != "absences" and not entity.is_blank(name)
        )
        lines += [f"{kind.TITLE}: the field {name}, filled in {times}." for name, times in blank.items()]
    return tuple(lines)
