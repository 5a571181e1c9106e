"""The public version of a record: what may not be printed is taken out first, and what was taken out is listed with its reason.

A report, table or drawing for the public is then made from the public record alone, so that nothing can slip through a caption.

References
----------
What is withheld: `baulk.record.withholding`, with its sources; grid co-ordinates in captions and levels tables: common practice, no
source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from baulk.record import (
    VOCABULARIES,
    Context,
    Entity,
    FieldFacts,
    Position,
    Quantity,
    SiteRecord,
    Unit,
    View,
    Why,
    bare_record,
    fields_for,
    fields_of,
    withheld_from,
)
from baulk.record.telling import days_of_remains, telling_words, told_on_a_day_of_remains
from baulk.report.masking import GAP, Mask, co_ordinates_of, people_of
from baulk.report.shown import WITHHELD, counted

__all__ = ["PublicVersion", "Withheld", "public_version"]

_NO_FREE_TEXT = (Quantity.DAY, Quantity.FILE, Quantity.MUNSELL)
_TELLING_LISTS = ("stop_reason", "cut_function", "timber_type")
"""Lists of terms with a word for a burial; animal bone, a material of finds, tells of none."""
_WORDS = {
    Why.REMAINS: "Human remains: their place, pictures and record are restricted by law and out of respect.",
    Why.SENSITIVE: "Flagged sensitive.",
    Why.LEADS: "It belongs to, or would lead to, a withheld record.",
}
_TELLS = "They speak of possible human remains or of a withheld record, or belong to a day on which remains were dealt with."
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
    Withheld whole: what `baulk.record.withholding` keeps from the public. Withheld by field: every field that it bars. Withheld in
    free text: the names and addresses in such fields, numbers of withheld records and co-ordinates. Withheld as whole fields: free
    text that speaks of human remains or names a withheld context, and all free text of a diary entry or a visit of a day on which
    remains were recognised, notified or recorded.
    """
    found = withheld_from(record, View.PUBLIC)
    reasons = found.why
    hidden = frozenset(reasons)
    remains = Why.REMAINS in reasons.values()
    mask = Mask(
        people_of(record) | hidden | _long_numbers(record, hidden), _numbers(record, hidden), co_ordinates_of(record), remains,
        telling_words(record) if remains else None,
    )  # fmt: skip
    whole = replace(mask, whole=True)
    days = days_of_remains(record) if remains else frozenset()
    taken: Counter[tuple[str, str]] = Counter()
    kept = {
        kind: tuple(
            _public(
                _said_bare(entity) if entity.id in found.bare else entity,
                hidden,
                whole if told_on_a_day_of_remains(entity, days) else mask,
                taken,
            )
            for entity in entities
            if entity.id not in hidden
        )
        for kind, entities in record.entities.items()
    }
    for identity, why in reasons.items():
        entity = record.by_id[identity]
        taken["possible human remains and their record" if why is Why.REMAINS else entity.TITLE, _WORDS[why]] += 1
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


def _public(entity: Entity, hidden: frozenset[str], mask: Mask, taken: Counter[tuple[str, str]]) -> Entity:
    """Return one record without what may not be printed, counting what is taken out."""
    changed: dict[str, Any] = {}
    absences = {name: mask.text(words) for name, words in entity.absences.items()}
    for name, said in _facts_of(type(entity)):
        value = getattr(entity, name)
        if value is None or value == ():
            continue
        if name in _barred(type(entity)):
            changed[name], absences[name] = None, WITHHELD
            taken[f"field “{said.label}”", _AGENCY] += 1
        elif said.refers:
            changed[name] = _pruned(value, hidden)
        else:
            changed[name] = _masked(value, said, mask, taken)
    different = {name: value for name, value in changed.items() if value != getattr(entity, name)}
    return entity.model_copy(update={**different, "absences": absences}) if different or absences else entity


def _said_bare(entity: Entity) -> Entity:
    """Return a record with its bare fields, and words where something is taken out."""
    bare = bare_record(entity)
    gone = [name for name, _ in _facts_of(type(entity)) if getattr(entity, name) != getattr(bare, name) and name != "void"]
    return bare.model_copy(update={"absences": dict.fromkeys(gone, WITHHELD)})


@cache
def _facts_of(kind: type[Entity]) -> tuple[tuple[str, FieldFacts], ...]:
    """Return the fields of a kind that may have to be taken out."""
    return tuple((name, said) for name, said in fields_of(kind) if name not in ("id", "number", "absences"))


@cache
def _barred(kind: type[Entity]) -> frozenset[str]:
    return frozenset(kind.model_fields) - {name for name, _ in fields_for(kind, View.PUBLIC)}


def _pruned(value: Any, hidden: frozenset[str]) -> Any:
    if isinstance(value, tuple):
        return tuple(target for target in value if target not in hidden)
    return None if value in hidden else value


def _masked(value: Any, said: FieldFacts, mask: Mask, taken: Counter[tuple[str, str]]) -> Any:
    if isinstance(value, tuple) and not isinstance(value[0], Position):
        return tuple(_masked(part, said, mask, taken) for part in value)
    if not isinstance(value, str) or said.quantity in _NO_FREE_TEXT:
        return value
    if _is_a_term(value, said.vocabulary) and not (mask.remains and said.vocabulary in _TELLING_LISTS and mask.tells(value)):
        return value
    text = mask.text(value)
    if mask.tells(value):
        taken["whole fields of free text", _TELLS] += 1
    elif text != value and (words := text.count(GAP) - value.count(GAP)) > 0:
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
