"""Changes of mind: the states that a question went through, from the log of changes, and two of them side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from baulk.errors import InputError
from baulk.record import (
    KINDS,
    Change,
    Entity,
    Evidence,
    Expectation,
    HybridTime,
    Question,
    Reading,
    SiteRecord,
    Test,
    build,
    fold_record,
    label_of,
)

__all__ = ["ChangeOfMind", "changes_of_mind", "record_then", "records_of_question"]

_KINDS = (Question, Reading, Evidence, Expectation, Test)


@dataclass(frozen=True, slots=True)
class ChangeOfMind:
    """One change of a question or of what belongs to it.

    Parameters
    ----------
    time : str
        As the log has it; a state is named by the time of its last change.
    milliseconds : int
        The same as Unix time.
    person : str
        Whose change.
    kind, record : str
        Of what.
    field : str
        Which field; empty for a new record.
    before, after : object
        The value that was replaced and the new one.
    says : str
        In a sentence.
    why : str
        The reason given with it.
    """

    time: str
    milliseconds: int
    person: str
    kind: str
    record: str
    field: str
    before: Any
    after: Any
    says: str
    why: str


def records_of_question(record: SiteRecord, question: str) -> tuple[str, ...]:
    """Return the ids of a question and of all that belongs to it, void records included."""
    found = [question]
    own = {question}
    for kind, fields in (
        (Reading, ("question",)),
        (Evidence, ("question",)),
        (Test, ("question",)),
        (Expectation, ("evidence", "reading")),
    ):
        held = [one.id for one in record.all(kind, void=True) if any(getattr(one, field) in own for field in fields)]
        found += held
        own.update(held)
    return tuple(found)


def record_then(record: SiteRecord, histories: Mapping[str, Iterable[Change]], time: str) -> SiteRecord:
    """Return the record with a question as it stood at a time.

    Parameters
    ----------
    record : SiteRecord
        The record as it stands now, from which all else is taken.
    histories : mapping of str to changes
        All changes of the question's records, by record.
    time : str
        As the log has it; changes up to and at that time count.

    Raises
    ------
    InputError
        When nothing of the question was written by then.
    """
    then: dict[str, list[Entity]] = {kind.KIND: [] for kind in _KINDS}
    for identity, changes in histories.items():
        early = [change for change in changes if change.time <= time]
        if not early:
            continue
        folded = fold_record(early)
        if folded.kind in then:
            then[folded.kind].append(build(KINDS[folded.kind], {"id": identity, **folded.values, "absences": folded.absences}))
    if not then[Question.KIND]:
        raise InputError("The question was not yet written at that time. Choose a later state to compare.")
    kept = {
        kind: tuple(one for one in entities if one.id not in histories)
        for kind, entities in record.entities.items()
        if kind in then
    }
    ordered = SiteRecord.of([one for kind, held in then.items() for one in (*kept.get(kind, ()), *held)]).entities
    return replace(record, entities=MappingProxyType({**record.entities, **dict.fromkeys(then, ()), **ordered}))


def changes_of_mind(record: SiteRecord, histories: Mapping[str, Iterable[Change]]) -> tuple[ChangeOfMind, ...]:
    """Return every change of a question's records, earliest first; those that only created a cell are left out."""
    return tuple(sorted(_told(record, histories), key=lambda one: one.time))


def _told(record: SiteRecord, histories: Mapping[str, Iterable[Change]]) -> Iterator[ChangeOfMind]:
    for identity, changes in histories.items():
        for change in changes:
            kind = KINDS.get(change.kind)
            if kind is None or (change.creates and kind is Expectation):
                continue
            time = HybridTime.parse(change.time)
            yield ChangeOfMind(
                change.time, time.milliseconds, change.person, change.kind, identity, change.field, change.replaced,
                None if change.creates else change.value, _says(record, kind, change), change.why or "",
            )  # fmt: skip


def _says(record: SiteRecord, kind: type[Entity], change: Change) -> str:
    what = _name(record, change.record) or kind.TITLE
    if change.creates:
        return f"{what}: entered"
    before, after = _value(change.replaced), _value(change.value)
    return f"{what}, {label_of(kind, change.field).lower()}: {before} → {after}"


def _name(record: SiteRecord, identity: str) -> str:
    entity = record.by_id.get(identity)
    if isinstance(entity, Expectation):
        return f"{record.label(entity.evidence)} under {record.label(entity.reading)}"
    return (
        "" if entity is None else f"{entity.TITLE} {record.label(identity)}".replace(f"{entity.TITLE} {entity.TITLE}", entity.TITLE)
    )


def _value(value: Any) -> str:
    if value is None:
        return "blank"
    return str(value["absent"]) if isinstance(value, dict) and set(value) == {"absent"} else str(value)
