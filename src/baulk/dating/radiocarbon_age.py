"""A radiocarbon age as a laboratory gives it: as numbers, or in words such as "<200yr", and pooled from several."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import chi2

from baulk.errors import InputError, shorten

__all__ = ["Inversion", "PooledAge", "RadiocarbonAge", "age_below_reservoir", "inversions", "pooled_age", "read_age"]


@dataclass(frozen=True, slots=True)
class RadiocarbonAge:
    """A conventional radiocarbon age.

    Parameters
    ----------
    age, error : float or None
        Years before 1950 and one standard deviation; both None when only a limit is given.
    younger_than, older_than : float or None
        The limit, when the laboratory gives no more than that.
    given : str
        As it was written.
    """

    age: float | None
    error: float | None
    younger_than: float | None = None
    older_than: float | None = None
    given: str = ""

    @property
    def words(self) -> str:
        """What it says, and what it cannot."""
        if self.age is not None and self.error is not None:
            return f"{self.age:g} ± {self.error:g} BP"
        if self.younger_than is not None:
            return (
                f"“{self.given}” says only that the age is below {self.younger_than:g} BP. It has no error, so it cannot be "
                "calibrated; "
                "it is kept as a limit."
            )
        return (
            f"“{self.given}” says only that the age is above {self.older_than:g} BP, at the limit of the laboratory. It cannot be "
            "calibrated; it is kept as a limit."
        )


@dataclass(frozen=True, slots=True)
class PooledAge:
    """A weighted mean of ages of one and the same thing, with the check that they can be of one thing.

    Parameters
    ----------
    age, error : float
        The mean and its standard deviation.
    statistic : float
        T, to be compared with chi-square.
    freedom : int
        Degrees of freedom.
    limit : float
        Chi-square at 5 per cent.
    p : float
        Chance of a T this large if the ages are of one thing.
    """

    age: float
    error: float
    statistic: float
    freedom: int
    limit: float
    p: float

    @property
    def agree(self) -> bool:
        """Whether the ages agree at 5 per cent."""
        return self.statistic <= self.limit

    @property
    def words(self) -> str:
        """The mean and the check in a sentence."""
        said = (
            f"{self.age:.0f} ± {self.error:.0f} BP (T = {self.statistic:.1f}, 5 per cent limit {self.limit:.2f}, p = {self.p:.3f})"
        )
        if self.agree:
            return f"{said}: the ages agree. Pool only ages of one and the same thing."
        return f"{said}: the ages do not agree, so they are not of one thing or one is wrong; this mean may not be used."


@dataclass(frozen=True, slots=True)
class Inversion:
    """A pair against the order: the sample that should be earlier has the younger age.

    Parameters
    ----------
    later, earlier : int
        Places of the two samples.
    difference : float
        Years by which the earlier one is too young.
    deviations : float
        The same in standard deviations of the difference.
    """

    later: int
    earlier: int
    difference: float
    deviations: float


def read_age(text: str) -> RadiocarbonAge:
    """Return the radiocarbon age that a laboratory's words give.

    Parameters
    ----------
    text : str
        As in "1050±40", "1050 +/- 40 BP", "<200yr" or ">45,000".

    Raises
    ------
    InputError
        When it is none of these, or the error is not above 0.

    Examples
    --------
    >>> read_age("1050±40 ").error, read_age("<200yr").younger_than
    (40.0, 200.0)
    """
    tidy = " ".join(text.replace(",", "").split())
    unit = r"\s*(?:(?:14C\s*)?(?:yrs?|years?|BP|yr BP|years BP)\.?)?"
    both = re.fullmatch(rf"(-?\d+(?:\.\d+)?)\s*(?:±|\+/-|\+-)\s*(\d+(?:\.\d+)?){unit}", tidy, flags=re.IGNORECASE)
    if both:
        age, error = float(both.group(1)), float(both.group(2))
        if error <= 0:
            raise InputError(f"The age “{shorten(text)}” has no error above 0. A measurement has one: ask the laboratory.")
        return RadiocarbonAge(age, error, given=tidy)
    limit = re.fullmatch(rf"([<>≤≥])\s*(\d+(?:\.\d+)?){unit}", tidy, flags=re.IGNORECASE)
    if not limit:
        raise InputError(
            f"“{shorten(text)}” is no radiocarbon age. Write age and error as 1050±40, or a limit as <200: look at the "
            "laboratory's sheet."
        )
    years = float(limit.group(2))
    if limit.group(1) in "<≤":
        return RadiocarbonAge(None, None, younger_than=years, given=tidy)
    return RadiocarbonAge(None, None, older_than=years, given=tidy)


def age_below_reservoir(age: float, error: float, *, offset: float, offset_error: float) -> tuple[float, float]:
    """Return an age less a reservoir's offset, and the error of both together.

    Notes
    -----
    A' = A - R, σ' = √(σ² + σ_R²). R is the offset from the curve that is used: for shell on a marine curve the local ΔR, on an
    atmospheric curve the whole reservoir age. The project ships no marine curve: read one in.

    Raises
    ------
    InputError
        When an error is below 0 or a value is no number.

    Examples
    --------
    >>> age_below_reservoir(1200, 30, offset=400, offset_error=40)
    (800, 50.0)
    """
    if not np.isfinite([age, error, offset, offset_error]).all() or error <= 0 or offset_error < 0:
        raise InputError(
            f"The age {age:g} ± {error:g} with the offset {offset:g} ± {offset_error:g} cannot be used. An error is above 0 and "
            "an offset's is "
            "not below: give both as published."
        )
    return age - offset, float(np.hypot(error, offset_error))


def pooled_age(ages: ArrayLike, errors: ArrayLike) -> PooledAge:
    """Return the weighted mean of ages of one and the same thing, with the chi-square check.

    Parameters
    ----------
    ages, errors : array-like of float, shape (n,)
        Two ages or more with their standard deviations.

    Raises
    ------
    InputError
        When there are fewer than two, the columns differ in length, or an error is not above 0.

    Notes
    -----
    A = Σ(Aᵢ/σᵢ²)/Σ(1/σᵢ²), σ = (Σ 1/σᵢ²)^(-1/2), T = Σ (Aᵢ - A)²/σᵢ², to be compared with chi-square on n - 1 degrees of freedom.

    References
    ----------
    Ward and Wilson 1978, Archaeometry 20: 19-31 (formula from memory, high); checked against Damon et al. 1989, table 2.
    """
    years, spread = np.asarray(ages, np.float64).reshape(-1), np.asarray(errors, np.float64).reshape(-1)
    if len(years) != len(spread) or len(years) < 2 or not (spread > 0).all() or not np.isfinite(years).all():
        raise InputError(
            f"{len(years)} ages with {len(spread)} errors are to be pooled. Pooling takes two ages or more of one thing, each "
            "with an error "
            "above 0: leave out what is a limit only."
        )
    weight = 1 / spread**2
    mean = float((years * weight).sum() / weight.sum())
    statistic = float((weight * (years - mean) ** 2).sum())
    freedom = len(years) - 1
    return PooledAge(
        mean, float(weight.sum() ** -0.5), statistic, freedom, float(chi2.ppf(0.95, freedom)), float(chi2.sf(statistic, freedom))
    )


def inversions(
    ages: ArrayLike,
    errors: ArrayLike,
    later: ArrayLike,
    earlier: ArrayLike,
    *,
    younger_than: ArrayLike | None = None,
    deviations: float = 2.0,
) -> tuple[Inversion, ...]:
    """Return the pairs in which the sample of the earlier context is the younger one, by more than the errors allow.

    Parameters
    ----------
    ages, errors : array-like of float, shape (n,)
        Radiocarbon ages; NaN for a sample that has only a limit.
    later, earlier : array-like of int, shape (k,)
        Pairs of samples of which the first lies in a later context.
    younger_than : array-like of float, shape (n,), optional
        Limits of samples that have no age; NaN where there is none. A limit can only be too young for what lies above it, and then
        counts as an age without an error.
    deviations : float
        Standard deviations of the difference beyond which a pair is told (house setting).

    Returns
    -------
    tuple of Inversion
        The strongest first. On a flat or wiggling stretch of the curve the years may be in order all the same.
    """
    years, spread = np.asarray(ages, np.float64), np.asarray(errors, np.float64)
    above, below = np.asarray(later, np.int64).reshape(-1), np.asarray(earlier, np.int64).reshape(-1)
    limits = np.full(len(years), np.nan) if younger_than is None else np.asarray(younger_than, np.float64)
    by_limit = np.isnan(years[below])
    difference = years[above] - np.where(by_limit, limits[below], years[below])
    score = difference / np.hypot(spread[above], np.where(by_limit, 0.0, spread[below]))
    told = np.flatnonzero(score > deviations)
    found = [Inversion(int(above[one]), int(below[one]), float(difference[one]), float(score[one])) for one in told]
    return tuple(sorted(found, key=lambda one: -one.deviations))
