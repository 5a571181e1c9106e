"""What the workbench does not show: possible burials and what would give one away.

Withheld are the restricted kinds, restricted fields of other kinds, photos marked sensitive, human bone, and of the contexts that
belong to a possible burial or are read as one everything but number and kind, with every level, outline, find and picture that
would tell where they lie. Which contexts these are is told by `baulk.drawing.withheld`, so that page and drawings agree.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from baulk.drawing.withheld import withheld_contexts, withheld_finds
from baulk.record import (
    KINDS,
    Contact,
    Context,
    Element,
    Entity,
    FieldFacts,
    Find,
    Level,
    Outline,
    Photo,
    Sample,
    Sensitivity,
    SiteRecord,
    WallOutline,
    fields_of,
)

__all__ = ["Withheld", "shown_fields", "shown_kinds", "withheld_of"]

_PLACED_BY_CONTEXT: tuple[type[Entity], ...] = (Level, Outline, WallOutline, Element, Find, Sample)


@dataclass(frozen=True, slots=True)
class Withheld:
    """Ids of the records that are left out, and of the contexts that are shown by number and kind only."""

    records: frozenset[str]
    bare: frozenset[str]

    def hides(self, identity: str) -> bool:
        """Tell whether the record is left out altogether."""
        return identity in self.records


def shown_kinds() -> dict[str, type[Entity]]:
    """Return the kinds that the workbench knows of, by name."""
    return {name: kind for name, kind in KINDS.items() if not kind.RESTRICTED}


def shown_fields(kind: type[Entity]) -> Iterator[tuple[str, FieldFacts]]:
    """Yield the fields of a kind that may be shown, with their facts."""
    for name, facts in fields_of(kind):
        if facts.sensitivity is not Sensitivity.RESTRICTED and facts.refers not in _restricted_kinds():
            yield name, facts


def withheld_of(record: SiteRecord) -> Withheld:
    """Return what of a record is not shown, void records of restricted kinds included."""
    left_out = {entity.id for name in _restricted_kinds() for entity in record.entities.get(name, ())}
    bare = withheld_contexts(record)
    left_out |= withheld_finds(record, bare)
    for context in bare:
        for kind in _PLACED_BY_CONTEXT:
            left_out |= {entity.id for entity in record.pointing_at(kind, "context", context)}
        for side in ("later", "earlier"):
            left_out |= {entity.id for entity in record.pointing_at(Contact, side, context)}
        left_out |= {entity.id for entity in record.pointing_at(Photo, "contexts", context)}
    left_out |= {photo.id for photo in record.all(Photo, void=True) if photo.sensitive}
    return Withheld(frozenset(left_out), frozenset(context for context in bare if record.get(Context, context)))


def _restricted_kinds() -> frozenset[str]:
    return frozenset(name for name, kind in KINDS.items() if kind.RESTRICTED)
