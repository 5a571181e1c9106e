"""Take one path of items out of the rows and put it back where it crosses least."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.compiled import compiled

__all__ = ["Arrangement", "draw", "replace_paths"]

Ints = NDArray[np.int64]

WINDOW = 6
"""Places to either side that are tried in each row."""


class Arrangement(NamedTuple):
    """The items of all rows from left to right, and who stands above and below whom."""

    flat: Ints
    starts: Ints
    places: Ints
    row: Ints
    up_starts: Ints
    up: Ints
    down_starts: Ints
    down: Ints


@compiled
def draw(dice: Ints, sides: int) -> int:
    """Return the next of a fixed sequence of numbers below `sides`."""
    dice[0] = (dice[0] * 1103515245 + 12345) & 0x7FFFFFFF
    return int((dice[0] >> 8) % sides)


@compiled
def _passing(places: Ints, starts: Ints, near: Ints, item: int, other: int, on_path: int) -> int:
    """Return how crossings change when `item` passes `other` to its right; lines to `on_path` are not counted."""
    change = 0
    for first in range(starts[item], starts[item + 1]):
        if near[first] != on_path:
            place = places[near[first]]
            for second in range(starts[other], starts[other + 1]):
                if near[second] != on_path:
                    change += (places[near[second]] > place) - (places[near[second]] < place)
    return change


@compiled
def _left_of(places: Ints, starts: Ints, near: Ints, item: int, on_path: int, slot: int) -> tuple[int, int]:
    """Return how many neighbours of `item` stand left of a slot of their row, and how many there are; `on_path` is not counted."""
    left, own = 0, places[on_path]
    for at in range(starts[item], starts[item + 1]):
        one = near[at]
        if one != on_path:
            left += places[one] - (places[one] > own) < slot
    return left, starts[item + 1] - starts[item] - 1


@compiled
def _between_sides(a: Arrangement, upper: int, lower: int, bounds: Ints, cost: Ints) -> None:
    """Add the crossings of the upper item's other lines downward with the lower item's other lines upward."""
    if a.down_starts[upper + 1] - a.down_starts[upper] == 1 or a.up_starts[lower + 1] - a.up_starts[lower] == 1:
        return
    for above in range(bounds[2] - bounds[0] + 1):
        left, count = _left_of(a.places, a.up_starts, a.up, lower, upper, bounds[0] + above)
        for under in range(bounds[3] - bounds[1] + 1):
            left_below, count_below = _left_of(a.places, a.down_starts, a.down, upper, lower, bounds[1] + under)
            cost[above, under] += left * left_below + (count - left) * (count_below - left_below)


@compiled
def _between(a: Arrangement, upper: int, lower: int, bounds: Ints, cost: Ints) -> None:
    """Fill in the crossings of the path's own line between two rows, for each slot above (axis 0) and below (axis 1)."""
    own_up, own_low = a.places[upper], a.places[lower]
    high, low = bounds[2] - bounds[0] + 1, bounds[3] - bounds[1] + 1
    cost[0, 0] = 0
    for at in range(low - 1):
        slot, change = bounds[1] + at, 0
        other = a.flat[a.starts[a.row[lower]] + slot + (slot >= own_low)]
        for line in range(a.up_starts[other], a.up_starts[other + 1]):
            end = a.up[line]
            if end != upper:
                change += 1 if a.places[end] - (a.places[end] > own_up) >= bounds[0] else -1
        cost[0, at + 1] = cost[0, at] + change
    for at in range(high - 1):
        slot = bounds[0] + at
        other = a.flat[a.starts[a.row[upper]] + slot + (slot >= own_up)]
        for under in range(low):
            cost[at + 1, under] = cost[at, under]
        for line in range(a.down_starts[other], a.down_starts[other + 1]):
            end = a.down[line]
            if end != lower:
                reduced = a.places[end] - (a.places[end] > own_low) - bounds[1]
                for under in range(low):
                    cost[at + 1, under] += 1 if reduced >= under else -1
    _between_sides(a, upper, lower, bounds, cost)


@compiled
def _alone(a: Arrangement, item: int, above: int, below: int, bounds: Ints, cost: Ints) -> None:
    """Add the crossings of an item's lines that are not on the path, for each slot."""
    own, begin, sum_ = a.places[item], a.starts[a.row[item]], 0
    for slot in range(bounds[1], bounds[3]):
        other = a.flat[begin + slot + (slot >= own)]
        sum_ += _passing(a.places, a.up_starts, a.up, item, other, above)
        sum_ += _passing(a.places, a.down_starts, a.down, item, other, below)
        cost[slot - bounds[1] + 1] += sum_


