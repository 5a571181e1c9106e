"""How near counts as near: the figures with which outlines and levels are held beside the relations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = ["HOUSE_CLOSENESS", "Closeness"]


@dataclass(frozen=True, slots=True)
class Closeness:
    """House figures, all our judgement; lengths in metres, whatever the site measures in.

    Parameters
    ----------
    level_reach : float
        Two levels no further apart in plan than this count as about the same point.
    level_tolerance : float
        By so much a lower surface may seem to stand above an upper one, and two contexts may differ and still count as level.
    level_slope : float
        So much more for each metre between the two points.
    overlap_area : float
        Square metres of overlap in plan below which two contexts do not count as overlapping.
    touch_distance : float
        Two outlines no further apart than this touch.
    touch_length : float
        Length along which two outlines must run side by side before their touching counts.
    """

    level_reach: float = 0.25
    level_tolerance: float = 0.02
    level_slope: float = 0.25
    overlap_area: float = 0.01
    touch_distance: float = 0.02
    touch_length: float = 0.10


HOUSE_CLOSENESS: Final = Closeness()
