"""The relations of a site record as arrays, and the way back to the records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from baulk.record import ORDERING, SAME, Contact, Context, Relation, SiteRecord
from baulk.sequence.relations import Relations, Side, relations_of

__all__ = ["CERTAINTY", "ContextRelations", "relations_from"]

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
    """

    contexts: tuple[str, ...]
    relations: Relations
    rows: tuple[str, ...]
    same_rows: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()

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
    contexts = record.all(Context)
    index = {context.id: place for place, context in enumerate(contexts)}
    ordering: list[Relation] = []
    same: list[Relation] = []
    aside: list[str] = []
    for relation in record.all(Relation):
        known = relation.later in index and relation.earlier in index and relation.later != relation.earlier
        if known and relation.how in ORDERING:
            ordering.append(relation)
        elif known and relation.how in SAME:
            same.append(relation)
        else:
            aside.append(relation.id)
    return ContextRelations(
        tuple(context.id for context in contexts),
        relations_of(
            len(contexts),
            _column([index[relation.later] for relation in ordering]),
            _column([index[relation.earlier] for relation in ordering]),
            certainty=np.array([CERTAINTY.get(relation.certainty or "", 0.75) for relation in ordering], np.float64),
            sides=_sides(record, ordering),
            same=_column([place for relation in same for place in (index[relation.later], index[relation.earlier])]),
            names=tuple(context.number or context.id for context in contexts),
        ),
        tuple(relation.id for relation in ordering),
        tuple(relation.id for relation in same),
        tuple(aside),
    )


def _column(values: list[int]) -> NDArray[np.int32]:
    return np.array(values, np.int32)


def _sides(record: SiteRecord, ordering: list[Relation]) -> NDArray[np.uint8]:
    drawn = {(contact.later, contact.earlier) for contact in record.all(Contact)}
    return np.array(
        [
            SIDES.get(relation.sheet or "", 0) | (Side.DRAWING if (relation.later, relation.earlier) in drawn else 0)
            for relation in ordering
        ],
        np.uint8,
    )
