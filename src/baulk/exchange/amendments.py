"""A table of corrections: rows that name records already there, and the cells that are to stand in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from baulk.errors import RowFault, TableError, did_you_mean
from baulk.exchange.cells import CellFault
from baulk.exchange.known import KnownNumbers
from baulk.exchange.mapping import Take
from baulk.exchange.measures import without_words
from baulk.exchange.readers import reader_of
from baulk.exchange.table import Table
from baulk.exchange.turning import Turned, plain_take, turned
from baulk.record import Entity, Site, SiteRecord, kind_named

__all__ = ["Amendment", "amendments"]


@dataclass(frozen=True, slots=True)
class Amendment:
    """One field of one record that is to be rewritten, with its new plain value and the words it was reduced from."""

    record: str
    field: str
    value: Any
    entered: str | None
    line: int


def amendments(table: Table, kind: str, record: SiteRecord) -> tuple[Amendment, ...]:
    """Return what a table rewrites; nothing is written.

    Parameters
    ----------
    table : Table
        Each row names a record by its `id` or its `number` (the site needs neither). A blank cell leaves its field as it is; a
        cell that says what stands there already is passed over.
    kind : str
        Kind of the rows.
    record : SiteRecord
        What the site holds.

    Raises
    ------
    TableError
        A row names no record, or a cell breaks a rule; every fault is listed and nothing is rewritten.
    """
    said = kind_named(kind)
    take = plain_take(table, said)
    found = turned(table, take)
    faults: list[RowFault] = []
    targets = [_target(record, said, found, at, faults) for at in range(len(found.lines))]
    made: list[Amendment] = []
    naming = "id" if "id" in found.columns else "number"
    for field in found.columns:
        if field != naming:
            made += _column(record, said, take, found, field, targets, faults)
    if faults:
        raise TableError(table.source, sorted(faults, key=lambda fault: fault.line))
    return tuple(sorted(made, key=lambda one: one.line))


def _target(record: SiteRecord, kind: type[Entity], found: Turned, at: int, faults: list[RowFault]) -> Entity | None:
    identity, number = (found.columns[name][at] if name in found.columns else "" for name in ("id", "number"))
    if issubclass(kind, Site) and record.all(Site):
        return record.all(Site)[0]
    if identity:
        entity = record.get(kind, identity)
        if entity is None:
            faults.append(RowFault(found.lines[at], "id", identity, f"There is no {kind.TITLE} of that id."))
        return entity
    held = [one for one in record.all(kind) if number and getattr(one, "number", None) == number]
    if len(held) == 1:
        return held[0]
    if len(held) > 1:
        reason = f"{len(held)} records have this number: name one by its id, and give the others a number of their own."
    elif number:
        near = did_you_mean(number, [str(getattr(one, "number", "")) for one in record.all(kind)])
        reason = f"There is no {kind.TITLE} of that number to correct.{near}"
    else:
        reason = f"The row names no {kind.TITLE}: give its number or its id."
    faults.append(RowFault(found.lines[at], "number", number, reason))
    return None


def _column(
    record: SiteRecord,
    kind: type[Entity],
    take: Take,
    found: Turned,
    field: str,
    targets: list[Entity | None],
    faults: list[RowFault],
) -> list[Amendment]:
    read = reader_of(kind, field, habits=take.habits, own=record.length_unit, record=record, known=KnownNumbers(record), unknown={})
    made = []
    for target, cell, line in zip(targets, found.columns[field], found.lines, strict=True):
        if target is None or not cell:
            continue
        try:
            value, words = without_words(read(cell))
        except CellFault as fault:
            faults.append(RowFault(line, found.headers[field], cell, str(fault)))
            continue
        if field == "number" and _given(record, kind, value, target.id):
            reason = f"Another {kind.TITLE} has this number already; a number is given once, void records keep theirs."
            faults.append(RowFault(line, found.headers[field], cell, reason))
        elif value != _held(target, field):
            made.append(Amendment(target.id, field, value, words or None, line))
    return made


def _given(record: SiteRecord, kind: type[Entity], number: Any, but: str) -> bool:
    return any(one.id != but and getattr(one, "number", None) == number for one in record.all(kind, void=True))


def _held(entity: Entity, field: str) -> Any:
    if field in entity.absences:
        return {"absent": entity.absences[field]}
    return entity.model_dump(mode="json", include={field})[field]
