"""Ways of making that give a year not before which: nails, bottles, mortar. Each is a terminus with its area and its source."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.dating.aid import DateAid
from baulk.errors import UnknownRecord

__all__ = ["MAKINGS", "Making", "making_date"]


@dataclass(frozen=True, slots=True)
class Making:
    """A way of making with the first year in which it is known, and from when it is common.

    Parameters
    ----------
    name : str
        What is seen on the thing.
    first : int or None
        Year not before which; None where nothing sure was found.
    last : int or None
        Year after which new ones are rare: weak, since old ones were used on; never a terminus.
    says : str
        What else is known of it.
    area, source, mark : str
        Where it holds, where it comes from, and how that was known.
    """

    name: str
    first: int | None
    last: int | None
    says: str
    area: str
    source: str
    mark: str


_NAILS = "trade pages of 2011 and 2014; L. H. Nelson 1968 is the standard source, not read"
_BOTTLES = "summaries of guides to dating bottles"
_MORTAR = "US National Park Service, Preservation Brief 2, in copies"

MAKINGS: tuple[Making, ...] = (
    Making("wrought nail", None, None, "The common nail before 1800, still made for clinching and hinges.",
           "United States", _NAILS, "read, middling"),
    Making("cut nail, hand-made head", 1790, 1830, "From about 1790; to about the 1830s.",
           "United States", _NAILS, "read, middling"),
    Making("cut nail, machine-made head", 1815, None, "From about 1815 to 1820.",
           "United States", _NAILS, "read, middling"),
    Making("wire nail", 1850, None, "Made in the 1850s, a tenth of production in 1886, preferred from 1890, nine tenths in 1913.",
           "United States", _NAILS, "read, middling"),
    Making("bottle, no mould seam, pontil scar", None, None, "Free-blown.", "general", _BOTTLES, "read, middling"),
    Making("bottle, symmetrical, no seam", None, 1850,
           "Dip or turn mould, probably before 1850.", "general", _BOTTLES, "read, middling"),
    Making("bottle, seam ending in the neck", 1800, 1915,
           "Blown in a mould, about 1800 to 1915.", "general", _BOTTLES,
           "read, middling"),
    Making("bottle, seam to the lip", 1900, None,
           "Machine made, early 20th century on; the year is a round figure.", "general", _BOTTLES,
           "read, middling"),
    Making("bottle, suction scar", 1905, None,
           "Owens machine: first used 1903, licences from late 1904, usually after 1910.", "United States",
           "Miller and McNichol 2002, in a copy", "read, high"),
    Making("bottle, “Federal law forbids sale”", 1935, None,
           "1935 into the 1960s.", "United States", _BOTTLES, "read, middling"),
    Making("bottle, applied colour label", 1930, None,
           "After 1940 as read, the 1930s elsewhere from memory: the earlier is taken.", "United States", _BOTTLES,
           "read, middling"),
    Making("bottle, colourless", None, None, "Common after 1870, and made before: no terminus.", "United States",
           "Material Culture Notes, abstract", "read, middling"),
    Making("mortar of Portland cement", 1824, None,
           "Patented in Britain in 1824, first made in the US in 1872 (imported before), common there only after 1900.",
           "Britain and United States", _MORTAR, "read, high"),
    Making("mortar of Roman cement", 1796, None, "", "Britain", "common knowledge of the trade", "from memory, middling"),
    Making("mortar of natural cement", 1818, None, "Rosendale kind, from about 1818 to 1825.", "United States",
           "common knowledge of the trade", "from memory, middling"),
)  # fmt: skip
"""What was read or, where it says so, remembered; an entry without a first year stays in, so that nobody takes it for one."""


def making_date(name: str) -> DateAid:
    """Return what a way of making says of the years.

    Parameters
    ----------
    name : str
        One of the names in `MAKINGS`, in any case.

    Returns
    -------
    DateAid
        With a year not before which, where there is one, and never a year not after which.

    Raises
    ------
    UnknownRecord
        When no such way of making is listed; near names are offered.

    Examples
    --------
    >>> making_date("bottle, suction scar").begin
    1905
    """
    found = {one.name.casefold(): one for one in MAKINGS}.get(" ".join(name.casefold().split()))
    if found is None:
        raise UnknownRecord("way of making", name, [one.name for one in MAKINGS])
    weak = () if found.last is None else (f"New ones are rare after about {found.last}, but old ones were used on.",)
    none = () if found.first is not None else ("No first year is sure enough to bind.",)
    limits = (*((found.says,) if found.says else ()), *none, *weak, "The thing may be older than its layer by any number of years.")
    return DateAid(found.name, found.first, None, None, found.area, limits, found.source, found.mark)
