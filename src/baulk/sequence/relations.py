"""The relations of a site as arrays: which context is later than which, how surely, and where it was seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntFlag

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import InputError, OrderError, shorten

__all__ = ["DistinctRelations", "Relations", "Side", "distinct_relations", "relations_of"]


LONGEST_CHAIN = 40
"""Contexts that a chain in words names at most."""


class Side(IntFlag):
    """Where a relation was entered or seen; flags may be joined."""

    LATER_SHEET = 1
    EARLIER_SHEET = 2
    DRAWING = 4


@dataclass(frozen=True, slots=True, eq=False)
class Relations:
    """The relations between the contexts of a site; contexts are counted from 0.

    Parameters
    ----------
    count : int
        Number of contexts.
    later, earlier : int32 array, shape (m,)
        The two contexts of each relation: ``later[i]`` lies above, cuts, fills or abuts ``earlier[i]``.
    certainty : float64 array, shape (m,)
        How sure each relation is, in (0, 1].
    sides : uint8 array, shape (m,)
        Flags of `Side`; 0 means that the relation was inferred and stands on no sheet or drawing.
    same : int32 array, shape (k, 2)
        Pairs of contexts that are one (same as, bonded with).
    names : tuple of str
        The contexts' numbers for use in messages; empty when they have none.

    Raises
    ------
    InputError
        If columns differ in length, an index is out of range, a certainty not in (0, 1] or a flag unknown.
    OrderError
        If a context is recorded as later than itself.
    """

    count: int
    later: NDArray[np.int32]
    earlier: NDArray[np.int32]
    certainty: NDArray[np.float64]
    sides: NDArray[np.uint8]
    same: NDArray[np.int32]
    names: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check every rule of the class and close the arrays to writing."""
        _check_lengths(self)
        _check_indices(self)
        _check_certainty(self)
        _check_selves(self)
        for column in (self.later, self.earlier, self.certainty, self.sides, self.same):
            column.flags.writeable = False

    def __len__(self) -> int:
        """Return the number of relations."""
        return len(self.later)

    def name(self, context: int) -> str:
        """Return the number of a context as people know it, or its index when the contexts have no names."""
        return self.names[context] if self.names else str(context)

    def chain(self, contexts: Sequence[int], sign: str) -> str:
        """Return names joined by a sign, as "1039 > 1040 > 1042"; of a very long chain the middle is counted only."""
        if len(contexts) <= LONGEST_CHAIN:
            return f" {sign} ".join(self.name(context) for context in contexts)
        half = LONGEST_CHAIN // 2
        first, last = contexts[:half], contexts[-half:]
        middle = f"… {len(contexts) - 2 * half} more …"
        return f" {sign} ".join([*map(self.name, first), middle, *map(self.name, last)])


@dataclass(frozen=True, slots=True, eq=False)
class DistinctRelations:
    """Relations without repeats, and the way back to the rows that were given.

    Parameters
    ----------
    relations : Relations
        One relation for each pair (later, earlier), in the order of its first row.
    relation_of_row : int32 array, shape (rows given,)
        The relation that each given row became.
    """

    relations: Relations
    relation_of_row: NDArray[np.int32]

    def rows(self, relation: int) -> NDArray[np.int64]:
        """Return the given rows that became one relation."""
        return np.flatnonzero(self.relation_of_row == relation)


def relations_of(
    count: int,
    later: ArrayLike,
    earlier: ArrayLike,
    *,
    certainty: ArrayLike | None = None,
    sides: ArrayLike | None = None,
    same: ArrayLike | None = None,
    names: Sequence[str] = (),
) -> Relations:
    """Make relations from anything that numpy reads as columns; the columns are copied.

    Parameters
    ----------
    count : int
        Number of contexts.
    later, earlier : array-like of int, shape (m,)
        The two contexts of each relation.
    certainty : array-like of float, shape (m,), optional
        In (0, 1]; all 1 when left out.
    sides : array-like of int, shape (m,), optional
        Flags of `Side`; entered on both sheets when left out.
    same : array-like of int, shape (k, 2), optional
        Pairs of contexts that are one.
    names : sequence of str, optional
        The contexts' numbers.

    Returns
    -------
    Relations
        The checked relations.

    Examples
    --------
    >>> relations = relations_of(3, [0, 1], [1, 2], names=("1001", "1002", "1003"))
    >>> len(relations), relations.name(2)
    (2, '1003')
    """
    later_column = _whole(later, "later")
    rows = len(later_column)
    both = int(Side.LATER_SHEET | Side.EARLIER_SHEET)
    pairs = np.zeros((0, 2), np.int32) if same is None else _whole(same, "same").reshape(-1, 2)
    return Relations(
        count=count,
        later=later_column,
        earlier=_whole(earlier, "earlier"),
        certainty=np.ones(rows) if certainty is None else np.array(certainty, np.float64).reshape(-1),
        sides=np.full(rows, both, np.uint8) if sides is None else np.array(sides, np.uint8).reshape(-1),
        same=pairs,
        names=tuple(names),
    )


