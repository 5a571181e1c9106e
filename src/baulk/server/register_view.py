"""The registers: all records of one kind, page by page."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel

from baulk.errors import UnknownRecord
from baulk.record import Entity, kind_named, kinds_for
from baulk.server.record_view import RecordView, Shown

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
    known = kinds_for(shown.viewer)
    if kind.KIND not in known:
        raise UnknownRecord("kind of record", kind_name, list(known))
    records: Sequence[Entity] = shown.record.all(kind, void=True)
    sought = find.strip()
    if sought:
        records = shown.study.words.found_in(records, sought)
    page = [shown.view(entity) for entity in records[offset : offset + limit]]
    return RegisterPage(kind=kind.KIND, title=kind.TITLE, total=len(records), offset=offset, limit=limit, records=page)
