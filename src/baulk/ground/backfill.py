"""Filling a unit in: how much room the spoil takes, how far it will reach, and how much more to bring."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.errors import MeasureError
from baulk.ground.bulking import BULKING, Bulking

__all__ = ["BackfillPlan", "plan_backfill"]

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BackfillPlan:
    """Volumes in cubic metres, each the lowest and the highest that the factors and the error of the hole allow.

    Parameters
    ----------
    hole : Range
        The hole, 95 % interval.
    loose : Range
        The spoil on the heap.
    fills : Range
        What the spoil fills once tamped.
    left_over : Range
        Spoil that does not go back in, as the room that it would have filled.
    bring : Range
        Loose soil to bring; 0 when the spoil may be enough.
    bulking : Bulking
        The factors.
    says : str
        The same in words.
    """

    hole: Range
    loose: Range
    fills: Range
    left_over: Range
    bring: Range
    bulking: Bulking
    says: str


def plan_backfill(
    hole: float, half_width: float = 0.0, *, kept: float = 0.0, bulking: Bulking = BULKING["earth"], not_refilled: float = 0.0
) -> BackfillPlan:
    """Return what filling a hole in with its own spoil comes to.

    Parameters
    ----------
    hole : float
        Volume dug, cubic metres in the ground.
    half_width : float
        Half its 95 % interval.
    kept : float
        Bank volume that does not come back: samples, masonry and stones carried off.
    bulking : Bulking
        Factors of the spoil, and of what is brought.
    not_refilled : float
        Room taken by a liner, boards or a hollow left on purpose.

    Raises
    ------
    MeasureError
        When a volume is less than nothing or more is kept than was dug.

    Notes
    -----
    loose = L·bank; the spoil fills C·(bank − kept); short = hole − that; bring = short / C · L, loose. Over the ranges of L and C
    and the interval of the hole the lowest and the highest are taken.

    Examples
    --------
    >>> one = Bulking("common earth", (1.25, 1.25), (0.90, 0.90), "from memory, low confidence")
    >>> plan = plan_backfill(2.778, bulking=one)
    >>> round(plan.loose[0], 2), round(plan.fills[0], 2), round(plan.bring[0] / 1.25, 2)
    (3.47, 2.5, 0.31)
    """
    if hole < 0 or half_width < 0 or kept < 0 or not_refilled < 0 or kept > hole:
        raise MeasureError(
            f"A hole of {hole:g} m³ ± {half_width:g} with {kept:g} m³ kept and {not_refilled:g} m³ not refilled was given. "
            "No volume is less than nothing, and no more can be kept than was dug: see which of these was entered wrong."
        )
    sizes = (max(hole - half_width, kept), hole + half_width)
    spoil = tuple(size - kept for size in sizes)
    (low_l, high_l), (low_c, high_c) = bulking.loose, bulking.compacted
    loose = (low_l * spoil[0], high_l * spoil[1])
    fills = (low_c * spoil[0], high_c * spoil[1])
    short = [(size - not_refilled - c * (size - kept), c) for size in sizes for c in (low_c, high_c)]
    bring = [max(lack, 0.0) / c * factor for lack, c in short for factor in (low_l, high_l)]
    over = [max(-lack, 0.0) for lack, _ in short]
    plan = BackfillPlan(sizes, loose, fills, (min(over), max(over)), (min(bring), max(bring)), bulking, "")
    return BackfillPlan(plan.hole, loose, fills, plan.left_over, plan.bring, bulking, _words(plan))


def _words(plan: BackfillPlan) -> str:
    heap = f"The hole is {_range(plan.hole)} m³; its spoil lies as {_range(plan.loose)} m³ on the heap ({plan.bulking.soil})"
    if plan.bring[1] < 0.005:
        return f"{heap} and is enough to fill it; up to {plan.left_over[1]:.2f} m³ stays over."
    if plan.bring[0] < 0.005:
        return f"{heap}; tamped well it may not be enough: bring up to {plan.bring[1]:.2f} m³ more, loose."
    return f"{heap} and does not fill it: bring {_range(plan.bring)} m³ more, loose."


def _range(pair: Range) -> str:
    low, high = f"{pair[0]:.2f}", f"{pair[1]:.2f}"
    return low if low == high else f"{low} to {high}"
