"""What the relations leave open: one-sided relations, floating contexts, fills without a cut, idle cuts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from baulk.errors import InputError
from baulk.sequence.relations import Relations, Side

__all__ = ["ContextKind", "CutGaps", "Floating", "RelationKind", "cut_gaps", "floating", "off_sheet", "one_sided", "parts_of"]


class ContextKind(IntEnum):
    """The kind of a context, as a small number for arrays."""

    UNKNOWN = 0
    DEPOSIT = 1
    CUT = 2
    FILL = 3
    STRUCTURE = 4
    SURFACE = 5
    DISTURBANCE = 6


class RelationKind(IntEnum):
    """How the later context relates to the earlier, as a small number for arrays."""

    UNKNOWN = 0
    OVERLIES = 1
    CUTS = 2
    FILLS = 3
    ABUTS = 4


@dataclass(frozen=True, slots=True, eq=False)
class Floating:
    """Contexts that are tied to the rest on one side at most.

    Parameters
    ----------
    nothing_above, nothing_below : int32 array
        Contexts without any later, and without any earlier context. The topmost and the lowest context of a
        unit stand here rightly.
    alone : int32 array
        Contexts in both lists: they have no place in the order.
    """

    nothing_above: NDArray[np.int32]
    nothing_below: NDArray[np.int32]
    alone: NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class CutGaps:
    """What is missing between cuts, their fills and what they were cut through.

    Parameters
    ----------
    fills_without_cut : int32 array
        Fills that fill no cut.
    cuts_cutting_nothing : int32 array
        Cuts for which nothing is recorded as cut.
    cuts_without_fill : int32 array
        Cuts that nothing fills.
    filled_not_cut : int32 array
        Relations "fills" whose earlier context is of another known kind than a cut.
    cutting_not_cut : int32 array
        Relations "cuts" whose later context is of another known kind than a cut or a disturbance.
    """

    fills_without_cut: NDArray[np.int32]
    cuts_cutting_nothing: NDArray[np.int32]
    cuts_without_fill: NDArray[np.int32]
    filled_not_cut: NDArray[np.int32]
    cutting_not_cut: NDArray[np.int32]


def one_sided(relations: Relations) -> NDArray[np.int32]:
    """Return the relations that were entered on the sheet of one of their contexts but not of the other.

    Parameters
    ----------
    relations : Relations
        Distinct relations: rows entered twice must have been joined first.

    Returns
    -------
    int32 array
        The relations, ascending.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> one_sided(relations_of(3, [0, 1], [1, 2], sides=[3, 1])).tolist()
    [1]
    """
    sheets = relations.sides & (Side.LATER_SHEET | Side.EARLIER_SHEET)
    return np.flatnonzero((sheets == Side.LATER_SHEET) | (sheets == Side.EARLIER_SHEET)).astype(np.int32)


def off_sheet(relations: Relations) -> NDArray[np.int32]:
    """Return the relations that stand on neither sheet: only read off a drawing, or inferred.

    Parameters
    ----------
    relations : Relations
        Distinct relations.

    Returns
    -------
    int32 array
        The relations, ascending.
    """
    sheets = relations.sides & (Side.LATER_SHEET | Side.EARLIER_SHEET)
    return np.flatnonzero(sheets == 0).astype(np.int32)


def floating(relations: Relations) -> Floating:
    """Return the contexts with nothing above, with nothing below, and with neither.

    Parameters
    ----------
    relations : Relations
        The relations; contexts that are one count apart here, so join them first where that matters.

    Returns
    -------
    Floating
        The three lists, ascending.
    """
    above = np.bincount(relations.earlier, minlength=relations.count) == 0
    below = np.bincount(relations.later, minlength=relations.count) == 0
    return Floating(_where(above), _where(below), _where(above & below))


def parts_of(relations: Relations) -> NDArray[np.int32]:
    """Return which part each context belongs to: two contexts in different parts are tied by no chain, whichever way it is read.

    Parameters
    ----------
    relations : Relations
        The relations; contexts that are one count apart here, so join them first where that matters.

    Returns
    -------
    int32 array, shape (count,)
        Parts, counted from 0.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> parts_of(relations_of(5, [0, 3], [1, 1])).tolist()
    [0, 0, 1, 0, 2]
    """
    links = coo_array((np.ones(len(relations), np.int8), (relations.later, relations.earlier)), shape=(relations.count,) * 2)
    return connected_components(links, directed=False)[1].astype(np.int32)


def cut_gaps(relations: Relations, kinds: ArrayLike, hows: ArrayLike, *, group: NDArray[np.int32] | None = None) -> CutGaps:
    """Return fills without a cut, cuts that cut nothing, cuts without a fill, and relations of the wrong kind.

    Parameters
    ----------
    relations : Relations
        The relations as given.
    kinds : array-like of int, shape (count,)
        A `ContextKind` for each context.
    hows : array-like of int, shape (m,)
        A `RelationKind` for each relation.
    group : int32 array, shape (count,), optional
        The group of each context where some are one: what is recorded for one member counts for all.

    Returns
    -------
    CutGaps
        Five lists, ascending.

    Raises
    ------
    InputError
        If kinds or hows are not one for each context or relation.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> relations = relations_of(3, [0, 1], [1, 2])
    >>> found = cut_gaps(relations, [ContextKind.FILL, ContextKind.CUT, ContextKind.DEPOSIT],
    ...                  [RelationKind.FILLS, RelationKind.OVERLIES])
    >>> found.fills_without_cut.tolist(), found.cuts_cutting_nothing.tolist()
    ([], [1])
    """
    kind, how = np.asarray(kinds, np.uint8).reshape(-1), np.asarray(hows, np.uint8).reshape(-1)
    if len(kind) != relations.count or len(how) != len(relations):
        raise InputError(
            f"{len(kind)} kinds and {len(how)} ways of relating are given for {relations.count} contexts and "
            f"{len(relations)} relations. Give one kind for each context and one way for each relation."
        )
    label = np.arange(relations.count, dtype=np.int32) if group is None else group
    fills, cuts = how == RelationKind.FILLS, how == RelationKind.CUTS
    above, under = kind[relations.later], kind[relations.earlier]
    is_fill, is_cut = kind == ContextKind.FILL, kind == ContextKind.CUT
    to_cut = fills & np.isin(under, (ContextKind.CUT, ContextKind.UNKNOWN))
    digging = (ContextKind.CUT, ContextKind.DISTURBANCE, ContextKind.UNKNOWN)
    return CutGaps(
        fills_without_cut=_where(is_fill & ~_any_of(label, relations.later[to_cut])),
        cuts_cutting_nothing=_where(is_cut & ~_any_of(label, relations.later[cuts])),
        cuts_without_fill=_where(is_cut & ~_any_of(label, relations.earlier[fills])),
        filled_not_cut=_where(fills & ~to_cut),
        cutting_not_cut=_where(cuts & ~np.isin(above, digging)),
    )


def _any_of(label: NDArray[np.int32], contexts: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Return the contexts that share a label with any of those listed."""
    touched = np.zeros(int(label.max(initial=-1)) + 1, np.bool_)
    touched[label[contexts]] = True
    return touched[label]


def _where(mask: NDArray[np.bool_]) -> NDArray[np.int32]:
    return np.flatnonzero(mask).astype(np.int32)
