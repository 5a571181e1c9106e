"""Fitting the site grid to control points whose projected positions are known, and finding the point that is wrong."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import f as f_distribution

from baulk.errors import MeasureError
from baulk.grid.points import Floats, GridPoint, ProjectedPoint, positions, read_only
from baulk.grid.transform import Similarity

__all__ = ["SCALE_LIMIT", "ControlFit", "fit_control"]

SCALE_LIMIT = 0.002
"""How far the scale may be from 1 before it is doubted: a house setting.

Projected grids stay within 0.001 of 1 (from memory).
"""

_FEET = 0.01  # a scale this near 0.3048 or its inverse means feet on one side; the two feet differ by 0.000002
_RESOLUTION = 0.0005  # metres; residuals below half a millimetre name nobody
_LEVEL = 0.01  # chance of naming a good point, over all points together


@dataclass(frozen=True, slots=True, eq=False)
class ControlFit:
    """The site grid fitted to control points.

    Parameters
    ----------
    similarity : Similarity
    residuals : numpy.ndarray of shape (n, 2)
        Projected position as given − as fitted, easting and northing in metres.
    degrees_of_freedom : int
        2n − 4; 0 means two points and no check.
    sd_of_unit_weight : float
        s0 in metres, the standard deviation of one co-ordinate; NaN without a check.
    suspect : int or None
        Place in the list, from 0, of a point that does not belong to the others; None when there is none, and with
        fewer than four points, where nobody can tell.
    warnings : tuple of str
    statement : str
    """

    similarity: Similarity
    residuals: Floats
    degrees_of_freedom: int
    sd_of_unit_weight: float
    suspect: int | None
    warnings: tuple[str, ...]
    statement: str


def fit_control(
    site: Sequence[GridPoint] | ArrayLike,
    projected: Sequence[ProjectedPoint] | ArrayLike,
    *,
    names: Sequence[str] | None = None,
) -> ControlFit:
    """Fit a similarity transformation to control points by least squares.

    Parameters
    ----------
    site : sequence of GridPoint, or array_like of shape (n, 2)
        Control points on the site grid, in metres.
    projected : sequence of ProjectedPoint, or array_like of shape (n, 2)
        The same points on the projected grid, in metres, in the same order.
    names : sequence of str or None
        Names of the points for the messages; None counts them from 1.

    Returns
    -------
    ControlFit

    Raises
    ------
    MeasureError
        Fewer than two points, lists of different length, or points that all lie in one place.

    Notes
    -----
    E = E0 + a·e − b·n, N = N0 + b·e + a·n; a = M·cos q, b = −M·sin q; solved about the two centres of gravity.
    s0 = √(Σ(vE² + vN²) / (2n − 4)). A point is named a suspect when leaving it out lowers the sum of squares more than
    chance does: F = [|v|²/(1−h)/2] / [rest/(2n−6)] with h = 1/n + d²/Σd², at 1 % over all points together.
    """
    here, there = (
        positions(site, "control points on the site grid"),
        positions(projected, "control points on the projected grid"),
    )
    called = [str(place) for place in range(1, len(here) + 1)] if names is None else [str(name) for name in names]
    _refuse_unusable(here, there, called)
    centre, other_centre = here.mean(axis=0), there.mean(axis=0)
    source, target = here - centre, there - other_centre
    spread = float((source**2).sum())
    a = float((source * target).sum()) / spread
    b = float((source[:, 0] * target[:, 1] - source[:, 1] * target[:, 0]).sum()) / spread
    if math.hypot(a, b) < 1e-9:
        raise MeasureError(
            "The control points do not correspond: no turn and scale brings one list near the other. See "
            "that both are in the same order."
        )
    matrix = np.array([[a, b], [-b, a]])
    origin = other_centre - centre @ matrix
    bearing = math.degrees(math.atan2(-b, a)) % 360.0
    similarity = Similarity(float(origin[0]), float(origin[1]), math.hypot(a, b), bearing)
    residuals = target - source @ matrix
    freedom = 2 * len(here) - 4
    s0 = math.sqrt(float((residuals**2).sum()) / freedom) if freedom else math.nan
    suspect, shift = _suspect(source, residuals)
    warnings = _warnings(similarity.scale, source, target, s0)
    statement = _statement(residuals, s0, called, suspect, shift)
    return ControlFit(similarity, read_only(residuals), freedom, s0, suspect, warnings, statement)


def _refuse_unusable(here: Floats, there: Floats, called: Sequence[str]) -> None:
    """Raise MeasureError for lists that cannot be fitted."""
    if not len(here) == len(there) == len(called):
        raise MeasureError(
            f"There are {len(here)} control points on the site grid, {len(there)} on the projected grid "
            f"and {len(called)} names. "
            "Each point needs both positions: give as many of each, in the same order."
        )
    if len(here) < 2:
        raise MeasureError(
            f"The site grid is tied by {len(here)} control point. Shift, turn and scale need two, and a "
            "third to check them: add points."
        )
    for grid, what in ((here, "site grid"), (there, "projected grid")):
        if np.ptp(grid, axis=0).max() < 1e-6:
            raise MeasureError(
                f"All control points lie in one place on the {what}. A turn and a scale need points apart "
                "from each other: see the positions."
            )


def _suspect(source: Floats, residuals: Floats) -> tuple[int | None, float]:
    """Return the point that does not belong to the others and how far it lies off them in metres."""
    count = len(source)
    if count < 4:
        return None, math.nan
    leverage = 1 / count + (source**2).sum(axis=1) / float((source**2).sum())
    free = np.maximum(1 - leverage, 1e-9)
    squares = (residuals**2).sum(axis=1)
    removed = squares / free
    rest_freedom = 2 * count - 6
    rest = np.maximum(float(squares.sum()) - removed, rest_freedom * _RESOLUTION**2)
    ratio = (removed / 2) / (rest / rest_freedom)
    worst = int(ratio.argmax())
    chance = count * float(f_distribution.sf(ratio[worst], 2, rest_freedom))
    shift = math.sqrt(float(squares[worst])) / float(free[worst])
    return (worst, shift) if chance < _LEVEL else (None, math.nan)


def _warnings(scale: float, source: Floats, target: Floats, s0: float) -> tuple[str, ...]:
    """Return what is doubtful about the fit as a whole."""
    warnings = []
    for ratio, words in (
        (0.3048, "the site grid is in feet and the projected grid in metres"),
        (1 / 0.3048, "the site grid is in metres and the projected grid in feet"),
    ):
        if abs(scale / ratio - 1) < _FEET:
            warnings.append(
                f"The scale is {scale:.4f}, which is the ratio of foot and metre: it seems that {words}. "
                "Turn both into metres and fit again."
            )
    if not warnings and abs(scale - 1) > SCALE_LIMIT:
        warnings.append(
            f"The scale is {scale:.5f}; a site grid in metres fits a projected grid within {SCALE_LIMIT:g} "
            "of 1. See the quantities and the positions."
        )
    mirrored = _mirrored(source, target)
    if not math.isnan(s0) and mirrored < 0.1 * s0 and s0 > _RESOLUTION:
        warnings.append(
            "The points fit ten times better with easting and northing exchanged on one side. See which column is which."
        )
    return tuple(warnings)


def _mirrored(source: Floats, target: Floats) -> float:
    """Return s0 of the fit with easting and northing of the site grid exchanged; NaN without a check."""
    freedom = 2 * len(source) - 4
    if not freedom:
        return math.nan
    turned = source[:, ::-1]
    spread = float((source**2).sum())
    a = float((turned * target).sum()) / spread
    b = float((turned[:, 0] * target[:, 1] - turned[:, 1] * target[:, 0]).sum()) / spread
    left = target - turned @ np.array([[a, b], [-b, a]])
    return math.sqrt(float((left**2).sum()) / freedom)


def _statement(residuals: Floats, s0: float, called: Sequence[str], suspect: int | None, shift: float) -> str:
    """Return the outcome in words."""
    if math.isnan(s0):
        return "Two control points fix the site grid exactly: no check. Tie it to a third point."
    sizes = np.hypot(residuals[:, 0], residuals[:, 1])
    worst = int(sizes.argmax())
    head = (
        f"{len(called)} control points fit with s0 = {s0 * 1000:.1f} mm; the largest residual is "
        f"{sizes[worst] * 1000:.1f} mm at {called[worst]}."
    )
    if suspect is None:
        return f"{head} Three points cannot say which one is off." if len(called) == 3 else head
    return (
        f"{head} Point {called[suspect]} does not belong to the others: it lies {shift:.3f} m off where "
        "they put it. Survey it again, or leave it out."
    )
