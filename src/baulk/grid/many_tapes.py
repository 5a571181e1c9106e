"""A point from three or more tapes: the best place, what each tape misses it by, and the doubtful tape."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import least_squares

from baulk.errors import MeasureError
from baulk.grid.points import Floats, GridPoint, is_length, positions, read_only
from baulk.grid.tapes import MISFIT, OFFSET_SD, Fix, error_ellipse

__all__ = ["TapeFit", "many_tapes"]


@dataclass(frozen=True, slots=True, eq=False)
class TapeFit:
    """A point from three or more tapes.

    Parameters
    ----------
    fix : Fix
        The point; its uncertainty follows from `tape_sd` and the angles, not from how well the tapes happened to fit.
    residuals : numpy.ndarray
        Taped − fitted distance of each tape in metres.
    standardised : numpy.ndarray
        Residuals in their own standard deviations; NaN for a tape that nothing checks.
    degrees_of_freedom : int
        Tapes beyond two.
    sd_of_unit_weight : float
        s0 in metres: the standard deviation of one tape as the fit sees it.
    suspect : int or None
        Place in the list of the tape to repeat first, from 0; None when all fit or three tapes cannot tell.
    statement : str
    """

    fix: Fix
    residuals: Floats
    standardised: Floats
    degrees_of_freedom: int
    sd_of_unit_weight: float
    suspect: int | None
    statement: str


def many_tapes(
    marks: Sequence[GridPoint] | ArrayLike,
    tapes: ArrayLike,
    *,
    tape_sd: float = OFFSET_SD,
    near: GridPoint | None = None,
    names: Sequence[str] | None = None,
) -> TapeFit:
    """Return the point that fits three or more tapes best.

    Parameters
    ----------
    marks : sequence of GridPoint, or array_like of shape (n, 2)
        The marks in metres, taken as without error.
    tapes : array_like of shape (n,)
        Taped horizontal distances in metres.
    tape_sd : float
        Standard deviation of each tape in metres.
    near : GridPoint or None
        Roughly where the point is; needed only when the marks lie (nearly) on one line, which leaves two places.
    names : sequence of str or None
        Names of the marks for the messages; None counts them from 1.

    Returns
    -------
    TapeFit

    Raises
    ------
    MeasureError
        Fewer than three tapes, lists of different length, a tape that is not above zero, marks all in one place, or
        two places that fit as well and no `near`.

    Notes
    -----
    Minimises Σ(rᵢ − |p − mᵢ|)². Covariance = s²(AᵀA)⁻¹ with the unit vectors of the tapes as rows of A. A tape is
    named when its standardised residual is the largest and above 3.29; with three tapes all standardised residuals
    are alike, and none is named.
    """
    where = positions(marks, "marks that were taped from")
    distances = np.asarray(tapes, dtype=np.float64)
    called = [str(place) for place in range(1, len(where) + 1)] if names is None else [str(name) for name in names]
    _refuse_unusable(where, distances, called, tape_sd)
    place = _chosen(_candidates(where, distances), near, tape_sd)
    steps = place - where
    fitted = np.hypot(steps[:, 0], steps[:, 1])
    residuals = distances - fitted
    design = steps / np.maximum(fitted, 1e-12)[:, None]
    normal = design.T @ design
    if np.linalg.cond(normal) > 1e12:
        raise MeasureError("All tapes run along one line, so nothing fixes the point across it. Tape from a mark to one side.")
    inverse = np.asarray(np.linalg.inv(normal), dtype=np.float64)
    spare = 1.0 - np.einsum("ij,jk,ik->i", design, inverse, design)
    checked = spare > 1e-9
    standardised = np.full(len(residuals), math.nan)
    standardised[checked] = residuals[checked] / (tape_sd * np.sqrt(spare[checked]))
    freedom = len(residuals) - 2
    s0 = math.sqrt(float(residuals @ residuals) / freedom)
    worst = int(np.nanargmax(np.abs(standardised)))
    misfit = abs(float(standardised[worst])) > MISFIT
    suspect = worst if misfit and freedom > 1 else None
    statement = _statement(residuals, s0, tape_sd, misfit, None if suspect is None else called[suspect])
    fix = error_ellipse(place, tape_sd**2 * inverse, math.nan, "")
    return TapeFit(fix, read_only(residuals), read_only(standardised), freedom, s0, suspect, statement)


def _refuse_unusable(where: Floats, distances: Floats, called: Sequence[str], tape_sd: float) -> None:
    """Raise MeasureError for lists that cannot be worked with."""
    if distances.ndim != 1 or len(distances) != len(where) or len(called) != len(where):
        raise MeasureError(
            f"There are {len(where)} marks, {distances.size} tapes and {len(called)} names. Each tape runs "
            "from one mark: give as many of each."
        )
    if len(where) < 3:
        raise MeasureError(
            f"There are {len(where)} tapes. A fit with a check needs three or more: add a tape, or use two tapes without a check."
        )
    bad = np.flatnonzero([not is_length(distance) for distance in distances])
    if bad.size:
        raise MeasureError(
            f"The tape from mark {called[bad[0]]} is given as {distances[bad[0]]:g} m. It is a length "
            "above zero: tape it again, or leave it out."
        )
    if not is_length(tape_sd):
        raise MeasureError(
            f"The standard deviation of a tape is given as {tape_sd:g} m. It is a length above zero: "
            f"{OFFSET_SD:g} m is the house setting."
        )
    if np.ptp(where, axis=0).max() < 1e-9:
        raise MeasureError("All tapes start at the same place. Tapes fix a point only from different marks: tape from others.")


def _candidates(where: Floats, distances: Floats) -> list[tuple[Floats, float]]:
    """Return the different best places with their sum of squares, best first, searched from both sides of the marks."""
    centre = where.mean(axis=0)
    _, _, axes = np.linalg.svd(where - centre)
    reach = float(distances.mean())
    found: list[tuple[Floats, float]] = []
    for start in (
        centre + reach * axes[1],
        centre - reach * axes[1],
        centre + reach * axes[0],
        centre - reach * axes[0],
    ):
        place, squares = _settled(where, distances, start)
        if all(math.hypot(*(place - other)) > 1e-5 for other, _ in found):
            found.append((place, squares))
    return sorted(found, key=lambda pair: pair[1])


def _settled(where: Floats, distances: Floats, start: Floats) -> tuple[Floats, float]:
    """Return the best place reached from `start` and its sum of squares."""

    def misfit(place: Floats) -> Floats:
        steps = place - where
        return np.asarray(np.hypot(steps[:, 0], steps[:, 1]) - distances)

    result = least_squares(misfit, start, method="lm", xtol=1e-13, ftol=1e-13, gtol=1e-13, max_nfev=500)
    return np.asarray(result.x, dtype=np.float64), float(2 * result.cost)


def _chosen(candidates: list[tuple[Floats, float]], near: GridPoint | None, tape_sd: float) -> Floats:
    """Return the place meant, refusing to choose between two that the tapes cannot tell apart."""
    best, least = candidates[0]
    # A rival that fits worse by less than 3.29² in units of the tapes' variance cannot be ruled out.
    rivals = [place for place, squares in candidates if squares - least <= (MISFIT * tape_sd) ** 2]
    if len(rivals) == 1:
        return best
    if near is None:
        listed = " and ".join(f"({place[0]:.2f}, {place[1]:.2f})" for place in rivals[:2])
        raise MeasureError(
            f"The tapes fit two places as well, {listed}, because the marks lie nearly on one line. "
            "Say roughly where the point is, or tape from a mark to one side."
        )
    return min(rivals, key=lambda place: math.hypot(place[0] - near.easting, place[1] - near.northing))


def _statement(residuals: Floats, s0: float, tape_sd: float, misfit: bool, suspect: str | None) -> str:
    """Return the outcome in words."""
    largest = float(np.abs(residuals).max()) * 1000
    head = f"{len(residuals)} tapes meet with s0 = {s0 * 1000:.1f} mm; the largest residual is {largest:.1f} mm."
    if not misfit:
        return f"{head} That is within what tapes of ±{tape_sd * 1000:g} mm give."
    if suspect is None:
        return f"{head} Too much for tapes of ±{tape_sd * 1000:g} mm, and three tapes cannot say which is wrong: add a fourth."
    return f"{head} Too much for tapes of ±{tape_sd * 1000:g} mm: tape again from mark {suspect} first."
