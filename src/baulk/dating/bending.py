"""The map that moves a cluster of events as one: shifted whole, or bent about one of them like a string held at both ends."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baulk.dating.moves_arrays import Setting, log_at
from baulk.sequence.compiled import compiled

__all__ = ["Held", "slide"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]
TRIES = 60
WIDE = 4.0
"""Standard deviations over which a slice begins; shrinking does the rest."""


class Held(NamedTuple):
    """What a move keeps: the ends of the stretch, where the pivot is, and whether all is shifted rather than bent."""

    left: float
    here: float
    right: float
    shift: bool


@compiled
def _bent(time: float, held: Held, there: float) -> float:
    """Return where a time goes when the pivot goes there."""
    if held.shift:
        return time + (there - held.here)
    if time <= held.here:
        return held.left + (time - held.left) * (there - held.left) / (held.here - held.left)
    return held.right - (held.right - time) * (held.right - there) / (held.right - held.here)


@compiled
def slide(
    rng: np.random.Generator, setting: Setting, times: Floats, member: Places, begin: int, finish: int, low: float, high: float
) -> None:  # fmt: skip
    """Move the events ``member[begin:finish]``, rising between two times that stay, by a slice; changes `times`.

    Whether they are shifted or bent, and about which of them, is chosen at random.
    """
    shift = rng.random() < 0.5
    pivot = begin + int(rng.random() * (finish - begin))
    here = times[member[pivot]]
    bottom, top = low, high
    if shift:
        bottom, top = here - (times[member[begin]] - low), here + (high - times[member[finish - 1]])
    held = Held(bottom, here, top, shift)
    if not bottom < here < top:
        return
    level = _level(setting, times, member, begin, finish, pivot, held, here) - rng.standard_exponential()
    reach = WIDE * 2.0 ** (2.0 * rng.random() - 1.0) * _scale(setting, member, begin, finish, pivot, held)
    left = here - rng.random() * reach
    left, right = max(left, bottom), min(left + reach, top)
    for _ in range(TRIES):
        there = left + rng.random() * (right - left)
        if bottom < there < top and _level(setting, times, member, begin, finish, pivot, held, there) >= level:
            for place in range(begin, finish):
                times[member[place]] = _bent(times[member[place]], held, there)
            return
        if there < here:
            left = there
        else:
            right = there


@compiled
def _scale(setting: Setting, member: Places, begin: int, finish: int, pivot: int, held: Held) -> float:
    """Return about how far the pivot may go, from what the move does not change: numbers of events and their evidence."""
    precision, ahead, behind = 0.0, pivot - begin + 1.0, float(finish - pivot)
    for place in range(begin, finish):
        share = 1.0
        if not held.shift:
            share = (place - begin + 1.0) / ahead if place <= pivot else (finish - place) / behind
        precision += setting.precision[member[place]] * share * share
    if held.shift:
        room = (held.right - held.left) ** 2 / 12.0
    else:
        both = ahead + behind
        room = (held.right - held.left) ** 2 * ahead * behind / (both * both * (both + 1.0))
    return float(1.0 / np.sqrt(precision + 1.0 / room))


@compiled
def _level(
    setting: Setting, times: Floats, member: Places, begin: int, finish: int, pivot: int, held: Held, there: float
) -> float:  # fmt: skip
    """Return the log-density with the pivot there: evidence, and the change of volume."""
    found = 0.0
    if not held.shift:
        found = float((pivot - begin) * np.log(there - held.left) + (finish - 1 - pivot) * np.log(held.right - there))
    for place in range(begin, finish):
        node = member[place]
        found += log_at(setting, node, _bent(times[node], held, there))
        if found == -np.inf:
            break
    return found
