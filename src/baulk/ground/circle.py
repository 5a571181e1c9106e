"""Circles: through points on a rim, and the place round which laid pieces turn.

References
----------
Gander, Golub & Strebel 1994: Least-squares fitting of circles and ellipses. *BIT* 34, 558-578.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import least_squares
from scipy.stats import f as variance_ratio
from scipy.stats import t as student

from baulk.errors import MeasureError

__all__ = ["Circle", "algebraic_circle", "arc_radius", "ellipse_95", "geometric_circle"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Circle:
    """A circle with what is known of it.

    Parameters
    ----------
    easting, northing, radius : float
        Centre and radius, in the quantity of the points.
    covariance : numpy.ndarray of shape (3, 3) or None
        Of easting, northing and radius; None for three points, which fit exactly: no check.
    scatter : float
        Standard deviation of a point's distance from the rim; NaN for three points.
    spare : int
        Points beyond the three that a circle takes.
    arc : float
        Degrees of the rim from the first to the last point, as seen from the centre.
    """

    easting: float
    northing: float
    radius: float
    covariance: Floats | None
    scatter: float
    spare: int
    arc: float

    @property
    def radius_interval(self) -> tuple[float, float]:
        """The 95 % interval of the radius by Student's t; NaN without a check."""
        if self.covariance is None:
            return float("nan"), float("nan")
        reach = float(student.ppf(0.975, self.spare)) * float(np.sqrt(self.covariance[2, 2]))
        return self.radius - reach, self.radius + reach


def ellipse_95(covariance: Floats, spare: int) -> tuple[float, float, float]:
    """Return half axes and bearing of the 95 % ellipse of two means, with `spare` degrees of freedom behind the covariance."""
    values, vectors = np.linalg.eigh(covariance)
    reach = np.sqrt(2 * float(variance_ratio.ppf(0.95, 2, spare)) * np.maximum(values, 0.0))
    return float(reach[1]), float(reach[0]), float(np.degrees(np.arctan2(vectors[0, 1], vectors[1, 1])) % 180)


def algebraic_circle(points: ArrayLike) -> tuple[float, float, float]:
    """Return centre and radius by linear least squares on squared distances; biased to small radii on short arcs.

    Raises
    ------
    MeasureError
        Fewer than three points, or points in one line.
    """
    held = np.asarray(points, dtype=np.float64)
    if held.ndim != 2 or len(held) < 3 or not np.isfinite(held).all():
        raise MeasureError(f"{len(held)} points are given for a circle. It takes three that are measured: mark more of the rim.")
    middle = held.mean(axis=0)
    away = held - middle
    spread = np.linalg.svd(away, compute_uv=False)
    if spread[1] <= 1e-9 * spread[0] or spread[0] == 0:
        raise MeasureError("The points given for a circle lie in one line. A straight edge has no centre: measure further round.")
    system = np.column_stack([2 * away, np.ones(len(away))])
    east, north, rest = np.linalg.lstsq(system, (away**2).sum(axis=1), rcond=None)[0]
    return float(east + middle[0]), float(north + middle[1]), float(np.sqrt(max(0.0, rest + east**2 + north**2)))


def geometric_circle(points: ArrayLike) -> Circle:
    """Return the circle that leaves the least sum of squared distances from the rim.

    Parameters
    ----------
    points : array_like of shape (n, 2)
        At least three points, no NaN.

    Raises
    ------
    MeasureError
        Fewer than three points, or points in one line.

    Notes
    -----
    Covariance = s²(JᵀJ)⁻¹, s² = Σd²/(n − 3). On a short arc the rim's own small errors bend the answer by more than they seem to:
    read the interval, not the radius.
    """
    held = np.asarray(points, dtype=np.float64)
    east, north, radius = algebraic_circle(held)
    middle, scale = held.mean(axis=0), float(np.hypot(*np.ptp(held, axis=0)))
    away = (held - middle) / scale

    def missed(values: Floats) -> Floats:
        return np.asarray(np.hypot(*(away - values[:2]).T) - values[2])

    start = np.array([(east - middle[0]) / scale, (north - middle[1]) / scale, radius / scale])
    found = least_squares(missed, start, method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14)
    centre, fitted = found.x[:2] * scale + middle, float(abs(found.x[2]) * scale)
    spare = len(held) - 3
    bearings = np.sort(np.degrees(np.arctan2(*(held - centre).T)) % 360)
    arc = 360 - float(np.max(np.append(np.diff(bearings), bearings[0] + 360 - bearings[-1])))
    if not spare:
        return Circle(float(centre[0]), float(centre[1]), fitted, None, float("nan"), 0, arc)
    variance = float((found.fun**2).sum()) * scale**2 / spare
    rise = np.asarray(found.jac, dtype=np.float64)
    covariance = np.asarray(variance * np.linalg.pinv(rise.T @ rise), dtype=np.float64)
    return Circle(float(centre[0]), float(centre[1]), fitted, covariance, float(np.sqrt(variance)), spare, arc)


def arc_radius(chord: float, sagitta: float) -> float:
    """Return the radius of an arc from its chord and the height of its middle above the chord: c²/(8h) + h/2.

    Raises
    ------
    MeasureError
        A length is not above zero.

    Examples
    --------
    >>> round(arc_radius(41.0424, 3.6184), 2)
    60.0
    """
    if not (isfinite(chord) and isfinite(sagitta) and chord > 0 and sagitta > 0):
        raise MeasureError(f"The chord is given as {chord:g} and its middle's height as {sagitta:g}. Both are lengths above zero.")
    return chord**2 / (8 * sagitta) + sagitta / 2