@compiled
def _put(a: Arrangement, item: int, slot: int) -> None:
    """Move an item to another slot of its row."""
    begin, own = a.starts[a.row[item]], a.places[item]
    step = 1 if slot > own else -1
    for place in range(own, slot, step):
        other = a.flat[begin + place + step]
        a.flat[begin + place] = other
        a.places[other] = place
    a.flat[begin + slot] = item
    a.places[item] = slot


@compiled
def _least(values: Ints, count: int, dice: Ints, kept: int) -> int:
    """Return where the least of some values stands; ties are drawn, or with a steady dice `kept` wins them."""
    least, ties = 0, 1
    for at in range(1, count):
        if values[at] < values[least]:
            least, ties = at, 1
        elif values[at] == values[least]:
            ties += 1
            if dice[0] >= 0 and draw(dice, ties) == 0:
                least = at
    return kept if dice[0] < 0 and values[kept] == values[least] else least


@compiled
def _window(a: Arrangement, item: int, bounds: Ints) -> None:
    """Put the first and last slot to try in the row of `item` into bounds[1] and bounds[3], those of the row above into 0 and 2."""
    bounds[0], bounds[2] = bounds[1], bounds[3]
    width = a.starts[a.row[item] + 1] - a.starts[a.row[item]]
    bounds[1], bounds[3] = max(0, a.places[item] - WINDOW), min(width - 1, a.places[item] + WINDOW)


@compiled
def _replace(a: Arrangement, path: Ints, dice: Ints, room: Ints, came: Ints) -> int:
    """Put a path where it crosses least; return how many crossings that saves."""
    bounds, slots = np.zeros(4, np.int64), 2 * WINDOW + 1
    best, now, both = np.zeros(slots, np.int64), np.zeros(slots, np.int64), np.zeros(slots, np.int64)
    held, kept, count = 0, 0, 0
    for at in range(len(path)):
        item, above, count_above = path[at], kept, count
        _window(a, item, bounds)
        kept, count = a.places[item] - bounds[1], bounds[3] - bounds[1] + 1
        if at:
            _between(a, path[at - 1], item, bounds, room)
            held += room[above, kept]
        for slot in range(count):
            now[slot] = 0
            if at:
                for place in range(count_above):
                    both[place] = best[place] + room[place, slot]
                came[at, slot] = _least(both, count_above, dice, above)
                now[slot] = both[came[at, slot]]
        before = now[kept]
        _alone(a, item, path[at - 1] if at else -1, path[at + 1] if at + 1 < len(path) else -1, bounds, now)
        held += now[kept] - before
        best, now = now, best
    slot = _least(best, count, dice, kept)
    saved = held - best[slot]
    if saved > 0 or dice[0] >= 0:
        for at in range(len(path) - 1, -1, -1):
            move = max(0, a.places[path[at]] - WINDOW) + slot
            slot = came[at, slot]
            _put(a, path[at], move)
    return int(saved)


@compiled
def _next(starts: Ints, near: Ints, item: int, real: int, reach: int, dice: Ints) -> int:
    """Return a neighbour to go on to, or -1 where the path ends."""
    count = starts[item + 1] - starts[item]
    if count == 0:
        return -1
    other = near[starts[item] + (draw(dice, count) if count > 1 else 0)]
    return -1 if other < real and draw(dice, reach) == 0 else int(other)


@compiled
def replace_paths(a: Arrangement, visits: Ints, real: int, reach: int, dice: Ints) -> int:
    """Replace a path through each of `visits` in turn; return how many crossings that saves.

    A path goes along a line up and down; at a context it goes on with chance 1 − 1/reach. With a negative `dice` nothing moves
    unless that saves crossings.
    """
    rows, slots, saved = len(a.starts) - 1, 2 * WINDOW + 1, 0
    room, came, path = np.zeros((slots, slots), np.int64), np.zeros((rows, slots), np.int64), np.zeros(2 * rows + 3, np.int64)
    ways = np.array([abs(dice[0])])
    for item in visits:
        begin, end, at = rows + 1, rows + 2, item
        while at >= 0:
            path[begin] = at
            begin -= 1
            at = _next(a.up_starts, a.up, at, real, reach, ways)
        at = _next(a.down_starts, a.down, item, real, reach, ways)
        while at >= 0:
            path[end] = at
            end += 1
            at = _next(a.down_starts, a.down, at, real, reach, ways)
        saved += _replace(a, path[begin + 1 : end], dice, room, came)
    return saved
