"""Contexts that would have to be later than they can be: the chain behind it, and the ways out with what each would cost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from baulk.dating.bounds import Bounds, without
from baulk.dating.termini import Side
from baulk.dating.years import year_in_words

__all__ = ["Contradiction", "Shift", "WayOut", "contradiction_in_words", "contradictions_of", "ways_out"]

SHOWN = 5
"""Changed bounds that a sentence names."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A find in or below a context that was made after the year by which the context is known to have been there.

    Parameters
    ----------
    post, ante : int
        Rows of the two termini.
    chain : tuple of int
        Groups from the one with the TAQ down to the one with the find; one alone when both belong to it.
    relations : tuple of int
        The relations between groups along it.
    contexts : tuple of int
        All groups that cannot be dated because of these two.
    """

    post: int
    ante: int
    chain: tuple[int, ...]
    relations: tuple[int, ...]
    contexts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Shift:
    """A bound that a way out would change: group, side, year before and after; NaN where none is left."""

    group: int
    side: Side
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way out of a contradiction.

    Parameters
    ----------
    kind : str
        intrusive find, residual find, wrong relation or missed cut.
    says : str
        What it supposes, what it would cost, and where to look, in words.
    settles : bool
        Whether the contradiction would be gone.
    shifts : tuple of Shift
        Every bound that it would change.
    relation : int or None
        The relation supposed to be wrong.
    left : int
        Contexts still contradicted afterwards.
    """

    kind: str
    says: str
    settles: bool
    shifts: tuple[Shift, ...]
    relation: int | None
    left: int


def contradictions_of(bounds: Bounds) -> tuple[Contradiction, ...]:
    """Return the contradictions, one for each pair of find and firm date that bind, the one with most contexts first.

    Notes
    -----
    A context is contradicted when its TPQ lies above its TAQ. Contexts between the two share the pair, so each pair is told
    once. When it is settled, weaker pairs behind it may come forward.
    """
    places = bounds.conflicts
    pairs: dict[tuple[int, int], list[int]] = {}
    for group, post, ante in zip(places.tolist(), bounds.tpq_row[places].tolist(), bounds.taq_row[places].tolist(), strict=True):
        pairs.setdefault((post, ante), []).append(group)
    found = []
    for (post, ante), groups in pairs.items():
        inner = min(groups, key=lambda group: len(bounds.path(group, Side.POST)) + len(bounds.path(group, Side.ANTE)))
        up, down = bounds.chain(inner, Side.ANTE), bounds.chain(inner, Side.POST)
        relations = (*bounds.path(inner, Side.ANTE)[::-1], *bounds.path(inner, Side.POST))
        found.append(Contradiction(post, ante, (*up[::-1], *down[1:]), relations, tuple(groups)))
    return tuple(sorted(found, key=lambda one: (-len(one.contexts), one.post, one.ante)))


def contradiction_in_words(bounds: Bounds, one: Contradiction) -> str:
    """Return one sentence with both termini, the chain and what to settle."""
    names, termini = bounds.order.relations, bounds.termini
    top, bottom = names.name(one.chain[0]), names.name(one.chain[-1])
    chain = f" ({names.chain(one.chain, '>')})" if len(one.chain) > 1 else ""
    where = f"{top} lies above {bottom}{chain}" if len(one.chain) > 1 else f"both belong to {top}"
    return (
        f"{termini.names[one.ante]} has {top} there by {year_in_words(termini.year[one.ante])}, but {termini.names[one.post]} in "
        f"{bottom} "
        f"cannot be older than {year_in_words(termini.year[one.post])}, and {where}. A layer cannot be later than it is: one of "
        "these is "
        "wrong; see the ways out."
    )


def ways_out(bounds: Bounds, one: Contradiction) -> tuple[WayOut, ...]:
    """Return the ways out of a contradiction: intrusive find, residual find, each wrong relation, missed cut.

    Parameters
    ----------
    bounds : Bounds
        The bounds that hold it.
    one : Contradiction
        The contradiction.

    Returns
    -------
    tuple of WayOut
        Each with every bound it would change. None is recommended: the ground decides.
    """
    gone = without(bounds, termini=(one.post,))
    wrong = (_wrong(bounds, one, relation) for relation in one.relations)
    return (_intrusive(bounds, one, gone), _residual(bounds, one), *wrong, _missed_cut(bounds, one, gone))


