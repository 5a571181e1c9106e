"""The record as the fold of its changes, and the differences that a person has to settle.

Folding is independent of the order in which changes arrive, and merging two copies is the union of their changes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from baulk.record.change import Change

__all__ = ["Difference", "FoldedRecord", "Standing", "Write", "fold_all", "fold_record", "merge", "standing_writes"]


@dataclass(frozen=True, slots=True)
class Write:
    """One value that a change wrote into one field, with the words it was reduced from as they were typed (empty for none)."""

    change: str
    time: str
    device: str
    person: str
    value: Any
    entered: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Difference:
    """A field that two people changed without sight of each other; `writes` has the one in view first."""

    kind: str
    record: str
    field: str
    writes: tuple[Write, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands in one field: the writes in view, latest first, and the ids of the changes that later ones took the place of."""

    heads: tuple[Write, ...]
    replaced: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FoldedRecord:
    """One record as all its changes leave it.

    `values` are the fields in view as plain values, `absences` the fields absent on purpose, `heads` the changes in view field
    by field.
    """

    kind: str
    id: str
    values: dict[str, Any]
    absences: dict[str, str]
    heads: dict[str, tuple[str, ...]]
    differences: tuple[Difference, ...] = field(default=())


def fold_record(changes: Iterable[Change]) -> FoldedRecord:
    """Return one record from its changes, in whatever order they come; a change given twice counts once.

    Raises
    ------
    ValueError
        When no change is given, or the changes are of more than one record (a fault of the calling code).
    """
    by_id = {change.id: change for change in changes}
    first = next(iter(by_id.values()), None)
    if first is not None and len(by_id) == 1 and first.creates:
        return _as_created(first)
    if first is None or len({(change.kind, change.record) for change in by_id.values()}) != 1:
        raise ValueError("fold_record takes the changes of exactly one record")
    folded = FoldedRecord(first.kind, first.record, {}, {}, {})
    differences = []
    for name, standing in standing_writes(by_id.values()).items():
        heads = standing.heads
        folded.heads[name] = tuple(sorted(write.change for write in heads))
        _put(folded, name, heads[0].value)
        if any(write.value != heads[0].value for write in heads[1:]):
            differences.append(Difference(first.kind, first.record, name, heads))
    return FoldedRecord(folded.kind, folded.id, folded.values, folded.absences, folded.heads, tuple(differences))


def standing_writes(changes: Iterable[Change]) -> dict[str, Standing]:
    """Return what stands in each field of one record, by the name of the field, from its changes in whatever order they come."""
    writes: dict[str, dict[str, Write]] = defaultdict(dict)
    replaced: dict[str, set[str]] = defaultdict(set)
    for change in changes:
        written = change.value if change.creates else {change.field: change.value}
        typed = "" if change.creates else change.entered or ""  # those beside a creation are of several of its fields
        for name, value in written.items():
            writes[name][change.id] = Write(change.id, change.time, change.device, change.person, value, typed)
            replaced[name].update(change.after)
    return {name: Standing(_heads(writes[name], replaced[name]), tuple(sorted(replaced[name]))) for name in sorted(writes)}


def _as_created(change: Change) -> FoldedRecord:
    """Return a record of which nothing but its creation is known: most records of a large site, so it takes the short way."""
    heads: dict[str, tuple[str, ...]] = dict.fromkeys(change.value, (change.id,))
    if None not in change.value.values() and dict not in map(type, change.value.values()):
        return FoldedRecord(change.kind, change.record, dict(change.value), {}, heads)
    folded = FoldedRecord(change.kind, change.record, {}, {}, heads)
    for name, value in change.value.items():
        _put(folded, name, value)
    return folded


def _heads(writes: dict[str, Write], replaced: set[str]) -> tuple[Write, ...]:
    heads = [write for name, write in writes.items() if name not in replaced] or list(writes.values())
    return tuple(sorted(heads, key=lambda write: (write.time, write.device, write.change), reverse=True))


def _put(folded: FoldedRecord, name: str, value: Any) -> None:
    if isinstance(value, dict) and set(value) == {"absent"}:
        folded.absences[name] = str(value["absent"])
    elif value is not None:
        folded.values[name] = value


def fold_all(changes: Iterable[Change]) -> dict[str, FoldedRecord]:
    """Return every record of a set of changes, by id."""
    by_record: dict[str, list[Change]] = defaultdict(list)
    for change in changes:
        by_record[change.record].append(change)
    return {record: fold_record(of_record) for record, of_record in by_record.items()}


def merge(*copies: Iterable[Change]) -> tuple[Change, ...]:
    """Return the union of the changes of several copies, in order of time, device and id; nothing is dropped."""
    union = {change.id: change for copy in copies for change in copy}
    return tuple(sorted(union.values(), key=lambda change: (change.time, change.device, change.id)))
