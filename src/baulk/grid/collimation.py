"""The two-peg test: whether the line of sight of a level is level, and what that does to a reading.

References
----------
Method: curioustab.com/dumpy-level-set-up-midpoint-between-pegs-b-80-m-apart-staff-66910 (read).
Limit of 2 mm over 80 m for third-order work: freezingblue.com/flashcards/201930 (read as an excerpt; one source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from baulk.errors import MeasureError

__all__ = ["TWO_PEG_LIMIT", "TwoPegResult", "two_peg"]

TWO_PEG_LIMIT = 0.002 / 80
"""Metres of error for each metre of sight that a level may have; a house setting (source above)."""


@dataclass(frozen=True, slots=True)
class TwoPegResult:
    """What a two-peg test found.

    Parameters
    ----------
    true_difference : float
        Level of peg B − level of peg A in metres, free of the error of the line of sight.
    error_per_metre : float
        Metres of reading too high for each metre of sight; positive when the line of sight points upwards.
    arc_seconds : float
        The same as an angle.
    corrected_a, corrected_b : float
        What the staff should have read from the uneven set-up, in metres.
    within : bool
        Whether the error is inside the limit.
    statement : str
    """

    true_difference: float
    error_per_metre: float
    arc_seconds: float
    corrected_a: float
    corrected_b: float
    within: bool
    statement: str


def two_peg(
    *,
    middle_a: float,
    middle_b: float,
    uneven_a: float,
    uneven_b: float,
    distance_a: float,
    distance_b: float,
    limit: float = TWO_PEG_LIMIT,
) -> TwoPegResult:
    """Return the error of the line of sight from readings at the middle and at an uneven set-up.

    Parameters
    ----------
    middle_a, middle_b : float
        Staff readings on the two pegs from half-way between them, in metres.
    uneven_a, uneven_b : float
        Staff readings from the second set-up, in metres.
    distance_a, distance_b : float
        Sight lengths from the second set-up to the pegs, in metres; they must differ.
    limit : float
        Metres for each metre of sight.

    Returns
    -------
    TwoPegResult

    Raises
    ------
    MeasureError
        A figure is missing or not finite, a distance is negative, or the two distances are the same.

    Notes
    -----
    e = [(a₂ − b₂) − (a₁ − b₁)] / (d_A − d_B); corrected reading = reading − e·d.

    Examples
    --------
    >>> found = two_peg(middle_a=1.32, middle_b=1.56, uneven_a=1.11, uneven_b=1.39, distance_a=10, distance_b=90)
    >>> round(found.corrected_b, 3)
    1.345
    """
    figures = (middle_a, middle_b, uneven_a, uneven_b, distance_a, distance_b)
    if not all(math.isfinite(figure) for figure in figures):
        raise MeasureError(
            "The two-peg test lacks a reading or a distance. It needs four staff readings and two distances: book all six."
        )
    if distance_a < 0 or distance_b < 0:
        raise MeasureError(
            f"The sight lengths are given as {distance_a:g} m and {distance_b:g} m. A length is not negative: measure them again."
        )
    if abs(distance_a - distance_b) < 1e-6:
        raise MeasureError(
            f"Both sights of the second set-up are {distance_a:g} m. From equal distances the error "
            "cancels and cannot be seen: "
            "set up close to one peg and read both again."
        )
    true_difference = middle_a - middle_b
    error = ((uneven_a - uneven_b) - true_difference) / (distance_a - distance_b)
    within = abs(error) <= limit
    seconds = math.degrees(math.atan(error)) * 3600
    way = "upwards" if error > 0 else "downwards"
    advice = "fit for use" if within else "have it adjusted, and keep backsight and foresight the same length until then"
    statement = (
        f"The line of sight points {way} by {abs(error) * 100_000:.1f} mm in 100 m ({abs(seconds):.0f}″), "
        f"{'within' if within else 'outside'} the limit of {limit * 100_000:.1f} mm in 100 m: {advice}."
    )
    return TwoPegResult(
        true_difference,
        error,
        seconds,
        uneven_a - error * distance_a,
        uneven_b - error * distance_b,
        within,
        statement,
    )