def _intrusive(bounds: Bounds, one: Contradiction, gone: Bounds) -> WayOut:
    name, bottom = bounds.termini.names[one.post], bounds.order.relations.name(one.chain[-1])
    supposed = f"Intrusive find: {name} came into {bottom} later (root, burrow, a trowel through the boundary, a bag mixed up)."
    look = f"Look at the record of disturbance in {bottom}, how the find lay, and its bag."
    return _way("intrusive find", supposed, look, bounds, gone, one)


def _residual(bounds: Bounds, one: Contradiction) -> WayOut:
    name, top = bounds.termini.names[one.ante], bounds.order.relations.name(one.chain[0])
    supposed = f"Residual: {name} speaks of something older than {top} (an older thing brought up in it, or another structure)."
    look = f"Read what {name} says again, and whether it is {top} that it speaks of."
    return _way("residual find", supposed, look, bounds, without(bounds, termini=(one.ante,)), one)


def _wrong(bounds: Bounds, one: Contradiction, relation: int) -> WayOut:
    relations = bounds.order.relations
    later, earlier = relations.name(int(relations.later[relation])), relations.name(int(relations.earlier[relation]))
    supposed = f"Wrong relation: {later} is not later than {earlier} (certainty {relations.certainty[relation]:.2g})."
    look = "See both sheets, the plan and the wall where the two meet."
    return _way("wrong relation", supposed, look, bounds, without(bounds, relations=(relation,)), one, relation)


def _missed_cut(bounds: Bounds, one: Contradiction, gone: Bounds) -> WayOut:
    """A cut that nobody saw put the find into its context: to the bounds the same as an intrusive find, but it leaves a trace."""
    name, bottom, top = (
        bounds.termini.names[one.post],
        bounds.order.relations.name(one.chain[-1]),
        bounds.order.relations.name(one.chain[0]),
    )
    through = "" if top == bottom else f", from {top} or above,"
    supposed = (
        f"Missed cut: {name} lay in the fill of a cut through {bottom}{through} that nobody saw: one more cut and one more fill."
    )
    look = f"Look for its edge in the walls and photos of {bottom}; the other finds of {bottom} may belong to that fill as well."
    return _way("missed cut", supposed, look, bounds, gone, one)


def _way(
    kind: str, supposed: str, look: str, bounds: Bounds, after: Bounds, one: Contradiction, relation: int | None = None
) -> WayOut:
    shifts = tuple(_shifts(bounds, after))
    left = len(after.conflicts)
    settles = not any(after.tpq[group] > after.taq[group] for group in one.contexts)
    return WayOut(
        kind, " ".join([supposed, _cost(bounds, shifts), _rest(after, one, settles), look]), settles, shifts, relation, left
    )


def _shifts(before: Bounds, after: Bounds) -> Iterator[Shift]:
    for side, old, new in ((Side.POST, before.tpq, after.tpq), (Side.ANTE, before.taq, after.taq)):
        for group in np.flatnonzero((old != new) & ~(np.isnan(old) & np.isnan(new))).tolist():
            yield Shift(group, side, float(old[group]), float(new[group]))


def _cost(bounds: Bounds, shifts: tuple[Shift, ...]) -> str:
    if not shifts:
        return "No other bound would change."
    named = "; ".join(_shift_in_words(bounds, shift) for shift in shifts[:SHOWN])
    more = f"; and {len(shifts) - SHOWN} more" if len(shifts) > SHOWN else ""
    return f"It would change {len(shifts)} {'bound' if len(shifts) == 1 else 'bounds'}: {named}{more}."


def _shift_in_words(bounds: Bounds, shift: Shift) -> str:
    side = "TPQ" if shift.side is Side.POST else "TAQ"
    after = "none" if np.isnan(shift.after) else year_in_words(shift.after)
    return f"{side} of {bounds.order.relations.name(shift.group)} from {year_in_words(shift.before)} to {after}"


def _rest(after: Bounds, one: Contradiction, settles: bool) -> str:
    if settles:
        return "The contradiction would be gone."
    still = sum(bool(after.tpq[group] > after.taq[group]) for group in one.contexts)
    return f"It would not be enough: {still} of {len(one.contexts)} contexts would still be contradicted, by another find or path."
