"""Parts of the order folded into one box each, so that a large order stays readable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.order_surety import least_sure

__all__ = ["LEAST_FOLD", "Folded", "folded"]

LEAST_FOLD = 3
"""Chains and twins of fewer groups are not folded: the box would say less and save nothing."""

LEAST_LARGE = 24
"""Two folds that hold more groups than this together, and more than four times the mean, stay apart
while others can be folded."""

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Folded:
    """Boxes, each of one group or of several folded ones, and the relations between them.

    Parameters
    ----------
    boxes : tuple of tuple of int
        The groups in each box, latest first where they form a chain.
    later, earlier : int array
        Relations between boxes.
    certainty : float array
        Of each relation, NaN where nobody said it; of several that fall together, the least.
    """

    boxes: tuple[tuple[int, ...], ...]
    later: Ints
    earlier: Ints
    certainty: Floats


@dataclass
class _Net:
    """The boxes while they are folded, under the number of one of their groups."""

    boxes: dict[int, list[int]]
    band: Sequence[int]
    kept: frozenset[int]
    large: int
    above: dict[int, dict[int, float]] = field(default_factory=dict)
    below: dict[int, dict[int, float]] = field(default_factory=dict)

    def may(self, one: int, other: int) -> bool:
        """Return whether two boxes may share one: neither is to stay open, both are of one phase, and they are not too large."""
        small = len(self.boxes[one]) + len(self.boxes[other]) <= self.large
        return small and one not in self.kept and other not in self.kept and self.band[one] == self.band[other]

    def join(self, run: list[int]) -> None:
        """Fold some boxes into the first, which takes over their relations to all others."""
        first = run[0]
        for box in run[1:]:
            self.boxes[first] += self.boxes.pop(box)
            for other, value in self.above.pop(box).items():
                del self.below[other][box]
                if other != first:
                    self._tie(other, first, value)
            for other, value in self.below.pop(box).items():
                del self.above[other][box]
                if other != first:
                    self._tie(first, other, value)

    def _tie(self, later: int, earlier: int, certainty: float) -> None:
        least = least_sure(certainty, self.below[later].get(earlier, certainty))
        self.below[later][earlier] = self.above[earlier][later] = least


def folded(
    count: int, later: Ints, earlier: Ints, certainty: Floats, bands: Sequence[int], most: int | None, kept: frozenset[int]
) -> Folded:  # fmt: skip
    """Return the order with parts folded until no more than `most` boxes are left, or none can be folded.

    Parameters
    ----------
    count : int
        Number of groups.
    later, earlier, certainty : arrays, shape (m,)
        Needed relations of an order without loops.
    bands : sequence of int
        Phase of each group; only groups of one phase are folded together.
    most : int or None
        Boxes up to which nothing is folded; None never folds.
    kept : frozenset of int
        Groups that stay open.

    Notes
    -----
    A chain: each has one below, which has one above. Twins: the same above and the same below. A pair: one has nothing but the
    other above it, or nothing but the other below it; pairs are folded only while chains and twins leave too many, the smallest
    first. Every way into such a box meets what is left by every way out of it, so each fold leaves the order between all other
    boxes as it was, and none makes a loop. Folds are folded again.
    """
    large = max(LEAST_LARGE, 4 * count // max(most or 1, 1))
    net = _Net(
        {one: [one] for one in range(count)}, bands, kept, large, {n: {} for n in range(count)}, {n: {} for n in range(count)}
    )
    for upper, lower, value in zip(later.tolist(), earlier.tolist(), certainty.tolist(), strict=True):
        net.below[upper][lower] = net.above[lower][upper] = value
    _fold_to(net, len(net.boxes) if most is None else most)
    place = {box: at for at, box in enumerate(net.boxes)}
    rows = [(place[upper], place[lower], value) for upper, lowers in net.below.items() for lower, value in lowers.items()]
    columns = np.array(rows, dtype=np.float64).reshape(-1, 3).T
    ends = columns[:2].astype(np.int64)
    return Folded(tuple(tuple(groups) for groups in net.boxes.values()), ends[0], ends[1], columns[2])


def _fold_to(net: _Net, most: int) -> None:
    """Fold until `most` boxes are left or nothing more can be folded."""
    kinds = (_chains, _twins, _pairs)
    kind = 0
    while len(net.boxes) > most:
        runs = kinds[kind](net)
        for run in runs:
            if kind == 2 and len(net.boxes) <= most:
                break
            net.join(run)
        kind = 0 if runs else kind + 1
        if kind == len(kinds):
            if net.large >= len(net.band):
                break
            net.large, kind = 2 * net.large, 0


def _worth(net: _Net, run: list[int]) -> bool:
    return len(run) > 1 and sum(len(net.boxes[box]) for box in run) >= LEAST_FOLD


def _next_in_chain(net: _Net, box: int) -> int | None:
    """Return the one box below, when nothing else is above it and the two may share a box."""
    if len(net.below[box]) != 1:
        return None
    (other,) = net.below[box]
    return other if len(net.above[other]) == 1 and net.may(box, other) else None


def _chains(net: _Net) -> list[list[int]]:
    following = {box: other for box in net.boxes if (other := _next_in_chain(net, box)) is not None}
    runs = []
    for head in following.keys() - set(following.values()):
        run = [head]
        while run[-1] in following:
            run.append(following[run[-1]])
        runs.append(run)
    return sorted(run for run in runs if _worth(net, run))


def _twins(net: _Net) -> list[list[int]]:
    alike: dict[tuple[frozenset[int], frozenset[int], int], list[int]] = {}
    for box in net.boxes:
        if box not in net.kept and (net.above[box] or net.below[box]):
            alike.setdefault((frozenset(net.above[box]), frozenset(net.below[box]), net.band[box]), []).append(box)
    return [run for run in alike.values() if _worth(net, run)]


def _pairs(net: _Net) -> list[list[int]]:
    """Return pairs of which none shares a box, those that make the smallest boxes first."""
    found = []
    for box in net.boxes:
        for near in (net.above[box], net.below[box]):
            if len(near) == 1 and net.may(box, other := next(iter(near))):
                found.append((len(net.boxes[box]) + len(net.boxes[other]), *sorted((box, other))))
    taken: set[int] = set()
    pairs = []
    for _, one, other in sorted(found):
        if one not in taken and other not in taken:
            taken |= {one, other}
            pairs.append([one, other])
    return pairs
