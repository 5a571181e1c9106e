"""A field's value to the text of a cell: the other way of `baulk.exchange.readers`."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from baulk.exchange.lists import joined
from baulk.exchange.names import namer
from baulk.exchange.protection import absence_out, protected
from baulk.exchange.readers import is_list, terms_for
from baulk.record import Entity, Quantity, SiteRecord, facts_of

__all__ = ["number_text", "writer_of"]


def number_text(number: float) -> str:
    """Return a number in the fewest digits that read back as the same number.

    Examples
    --------
    >>> number_text(12.0), number_text(0.1), number_text(-0.35)
    ('12', '0.1', '-0.35')
    """
    if isinstance(number, float) and number.is_integer() and abs(number) < 1e15:
        return str(int(number))
    return repr(number)


def _positions(value: Any) -> str:
    return "; ".join(f"{number_text(easting)} {number_text(northing)}" for easting, northing in value)


def _data(value: Any) -> str:
    return json.dumps({key: dict(held) if hasattr(held, "items") else held for key, held in value.items()}, ensure_ascii=False)


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return number_text(value) if isinstance(value, (int, float)) else str(value)


def writer_of(record: SiteRecord, kind: type[Entity], name: str) -> Callable[[Entity], str]:
    """Return the function from a record to the text of one field's cell; blank gives the empty text.

    Parameters
    ----------
    record : SiteRecord
        The record, for the numbers that references are written with and the site's own lists of terms.
    kind, name
        The kind and its field.
    """
    said = facts_of(kind, name)
    if said.quantity in (Quantity.POLYGON, Quantity.PATH):
        single: Callable[[Any], str] = _positions
    elif said.quantity is Quantity.DATA:
        single = _data
    else:
        single = namer(record, said.refers) if said.refers else _plain
    many = is_list(kind, name)
    bare = name == "id" or said.quantity not in (Quantity.TEXT, Quantity.WORD, Quantity.REFERENCE, Quantity.FILE, Quantity.DATA)
    terms = terms_for(record, said.vocabulary).by_spelling if said.vocabulary else {}

    def write(entity: Entity) -> str:
        words = entity.absences.get(name)
        if words is not None:
            return absence_out(words, also_a_term=words.casefold() in terms)
        value = getattr(entity, name)
        if value is None or value == ():
            return ""
        text = joined([single(item) for item in value]) if many else single(value)
        return text if bare or text.casefold() in terms else protected(text)

    return write
