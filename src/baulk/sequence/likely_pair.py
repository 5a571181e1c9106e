"""The likely order of two contexts: worked out over no more of the site than bears on them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError
from baulk.sequence.gaps import parts_of
from baulk.sequence.graph import Neighbours, neighbours_above, neighbours_below
from baulk.sequence.likely_order import likely_order
from baulk.sequence.loops import refuse_loops
from baulk.sequence.order import Order
from baulk.sequence.paths import reaches
from baulk.sequence.relations import Relations, relations_of

__all__ = ["LikelyPair", "Over", "likely_pair"]

MOST = 100
"""Contexts that are taken in at most when orders must be drawn: a hundred take seconds."""


class Over(StrEnum):
    """Over the orders of which contexts a likely order was worked out."""

    PATH = "a path decides it"
    TIED = "every context that a chain of relations ties to either of the two"
    RELATED = "the contexts with a path to or from either of the two"
    NEAREST = "the contexts nearest to the two among those with a path to or from either"

    @property
    def whole(self) -> bool:
        """Whether the answer is that of the whole site: what is left out has no bearing on it."""
        return self in (Over.PATH, Over.TIED)


@dataclass(frozen=True, slots=True)
class LikelyPair:
    """How often one context is earlier than another.

    Parameters
    ----------
    earlier : float
        Share of the orders in which the first is earlier than the second.
    standard_error : float
        Of that; 0 when decided or counted.
    effective_size : float
        How many orders drawn independently would be as good; infinite when decided or counted.
    exact : bool
        Whether it was decided or every order counted.
    settled : bool
        Whether the figure may be used; False when the chains of draws disagree.
    over : Over
        Over the orders of which contexts.
    contexts : int
        How many of these there were.
    orders : float
        How many orders were counted; NaN when drawn or decided.
    """

    earlier: float
    standard_error: float
    effective_size: float
    exact: bool
    settled: bool
    over: Over
    contexts: int
    orders: float


def likely_pair(order: Order, one: int, other: int, rng: np.random.Generator, *, most: int = MOST) -> LikelyPair:
    """Return how often one context is earlier than another, over all orders that the relations allow.

    Parameters
    ----------
    order : Order
        An order without loops.
    one, other : int
        The two contexts, as given.
    rng : numpy.random.Generator
        The source of chance; not used when a path decides or the orders can be counted.
    most : int, optional
        Contexts taken in at most.

    Returns
    -------
    LikelyPair
        The share, how sure it is, and over what.

    Raises
    ------
    InputError
        If the two are one.
    OrderError
        If the relations hold a loop.

    Notes
    -----
    Contexts in another part of the site, tied to neither by any chain, have no bearing: orders of separate parts mix in equally
    many ways whatever the order inside each, so leaving them out changes nothing. Where the part itself is too large, only contexts
    with a path to or from one of the two are taken, or the nearest of these; relations between them are those of the whole site,
    paths included. That is another question than the one over the whole site, and `over` says so.

    Examples
    --------
    >>> from baulk.sequence.order import order_of
    >>> found = likely_pair(order_of(relations_of(5, [0, 3], [1, 4])), 1, 2, np.random.default_rng(1))
    >>> round(found.earlier, 3), found.exact, found.contexts
    (0.667, True, 3)
    """
    first, second = int(order.merging.group[one]), int(order.merging.group[other])
    name = order.given.name
    if one == other:
        raise InputError(f"{name(one)} is asked for beside itself. Ask for two contexts.")
    if first == second:
        raise InputError(
            f"{name(one)} and {name(other)} are recorded as one, so neither is earlier. Ask for two contexts that are apart."
        )
    relations = order.relations
    refuse_loops(relations, "The likely order")
    for later, earlier, share in ((second, first, 1.0), (first, second, 0.0)):
        if reaches(relations, [later], [earlier])[0]:
            return LikelyPair(share, 0.0, float("inf"), True, True, Over.PATH, 2, float("nan"))
    over, chosen = _bearing(relations, first, second, most)
    found = likely_order(_among(relations, chosen), rng)
    a, b = np.searchsorted(chosen, (first, second)).tolist()
    return LikelyPair(
        float(found.earlier[a, b]),
        float(found.standard_error[a, b]),
        float(found.effective_size[a, b]),
        found.exact,
        found.settled,
        over,
        len(chosen),
        found.orders,
    )


def _bearing(relations: Relations, first: int, second: int, most: int) -> tuple[Over, NDArray[np.int64]]:
    """Return the contexts to work over, ascending, and what they are."""
    parts = parts_of(relations)
    tied = np.flatnonzero((parts == parts[first]) | (parts == parts[second]))
    if len(tied) <= most:
        return Over.TIED, tied
    steps = np.full(relations.count, -1, np.int64)
    for neighbours in (neighbours_above(relations), neighbours_below(relations)):
        for context in (first, second):
            far = _steps_away(neighbours, context, most)
            steps = np.where((far >= 0) & ((steps < 0) | (far < steps)), far, steps)
    related = np.flatnonzero(steps >= 0)
    if len(related) <= most:
        return Over.RELATED, related
    return Over.NEAREST, np.sort(related[np.argsort(steps[related], kind="stable")[: max(most, 2)]])


def _steps_away(neighbours: Neighbours, start: int, enough: int) -> NDArray[np.int64]:
    """Return the fewest steps to each context in one direction; -1 where none lead there, or more than enough lie nearer."""
    steps = np.full(len(neighbours.starts) - 1, -1, np.int64)
    steps[start] = 0
    ring, met = np.array([start]), 1
    while len(ring) and met <= enough:
        counts = neighbours.starts[ring + 1] - neighbours.starts[ring]
        rows = np.repeat(neighbours.starts[ring + 1] - np.cumsum(counts), counts) + np.arange(counts.sum())
        ends = np.unique(neighbours.contexts[rows])
        fresh = ends[steps[ends] < 0]
        steps[fresh] = steps[ring[0]] + 1
        ring, met = fresh, met + len(fresh)
    return steps


def _among(relations: Relations, chosen: NDArray[np.int64]) -> Relations:
    """Return what the whole site says of the order between some contexts, counted anew."""
    size = len(chosen)
    upper, lower = np.divmod(np.arange(size**2), max(size, 1))
    down = np.flatnonzero(reaches(relations, chosen[upper], chosen[lower]))
    return relations_of(size, upper[down], lower[down], names=[relations.name(int(context)) for context in chosen])
