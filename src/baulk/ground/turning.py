"""Whether laid pieces turn round something, where it stands, and how the axis runs along the feature."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import least_squares
from scipy.stats import f as variance_ratio

from baulk.errors import MeasureError
from baulk.ground.axial import axes_apart, axial_statistics
from baulk.ground.circle import ellipse_95

__all__ = ["AlongAxis", "TurningPlace", "axis_along", "concentric_place", "turning_place"]

Floats = NDArray[np.float64]
LEAST_PIECES = 5
_SURE = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class TurningPlace:
    """The place that laid pieces turn round.

    Parameters
    ----------
    turns : bool or None
        Whether one centre explains the axes better than one straight axis (F test at 1 %); None: cannot tell.
    easting, northing : float
        The place; NaN when there is none.
    half_axes : tuple of two float
        Half axes of its 95 % ellipse.
    bearing : float
        Of the ellipse's longer axis.
    how : str
        ``round`` when the pieces lie along circles, ``toward`` when they point to the centre.
    scatter : float
        Standard deviation in degrees of an axis from what the centre asks.
    straight_scatter : float
        The same from one straight axis.
    nearest, farthest : float
        Distances of the nearest and farthest piece from the place.
    covered : float
        Degrees round the place that pieces stand in.
    """

    turns: bool | None
    easting: float
    northing: float
    half_axes: tuple[float, float]
    bearing: float
    how: str
    scatter: float
    straight_scatter: float
    nearest: float
    farthest: float
    covered: float

    @property
    def words(self) -> str:
        """The answer in a sentence."""
        if self.turns is None:
            return "Whether the pieces turn cannot be told: five or more with a place and an axis are needed."
        if not self.turns:
            return f"The axes do not turn: one straight axis does as well (scatter {self.straight_scatter:.1f}°)."
        way = "lie along circles round" if self.how == "round" else "point toward"
        return (
            f"The pieces {way} {self.easting:.3f} E {self.northing:.3f} N (95 % within {self.half_axes[0]:.3f} × "
            f"{self.half_axes[1]:.3f} m, longer way {self.bearing:.0f}°); an axis misses by {self.scatter:.1f}°, by "
            f"{self.straight_scatter:.1f}° if the axis were straight; {self.nearest:.2f} to {self.farthest:.2f} m away, over "
            f"{self.covered:.0f}° of the round."
        )


def turning_place(centres: ArrayLike, bearings: ArrayLike) -> TurningPlace:
    """Return the place that pieces turn round.

    Parameters
    ----------
    centres : array_like of shape (n, 2)
        Middles of the pieces, easting and northing in metres; rows with NaN are left out.
    bearings : array_like of shape (n,)
        Axes in degrees; NaN is left out.

    Notes
    -----
    The least sum of squared angles between each axis and the circle about the centre through it (or the ray to the centre). The
    covariance is s²(JᵀJ)⁻¹ with s² = Σδ²/(n − 2); the ellipse is that of Hotelling. Three figures are compared with one by F with
    1 and n − 2 degrees of freedom: the straight axis has one, the centre two.
    """
    places, axes = np.asarray(centres, dtype=np.float64), np.asarray(bearings, dtype=np.float64)
    if places.ndim != 2 or places.shape != (len(axes), 2):
        raise MeasureError(f"{len(places)} places and {len(axes)} axes are given. Each piece has one of each.")
    kept = np.isfinite(places).all(axis=1) & np.isfinite(axes)
    places, axes = places[kept], axes[kept]
    if len(axes) < LEAST_PIECES:
        nan = float("nan")
        return TurningPlace(None, nan, nan, (nan, nan), nan, "", nan, nan, nan, nan, nan)
    mean = axial_statistics(axes).mean
    straight = axes_apart(mean if isfinite(mean) else 0.0, axes)
    fits = [_fit(places, axes + extra) for extra in (0.0, 90.0)]
    which = int(np.argmin([float((missed**2).sum()) for _, missed, _ in fits]))
    centre, missed, rise = fits[which]
    spare = len(axes) - 2
    rest, before = float((missed**2).sum()), float((straight**2).sum())
    ratio = (before - rest) / (rest / spare) if rest > 0 else float("inf")
    turns = bool(before > rest and variance_ratio.sf(ratio, 1, spare) < _SURE and _holds(places, centre))
    covariance = np.asarray(rest / spare * np.linalg.pinv(rise.T @ rise), dtype=np.float64)
    longer, shorter, bearing = ellipse_95(covariance, spare)
    away = places - centre
    far = np.hypot(*away.T)
    round_about = np.sort(np.degrees(np.arctan2(*away.T)) % 360)
    covered = 360 - float(np.max(np.append(np.diff(round_about), round_about[0] + 360 - round_about[-1])))
    return TurningPlace(
        turns, float(centre[0]), float(centre[1]), (longer, shorter), bearing, ("round", "toward")[which],
        float(np.sqrt(rest / spare)), float(np.sqrt(before / (len(axes) - 1))), float(far.min()), float(far.max()), covered,
    )  # fmt: skip


def concentric_place(centres: ArrayLike, rows: ArrayLike) -> tuple[float, float, tuple[float, float], float, float] | None:
    """Return the common centre of the circles that rows of pieces stand on, from their places alone and not from their axes.

    Parameters
    ----------
    centres : array_like of shape (n, 2)
        Middles of the pieces.
    rows : array_like of shape (n,)
        Whole numbers, one for each row.

    Returns
    -------
    tuple or None
        Easting, northing, half axes and bearing of the 95 % ellipse, and the standard deviation of a distance, in metres; None
        when the pieces are too few for a check (one more than the rows and the centre take).

    Notes
    -----
    The least sum of squared differences between each piece's distance from the centre and its row's mean distance.
    """
    places, numbers = np.asarray(centres, dtype=np.float64), np.asarray(rows)
    _, which, sizes = np.unique(numbers, return_inverse=True, return_counts=True)
    spare = len(places) - len(sizes) - 2
    if spare < 1:
        return None
    middle, scale = places.mean(axis=0), float(np.hypot(*np.ptp(places, axis=0))) or 1.0
    held = (places - middle) / scale

    def missed(centre: Floats) -> Floats:
        far = np.hypot(*(held - centre).T)
        return np.asarray(far - (np.bincount(which, far) / sizes)[which])

    starts = [np.array([east, north]) for east in (-0.6, 0.0, 0.6) for north in (-0.6, 0.0, 0.6)]
    found = min((least_squares(missed, start, method="lm") for start in starts), key=lambda one: float(one.cost))
    rise, rest = np.asarray(found.jac, dtype=np.float64), float((found.fun**2).sum()) * scale**2
    covariance = np.asarray(rest / spare * np.linalg.pinv(rise.T @ rise), dtype=np.float64)
    longer, shorter, bearing = ellipse_95(covariance, spare)
    centre = np.asarray(found.x) * scale + middle
    return float(centre[0]), float(centre[1]), (longer, shorter), bearing, float(np.sqrt(rest / spare))


def _holds(places: Floats, centre: Floats) -> bool:
    """Tell whether the centre is near enough to mean a place: within ten times the pieces' own extent."""
    return float(np.hypot(*(places.mean(axis=0) - centre))) < 10 * float(np.hypot(*np.ptp(places, axis=0)))


