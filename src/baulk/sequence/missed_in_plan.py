"""Contexts that overlap or touch in plan, lie at different levels, and have no path between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from baulk.grid.length_format import format_difference
from baulk.record import Context, Outline
from baulk.sequence.closeness import Closeness
from baulk.sequence.level_pairs import surface_levels
from baulk.sequence.live import live_order
from baulk.sequence.placed_contexts import PlacedContexts
from baulk.sequence.plan_pairs import overlapping_pairs, plan_shapes, touching_pairs
from baulk.sequence.reduction import reduce_relations
from baulk.sequence.relations import relations_of
from baulk.sequence.suspicion import Mend, Suspicion

__all__ = ["missed_in_plan"]


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two contexts that meet in plan: ids, the likely way round, metres apart in height, and how they meet."""

    later: str
    earlier: str
    apart: float
    meet: str


def missed_in_plan(
    placed: PlacedContexts, closeness: Closeness, told_elsewhere: Sequence[tuple[str, str]] = ()
) -> Iterator[Suspicion]:
    """Find contexts that overlap or touch in plan at different levels without a path between them.

    Parameters
    ----------
    placed : PlacedContexts
        The record and its order.
    closeness : Closeness
        How near counts as near.
    told_elsewhere : sequence of (str, str)
        Ids of the contexts, later and earlier, of what walls or sheets say and no relation does; that is told elsewhere.

    Yields
    ------
    Suspicion
        The way round is the likely one and no more: the higher is the later, a cut counting by its top, and a fill that has no cut
        yet is later than a cut. Pairs without levels on both are passed over: nobody can tell whether they lie over each other (the
        closing check asks for levels). A pair that would have a path once the other suspicions were entered is passed over too, so
        that one missed relation is told once and not for everything below it.
    """
    pairs = list(_meeting(placed, closeness))
    for place in _needed(placed, told_elsewhere, pairs):
        yield _told(placed, pairs[place])


def _meeting(placed: PlacedContexts, closeness: Closeness) -> Iterator[_Pair]:
    """Yield the pairs that meet at different levels and have no path between them."""
    drawn = {context: shape for context, shape in plan_shapes(placed.record).items() if context in placed.known.index}
    ids, shapes = list(drawn), list(drawn.values())
    metres = placed.record.metres
    over = overlapping_pairs(shapes, closeness.overlap_area / metres**2)
    beside = touching_pairs(shapes, closeness.touch_distance / metres, closeness.touch_length / metres)
    place = np.array([placed.known.index[context] for context in ids], np.int64)
    seen = set(map(tuple, over.tolist()))
    touching = np.array([pair for pair in beside.tolist() if tuple(pair) not in seen], np.int64).reshape(-1, 2)
    heights = [_height(placed, context) for context in ids]
    for pairs, meet in ((over, "overlap"), (touching, "touch")):
        free = placed.apart(place[pairs[:, 0]], place[pairs[:, 1]]) if len(pairs) else np.zeros(0, np.bool_)
        for one, other in pairs[free].tolist():
            high, low = heights[one], heights[other]
            if high is None or low is None or abs(high - low) <= closeness.level_tolerance:
                continue
            first = _fills(placed, ids[one], ids[other]) or (high > low and not _fills(placed, ids[other], ids[one]))
            later, earlier = (one, other) if first else (other, one)
            yield _Pair(ids[later], ids[earlier], abs(high - low), meet)


def _height(placed: PlacedContexts, context: str) -> float | None:
    """Return the mean of a context's levels in metres, of a cut those on its top; None when none has a value."""
    found = placed.record.get(Context, context)
    surface = "top" if found is not None and found.kind == "cut" else None
    levels = [level.level for level in surface_levels(placed.record, context, surface) if level.level is not None]
    return None if not levels else sum(levels) / len(levels) * placed.record.metres


def _fills(placed: PlacedContexts, one: str, other: str) -> bool:
    """Tell whether the first is a fill that has no cut yet, and the second a cut."""
    cut = placed.record.get(Context, other)
    return one in placed.fills_without_cut and cut is not None and cut.kind == "cut"


def _needed(placed: PlacedContexts, told_elsewhere: Sequence[tuple[str, str]], pairs: Sequence[_Pair]) -> list[int]:
    """Return the places of the pairs that would have no path by the relations, what is told elsewhere and the other pairs."""
    group, index = placed.order.merging.group, placed.known.index
    live = live_order(placed.order.relations)
    told = [(int(group[index[later]]), int(group[index[earlier]])) for later, earlier in told_elsewhere]
    for later, earlier in told:
        if later != earlier:
            live.add(later, earlier)
    ends = [(int(group[index[pair.later]]), int(group[index[pair.earlier]])) for pair in pairs]
    entered = [live.add(*pair) for pair in ends]
    sure = min((one.relation for one in entered), default=0)
    # Where what is told elsewhere leads the other way round, that answers the pair; a loop through other pairs answers nothing.
    closing = [one.closed is not None and max(one.closed.relations[1:]) >= sure for one in entered]
    uppers, lowers = live.ordering
    kept = reduce_relations(relations_of(live.count, uppers, lowers)).kept
    needed = set(zip(uppers[kept].tolist(), lowers[kept].tolist(), strict=True)) - set(told)
    wanted = [place for place, pair in enumerate(ends) if closing[place] or pair in needed]
    return list({ends[place]: place for place in reversed(wanted)}.values())[::-1]


def _told(placed: PlacedContexts, pair: _Pair) -> Suspicion:
    record = placed.record
    later, earlier = record.label(pair.later), record.label(pair.earlier)
    outlines = tuple(
        found.id for context in (pair.later, pair.earlier) for found in record.pointing_at(Outline, "context", context)
    )
    how, apart = _likely_how(placed, pair), format_difference(pair.apart, record.length_unit)
    return Suspicion(
        "missed relation",
        pair.later,
        pair.earlier,
        f"{later} and {earlier} {pair.meet} in plan, stand {apart} apart in height, and no path of relations "
        "leads from one to the other.",
        f"See where the two come nearest which is the later one, or what lies between; if {later} {how} {earlier}, as the levels "
        "suggest, enter that from both sheets.",
        (pair.later, pair.earlier, *outlines),
        Mend(None, "how", how),
    )


def _likely_how(placed: PlacedContexts, pair: _Pair) -> str:
    if _fills(placed, pair.later, pair.earlier):
        return "fills"
    upper = placed.record.get(Context, pair.later)
    return "cuts" if upper is not None and upper.kind == "cut" else "overlies"
