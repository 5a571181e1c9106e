"""Moves of clusters of events: a stretch of time is taken, and what hangs together in it is bent or shifted as one.

Single moves crawl where many events lie close: each can go no further than its neighbours. Here a stretch of time between two
events is taken; the events inside fall into clusters joined by relations; each cluster is moved by a map of the stretch onto itself
that keeps every order, so no relation has to be looked at. The stretch is chosen by ranks, which the move does not change, so the
way back is as likely as the way there.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.dating.bending import slide
from baulk.dating.moves_arrays import Setting
from baulk.sequence.compiled import compiled

__all__ = ["move_blocks"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]


@compiled
def move_blocks(rng: np.random.Generator, setting: Setting, times: Floats, scales: int) -> None:
    """Move the events that hang together, in stretches of some lengths chosen at random; changes `times`."""
    rank = np.full(len(times), -1, np.int32)
    for block in range(len(setting.block_starts) - 1):
        inside = setting.blocks[setting.block_starts[block] : setting.block_starts[block + 1]]
        keys = np.empty(len(inside))
        for place in range(len(inside)):
            keys[place] = times[inside[place]]
        order = inside[np.argsort(keys)]
        for place in range(len(order)):
            rank[order[place]] = place
        widths = int(np.log2(len(order))) + 2  # the longest takes in the whole block
        for _ in range(min(scales, widths)):
            _stretches(rng, setting, times, order, rank, 2 ** (1 + int(rng.random() * widths)))


@compiled
def _stretches(rng: np.random.Generator, setting: Setting, times: Floats, order: Places, rank: Places, width: int) -> None:
    """Move the clusters of all stretches of some number of events once; boundaries of phases stay, and a stretch ends at each."""
    count = len(order)
    root, member, fill = np.empty(count, np.int32), np.empty(count, np.int32), np.empty(count, np.int32)
    left = 0
    turn = 1 + int(rng.random() * width)
    while left < count - 1:
        right = left + 1
        while right < count - 1 and order[right] < setting.events and right < turn:
            right += 1
        if right - left > 2:
            _join(setting, order, rank, left, right, root)
            _group(order, left, right, root, member, fill)
            begin = left + 1
            for place in range(left + 1, right):
                if root[place] == place:
                    if fill[place] - begin > 1:
                        slide(rng, setting, times, member, begin, fill[place], times[order[left]], times[order[right]])
                    begin = fill[place]
            _sort(times, order, rank, left, right)
        left = right if order[right] >= setting.events else right - 1
        if right >= turn:
            turn += width


@compiled
def _join(setting: Setting, order: Places, rank: Places, left: int, right: int, root: Places) -> None:
    """Give every rank between two the lowest rank of its cluster of related events."""
    for place in range(left + 1, right):
        root[place] = place
        node = order[place]
        for at in range(setting.below_starts[node], setting.below_starts[node + 1]):
            below = setting.below[at]
            if below < setting.events and left < rank[below] < place:
                _unite(root, rank[below], place)
    for place in range(left + 1, right):
        root[place] = root[root[place]]


@compiled
def _unite(root: Places, one: int, two: int) -> None:
    while root[one] != one:
        root[one] = root[root[one]]
        one = root[one]
    while root[two] != two:
        root[two] = root[root[two]]
        two = root[two]
    if one < two:
        root[two] = one
    else:
        root[one] = two


@compiled
def _group(order: Places, left: int, right: int, root: Places, member: Places, fill: Places) -> None:
    """List events cluster by cluster, each rising; afterwards `fill` at a root is where its cluster ends."""
    for place in range(left + 1, right):
        fill[place] = 0
    for place in range(left + 1, right):
        fill[root[place]] += 1
    begin = left + 1
    for place in range(left + 1, right):
        if root[place] == place:
            size = fill[place]
            fill[place] = begin
            begin += size
    for place in range(left + 1, right):
        top = root[place]
        member[fill[top]] = order[place]
        fill[top] += 1


@compiled
def _sort(times: Floats, order: Places, rank: Places, left: int, right: int) -> None:
    """Sort the nodes between two ranks by time."""
    if right - left > 32:
        inside = order[left + 1 : right].copy()
        keys = np.empty(len(inside))
        for place in range(len(inside)):
            keys[place] = times[inside[place]]
        rising = np.argsort(keys)
        for place in range(len(inside)):
            order[left + 1 + place] = inside[rising[place]]
    else:
        for place in range(left + 2, right):
            node = order[place]
            back = place - 1
            while back > left and times[order[back]] > times[node]:
                order[back + 1] = order[back]
                back -= 1
            order[back + 1] = node
    for place in range(left + 1, right):
        rank[order[place]] = place
