"""Directions and axes: their mean, how tightly they lie about it, and whether that is more than chance.

An axis has no front: 5° and 175° are ten degrees apart and their mean is 0°, not 90°. Axes are doubled, averaged and halved.

References
----------
Zar: *Biostatistical Analysis*; Fisher 1993: *Statistical Analysis of Circular Data*; Mardia & Jupp: *Directional Statistics* (all
from memory). The p of Rayleigh's test and the estimate of κ as two open circular statistics packages have them (read).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees, exp, isfinite, nan, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["Directions", "axes_apart", "axial_statistics", "circular_statistics", "concentration", "rayleigh_p"]

Floats = NDArray[np.float64]
SURE = 0.05
"""A mean is drawn when Rayleigh's p is below this (common practice)."""


@dataclass(frozen=True, slots=True)
class Directions:
    """A sample of directions or axes.

    Parameters
    ----------
    count : int
        How many.
    mean : float
        Mean in degrees, 0 to 360 for directions and 0 to 180 for axes; NaN when they cancel out.
    length : float
        Mean resultant length R̄, 0 (none) to 1 (all alike).
    kappa : float
        Concentration of von Mises' distribution (of the doubled angles for axes), with the correction for small samples.
    p : float
        Of Rayleigh's test: the chance of so large an R̄ from directions that favour none.
    half_width : float
        Half the width of the 95 % interval of the mean, degrees; NaN where the sample is too spread for one.
    deviation : float
        Circular standard deviation √(−2 ln R̄) in degrees.
    angular_deviation : float
        √(2(1 − R̄)) in degrees.
    """

    count: int
    mean: float
    length: float
    kappa: float
    p: float
    half_width: float
    deviation: float
    angular_deviation: float

    @property
    def has_mean(self) -> bool:
        """Whether the sample favours one direction, so that a mean may be drawn."""
        return self.count >= 2 and self.p < SURE and isfinite(self.mean)

    @property
    def words(self) -> str:
        """The answer in a sentence."""
        if self.count < 2:
            return f"{self.count} measured: no mean and no test."
        tail = f"R̄ {self.length:.3f}, n {self.count}, Rayleigh p {self.p:.2g}"
        if not self.has_mean:
            return f"No one axis is favoured ({tail}): none is drawn."
        width = f" ± {self.half_width:.1f}° (95 %)" if isfinite(self.half_width) else ""
        few = " Fewer than five: take it as a hint." if self.count < 5 else ""
        return f"Mean axis {self.mean:.1f}°{width}; {tail}.{few}"


def rayleigh_p(count: float, length: float) -> float:
    """Return the p of Rayleigh's test, always from 0 to 1.

    Parameters
    ----------
    count : float
        How many directions.
    length : float
        Mean resultant length.

    Notes
    -----
    p = exp(√(1 + 4n + 4(n² − R²)) − (1 + 2n)) with R = n·R̄. The series for small samples is left aside: it gives a p below
    nought for n = 10, R̄ = 0.952.

    Examples
    --------
    >>> 0 <= rayleigh_p(10, 0.952) < 1e-4
    True
    """
    total = count * length
    return min(1.0, max(0.0, exp(sqrt(1 + 4 * count + 4 * max(0.0, count**2 - total**2)) - (1 + 2 * count))))


def concentration(length: float, count: float | None = None) -> float:
    """Return κ of von Mises' distribution for a mean resultant length.

    Parameters
    ----------
    length : float
        R̄ from 0 to 1; 1 gives infinity.
    count : float or None
        Sample size; at 15 or fewer the correction for small samples is made. None leaves it out.

    Notes
    -----
    R̄ < 0.53: 2R̄ + R̄³ + 5R̄⁵/6; below 0.85: −0.4 + 1.39R̄ + 0.43/(1 − R̄); else 1/(R̄³ − 4R̄² + 3R̄) (Fisher 1993, p. 88).
    """
    if length < 0.53:
        kappa = 2 * length + length**3 + 5 * length**5 / 6
    elif length < 0.85:
        kappa = -0.4 + 1.39 * length + 0.43 / (1 - length)
    else:
        below = length**3 - 4 * length**2 + 3 * length
        kappa = 1 / below if below > 1e-15 else float("inf")
    if count is None or count > 15 or not isfinite(kappa) or count == 0:
        return kappa
    if kappa < 2:
        return max(kappa - 2 / (count * kappa), 0.0) if kappa > 0 else 0.0
    return (count - 1) ** 3 * kappa / (count**3 + count)


