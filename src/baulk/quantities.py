"""Distinct types for distinct quantities, and the fixed numbers of length.

All calculations run in metres. A site keeps its lengths in its own quantity (see `LengthUnit`).

References
----------
International foot 0.3048 m exactly and US survey foot 1200/3937 m: Federal Register 85 FR 62698 (5 October 2020).
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import NewType

__all__ = ["INTERNATIONAL_FOOT", "US_SURVEY_FOOT", "Foot", "LengthUnit", "Metre", "Year", "half_up", "metres_per"]

Metre = NewType("Metre", float)
"""A length, level or co-ordinate in metres."""

Foot = NewType("Foot", float)
"""A length in feet and decimal parts of a foot; which foot is said beside it."""

Year = NewType("Year", int)
"""A calendar year: 1742 is AD 1742, -44 is 44 BC; there is no year 0."""

INTERNATIONAL_FOOT = Metre(0.3048)
US_SURVEY_FOOT = Metre(1200 / 3937)


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


def half_up(value: float, places: int) -> str:
    """Return a finite figure with so many decimals, a half rounded away from zero, as it is done by hand.

    Notes
    -----
    A figure is first taken to the nearest millionth, so that what is left of a sum in binary does not tip a half.

    Examples
    --------
    >>> half_up(29.525, 2), half_up(2.675, 2), half_up(-0.0004, 3), half_up(29.54, 3)
    ('29.53', '2.68', '0.000', '29.540')
    """
    near = Decimal(f"{value:.6f}").quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    return f"{abs(near) if near.is_zero() else near:f}"
