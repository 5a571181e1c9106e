"""Correct the record: rewrite fields, make records void, undo, settle differences, waive rules. Each is a further change."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from baulk.errors import FieldError, InputError, UnknownRecord
from baulk.exchange import Amendment, amendments, read_table, table_of_text
from baulk.record import KINDS, Change, Entity, Relation, Site, SiteRecord, Unit, kind_named
from baulk.store import Store
from baulk.work.pen import Pen
from baulk.work.take import kind_of_table

__all__ = ["Amended", "amend_from_table", "make_void", "named_record", "set_field", "undo", "waive"]


@dataclass(frozen=True, slots=True)
class Amended:
    """The changes made, in order, and the store's revision after them."""

    changes: tuple[Change, ...]
    revision: int


def named_record(record: SiteRecord, name: str) -> Entity:
    """Return the record that a person names.

    Parameters
    ----------
    record : SiteRecord
        What the site holds.
    name : str
        ``site``; a kind and a number, as in ``context:109``; ``relation:109:113`` (later, earlier); or a record's id.

    Raises
    ------
    UnknownRecord
        When nothing has that name.
    InputError
        When more than one record has it, or the form is another.
    """
    if name == "site" and record.all(Site):
        return record.all(Site)[0]
    if name in record.by_id:
        return record.by_id[name]
    kind, colon, rest = name.partition(":")
    if not colon:
        raise InputError(f"“{name[:60]}” names no record: write site, a kind and a number as in context:109, or a record's id.")
    said = kind_named(kind)
    if said is Relation:
        return _relation(record, rest)
    held = [one for one in record.all(said, void=True) if getattr(one, "number", None) == rest]
    if len(held) > 1:
        ids = ", ".join(one.id for one in held)
        raise InputError(f"{len(held)} records are {said.TITLE} {rest}. Name the one you mean by its id: {ids}.")
    return held[0] if held else record.numbered(said, rest)


def _relation(record: SiteRecord, pair: str) -> Relation:
    later, colon, earlier = pair.partition(":")
    if not colon:
        raise InputError(
            f"“relation:{pair[:40]}” names no relation: give the later and the earlier context, as in relation:109:113."
        )
    held = [one for one in record.all(Relation) if (record.label(one.later), record.label(one.earlier)) == (later, earlier)]
    if len(held) == 1:
        return held[0]
    if not held:
        known = [f"{record.label(one.later)}:{record.label(one.earlier)}" for one in record.all(Relation)]
        raise UnknownRecord("relation", pair, known)
    raise InputError(
        f"{len(held)} relations say {later} later than {earlier}. Name one by its id: {', '.join(one.id for one in held)}."
    )


def set_field(store: Store, pen: Pen, name: str, field: str, words: str, *, why: str | None = None) -> Amended:
    """Rewrite one field of one record; where two people differed, this settles it.

    Raises
    ------
    TableError, UnknownRecord, InputError
        When the record, the field or the value cannot be used; nothing is written.
    """
    record = store.record()
    entity = named_record(record, name)
    text = io.StringIO()
    csv.writer(text).writerows([["id", field], [entity.id, words]])
    made = amendments(table_of_text(text.getvalue(), "what you gave"), entity.KIND, record)
    differs = any(one.record == entity.id and one.field == field for one in record.differences)
    if not made and differs:
        value = entity.model_dump(mode="json", include={field})[field]
        made = (Amendment(entity.id, field, value, None, 1),)
    return _write(store, pen, made, why=why)


def amend_from_table(store: Store, pen: Pen, path: Path, *, kind: str = "", why: str | None = None, encoding: str = "") -> Amended:
    """Rewrite the fields that a table of corrections names, all or nothing.

    Raises
    ------
    FileError, TableError, InputError, FieldError
        As named by what is wrong; nothing is written.
    """
    name = kind_named(kind).KIND if kind else kind_of_table(path)
    record = store.record()
    made = amendments(read_table(path, encoding=encoding), name, record)
    if name == "site" and any(one.field == "length_unit" for one in made):
        _refuse_new_unit(record)
    return _write(store, pen, made, why=why)


def _refuse_new_unit(record: SiteRecord) -> None:
    measured = [kind for kind in ("unit", "level", "outline", "station", "context") if record.entities.get(kind)]
    if measured:
        raise InputError(
            f"The site's lengths are kept in {record.length_unit} and it holds records measured in it ({', '.join(measured)}): "
            "another quantity would change what every number means. Make a new site in that quantity and take the tables into it."
        )


def _write(store: Store, pen: Pen, made: Sequence[Amendment], *, why: str | None) -> Amended:
    pen.catch_up(store)
    changes = tuple(pen.write(store, one.record, one.field, one.value, entered=one.entered, why=why) for one in made)
    return Amended(changes, store.append(changes) if changes else store.revision())


def make_void(store: Store, pen: Pen, name: str, why: str) -> Amended:
    """Make a record void: it keeps its number and no longer counts.

    Raises
    ------
    InputError
        When no reason is given, or the record is void already.
    """
    if not why.strip():
        raise InputError("A record is made void for a reason: give it with --why. Its number is kept and never used again.")
    entity = named_record(store.record(), name)
    if entity.void is not None:
        raise InputError(f"{entity.TITLE.capitalize()} {name.partition(':')[2] or name} is void already: {entity.void}.")
    return _write(store, pen, (Amendment(entity.id, "void", why.strip(), None, 1),), why=why.strip())


def undo(store: Store, pen: Pen, change: str = "") -> Amended:
    """Take a change back by a further change: the one of that id, or the last one written.

    Raises
    ------
    InputError
        When nothing was written yet, no change has that id, or its field has been changed again since.
    """
    wanted = None
    for one in store.changes(0 if change else max(store.revision() - 1, 0)):
        if not change or one.id == change:
            wanted = one
    if wanted is None:
        said = f"There is no change {change[:40]}" if change else "Nothing has been written yet"
        raise InputError(
            f"{said}, so nothing can be undone. See the changes of a record with: baulk show SITE KIND NUMBER --history."
        )
    pen.catch_up(store)
    made = pen.undo(store, wanted)
    return Amended((made,), store.append([made]))


def waive(store: Store, pen: Pen, unit: str, rule: str, *, who: str, why: str, day: str, records: Sequence[str] = ()) -> Amended:
    """Set a rule of the closing check aside for a unit, or for some of its records, with who decided and why.

    Raises
    ------
    FieldError
        When a value breaks its field's rule.
    InputError
        When who or why is blank.
    """
    if not (who.strip() and why.strip()):
        raise InputError("A waiver needs who decided and why: both are printed in the report. Give --who and --why.")
    record = store.record()
    entity = record.numbered(Unit, unit)
    ids = [named_record(record, name).id for name in records]
    values = {
        "unit": entity.id,
        "rule": rule.strip().upper(),
        "who": who.strip(),
        "why": why.strip(),
        "day": day,
        "records": ids or None,
    }
    try:
        KINDS["waiver"].model_validate({"id": "new", **{name: value for name, value in values.items() if value is not None}})
    except ValueError:
        raise FieldError("waiver", "Date", day, "A date is written year-month-day, as in 2026-05-14.") from None
    pen.catch_up(store)
    made = pen.create("waiver", values)
    return Amended((made,), store.append([made]))
