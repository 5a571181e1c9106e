"""What of a record sets bounds, and what is left out and why: the rules between finds, documents and termini."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from baulk.dating.aid import DateAid
from baulk.dating.nails_bottles import MAKINGS, making_date
from baulk.dating.termini import Side
from baulk.dating.types import TypeTable
from baulk.record import Context, Document, Find, SiteRecord

__all__ = ["NO_TABLE", "Row", "cautions_of", "find_name", "left_out_of", "makings_of", "rows_of", "years_of_making"]

NO_TABLE = TypeTable("no table of types", "", ())
"""Stands in when nobody gave a table of types."""
Row = tuple[int, int, Side, str, str]
"""Context, year, side and name of one terminus, and the id of the find or document that it is of."""


def years_of_making(find: Find, types: TypeTable) -> tuple[int | None, int | None]:
    """Return the years of making of a find: the record's own when it has any, else those of its type in the table."""
    if find.begin is not None or find.end is not None:
        return find.begin, find.end
    dated = types.dated(find.type) if find.type else None
    return (None, None) if dated is None else (dated.begin, dated.end)


def rows_of(record: SiteRecord, index: Mapping[str, int], types: TypeTable) -> Iterator[Row]:
    """Yield context, year, side and name of each find and document that sets a bound."""
    yield from _of_finds(record, index, types)
    yield from _of_documents(record, index)


def _of_finds(record: SiteRecord, index: Mapping[str, int], types: TypeTable) -> Iterator[Row]:
    for find in record.all(Find):
        begin = years_of_making(find, types)[0]
        if begin is not None and find.context is not None and find.context in index:
            yield index[find.context], begin, Side.POST, find_name(find), find.id


def _of_documents(record: SiteRecord, index: Mapping[str, int]) -> Iterator[Row]:
    for document in record.all(Document):
        name = f"document {document.number or document.id[-6:]}, {document.title or 'without a title'}"
        for identity in document.contexts or ():
            if identity not in index:
                continue
            if document.there_by_then and document.end is not None:
                yield index[identity], document.end, Side.ANTE, name, document.id
            if document.not_there_yet and document.begin is not None:
                yield index[identity], document.begin, Side.POST, name, document.id


def find_name(find: Find) -> str:
    """Return what a find is called in an answer: number, what it is, type."""
    what = find.object or find.type or find.material or "find"
    kind = f" ({find.type})" if find.type and find.type.casefold() not in what.casefold() else ""
    return f"find {find.number or find.id[-6:]}, {what}{kind}"


def left_out_of(record: SiteRecord, index: Mapping[str, int], types: TypeTable) -> Iterator[str]:
    """Yield each find and document that sets no bound, with the reason."""
    for find in record.all(Find):
        if find.context not in index:
            yield f"{find_name(find)}: its context is void or not on record"
        elif years_of_making(find, types)[0] is None:
            why = types.why_not(find.type) if find.type and types is not NO_TABLE and find.begin is None else None
            yield f"{find_name(find)}: {why or 'no first year of making is recorded'}"
    for document in record.all(Document):
        if document.contexts and document.there_by_then is None and document.not_there_yet is None:
            yield (
                f"document {document.number or document.id[-6:]}: nobody says whether it shows its contexts to have been there "
                "by then, "
                "or not there yet"
            )


def makings_of(finds: Sequence[Find]) -> Iterator[DateAid]:
    """Yield what the way of making of each find says, where its type or name is a known one."""
    known = {one.name.casefold() for one in MAKINGS}
    named = {text.casefold() for find in finds for text in (find.type, find.object) if text}
    yield from (making_date(name) for name in sorted(named & known))


def cautions_of(context: Context, finds: Sequence[Find]) -> Iterator[str]:
    """Yield what on a context's sheet, or of how its finds lay, weakens a date taken from them."""
    if context.reliability and context.reliability != "good":
        yield f"{context.number} is recorded as of {context.reliability} reliability"
    if context.contamination and context.contamination != "none seen":
        yield f"{context.number} may be mixed: {context.contamination}"
    for find in finds:
        if find.at_change:
            yield f"{find_name(find)} lay at a change of layer: it may belong to the other one"
