"""A point from two tapes: both places where the tapes meet, and how well they fix it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from baulk.errors import MeasureError
from baulk.grid.points import Floats, GridPoint, is_length, positions, read_only

__all__ = ["MISFIT", "OFFSET_SD", "WEAK_ANGLE", "Fix", "Side", "TwoTapes", "error_ellipse", "two_tapes"]

OFFSET_SD = 0.01
"""Standard deviation of one offset tape over rough ground, in metres. A house setting; common practice, no source."""

MISFIT = 3.29
"""Standard deviations; one good tape in a thousand misses by more (normal distribution, two-sided)."""

WEAK_ANGLE = 30.0
"""Degrees; tapes that cross at less than this, or at more than 180° less this, fix a point poorly. From memory."""


class Side(StrEnum):
    """On which hand the point lies when one looks from the first mark to the second."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, eq=False)
class Fix:
    """A point with its uncertainty.

    Parameters
    ----------
    position : GridPoint
    sd_easting, sd_northing : float
        Standard deviations in metres; infinite when the tapes run along one line.
    covariance : numpy.ndarray of shape (2, 2)
        Square metres.
    semi_major, semi_minor : float
        Half axes of the standard error ellipse in metres.
    major_bearing : float
        Axis of the long half, degrees clockwise from grid north, 0 ≤ a < 180.
    crossing : float
        Angle between the tapes in degrees, 0 to 180; NaN for a point from three or more tapes.
    warning : str
        Empty, or why the point is weak.
    """

    position: GridPoint
    sd_easting: float
    sd_northing: float
    covariance: Floats
    semi_major: float
    semi_minor: float
    major_bearing: float
    crossing: float
    warning: str


@dataclass(frozen=True, slots=True, eq=False)
class TwoTapes:
    """Both points where two tapes meet; which of them it is, only the person on site can say."""

    left: Fix
    right: Fix

    def on(self, side: Side) -> Fix:
        """Return the point on that hand of the line from the first mark to the second."""
        return self.left if side is Side.LEFT else self.right


def two_tapes(
    first: GridPoint,
    second: GridPoint,
    *,
    from_first: float,
    from_second: float,
    tape_sd: float = OFFSET_SD,
) -> TwoTapes:
    """Return the points at given distances from two marks.

    Parameters
    ----------
    first, second : GridPoint
        The marks, taken as without error.
    from_first, from_second : float
        Taped horizontal distances in metres.
    tape_sd : float
        Standard deviation of each tape in metres.

    Returns
    -------
    TwoTapes
        Both solutions, with the point to the left and to the right of the line first → second.

    Raises
    ------
    MeasureError
        A distance is not above zero, the marks are one and the same, or the tapes do not meet (with the gap).

    Notes
    -----
    With d the distance between the marks: along = (r₁² − r₂² + d²) / 2d, off = ±√(r₁² − along²).
    Covariance = U⁻¹ diag(s²) U⁻ᵀ with the unit vectors of the tapes as rows of U.

    Examples
    --------
    >>> found = two_tapes(GridPoint(0, 0), GridPoint(5, 0), from_first=3, from_second=4)
    >>> round(found.left.position.easting, 6), round(found.left.position.northing, 6)
    (1.8, 2.4)
    """
    marks = positions([first, second], "marks that were taped from")
    _refuse_bad_tapes(from_first, from_second, tape_sd)
    base = marks[1] - marks[0]
    apart = math.hypot(*base)
    if apart < 1e-9:
        raise MeasureError(
            "Both tapes start at the same mark. Two tapes fix a point only from two different marks: tape from a second one."
        )
    _refuse_gap(apart, from_first, from_second)
    along = (from_first**2 - from_second**2 + apart**2) / (2 * apart)
    off = math.sqrt(max(0.0, from_first**2 - along**2))
    unit = base / apart
    leftward = np.array([-unit[1], unit[0]])
    foot = marks[0] + along * unit
    return TwoTapes(*(_fix(foot + hand * off * leftward, marks, tape_sd) for hand in (1.0, -1.0)))


def _refuse_bad_tapes(from_first: float, from_second: float, tape_sd: float) -> None:
    """Raise MeasureError for a distance or a standard deviation that is not above zero."""
    for what, length in (("first tape", from_first), ("second tape", from_second), ("standard deviation", tape_sd)):
        if not is_length(length):
            raise MeasureError(
                f"The {what} is given as {length:g} m. It is a length above zero: tape it again, or look up the figure."
            )


def _refuse_gap(apart: float, from_first: float, from_second: float) -> None:
    """Raise MeasureError, with the gap, when the two tapes do not meet."""
    short = apart - from_first - from_second
    beyond = abs(from_first - from_second) - apart
    given = f"The tapes of {from_first:.3f} m and {from_second:.3f} m from marks {apart:.3f} m apart do not meet"
    if short > 1e-9:
        raise MeasureError(
            f"{given}: they leave a gap of {short:.3f} m. Tape both again, and see that the marks are the right ones."
        )
    if beyond > 1e-9:
        raise MeasureError(
            f"{given}: the longer one reaches {beyond:.3f} m beyond the shorter. Tape both again, and see "
            "that the marks are the right ones."
        )


def _fix(position: Floats, marks: Floats, tape_sd: float) -> Fix:
    """Return one solution with its uncertainty."""
    steps = position - marks
    units = steps / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    sine = float(units[0, 0] * units[1, 1] - units[0, 1] * units[1, 0])
    crossing = math.degrees(math.atan2(abs(sine), float(units[0] @ units[1])))
    warning = ""
    if not WEAK_ANGLE <= crossing <= 180 - WEAK_ANGLE:
        warning = (
            f"The tapes cross at {crossing:.0f}°, a thin triangle: the point is weak. "
            f"Tape from marks that give an angle between {WEAK_ANGLE:.0f}° and {180 - WEAK_ANGLE:.0f}°, or "
            "add a third tape."
        )
    if abs(sine) < 1e-9:
        endless = read_only([[math.inf, 0.0], [0.0, math.inf]])
        return Fix(
            GridPoint(*map(float, position)),
            math.inf,
            math.inf,
            endless,
            math.inf,
            math.nan,
            math.nan,
            crossing,
            warning,
        )
    inverse = np.linalg.inv(units)
    return error_ellipse(position, tape_sd**2 * (inverse @ inverse.T), crossing, warning)


def error_ellipse(position: Floats, covariance: Floats, crossing: float, warning: str) -> Fix:
    """Return a point with the axes of the error ellipse of its covariance.

    Parameters
    ----------
    position : numpy.ndarray of shape (2,)
    covariance : numpy.ndarray of shape (2, 2)
        Square metres, easting before northing.
    crossing : float
        Degrees; NaN when more than two tapes meet.
    warning : str

    Returns
    -------
    Fix
    """
    values, vectors = np.linalg.eigh(covariance)
    major = vectors[:, 1]
    bearing = math.degrees(math.atan2(float(major[0]), float(major[1]))) % 180.0
    return Fix(
        GridPoint(float(position[0]), float(position[1])),
        math.sqrt(covariance[0, 0]),
        math.sqrt(covariance[1, 1]),
        read_only(covariance),
        math.sqrt(max(0.0, float(values[1]))),
        math.sqrt(max(0.0, float(values[0]))),
        bearing if bearing < 180.0 else 0.0,
        crossing,
        warning,
    )