def _fit(places: Floats, axes: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the centre, by how many degrees each axis misses the circle about it, and the derivatives."""
    turn = np.radians(axes)
    along = np.column_stack([np.sin(turn), np.cos(turn)])
    middle, scale = places.mean(axis=0), float(np.hypot(*np.ptp(places, axis=0))) or 1.0
    held = (places - middle) / scale

    def missed(centre: Floats) -> Floats:
        away = centre - held
        across = along[:, 0] * away[:, 1] - along[:, 1] * away[:, 0]
        return np.asarray(np.degrees(np.arctan2((along * away).sum(axis=1), np.abs(across) + 1e-12)))

    linear = np.linalg.lstsq(along, (along * held).sum(axis=1), rcond=None)[0]
    starts = [linear, np.zeros(2), linear + 0.5, linear - 0.5]
    found = min((least_squares(missed, start, method="lm") for start in starts), key=lambda one: float(one.cost))
    return np.asarray(found.x * scale + middle), np.asarray(found.fun), np.asarray(found.jac, dtype=np.float64) / scale


@dataclass(frozen=True, slots=True, eq=False)
class AlongAxis:
    """The axis along a row of pieces.

    Parameters
    ----------
    distance : numpy.ndarray of shape (n,)
        From the first piece's middle along the row, metres.
    axis : numpy.ndarray of shape (n,)
        Axis of each in degrees, followed past 0 and 180 so that it does not jump.
    order : numpy.ndarray of shape (n,)
        Which piece each is.
    turn : float
        Degrees from the first to the last, clockwise.
    rate, rate_error : float
        Degrees to a metre by a straight line fitted, and its standard error; NaN below three pieces.
    """

    distance: Floats
    axis: Floats
    order: NDArray[np.intp]
    turn: float
    rate: float
    rate_error: float

    @property
    def radius(self) -> float:
        """Radius of the bend in metres; infinity for a straight row."""
        return abs(float(np.degrees(1.0) / self.rate)) if self.rate else float("inf")


def axis_along(centres: ArrayLike, bearings: ArrayLike) -> AlongAxis:
    """Return how the axis changes along one row, whose pieces are put in order along it.

    Parameters
    ----------
    centres, bearings : array_like of shape (n, 2) and (n,)
        Of one row; no NaN.

    Notes
    -----
    The order is that of the places along the row's own main direction, or, when the row bends by more than that can follow, of the
    bearing from the middle of its circle; a row is a handful of pieces laid end to end.
    """
    places, axes = np.asarray(centres, dtype=np.float64), np.asarray(bearings, dtype=np.float64)
    away = places - places.mean(axis=0)
    order = np.argsort(away @ np.linalg.svd(away, full_matrices=False)[2][0], kind="stable")
    place = turning_place(places, axes)
    if place.turns and place.covered > 90:
        round_about = np.degrees(np.arctan2(*(places - np.array([place.easting, place.northing])).T)) % 360
        inside = np.sort(round_about)
        gap = int(np.argmax(np.append(np.diff(inside), inside[0] + 360 - inside[-1])))
        order = np.argsort((round_about - inside[(gap + 1) % len(inside)]) % 360, kind="stable")
    steps = np.hypot(*np.diff(places[order], axis=0).T)
    distance = np.concatenate([[0.0], np.cumsum(steps)])
    turned = axes[order][0] + np.concatenate([[0.0], np.cumsum(axes_apart(axes[order][:-1], axes[order][1:]))])
    rate = error = float("nan")
    if len(axes) > 2 and distance[-1] > 0:
        from_middle = distance - distance.mean()
        rate = float(from_middle @ (turned - turned.mean()) / (from_middle @ from_middle))
        rest = turned - turned.mean() - rate * from_middle
        error = float(np.sqrt(rest @ rest / (len(axes) - 2) / (from_middle @ from_middle)))
    return AlongAxis(distance, turned, order, float(turned[-1] - turned[0]), rate, error)
