"""From the ground to the sheet: scale, sizes of letters, and how levels, positions and steps are written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

from baulk.drawing.scene import Spot
from baulk.errors import MeasureError
from baulk.quantities import LengthUnit, half_up, metres_per

__all__ = ["Frame", "Letters", "level_text", "millimetres_per", "position_text", "round_step", "steps_within", "unit_word"]

_UNIT_WORDS = {LengthUnit.METRE: "m", LengthUnit.FOOT: "ft", LengthUnit.SURVEY_FOOT: "ft"}


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the ground lies on the sheet.

    Parameters
    ----------
    left, top
        Sheet millimetres of the ground's western (or left-hand) and northern (or upper) limit.
    west, north
        That limit in the site's own quantity: easting and northing, or distance and level on a wall.
    span, rise
        Width and height of what is drawn, in the site's own quantity.
    millimetres
        Millimetres of paper to one of the site's lengths.
    """

    left: float
    top: float
    west: float
    north: float
    span: float
    rise: float
    millimetres: float

    @property
    def width(self) -> float:
        """Millimetres across."""
        return self.span * self.millimetres

    @property
    def height(self) -> float:
        """Millimetres down."""
        return self.rise * self.millimetres

    def spot(self, position: Sequence[float]) -> Spot:
        """Return where a position (easting, northing or distance, level) lies on the sheet."""
        return Spot(
            self.left + (position[0] - self.west) * self.millimetres, self.top + (self.north - position[1]) * self.millimetres
        )

    def spots(self, positions: Iterable[Sequence[float]]) -> tuple[Spot, ...]:
        """Return a run of positions on the sheet."""
        return tuple(self.spot(position) for position in positions)


@dataclass(frozen=True, slots=True)
class Letters:
    """Heights of letters in millimetres, chosen so that a sheet shown 360 pixels wide can still be read."""

    small: float
    plain: float
    number: float
    heading: float

    @classmethod
    def for_width(cls, width: float) -> Letters:
        """Return the letters for a sheet of that width: never under 1.8 mm on paper, nor so large that they crowd it."""
        small = min(max(1.8, 0.0195 * width), 3.2)
        return cls(small, small * 1.12, small * 1.2, small * 1.7)


def millimetres_per(unit: LengthUnit, scale: float) -> float:
    """Return how many millimetres on paper one of the site's lengths is.

    Raises
    ------
    MeasureError
        When the scale is not a finite number of 1 or more.

    Examples
    --------
    >>> millimetres_per(LengthUnit.METRE, 20)
    50.0
    """
    if not (isfinite(scale) and scale >= 1):
        raise MeasureError(f"The scale is given as {scale}. A drawing's scale is 1 or more: give 20 for 1:20.")
    return 1000 * metres_per(unit) / scale


def level_text(level: float) -> str:
    """Return a level with two decimals, in metres as in feet and tenths.

    Examples
    --------
    >>> level_text(42.3), level_text(-0.001)
    ('42.30', '0.00')
    """
    return half_up(level, 2)


def position_text(position: Sequence[float]) -> tuple[str, str]:
    """Return a grid position as its two lines, easting and northing, two decimals each.

    Examples
    --------
    >>> position_text((102.0, 48.5))
    ('102.00 E', '48.50 N')
    """
    return f"{level_text(position[0])} E", f"{level_text(position[1])} N"


def round_step(span: float, count: int) -> float:
    """Return the step of 1, 2 or 5 times a power of ten that divides `span` into about `count`, never into more.

    Examples
    --------
    >>> round_step(2.0, 10), round_step(23.0, 5)
    (0.2, 5.0)
    """
    if not span > 0:
        return 1.0
    power = 10.0 ** floor(log10(span / count) + 1e-9)
    factor = next(factor for factor in (1.0, 2.0, 5.0, 10.0) if factor * power * count >= span * (1 - 1e-9))
    return round(factor * power, 9)


def steps_within(low: float, high: float, step: float) -> tuple[float, ...]:
    """Return the multiples of `step` from `low` to `high`, both limits included; none when there would be more than 2000."""
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return tuple(round(number * step, 9) for number in range(first, last + 1)) if last - first < 2000 else ()


def unit_word(unit: LengthUnit) -> str:
    """Return what a scale bar or level scale says after its numbers: m or ft."""
    return _UNIT_WORDS[unit]