def circular_statistics(bearings: ArrayLike, counts: ArrayLike | None = None, *, class_width: float = 0.0) -> Directions:
    """Return the statistics of directions.

    Parameters
    ----------
    bearings : array_like of shape (n,)
        Degrees; NaN means not measured and is left out.
    counts : array_like of shape (n,) or None
        How often each occurs; once when None.
    class_width : float
        Width in degrees of the classes whose centres are given; R̄ is then corrected for grouping. 0 for single readings.

    Raises
    ------
    MeasureError
        A bearing is infinite, a count is negative, or nothing was measured.
    """
    angles = np.asarray(bearings, dtype=np.float64).ravel()
    weights = np.ones(len(angles)) if counts is None else np.asarray(counts, dtype=np.float64).ravel()
    if np.isinf(angles).any() or (weights < 0).any() or not np.isfinite(weights).all():
        raise MeasureError("Bearings are finite numbers of degrees and counts are 0 or more: mend the reading that is neither.")
    kept = ~np.isnan(angles) & (weights > 0)
    angles, weights = np.radians(angles[kept]), weights[kept]
    count = float(weights.sum())
    if not count:
        raise MeasureError("No bearing was measured, so there is no mean. Measure the long axis of each piece.")
    east, north = float(weights @ np.sin(angles)) / count, float(weights @ np.cos(angles)) / count
    length = min(1.0, float(np.hypot(east, north)))
    if class_width:
        half = np.radians(class_width) / 2
        length = min(1.0, length * float(half / np.sin(half)))
    mean = degrees(np.arctan2(east, north)) % 360 if length > 1e-12 else nan
    spread = degrees(sqrt(-2 * np.log(length))) if length > 0 else float("inf")
    return Directions(
        round(count), mean, length, concentration(length, count), rayleigh_p(count, length), _half_width(count, length), spread,
        degrees(sqrt(2 * (1 - length))),
    )  # fmt: skip


def axial_statistics(bearings: ArrayLike, counts: ArrayLike | None = None) -> Directions:
    """Return the statistics of axes; the mean, its interval and both deviations are those of the axes themselves.

    Parameters
    ----------
    bearings : array_like of shape (n,)
        Degrees; which end is taken does not matter. NaN is left out.
    counts : array_like of shape (n,) or None
        How often each occurs.

    Examples
    --------
    >>> round(axial_statistics([5, 175]).length, 5), round(axial_statistics([80, 85, 90, 95, 100]).mean, 3)
    (0.98481, 90.0)
    """
    doubled = circular_statistics(2 * np.asarray(bearings, dtype=np.float64), counts)
    return Directions(
        doubled.count, doubled.mean / 2, doubled.length, doubled.kappa, doubled.p, doubled.half_width / 2, doubled.deviation / 2,
        doubled.angular_deviation / 2,
    )  # fmt: skip


def axes_apart(first: ArrayLike, second: ArrayLike) -> Floats:
    """Return by how many degrees axes are turned from the first to the second, clockwise, above −90 up to 90.

    Examples
    --------
    >>> axes_apart(175, 5).item()
    10.0
    """
    turn = (np.asarray(second, dtype=np.float64) - np.asarray(first, dtype=np.float64)) % 180
    return np.asarray(np.where(turn > 90, turn - 180, turn))


def _half_width(count: float, length: float) -> float:
    """Return half the 95 % interval of the mean in degrees: Zar's 26.24 for R̄ up to 0.9, 26.25 above (26.25 from memory)."""
    total, chi = count * length, 3.841458820694124
    if length >= 1:
        return 0.0
    if length <= 0.9:
        if 2 * total**2 <= count * chi:
            return nan
        inside = sqrt(2 * count * (2 * total**2 - count * chi) / (4 * count - chi)) / total
    else:
        inside = sqrt(count**2 - (count**2 - total**2) * exp(chi / count)) / total if count else nan
    return degrees(acos(min(1.0, inside))) if isfinite(inside) else nan
