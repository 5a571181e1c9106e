"""One record as its changes leave it, and what had to be left out of view.

A change that this Baulk does not understand (a kind or field of a later one, a value that breaks a rule) stays in the log; the
record in view leaves out that field only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from baulk.errors import FieldError, did_you_mean
from baulk.record import KINDS, Change, Difference, Entity, FoldedRecord, absent_words, build, faults_in, fold_record, label_of
from baulk.store.column import columns_of

__all__ = ["LeftOut", "View", "faults_of_write", "fold_of", "view_of"]

_LARGEST = 2**63 - 1
_GIVEN_ONCE = ("id", "absences")


@dataclass(frozen=True, slots=True, order=True)
class LeftOut:
    """A field (or, with an empty `field`, a whole record) that the log holds and the record in view leaves out, and why."""

    kind: str
    record: str
    field: str
    reason: str


@dataclass(frozen=True, slots=True)
class View:
    """One record in view; `entity` is None when it cannot be shown at all.

    `kinds` are all kinds under which the record's id was written: more than one is a fault of a copy, the earliest counts.
    """

    kind: str
    record: str
    entity: Entity | None
    kinds: tuple[str, ...] = ()
    differences: tuple[Difference, ...] = ()
    faults: Mapping[str, FieldError] = field(default_factory=dict)

    @property
    def left_out(self) -> tuple[LeftOut, ...]:
        """What the record in view leaves out."""
        return tuple(LeftOut(self.kind, self.record, name, str(fault)) for name, fault in self.faults.items())


def view_of(history: Sequence[Change]) -> View:
    """Return a record from all its changes, in whatever order they come."""
    folded, kinds = _folded(history)
    if len(kinds) > 1:
        other = ", ".join(name for name in kinds if name != folded.kind)
        strange = {"": FieldError(folded.kind, "kind of record", other, "One record is of one kind; the one written first counts.")}
    else:
        strange = {}
    kind = KINDS.get(folded.kind)
    if kind is None:
        rule = f"This Baulk knows no such kind of record.{did_you_mean(folded.kind, list(KINDS))}"
        strange[""] = FieldError("change", "kind of record", folded.kind, rule)
        return View(folded.kind, folded.id, None, kinds, folded.differences, strange)
    entity, faults = _entity_of(kind, folded)
    return View(folded.kind, folded.id, entity, kinds, folded.differences, strange | faults if strange or faults else faults)


def fold_of(history: Sequence[Change]) -> FoldedRecord:
    """Return the fold of a record's changes; of an id written under two kinds, the kind written first."""
    return _folded(history)[0]


def _folded(history: Sequence[Change]) -> tuple[FoldedRecord, tuple[str, ...]]:
    if len(history) == 1 or len({change.kind for change in history}) == 1:
        return fold_record(history), (history[0].kind,)
    first = min(history, key=lambda change: (change.time, change.device, change.id)).kind
    of_first = [change for change in history if change.kind == first]
    return fold_record(of_first), tuple(sorted({change.kind for change in history}))


def _entity_of(kind: type[Entity], folded: FoldedRecord) -> tuple[Entity | None, dict[str, FieldError]]:
    values = dict(folded.values)
    faults = {}
    for name in _GIVEN_ONCE:
        if name in values and values.pop(name) != folded.id:
            faults[name] = FieldError(
                kind.TITLE,
                label_of(kind, name),
                folded.values[name],
                "It is not a field that a change writes.",
                number=_number(values),
            )
    values["id"] = folded.id
    if folded.absences:
        values["absences"] = _checked_absences(kind, folded, faults)
    try:
        entity = build(kind, values)
    except FieldError:
        found = faults_in(kind, values)
        faults |= found
        kept = {name: value for name, value in values.items() if name not in found}
        if faults_in(kind, kept):
            return None, faults
        entity = build(kind, kept)
    return _without_giants(kind, entity, faults), faults


def _checked_absences(kind: type[Entity], folded: FoldedRecord, faults: dict[str, FieldError]) -> dict[str, str]:
    tidy = {}
    for name, words in folded.absences.items():
        known = absent_words(words)
        if name not in kind.model_fields or name in _GIVEN_ONCE:
            rule = f"A {kind.TITLE} has no such field.{did_you_mean(name, list(kind.model_fields))}"
        elif known is None:
            rule = "A field is absent on purpose as “not applicable”, “not visible” or “not done: reason”."
        else:
            tidy[name] = known
            continue
        faults[name] = FieldError(kind.TITLE, label_of(kind, name), words, rule, number=_number(folded.values))
    return tidy


@cache
def _whole_numbers(kind: type[Entity]) -> tuple[str, ...]:
    return tuple(column.name for column in columns_of(kind) if column.type == "INTEGER")


def _without_giants(kind: type[Entity], entity: Entity, faults: dict[str, FieldError]) -> Entity:
    values = vars(entity)
    giants = [name for name in _whole_numbers(kind) if values[name] is not None and abs(values[name]) > _LARGEST]
    for name in giants:
        rule = "A whole number in a site file has at most 18 digits."
        faults[name] = FieldError(kind.TITLE, label_of(kind, name), getattr(entity, name), rule, number=_number(vars(entity)))
    return entity.model_copy(update=dict.fromkeys(giants)) if giants else entity


def _number(values: Mapping[str, Any]) -> str:
    return str(values.get("number") or "")


def faults_of_write(change: Change, view: View) -> list[FieldError]:
    """Return what is wrong with the values of one change on its own, whether or not they are in view in `view`."""
    if view.kind not in KINDS:
        return [view.faults[""]]
    if change.kind != view.kind:
        return [FieldError(change.kind, "kind of record", change.record, f"This record is a {view.kind} already.")]
    kind, entity = KINDS[view.kind], view.entity
    needed = (
        {}
        if entity is None
        else {name: getattr(entity, name) for name, of_field in kind.model_fields.items() if of_field.is_required()}
    )
    written = change.value if change.creates else {change.field: change.value}
    trial = Change(
        id=change.id, time=change.time, device=change.device, person=change.person, kind=change.kind, record=change.record,
        value={**needed, **written},
    )  # fmt: skip
    faults = _entity_of(kind, fold_record([trial]))[1]
    return [fault for name, fault in faults.items() if name in written]
