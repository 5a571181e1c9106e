"""Levels of two surfaces held beside each other where they were taken at about the same point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree

from baulk.record import Level, SiteRecord
from baulk.sequence.closeness import Closeness

__all__ = ["HeldLevels", "TooHigh", "hold_levels", "surface_levels"]


@dataclass(frozen=True, slots=True)
class TooHigh:
    """A level of the lower surface that stands above one of the upper surface.

    Parameters
    ----------
    upper, lower : Level
        The two levels.
    by : float
        Metres by which the lower one stands above.
    """

    upper: Level
    lower: Level
    by: float

    @property
    def words(self) -> str:
        """The two values in the site's own quantity."""
        return f"{self.lower.level:.3f} over {self.upper.level:.3f}"


@dataclass(frozen=True, slots=True)
class HeldLevels:
    """What came of holding the levels of two surfaces beside each other: pairs at about the same point, and those too high."""

    compared: int
    too_high: tuple[TooHigh, ...]


def surface_levels(record: SiteRecord, context: str, surface: str | None = None) -> tuple[Level, ...]:
    """Return the levels of a context that have a value; those of one surface when it is named."""
    return tuple(
        level
        for level in record.pointing_at(Level, "context", context)
        if level.level is not None and (surface is None or level.surface == surface)
    )


def hold_levels(uppers: Sequence[Level], lowers: Sequence[Level], metres: float, closeness: Closeness) -> HeldLevels:
    """Hold the levels of an upper surface beside those of a lower one.

    Parameters
    ----------
    uppers, lowers : sequence of Level
        Levels of the two surfaces; those without a place or a value are passed over.
    metres : float
        How many metres one of the site's own lengths is.
    closeness : Closeness
        What counts as about the same point and as too high.

    Returns
    -------
    HeldLevels
        The number of pairs at about the same point, and the pairs too high, in the order given.

    Notes
    -----
    A pair at the distance d ≤ reach is too high when lower − upper > tolerance + slope × d.
    """
    above = [level for level in uppers if level.level is not None and level.positions()]
    below = [level for level in lowers if level.level is not None and level.positions()]
    if not above or not below:
        return HeldLevels(0, ())
    high, low = _table(above) * metres, _table(below) * metres
    near = KDTree(high[:, :2]).query_ball_tree(KDTree(low[:, :2]), closeness.level_reach)
    pairs = [(one, other) for one, found in enumerate(near) for other in sorted(found)]
    wrong = []
    for one, other in pairs:
        apart = float(np.hypot(*(high[one, :2] - low[other, :2])))
        by = float(low[other, 2] - high[one, 2])
        if by > closeness.level_tolerance + closeness.level_slope * apart:
            wrong.append(TooHigh(above[one], below[other], by))
    return HeldLevels(len(pairs), tuple(wrong))


def _table(levels: Sequence[Level]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.array([(*level.positions()[0], level.level) for level in levels], np.float64).reshape(-1, 3)
