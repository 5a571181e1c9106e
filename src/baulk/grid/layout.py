"""Laying out a unit: its corners from one nail, its sides and diagonals, and the taped check.

Corners are lettered A, B, C, D anticlockwise from the nail; A–B is the base line. At bearing 0 the unit stands
square on the grid with A at its south-west corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from baulk.errors import MeasureError
from baulk.grid.points import Floats, GridPoint, is_length, positions, read_only
from baulk.quantities import LengthUnit, metres_per

__all__ = [
    "ENDS",
    "HOUSE_TOLERANCE",
    "LINES",
    "USUAL_SIZES",
    "LayoutCheck",
    "Taped",
    "UnitLayout",
    "check_taped",
    "lay_out",
    "usual_size",
]

HOUSE_TOLERANCE = 0.010
"""Metres that a taped line may differ from the design. A house setting; common practice, no source."""

USUAL_SIZES = (
    (1.0, LengthUnit.METRE),
    (2.0, LengthUnit.METRE),
    (5.0, LengthUnit.METRE),
    (5.0, LengthUnit.FOOT),
    (10.0, LengthUnit.FOOT),
)
"""Sides of the squares most often dug, each with its quantity. Common practice, no source."""

LINES = ("AB", "BC", "CD", "DA", "AC", "BD")
"""The four sides and the two diagonals, in the order of every array of taped lines."""

ENDS = read_only([[0, 1], [1, 2], [2, 3], [3, 0], [0, 2], [1, 3]]).astype(np.intp)
"""The corners at the two ends of each line of `LINES`."""


@dataclass(frozen=True, slots=True)
class Taped:
    """The taped lines of a four-cornered unit, in metres; NaN where not taped.

    Parameters
    ----------
    ab, bc, cd, da : float
        The sides.
    ac, bd : float
        The diagonals.
    """

    ab: float = math.nan
    bc: float = math.nan
    cd: float = math.nan
    da: float = math.nan
    ac: float = math.nan
    bd: float = math.nan

    def __post_init__(self) -> None:
        """Refuse what no tape shows."""
        for name, length in zip(LINES, self.lengths, strict=True):
            if not math.isnan(length) and not is_length(length):
                raise MeasureError(
                    f"The taped line {name} is given as {length:g} m. A taped length is above zero: "
                    "tape the line again, or leave it blank."
                )

    @property
    def lengths(self) -> Floats:
        """The six lengths in the order of `LINES`."""
        return np.array([self.ab, self.bc, self.cd, self.da, self.ac, self.bd])


@dataclass(frozen=True, slots=True, eq=False)
class UnitLayout:
    """A unit as designed.

    Parameters
    ----------
    origin : GridPoint
        The nail at corner A.
    width, depth : float
        Length of the sides A–B and B–C in metres.
    bearing : float
        Degrees clockwise from grid north of the side A–D; 0 for a unit that is square on the grid.
    corners : numpy.ndarray of shape (4, 2)
        Easting and northing of A, B, C, D.
    """

    origin: GridPoint
    width: float
    depth: float
    bearing: float
    corners: Floats

    @property
    def lengths(self) -> Floats:
        """Designed lengths of the four sides and two diagonals, in the order of `LINES`."""
        diagonal = math.hypot(self.width, self.depth)
        return np.array([self.width, self.depth, self.width, self.depth, diagonal, diagonal])


@dataclass(frozen=True, slots=True, eq=False)
class LayoutCheck:
    """Taped lines held beside the design.

    Parameters
    ----------
    design, taped, difference : numpy.ndarray of shape (6,)
        Metres, in the order of `LINES`; difference = taped − design, NaN where not taped.
    within : bool or None
        True only when all six lines are taped and agree; None means "cannot tell".
    out_of_square : float
        Degrees by which the angle at A opens beyond a right angle (negative: is smaller), from the diagonals alone;
        NaN when one is not taped.
    statement : str
    """

    design: Floats
    taped: Floats
    difference: Floats
    within: bool | None
    out_of_square: float
    statement: str


def usual_size(side: float, unit: LengthUnit) -> bool:
    """Return whether a square with this side, in its own quantity, is among the usual ones."""
    return (side, unit) in USUAL_SIZES


def lay_out(
    origin: GridPoint,
    *,
    width: float,
    depth: float | None = None,
    unit: LengthUnit = LengthUnit.METRE,
    bearing: float = 0.0,
) -> UnitLayout:
    """Return the corners of a rectangular unit.

    Parameters
    ----------
    origin : GridPoint
        Corner A, in metres.
    width : float
        Side A–B, in `unit`.
    depth : float or None
        Side B–C, in `unit`; None for a square.
    unit : LengthUnit
        The quantity of `width` and `depth` only: a 5 ft unit may stand on a grid in metres.
    bearing : float
        Degrees clockwise from grid north of the side A–D.

    Returns
    -------
    UnitLayout

    Raises
    ------
    MeasureError
        A side is not above zero, or a number is not finite.

    Examples
    --------
    >>> lay_out(GridPoint(100.0, 200.0), width=2.0).corners.tolist()
    [[100.0, 200.0], [102.0, 200.0], [102.0, 202.0], [100.0, 202.0]]
    """
    corner = positions([origin], "corner of the unit")[0]
    sides = (width, width if depth is None else depth)
    if not all(is_length(side) for side in sides):
        raise MeasureError(
            f"The unit is given as {sides[0]:g} by {sides[1]:g}. Both sides are lengths above zero: give the designed size."
        )
    if not math.isfinite(bearing):
        raise MeasureError(
            "The bearing of the unit is not a number. Give degrees clockwise from grid north, 0 for square on the grid."
        )
    across, along = (side * metres_per(unit) for side in sides)
    turn = math.radians(bearing)
    base = np.array([math.cos(turn), -math.sin(turn)])  # bearing + 90°
    up = np.array([math.sin(turn), math.cos(turn)])
    corners = corner + np.array([0 * base, across * base, across * base + along * up, along * up])
    return UnitLayout(origin, across, along, bearing % 360.0, read_only(corners))


def check_taped(layout: UnitLayout, taped: Taped, *, tolerance: float = HOUSE_TOLERANCE) -> LayoutCheck:
    """Hold the taped sides and diagonals beside the design.

    Parameters
    ----------
    layout : UnitLayout
    taped : Taped
    tolerance : float
        Metres that a line may differ.

    Returns
    -------
    LayoutCheck
        `within` is False as soon as one taped line is off. It is None ("cannot tell") while a line is not taped: equal
        diagonals alone prove neither size nor shape, and five lines fix a unit without checking it.

    Raises
    ------
    MeasureError
        The tolerance is not above zero.

    Notes
    -----
    In a parallelogram with sides a, b and diagonals p = A–C, q = B–D: p² − q² = 4ab·cos A.
    """
    if not is_length(tolerance):
        raise MeasureError(
            f"The tolerance is given as {tolerance:g} m. It is a length above zero: {HOUSE_TOLERANCE:g} m is the house setting."
        )
    lengths = taped.lengths
    difference = lengths - layout.lengths
    missing = [name for name, length in zip(LINES, lengths, strict=True) if math.isnan(length)]
    off = [place for place in range(6) if abs(difference[place]) > tolerance + 1e-12]
    within = False if off else (None if missing else True)
    square = _out_of_square(layout, lengths)
    return LayoutCheck(
        read_only(layout.lengths),
        read_only(lengths),
        read_only(difference),
        within,
        square,
        _statement(difference, off, missing, tolerance, square),
    )


def _out_of_square(layout: UnitLayout, lengths: Floats) -> float:
    """Return by how many degrees the angle at A exceeds a right angle, from the two diagonals."""
    # Angle A lies opposite to the diagonal B–D: the longer B–D, the wider A.
    cosine = (lengths[4] ** 2 - lengths[5] ** 2) / (4 * layout.width * layout.depth)
    return math.nan if math.isnan(cosine) else -math.degrees(math.asin(max(-1.0, min(1.0, cosine))))


def _statement(difference: Floats, off: list[int], missing: list[str], tolerance: float, square: float) -> str:
    """Return the outcome in words."""
    limit = f"{tolerance * 1000:g} mm"
    if off:
        listed = ", ".join(f"{LINES[place]} {difference[place] * 1000:+.0f} mm" for place in off)
        sides = any(place < 4 for place in off)
        more = "" if sides or math.isnan(square) else f" The sides agree: the unit is {abs(square):.2f}° out of square at A."
        return f"Off the design by more than {limit}: {listed}.{more} Move the pegs, or tape these lines again."
    if not missing:
        return f"All four sides and both diagonals agree with the design within {limit}."
    names = ", ".join(missing)
    if len(missing) == 6:
        return "Cannot tell: no line is taped. Tape the four sides and both diagonals."
    diagonals_only = set(missing) >= {"AB", "BC", "CD", "DA"}
    why = (
        "equal diagonals alone prove neither size nor shape"
        if diagonals_only
        else "five lines fix the unit but do not check it"
        if len(missing) == 1
        else "the unit can still be out of square or size"
    )
    return f"Cannot tell: what is taped agrees within {limit}, but {names} not taped, and {why}. Tape the rest."
