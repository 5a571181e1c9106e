"""The relations of a site record as arrays, and the way back to the records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from baulk.record import ORDERING, SAME, Contact, Context, Relation, SiteRecord
from baulk.sequence.relations import Relations, Side, relations_of

__all__ = [
    "CERTAINTY",
    "CONTACT_COLUMNS",
    "CONTEXT_COLUMNS",
    "RELATION_COLUMNS",
    "ContextRelations",
    "WhyAside",
    "relations_from",
    "relations_from_columns",
]

Columns = Mapping[str, Sequence[Any]]
CONTEXT_COLUMNS = ("id", "number")
RELATION_COLUMNS = ("id", "later", "earlier", "how", "certainty", "sheet")
CONTACT_COLUMNS = ("later", "earlier")

_USE: Mapping[str, int] = MappingProxyType(dict.fromkeys(ORDERING, 1) | dict.fromkeys(SAME, 2))
"""What a relation is used for: 1 to order, 2 to join; 0, of any other word, for nothing."""

CERTAINTY: Mapping[str, float] = MappingProxyType({"firm": 0.95, "probable": 0.75, "doubtful": 0.5})
"""What the words are worth as a number: a house setting; common practice, no source. A blank counts as probable."""

SIDES: Mapping[str, int] = MappingProxyType(
    {
        "later's sheet": int(Side.LATER_SHEET),
        "earlier's sheet": int(Side.EARLIER_SHEET),
        "both sheets": int(Side.LATER_SHEET | Side.EARLIER_SHEET),
        "a drawing": int(Side.DRAWING),
        "neither sheet": 0,
    }
)
"""What each word of “entered on” means in flags."""


class WhyAside(StrEnum):
    """Why a relation cannot be used; the first that holds."""

    LATER = "the later context is void or not on record"
    EARLIER = "the earlier context is void or not on record"
    ITSELF = "both sides name the same context"
    HOW = "it does not say how, or in a word that orders nothing"


@dataclass(frozen=True, eq=False)
class ContextRelations:
    """A site's relations as arrays, with the records that they stand for.

    Parameters
    ----------
    contexts : tuple of str
        Ids of the contexts in the order of their indices; void contexts are left out.
    relations : Relations
        One row for each relation of the record that puts one context later than another, as entered, repeats included.
    rows : tuple of str
        Id of the relation, one for each row.
    same_rows : tuple of str
        Id of the relation, one for each pair of `relations.same`.
    set_aside : tuple of str
        Ids of relations that cannot be used: they name a context that is not on record or is void, name the same context
        twice, or do not say how.
    why_aside : tuple of WhyAside
        Why each of those is set aside.
    """

    contexts: tuple[str, ...]
    relations: Relations
    rows: tuple[str, ...]
    same_rows: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    why_aside: tuple[WhyAside, ...] = ()

    @cached_property
    def index(self) -> Mapping[str, int]:
        """The index of each context by its id."""
        return {identity: place for place, identity in enumerate(self.contexts)}


def relations_from(record: SiteRecord) -> ContextRelations:
    """Return the relations of a record as arrays.

    Parameters
    ----------
    record : SiteRecord
        Void contexts and void relations are left out.

    Returns
    -------
    ContextRelations
        Contexts in natural order of number. A pair that is also seen in contact on a wall carries the flag of a drawing.

    Examples
    --------
    >>> from baulk.record import Context, Relation, SiteRecord
    >>> record = SiteRecord.of([
    ...     Context(id="b", number="2"), Context(id="a", number="1"), Relation(id="r", later="a", earlier="b", sheet="both sheets"),
    ... ])
    >>> made = relations_from(record)
    >>> made.contexts, made.relations.later.tolist(), made.relations.sides.tolist()
    (('a', 'b'), [0], [3])
    """
    contexts, relations, contacts = record.all(Context), record.all(Relation), record.all(Contact)
    return relations_from_columns(
        {name: [getattr(one, name) for one in contexts] for name in CONTEXT_COLUMNS},
        {name: [getattr(one, name) for one in relations] for name in RELATION_COLUMNS},
        {name: [getattr(one, name) for one in contacts] for name in CONTACT_COLUMNS},
    )


def relations_from_columns(contexts: Columns, relations: Columns, contacts: Columns) -> ContextRelations:
    """Return the relations of a site as arrays from whole columns of its tables, so that no record need be built.

    Parameters
    ----------
    contexts : mapping of name to sequence
        `CONTEXT_COLUMNS` of every context that is not void, in the order wanted.
    relations : mapping of name to sequence
        `RELATION_COLUMNS` of every relation that is not void.
    contacts : mapping of name to sequence
        `CONTACT_COLUMNS` of every contact on a wall that is not void.

    Returns
    -------
    ContextRelations
        What `relations_from` returns for the same records.
    """
    index = {identity: place for place, identity in enumerate(contexts["id"])}
    rows = len(relations["id"])
    later = np.fromiter((index.get(identity, -1) for identity in relations["later"]), np.int32, rows)
    earlier = np.fromiter((index.get(identity, -1) for identity in relations["earlier"]), np.int32, rows)
    how = np.fromiter((_USE.get(word or "", 0) for word in relations["how"]), np.int8, rows)
    how[(later < 0) | (earlier < 0) | (later == earlier)] = 0
    ordering, same = np.flatnonzero(how == _USE["overlies"]), np.flatnonzero(how == _USE["same as"])
    certainty = np.fromiter((CERTAINTY.get(word or "", 0.75) for word in relations["certainty"]), np.float64, rows)
    ids: Sequence[str] = relations["id"]
    return ContextRelations(
        tuple(contexts["id"]),
        relations_of(
            len(index),
            later[ordering],
            earlier[ordering],
            certainty=certainty[ordering],
            sides=_sides(relations, contacts)[ordering],
            same=np.stack([later[same], earlier[same]], axis=1),
            names=tuple(number or identity for number, identity in zip(contexts["number"], contexts["id"], strict=True)),
        ),
        tuple(ids[row] for row in ordering.tolist()),
        tuple(ids[row] for row in same.tolist()),
        tuple(ids[row] for row in np.flatnonzero(how == 0).tolist()),
        tuple(_why_aside(int(later[row]), int(earlier[row])) for row in np.flatnonzero(how == 0).tolist()),
    )


def _why_aside(later: int, earlier: int) -> WhyAside:
    if later < 0:
        return WhyAside.LATER
    if earlier < 0:
        return WhyAside.EARLIER
    return WhyAside.ITSELF if later == earlier else WhyAside.HOW


def _sides(relations: Columns, contacts: Columns) -> NDArray[np.uint8]:
    sides = np.fromiter((SIDES.get(word or "", 0) for word in relations["sheet"]), np.uint8, len(relations["id"]))
    drawn = set(zip(contacts["later"], contacts["earlier"], strict=True))
    if drawn:
        pairs = zip(relations["later"], relations["earlier"], strict=True)
        sides[[row for row, pair in enumerate(pairs) if pair in drawn]] |= int(Side.DRAWING)
    return sides
