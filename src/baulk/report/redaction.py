"""The public version of a record: what may not be printed is taken out first, and what was taken out is listed with its reason.

A report, table or drawing for the public is then made from the public record alone, so that nothing can slip through a caption.

References
----------
What to hide and why: ACHP and National Register guidance on section 304 of the National Historic Preservation Act; image metadata,
grid co-ordinates in captions and levels tables: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from baulk.drawing.withheld import withheld_contexts, withheld_finds
from baulk.record import (
    KINDS,
    VOCABULARIES,
    Burial,
    Context,
    Document,
    Drawing,
    Entity,
    FieldFacts,
    Level,
    Photo,
    Position,
    Quantity,
    Sensitivity,
    Sight,
    SiteRecord,
    Unit,
    fields_of,
)
from baulk.report.masking import GAP, SENTENCE_GAP, Mask, co_ordinates_of, people_of, speaks_of_remains
from baulk.report.shown import WITHHELD, counted

__all__ = ["PublicVersion", "Withheld", "public_version"]

_PRUNED = (Drawing, Document)
"""Kinds that are kept when they point to a withheld record: the pointer is taken out."""

_NO_FREE_TEXT = (Quantity.DAY, Quantity.FILE, Quantity.MUNSELL)
_PRUNED_FIELDS = ("cut_from", "construction_cut")

_REMAINS = "Human remains: their place, pictures and record are restricted by law and out of respect."
_LEADS_THERE = "It belongs to, or would lead to, a withheld record."
_AGENCY = "Names of people, addresses and exact places are kept for the agency's copy."


@dataclass(frozen=True, slots=True)
class Withheld:
    """One line of the list of what was withheld: what, how many, and why."""

    what: str
    count: int
    why: str


@dataclass(frozen=True)
class PublicVersion:
    """A record fit for the public.

    Parameters
    ----------
    record : SiteRecord
        Without restricted records and all that leads to them, without restricted and agency fields. Positions of what is left
        are kept, since drawings need them; they must not be printed as figures.
    withheld : tuple of Withheld
    hidden : frozenset of str
        Ids of the withheld records.
    mask : Mask
        What text from elsewhere (a closing finding, a label in a drawing) must go through.
    """

    record: SiteRecord
    withheld: tuple[Withheld, ...]
    hidden: frozenset[str]
    mask: Mask


def public_version(record: SiteRecord) -> PublicVersion:
    """Return what of a record may be printed for everyone.

    Parameters
    ----------
    record : SiteRecord
        The full record.

    Returns
    -------
    PublicVersion

    Notes
    -----
    Withheld whole: burials and notices; contexts of a burial, cuts recorded as graves, coffins, and their fills; finds of human
    bone; photos flagged sensitive; everything that points to one of these. Withheld by field: every field whose sensitivity is
    agency or restricted. Withheld in free text: those names and addresses, numbers of withheld records, co-ordinates, and
    sentences that speak both of human remains and of a place, or name a withheld context and a direction.
    """
    reasons = _with_readings(record, dict(_hidden(record)))
    hidden = frozenset(reasons)
    remains = any(isinstance(entity, Burial) for entity in record.entities.get(Burial.KIND, ())) or _REMAINS in reasons.values()
    mask = Mask(
        people_of(record) | hidden | _long_numbers(record, hidden), _numbers(record, hidden), co_ordinates_of(record), remains
    )
    taken: Counter[tuple[str, str]] = Counter()
    kept = {
        kind: tuple(_public(entity, hidden, mask, taken) for entity in entities if entity.id not in hidden)
        for kind, entities in record.entities.items()
    }
    for identity, why in reasons.items():
        entity = record.by_id[identity]
        taken["possible human remains and their record" if why == _REMAINS else entity.TITLE, why] += 1
    withheld = tuple(Withheld(what, count, why) for (what, why), count in sorted(taken.items()))
    public = replace(record, entities=kept, differences=())
    return PublicVersion(public, (*withheld, *_positions_withheld(record)), hidden, mask)


def _numbers(record: SiteRecord, hidden: frozenset[str]) -> dict[str, frozenset[str]]:
    by_kind: dict[str, set[str]] = {}
    for found in hidden:
        entity = record.by_id[found]
        if number := getattr(entity, "number", None):
            by_kind.setdefault(entity.KIND, set()).add(str(number))
    return {kind: frozenset(numbers) for kind, numbers in by_kind.items()}


def _long_numbers(record: SiteRecord, hidden: frozenset[str]) -> frozenset[str]:
    """Return context numbers of three signs and more: they are read as numbers of contexts wherever they stand."""
    numbers = {record.label(found) for found in hidden if isinstance(record.by_id[found], Context)}
    return frozenset(number for number in numbers if len(number) > 2)


def _hidden(record: SiteRecord) -> Iterator[tuple[str, str]]:
    """Yield the id of each withheld record with the reason, following references until nothing more is reached."""
    reasons: dict[str, str] = {}
    for entities in record.entities.values():
        for entity in entities:
            if type(entity).RESTRICTED:
                reasons[entity.id] = _REMAINS
            elif isinstance(entity, Photo) and entity.sensitive:
                reasons[entity.id] = "Flagged sensitive."
    contexts = withheld_contexts(record)
    for identity in (*contexts, *withheld_finds(record, contexts)):
        if identity in record.by_id:
            reasons[identity] = _REMAINS
    before = -1
    while before != len(reasons):
        before = len(reasons)
        for entity in _leading(record, reasons):
            reasons[entity.id] = _LEADS_THERE
    yield from reasons.items()


def _leading(record: SiteRecord, reasons: Mapping[str, str]) -> Iterator[Entity]:
    for kind, entities in record.entities.items():
        fields = [(name, said.quantity) for name, said in fields_of(KINDS[kind]) if said.refers or name == "records"]
        if issubclass(KINDS[kind], _PRUNED) or not fields:
            continue
        for entity in entities:
            if entity.id not in reasons and any(_points(entity, name, reasons) for name, _ in fields):
                yield entity


def _with_readings(record: SiteRecord, reasons: dict[str, str]) -> dict[str, str]:
    """Add the intermediate staff readings that belong to a withheld level or speak of what is withheld.

    A run closes without them; a turning point stays, since a run cannot do without it.
    """
    levelled = {level.sight for level in record.all(Level, void=True) if level.id in reasons}
    numbers = _long_numbers(record, frozenset(reasons))
    for sight in record.all(Sight):
        words = (sight.point or "").split()
        belongs = sight.id in levelled or speaks_of_remains(sight.point or "") or numbers.intersection(words)
        if belongs and sight.backsight is None and sight.foresight is None:
            reasons[sight.id] = _LEADS_THERE
    return reasons


def _points(entity: Entity, name: str, reasons: Mapping[str, str]) -> bool:
    if name in _PRUNED_FIELDS:
        return False
    held = getattr(entity, name)
    return any(target in reasons for target in (held if isinstance(held, tuple) else (held,)))


def _public(entity: Entity, hidden: frozenset[str], mask: Mask, taken: Counter[tuple[str, str]]) -> Entity:
    """Return one record without what may not be printed, counting what is taken out."""
    changed: dict[str, Any] = {}
    absences = {name: mask.text(words) for name, words in entity.absences.items()}
    for name, said in _facts_of(type(entity)):
        value = getattr(entity, name)
        if value is None or value == ():
            continue
        if said.sensitivity is not Sensitivity.PUBLIC:
            changed[name], absences[name] = None, WITHHELD
            taken[f"field “{said.label}”", _AGENCY] += 1
        elif said.refers:
            changed[name] = _pruned(value, hidden)
        else:
            changed[name] = _masked(value, said, mask, taken)
    different = {name: value for name, value in changed.items() if value != getattr(entity, name)}
    return entity.model_copy(update={**different, "absences": absences}) if different or absences else entity


@cache
def _facts_of(kind: type[Entity]) -> tuple[tuple[str, FieldFacts], ...]:
    """Return the fields of a kind that may have to be taken out."""
    return tuple((name, said) for name, said in fields_of(kind) if name not in ("id", "number", "absences"))


def _pruned(value: Any, hidden: frozenset[str]) -> Any:
    if isinstance(value, tuple):
        return tuple(target for target in value if target not in hidden)
    return None if value in hidden else value


def _masked(value: Any, said: FieldFacts, mask: Mask, taken: Counter[tuple[str, str]]) -> Any:
    if isinstance(value, tuple) and not isinstance(value[0], Position):
        return tuple(_masked(part, said, mask, taken) for part in value)
    if not isinstance(value, str) or said.quantity in _NO_FREE_TEXT or _is_a_term(value, said.vocabulary):
        return value
    text = mask.text(value)
    if text != value:
        sentences = text.count(SENTENCE_GAP) - value.count(SENTENCE_GAP)
        words = text.count(GAP) - value.count(GAP)
        if sentences:
            taken["sentences in free text", "They speak of possible human remains and of a place."] += sentences
        if words > 0:
            taken["words in free text", "Names, numbers of withheld records and co-ordinates."] += words
    return text


def _is_a_term(value: str, vocabulary: str) -> bool:
    return bool(vocabulary) and value in VOCABULARIES[vocabulary].terms


def _positions_withheld(record: SiteRecord) -> Iterator[Withheld]:
    placed = sum(1 for entities in record.entities.values() for entity in entities if entity.positions())
    if placed:
        units = counted(len(record.all(Unit)), "unit")
        why = f"Exact places of {units} and all that was found could lead to looting; levels are kept."
        yield Withheld("co-ordinates of records with a position", placed, why)
