"""Contexts that overlap or touch in plan, lie at different levels, and have no path between them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from baulk.record import Context, Outline
from baulk.sequence.closeness import Closeness
from baulk.sequence.level_pairs import surface_levels
from baulk.sequence.placed_contexts import PlacedContexts
from baulk.sequence.plan_pairs import overlapping_pairs, plan_shapes, touching_pairs
from baulk.sequence.suspicion import Mend, Suspicion

__all__ = ["height_apart", "mean_level", "missed_in_plan"]


def mean_level(placed: PlacedContexts, context: str) -> float | None:
    """Return the mean of a context's levels in metres; None when none has a value."""
    levels = [level.level for level in surface_levels(placed.record, context) if level.level is not None]
    return None if not levels else sum(levels) / len(levels) * placed.record.metres


def height_apart(one: float | None, other: float | None) -> float | None:
    """Return by how many metres the first stands above the second; None when either is not known."""
    return None if one is None or other is None else one - other


def missed_in_plan(placed: PlacedContexts, closeness: Closeness) -> Iterator[Suspicion]:
    """Find contexts that overlap or touch in plan at different levels without a path between them.

    Parameters
    ----------
    placed : PlacedContexts
        The record and its order.
    closeness : Closeness
        How near counts as near.

    Yields
    ------
    Suspicion
        Overlapping pairs first. The higher of the two is named as the later one, which is likely and no more. Pairs without
        levels on both are passed over: nobody can tell whether they lie over each other (the closing check asks for levels).
    """
    drawn = {context: shape for context, shape in plan_shapes(placed.record).items() if context in placed.known.index}
    ids, shapes = list(drawn), list(drawn.values())
    metres = placed.record.metres
    over = overlapping_pairs(shapes, closeness.overlap_area / metres**2)
    beside = touching_pairs(shapes, closeness.touch_distance / metres, closeness.touch_length / metres)
    place = np.array([placed.known.index[context] for context in ids], np.int64)
    seen = set(map(tuple, over.tolist()))
    touching = np.array([pair for pair in beside.tolist() if tuple(pair) not in seen], np.int64).reshape(-1, 2)
    for pairs, words in ((over, "overlap"), (touching, "touch")):
        free = placed.apart(place[pairs[:, 0]], place[pairs[:, 1]]) if len(pairs) else np.zeros(0, np.bool_)
        for one, other in pairs[free].tolist():
            yield from _judged(placed, closeness, ids[one], ids[other], words)


def _judged(placed: PlacedContexts, closeness: Closeness, one: str, other: str, words: str) -> Iterator[Suspicion]:
    apart = height_apart(mean_level(placed, one), mean_level(placed, other))
    if apart is None or abs(apart) <= closeness.level_tolerance:
        return
    later, earlier = (one, other) if apart > 0 else (other, one)
    record = placed.record
    names = f"{record.label(later)} and {record.label(earlier)}"
    outlines = tuple(found.id for context in (later, earlier) for found in record.pointing_at(Outline, "context", context))
    how = _likely_how(placed, later, earlier)
    yield Suspicion(
        "missed relation",
        later,
        earlier,
        f"{names} {words} in plan, {record.label(later)} stands {1000 * abs(apart):.0f} mm higher, and no path of relations leads "
        "from one to the other.",
        f"See where the two come nearest which lies over which, or what lies between; if it is {record.label(later)} over "
        f"{record.label(earlier)}, enter “{how}”.",
        (later, earlier, *outlines),
        Mend(None, "how", how),
    )


def _likely_how(placed: PlacedContexts, later: str, earlier: str) -> str:
    upper, lower = placed.record.get(Context, later), placed.record.get(Context, earlier)
    kinds = (upper.kind if upper else None, lower.kind if lower else None)
    if kinds == ("fill", "cut"):
        return "fills"
    return "cuts" if kinds[0] == "cut" else "overlies"
