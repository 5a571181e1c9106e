"""The registers: all records of one kind, page by page."""

from __future__ import annotations

from pydantic import BaseModel

from baulk.errors import UnknownRecord
from baulk.record import Entity, kind_named
from baulk.server.record_view import RecordView, Shown
from baulk.server.withheld import shown_kinds

__all__ = ["RegisterPage", "register_page"]


class RegisterPage(BaseModel):
    """A page of a register, void records included: their numbers are never used again."""

    kind: str
    title: str
    total: int
    offset: int
    limit: int
    records: list[RecordView]


def register_page(shown: Shown, kind_name: str, *, offset: int, limit: int, find: str) -> RegisterPage:
    """Return the records of one kind from `offset` on; only those whose words or numbers contain `find` when it is given.

    Raises
    ------
    UnknownRecord
        When there is no such kind, or it is not shown here.
    """
    kind = kind_named(kind_name)
    if kind.KIND not in shown_kinds():
        raise UnknownRecord("kind of record", kind_name, list(shown_kinds()))
    records = shown.keeps(shown.record.all(kind, void=True))
    sought = find.strip().casefold()
    if sought:
        records = [entity for entity in records if _holds(shown, entity, sought)]
    page = [shown.view(entity) for entity in records[offset : offset + limit]]
    return RegisterPage(kind=kind.KIND, title=kind.TITLE, total=len(records), offset=offset, limit=limit, records=page)


def _holds(shown: Shown, entity: Entity, sought: str) -> bool:
    if entity.id in shown.withheld.bare:
        return sought in str(getattr(entity, "number", "")).casefold()
    held = vars(entity)  # straight from the record: 200,000 records are read through in about a second
    return any(sought in value.casefold() for name, value in held.items() if value.__class__ is str and name != "id")
