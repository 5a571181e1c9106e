"""Lengths as they are written for a reader: metres, feet with tenths, feet and inches to the sixteenth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from baulk.errors import MeasureError
from baulk.grid.lengths import EXACT_METRES
from baulk.quantities import LengthUnit, metres_per

__all__ = [
    "FeetInches",
    "feet_and_inches",
    "format_difference",
    "format_feet",
    "format_feet_inches",
    "format_length",
    "format_metres",
]


@dataclass(frozen=True, slots=True)
class FeetInches:
    """A length in whole feet, whole inches and a fraction of an inch.

    Parameters
    ----------
    feet, inches : int
        Not negative; `inches` is below 12.
    fraction : Fraction
        From 0 up to but not including 1 inch.
    negative : bool
        Whether the whole length is below zero.
    """

    feet: int
    inches: int
    fraction: Fraction
    negative: bool = False

    def __str__(self) -> str:
        """Return the length as it is said on site, such as 7 ft 0 7/8 in."""
        part = f" {self.fraction}" if self.fraction else ""
        return f"{'-' if self.negative else ''}{self.feet} ft {self.inches}{part} in"


def feet_and_inches(metres: float, *, unit: LengthUnit = LengthUnit.FOOT, parts: int = 16) -> FeetInches:
    """Return a length in feet, inches and the nearest fraction of an inch.

    Parameters
    ----------
    metres : float
        The length in metres, finite.
    unit : LengthUnit
        Which foot; an inch is one twelfth of it.
    parts : int
        The finest fraction of an inch: 1, 2, 4, 8 or 16.

    Returns
    -------
    FeetInches
        Rounded to the nearest part, a half upwards; sixteen sixteenths become an inch and twelve inches a foot.

    Raises
    ------
    MeasureError
        The length is not finite, the unit is the metre, or `parts` is another number.

    Examples
    --------
    >>> str(feet_and_inches(2.15526))
    '7 ft 0 7/8 in'
    """
    if unit is LengthUnit.METRE:
        raise MeasureError("Feet and inches are asked for in metres. Say which foot: international (ft) or US survey (ft_us).")
    if parts not in {1, 2, 4, 8, 16}:
        raise MeasureError(f"An inch is to be cut into {parts} parts. A tape shows 1, 2, 4, 8 or 16: choose one of these.")
    if not math.isfinite(metres):
        raise MeasureError(f"The length is given as {metres}. Only a measured length can be written in feet and inches.")
    count = math.floor(abs(Fraction(metres)) / EXACT_METRES[unit] * 12 * parts + Fraction(1, 2))
    whole, rest = divmod(count, 12 * parts)
    inches, part = divmod(rest, parts)
    return FeetInches(whole, inches, Fraction(part, parts), negative=metres < 0 and count > 0)


def format_metres(metres: float, *, places: int = 3) -> str:
    """Return a length as metres with `places` decimals; NaN gives "not measured"."""
    return "not measured" if math.isnan(metres) else f"{_rounded(metres, places)} m"


def format_feet(metres: float, *, unit: LengthUnit = LengthUnit.FOOT, places: int = 2) -> str:
    """Return a length as feet with decimal parts (tenths and hundredths); NaN gives "not measured".

    Examples
    --------
    >>> format_feet(3.16992)
    '10.40 ft'
    """
    if unit is LengthUnit.METRE:
        raise MeasureError("Feet are asked for in metres. Say which foot: international (ft) or US survey (ft_us).")
    return "not measured" if math.isnan(metres) else f"{_rounded(metres / metres_per(unit), places)} ft"


def format_feet_inches(metres: float, *, unit: LengthUnit = LengthUnit.FOOT, parts: int = 16) -> str:
    """Return a length as feet, inches and the nearest fraction; NaN gives "not measured"."""
    return "not measured" if math.isnan(metres) else str(feet_and_inches(metres, unit=unit, parts=parts))


def format_length(metres: float, own: LengthUnit) -> str:
    """Return a length in the site's own quantity: metres to the millimetre, or feet to the hundredth."""
    return format_metres(metres) if own is LengthUnit.METRE else format_feet(metres, unit=own)


def format_difference(metres: float, own: LengthUnit) -> str:
    """Return a small difference in height: millimetres, on a site in feet after the hundredths of a foot.

    Examples
    --------
    >>> format_difference(0.034, LengthUnit.METRE), format_difference(0.034, LengthUnit.FOOT)
    ('34 mm', '0.11 ft (34 mm)')
    """
    small = f"{metres * 1000:.0f} mm"
    return small if own is LengthUnit.METRE else f"{format_feet(metres, unit=own)} ({small})"


def _rounded(value: float, places: int) -> str:
    """Return `value` with `places` decimals and never a minus before zero."""
    written = f"{value:.{places}f}"
    return written.lstrip("-") if not written.strip("-0.") else written