def distinct_relations(relations: Relations) -> DistinctRelations:
    """Join rows that say the same: their flags are put together and the highest certainty is kept.

    Parameters
    ----------
    relations : Relations
        The relations as given, repeats included.

    Returns
    -------
    DistinctRelations
        The relations without repeats, and for each given row the relation that it became.
    """
    key = relations.later.astype(np.int64) * max(relations.count, 1) + relations.earlier
    _, first, group = np.unique(key, return_index=True, return_inverse=True)
    by_first = np.argsort(first, kind="stable")
    renumber = np.empty_like(by_first)
    renumber[by_first] = np.arange(len(by_first))
    relation_of_row = renumber[group].astype(np.int32)
    rows = first[by_first]
    certainty = np.zeros(len(rows))
    np.maximum.at(certainty, relation_of_row, relations.certainty)
    sides = np.zeros(len(rows), np.uint8)
    np.bitwise_or.at(sides, relation_of_row, relations.sides)
    joined = Relations(
        count=relations.count,
        later=relations.later[rows],
        earlier=relations.earlier[rows],
        certainty=certainty,
        sides=sides,
        same=relations.same,
        names=relations.names,
    )
    return DistinctRelations(joined, relation_of_row)


def _whole(column: ArrayLike, what: str) -> NDArray[np.int32]:
    """Return a fresh int32 column, or say that it holds something else than whole numbers."""
    given = np.array(column)
    if given.size and given.dtype.kind not in "iu":
        raise InputError(
            f"Column “{what}” of the relations holds {given.dtype} values. Contexts are given by whole "
            "numbers counted from 0: give the index of each context, not its label."
        )
    if given.size and (given.max() > np.iinfo(np.int32).max or given.min() < np.iinfo(np.int32).min):
        raise InputError(
            f"Column “{what}” of the relations holds {given.max()}. A context's index fits 32 bits: "
            "give positions counted from 0, not record ids."
        )
    return given.astype(np.int32)


def _check_lengths(relations: Relations) -> None:
    rows = len(relations.later)
    for what in ("earlier", "certainty", "sides"):
        length = len(getattr(relations, what))
        if length != rows:
            raise InputError(
                f"The relations have {rows} later contexts but {length} values of “{what}”. "
                "Every relation needs one of each: give columns of equal length."
            )
    if relations.count < 0 or (relations.names and len(relations.names) != relations.count):
        raise InputError(
            f"{relations.count} contexts are given with {len(relations.names)} names. "
            "Give one name for each context, or none at all."
        )


def _check_indices(relations: Relations) -> None:
    for what, column in (
        ("later", relations.later),
        ("earlier", relations.earlier),
        ("same", relations.same),
    ):
        outside = np.argwhere((column < 0) | (column >= relations.count))
        if len(outside):
            row = int(outside[0][0])
            raise InputError(
                f"Row {row} of the relations names context {int(column[tuple(outside[0])])} under “{what}”, "
                f"but the contexts are counted from 0 to {relations.count - 1}. Add the missing context, or "
                "mend the row."
            )


def _check_certainty(relations: Relations) -> None:
    wrong = np.flatnonzero(~((relations.certainty > 0) & (relations.certainty <= 1)))
    if len(wrong):
        row = int(wrong[0])
        raise InputError(
            f"Row {row} of the relations has the certainty {relations.certainty[row]}. A certainty lies above "
            "0 and at most at 1: leave out a relation that nobody believes."
        )
    if (relations.sides > sum(Side)).any():
        raise InputError(
            f"A relation has the side flags {int(relations.sides.max())}. The flags are 1 (later sheet), "
            "2 (earlier sheet) and 4 (drawing), added together."
        )


def _check_selves(relations: Relations) -> None:
    selves = np.flatnonzero(relations.later == relations.earlier)
    if len(selves):
        row = int(selves[0])
        name = shorten(relations.name(int(relations.later[row])))
        raise OrderError(
            f"Row {row} of the relations records layer {name} as later than itself. A layer cannot be "
            "earlier than itself: see which other number was meant on one of the two sheets."
        )
