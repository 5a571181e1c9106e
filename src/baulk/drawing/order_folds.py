"""Parts of the order folded into one box each, so that a large order stays readable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["LEAST_FOLD", "Folded", "folded"]

LEAST_FOLD = 3
"""Fewer than this many groups are never folded: the box would say less and save nothing."""

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
        Of each relation; of several that fall together, the least.
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
    above: dict[int, dict[int, float]] = field(default_factory=dict)
    below: dict[int, dict[int, float]] = field(default_factory=dict)

    def may(self, one: int, other: int) -> bool:
        """Return whether two boxes may share one: neither is to stay open and both are of one phase."""
        return one not in self.kept and other not in self.kept and self.band[one] == self.band[other]

    def join(self, run: list[int], *, chain: bool) -> None:
        """Fold some boxes into the first: a chain keeps what is under its last, twins share all."""
        first, last = run[0], run[-1]
        for box in run[1:]:
            self.boxes[first] += self.boxes.pop(box)
            ups, downs = self.above.pop(box), self.below.pop(box)
            for other, value in ups.items():
                del self.below[other][box]
                if not chain:
                    self._tie(other, first, value)
            for other, value in downs.items():
                if other in self.above:
                    self.above[other].pop(box, None)
                    if not chain or box == last:
                        self._tie(first, other, value)

    def _tie(self, later: int, earlier: int, certainty: float) -> None:
        least = min(certainty, self.below[later].get(earlier, 1.0))
        self.below[later][earlier] = self.above[earlier][later] = least


def folded(
    count: int, later: Ints, earlier: Ints, certainty: Floats, bands: Sequence[int], most: int | None, kept: frozenset[int]
) -> Folded:  # fmt: skip
    """Return the order with chains and twins folded until no more than `most` boxes are left, or none can be folded.

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
    A chain: each has one below, which has one above. Twins: the same above and the same below. Both leave every relation between
    what stays open as it was. Folds are folded again, so that an order of chains and twins ends as one box.
    """
    net = _Net({one: [one] for one in range(count)}, bands, kept, {n: {} for n in range(count)}, {n: {} for n in range(count)})
    for upper, lower, value in zip(later.tolist(), earlier.tolist(), certainty.tolist(), strict=True):
        net.below[upper][lower] = net.above[lower][upper] = value
    if most is not None:
        turn = 0
        idle = 0
        while len(net.boxes) > most and idle < 2:
            runs = _chains(net) if turn % 2 == 0 else _twins(net)
            for run in runs:
                net.join(run, chain=turn % 2 == 0)
            turn, idle = turn + 1, 0 if runs else idle + 1
    place = {box: at for at, box in enumerate(net.boxes)}
    rows = [(place[upper], place[lower], value) for upper, lowers in net.below.items() for lower, value in lowers.items()]
    columns = np.array(rows, dtype=np.float64).reshape(-1, 3).T
    ends = columns[:2].astype(np.int64)
    return Folded(tuple(tuple(groups) for groups in net.boxes.values()), ends[0], ends[1], columns[2])


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
