"""Edges by kind, and the notches of a cut."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from baulk.drawing.scene import Line, Shape, Spot, Stroke

__all__ = ["edge_runs", "notched", "signed_area"]

_NOTCH_STEP, _NOTCH_LENGTH = 2.8, 1.4


def edge_runs(ring: Sequence[Spot], kinds: Sequence[str | None]) -> tuple[tuple[str | None, tuple[Spot, ...]], ...]:
    """Return a closed ring as runs of spots, each run of one kind of edge.

    Parameters
    ----------
    ring
        Corners, the first not repeated.
    kinds
        Kind of each edge from corner 1 to 2 and on round; a shorter list leaves the last edges without a kind.
    """
    count = len(ring)
    of_edge = [kinds[place] if place < len(kinds) else None for place in range(count)]
    changes = [place for place in range(count) if of_edge[place] != of_edge[place - 1]]
    if not changes:
        return ((of_edge[0], (*ring, ring[0])),)
    runs = []
    for start, end in zip(changes, [*changes[1:], changes[0] + count], strict=True):
        runs.append((of_edge[start], tuple(ring[place % count] for place in range(start, end + 1))))
    return tuple(runs)


def signed_area(ring: Sequence[Spot]) -> float:
    """Return the ring's area on the sheet: positive when its corners run clockwise as seen."""
    following = [*ring[1:], ring[0]]
    return sum(here.across * then.down - then.across * here.down for here, then in zip(ring, following, strict=True)) / 2


def notched(run: Sequence[Spot], stroke: Stroke, *, right: bool) -> tuple[Shape, ...]:
    """Return a cut's line with its notches, which stand to the right of its direction of drawing or to the left.

    Notches are a fixed distance apart along the line, half of it at both ends, and at least one.
    """
    lengths = [hypot(b.across - a.across, b.down - a.down) for a, b in pairwise(run)]
    total = sum(lengths)
    if total == 0:
        return ()
    count = max(1, round(total / _NOTCH_STEP))
    side = 1.0 if right else -1.0
    parts: list[tuple[Spot, ...]] = []
    walked, place = 0.0, 0
    for number in range(count):
        target = total * (number + 0.5) / count
        while place < len(lengths) - 1 and walked + lengths[place] < target:
            walked += lengths[place]
            place += 1
        clear = min(0.5, lengths[place] / 2)  # a notch on a corner would lie along the next side
        share = min(max(target - walked, clear), lengths[place] - clear) / (lengths[place] or 1)
        start, end = run[place], run[place + 1]
        foot = Spot(start.across + share * (end.across - start.across), start.down + share * (end.down - start.down))
        along = ((end.across - start.across) / (lengths[place] or 1), (end.down - start.down) / (lengths[place] or 1))
        tip = Spot(foot.across - side * along[1] * _NOTCH_LENGTH, foot.down + side * along[0] * _NOTCH_LENGTH)
        parts.append((foot, tip))
    return Line(tuple(parts), Stroke("notch", 0.3), cased=True), Line((tuple(run),), stroke, cased=True)
