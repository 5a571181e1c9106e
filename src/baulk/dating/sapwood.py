"""Felling of a timber from its rings: by bark, by sapwood, or by heartwood alone."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.dating.aid import DateAid
from baulk.dating.years import counted, named
from baulk.errors import InputError

__all__ = ["SAPWOOD", "SapwoodEstimate", "felling"]


@dataclass(frozen=True, slots=True)
class SapwoodEstimate:
    """How many sapwood rings 95 per cent of the trees of an area have."""

    area: str
    least: int
    most: int
    source: str
    mark: str


SAPWOOD: tuple[SapwoodEstimate, ...] = (
    SapwoodEstimate("North Wales and north-west England", 19, 50, "Hughes, Milsom and Leggett 1981", "read, high"),
    SapwoodEstimate("Wales and its borders", 11, 41, "Miles 1997", "from memory; it reproduces a printed range that was read"),
    SapwoodEstimate("southern England", 9, 41, "Miles 1997", "from memory, high"),
    SapwoodEstimate("northern England", 12, 45, "Miles 1997", "from memory, middling"),
    SapwoodEstimate("Kent", 15, 35, "18 samples", "read, low"),
    SapwoodEstimate("United Kingdom, mature oak", 15, 50, "general figure", "read, low"),
    SapwoodEstimate("England and Wales, older usage", 10, 46, "laboratory usage", "from memory, middling"),
)
"""Oak, 95 per cent. No table for American trees was found: read in one of your own."""

_BUILDING = "Felling is not building: timber was stored, seasoned and used again."


def felling(
    last_ring: int, *, estimate: SapwoodEstimate | None = None, sapwood: int | None = None, unmeasured: int = 0, bark: bool = False
) -> DateAid:
    """Return when the tree was felled.

    Parameters
    ----------
    last_ring : int
        Year of the last ring measured; negative is BC.
    estimate : SapwoodEstimate, optional
        For the area and the kind of tree; needed when there is no bark.
    sapwood : int or None
        Sapwood rings among those measured; 0 when the last ring measured is the last of the heartwood; None when even that is lost.
    unmeasured : int
        Rings counted outside of the last one measured.
    bark : bool
        Whether bark, or the surface under it, is there.

    Returns
    -------
    DateAid
        With bark the year of the last ring, or early in the next. With sapwood a range, never before the last ring there is. With
        heartwood alone a year not before which, and no end.

    Raises
    ------
    InputError
        When a count of rings is below 0, or there is neither bark nor an estimate.

    Notes
    -----
    The last heartwood ring is ``last_ring - sapwood``; felling lies ``least`` to ``most`` rings after it.

    References
    ----------
    Rules: laboratory texts (read). Worked example: Worthington and Miles, report 2007/24, door post, last ring 1451, printed
    1462-92.

    Examples
    --------
    >>> found = felling(1451, estimate=SAPWOOD[1], sapwood=0)
    >>> found.begin, found.end
    (1462, 1492)
    """
    if (sapwood or 0) < 0 or unmeasured < 0:
        raise InputError(f"{min(sapwood or 0, unmeasured)} rings are given. Rings are counted from 0 up: count again.")
    last = counted(last_ring) + unmeasured
    if bark:
        limits = (
            "The last ring is of the year of felling, or of the year before when it was felled from January to March.",
            _BUILDING,
        )
        return DateAid("felling, bark present", named(last), named(last + 1), None, "any dated timber with bark", limits,
                       "laboratory rules", "read, high")  # fmt: skip
    if estimate is None:
        raise InputError(
            "No sapwood estimate is given and there is no bark. Without bark, felling is reckoned by the sapwood of the area: "
            "choose an estimate, or read in one."
        )
    edge = counted(last_ring) - (sapwood or 0)
    begin = named(max(edge + estimate.least, last))
    valid = f"oak of {estimate.area}, {estimate.least} to {estimate.most} sapwood rings in 95 per cent of trees"
    if sapwood is None:
        alone = "Heartwood alone: not before this year, and nothing says how much later, since any number of rings may be lost."
        return DateAid("felling, heartwood only", begin, None, None, valid, (alone, _BUILDING), estimate.source, estimate.mark)
    end = edge + estimate.most
    beyond = end < last
    seen = f"{sapwood} sapwood rings measured" + (f" and {unmeasured} counted outside." if unmeasured else ".")
    more = (f"The tree has more sapwood than {estimate.most} rings, so the estimate does not bind it.",) if beyond else ()
    return DateAid(
        "felling, sapwood present", begin, None if beyond else named(end), None, valid, (*more, seen, _BUILDING), estimate.source,
        estimate.mark, not beyond,
    )  # fmt: skip
