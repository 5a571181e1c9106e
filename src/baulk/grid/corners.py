"""Corners from the tapes: the four corners that fit all taped sides and diagonals best, and the doubtful line.

Six taped lines are one more than a four-cornered figure needs. That one line proves a misfit but not its place: all
six standardised residuals come out alike. What tells them apart is the design, to which the pegs were set.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from baulk.errors import MeasureError
from baulk.grid.layout import ENDS, LINES, Taped, UnitLayout
from baulk.grid.points import Floats, is_length, read_only
from baulk.grid.tapes import MISFIT

__all__ = ["LINE_SD", "CornerFit", "fit_corners"]

LINE_SD = 0.005
"""Standard deviation of one taped line in metres. A house setting; common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class CornerFit:
    """Four corners estimated from the taped lines.

    Parameters
    ----------
    corners : numpy.ndarray of shape (4, 2)
        Easting and northing of A, B, C, D in metres; A and the direction A–B are held as designed.
    residuals : numpy.ndarray of shape (6,)
        Taped − fitted length in metres, in the order of `LINES`; NaN where not taped.
    degrees_of_freedom : int
        Taped lines beyond the five that a four-cornered figure needs: 1, or 0 for "no check".
    sd_of_unit_weight : float
        s0 in metres, the standard deviation of one tape as the fit sees it; NaN without a check.
    displacement : numpy.ndarray of shape (4,)
        How far each corner lies from its designed place after the best shift and turn, in metres.
    suspect : str or None
        The line to tape again first; None when the tapes fit or nothing points to one line.
    statement : str
    """

    corners: Floats
    residuals: Floats
    degrees_of_freedom: int
    sd_of_unit_weight: float
    displacement: Floats
    suspect: str | None
    statement: str


def fit_corners(layout: UnitLayout, taped: Taped, *, tape_sd: float = LINE_SD) -> CornerFit:
    """Estimate the corners from all taped sides and diagonals by least squares.

    Parameters
    ----------
    layout : UnitLayout
        The design: where A lies, which way A–B runs, and where the search begins.
    taped : Taped
        At least five lines.
    tape_sd : float
        Standard deviation of one taped line in metres.

    Returns
    -------
    CornerFit

    Raises
    ------
    MeasureError
        Fewer than five lines are taped, or the taped lines cannot close into a four-cornered figure.

    Notes
    -----
    Minimises Σ(taped − |corner_j − corner_i|)². With one line to spare all standardised residuals are equal, so the
    suspect is found against the design: leave one line out, fit the other five exactly, and see how far the corners
    then lie from the design. A line is named when without it the corners come within 3 `tape_sd` of the design and
    no other line does as well by half.
    """
    if not is_length(tape_sd):
        raise MeasureError(
            f"The standard deviation of a tape is given as {tape_sd:g} m. It is a length above zero: "
            f"{LINE_SD:g} m is the house setting."
        )
    lengths = taped.lengths
    used = np.flatnonzero(~np.isnan(lengths))
    if used.size < 5:
        raise MeasureError(
            f"Only {used.size} of the six lines are taped. Four corners need four sides and one diagonal at least, and "
            "the second diagonal to check them: tape the rest."
        )
    corners = _fitted(layout, lengths, used)
    residuals = lengths - _lengths_of(corners)
    freedom = int(used.size) - 5
    s0 = math.sqrt(float(np.nansum(residuals**2)) / freedom) if freedom else math.nan
    if not freedom and float(np.nanmax(np.abs(residuals))) > 1e-6:
        raise MeasureError(
            f"The taped lines do not close into a four-cornered figure; {_worst(residuals)}. One of them is far out: "
            "tape the sides and the diagonal again."
        )
    misfit = bool(freedom) and s0 > MISFIT * tape_sd
    suspect = _suspect(layout, lengths, tape_sd) if misfit else None
    return CornerFit(
        read_only(corners),
        read_only(residuals),
        freedom,
        s0,
        read_only(_displacement(corners, layout.corners)),
        suspect,
        _statement(residuals, freedom, s0, tape_sd, misfit, suspect),
    )


def _lengths_of(corners: Floats) -> Floats:
    """Return the six lengths between four corners, in the order of `LINES`."""
    steps = corners[ENDS[:, 1]] - corners[ENDS[:, 0]]
    return np.asarray(np.hypot(steps[:, 0], steps[:, 1]), dtype=np.float64)


def _fitted(layout: UnitLayout, lengths: Floats, used: np.ndarray[tuple[int], np.dtype[np.intp]]) -> Floats:
    """Return the corners that fit the used lines best, with A and the direction A–B held."""
    origin = layout.corners[0]
    along = (layout.corners[1] - origin) / layout.width

    def placed(unknown: Floats) -> Floats:
        return np.vstack([origin, origin + unknown[0] * along, unknown[1:3], unknown[3:5]])

    def misfit(unknown: Floats) -> Floats:
        return np.asarray((_lengths_of(placed(unknown)) - lengths)[used])

    start = np.concatenate(([layout.width], layout.corners[2], layout.corners[3]))
    found = least_squares(misfit, start, method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14, max_nfev=2000)
    return placed(np.asarray(found.x, dtype=np.float64))


def _displacement(corners: Floats, design: Floats) -> Floats:
    """Return how far each corner lies from the design after the best shift and turn (no change of scale)."""
    here, there = corners - corners.mean(axis=0), design - design.mean(axis=0)
    turn = math.atan2(float((here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]).sum()), float((here * there).sum()))
    cosine, sine = math.cos(turn), math.sin(turn)
    turned = here @ np.array([[cosine, sine], [-sine, cosine]])
    gap = turned - there
    return np.asarray(np.hypot(gap[:, 0], gap[:, 1]), dtype=np.float64)


def _suspect(layout: UnitLayout, lengths: Floats, tape_sd: float) -> str | None:
    """Return the line without which the other five put the corners at the design, when there is just one."""
    left = []
    for place in range(6):
        used = np.array([other for other in range(6) if other != place], dtype=np.intp)
        corners = _fitted(layout, lengths, used)
        left.append(float(_displacement(corners, layout.corners).max()))
    best, second = sorted(left)[:2]
    return LINES[left.index(best)] if best <= 3 * tape_sd and best <= 0.5 * second else None


def _worst(residuals: Floats) -> str:
    """Return the largest residual in words."""
    place = int(np.nanargmax(np.abs(residuals)))
    return f"the largest residual is {residuals[place] * 1000:+.1f} mm on {LINES[place]}"


def _statement(residuals: Floats, freedom: int, s0: float, tape_sd: float, misfit: bool, suspect: str | None) -> str:
    """Return the outcome in words."""
    if not freedom:
        return "Five taped lines fix the four corners exactly: no check. Tape the sixth line."
    head = f"Six taped lines fit four corners with s0 = {s0 * 1000:.1f} mm (one line to spare); {_worst(residuals)}."
    if not misfit:
        return f"{head} That is within what tapes of ±{tape_sd * 1000:g} mm give."
    if suspect:
        return (
            f"{head} Too much for tapes of ±{tape_sd * 1000:g} mm. Without {suspect} the other five "
            f"agree with the design: tape {suspect} again."
        )
    return (
        f"{head} Too much for tapes of ±{tape_sd * 1000:g} mm, and six tapes alone cannot say which line is wrong: tape all again."
    )
