"""Distinct types for distinct quantities, and the fixed numbers of length.

All calculations run in metres. A site keeps its lengths in its own quantity (see `LengthUnit`).

References
----------
International foot 0.3048 m exactly and US survey foot 1200/3937 m: Federal Register 85 FR 62698 (5 October 2020).
"""

from __future__ import annotations

from enum import StrEnum
from typing import NewType

__all__ = ["INCH", "INTERNATIONAL_FOOT", "US_SURVEY_FOOT", "Foot", "LengthUnit", "Metre", "Year", "metres_per"]

Metre = NewType("Metre", float)
"""A length, level or co-ordinate in metres."""

Foot = NewType("Foot", float)
"""A length in feet and decimal parts of a foot; which foot is said beside it."""

Year = NewType("Year", int)
"""A calendar year: 1742 is AD 1742, -44 is 44 BC; there is no year 0."""

INTERNATIONAL_FOOT = Metre(0.3048)
US_SURVEY_FOOT = Metre(1200 / 3937)
INCH = Metre(0.0254)


class LengthUnit(StrEnum):
    """The quantity in which a site keeps its lengths, levels and co-ordinates."""

    METRE = "m"
    FOOT = "ft"
    SURVEY_FOOT = "ft_us"


def metres_per(unit: LengthUnit) -> float:
    """Return how many metres one `unit` is.

    Examples
    --------
    >>> metres_per(LengthUnit.FOOT)
    0.3048
    """
    return {
        LengthUnit.METRE: 1.0,
        LengthUnit.FOOT: float(INTERNATIONAL_FOOT),
        LengthUnit.SURVEY_FOOT: float(US_SURVEY_FOOT),
    }[unit]
