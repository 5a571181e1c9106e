"""The variogram of a surface: how far heights a distance apart differ, from 3 to 50 levels and a stated default."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from baulk.ground.covariance import FAMILIES, SMOOTH, alikeness, restricted_likelihood
from baulk.ground.settled import HOUSE, GroundSettings
from baulk.ground.spread import Spread, distances_of

__all__ = ["Variogram", "default_variogram", "drift_columns", "fit_variogram"]

Floats = NDArray[np.float64]

_REACHES = np.array([0.15, 0.3, 0.6, 1.0, 1.6, 3.0])
"""Ranges tried, as shares of the greatest distance between two levels."""
_NUGGETS = np.array([0.003, 0.02, 0.1, 0.5, 2.0])
_DEFAULT_REACH = 0.5
_PRIOR_WIDTH = 1.0
"""How sure the default range is: one standard deviation is a factor of e."""
_FITTED_AT_MOST = 120


@dataclass(frozen=True, slots=True)
class Variogram:
    """A fitted or default variogram.

    Parameters
    ----------
    family : int
        `baulk.ground.covariance.EXPONENTIAL` or `SMOOTH`.
    reach : float
        Range, metres.
    sill : float
        Variance of the relief about the drift, m².
    nugget : float
        Variance of one level about the surface, m²: reading and fine roughness.
    free : float
        Degrees of freedom behind the sill, the default's own included.
    says : str
        Where it comes from.
    """

    family: int
    reach: float
    sill: float
    nugget: float
    free: float
    says: str

    def covariance(self, first: Floats, second: Floats) -> Floats:
        """Return the covariance of the surface, m², between places (n × 2) and places (m × 2), metres."""
        return self.sill * alikeness(np.ascontiguousarray(first), np.ascontiguousarray(second), self.reach, self.family)


def default_variogram(diameter: float, settings: GroundSettings = HOUSE) -> Variogram:
    """Return the stated default for levels that span `diameter` metres."""
    reach = max(_DEFAULT_REACH * diameter, settings.least_range)
    says = f"default relief of {1000 * settings.relief:.0f} mm over {reach:.2f} m (house setting; common practice, no source)"
    return Variogram(SMOOTH, reach, settings.relief**2, settings.reading**2, settings.default_counts_as, says)


def drift_columns(spread: Spread, drift: str) -> Floats:
    """Return the columns of the drift at the levels: ones, and for ``plane`` the directions in which the levels spread."""
    ones = np.ones((len(spread.centred), 1))
    if drift == "level" or spread.directions == 0:
        return ones
    axes = spread.axes[: spread.directions]
    return np.hstack([ones, spread.centred @ axes.T / max(spread.diameter, 1e-9)])


def fit_variogram(spread: Spread, levels: Floats, *, drift: str = "plane", settings: GroundSettings = HOUSE) -> Variogram:
    """Return the variogram of levels.

    Parameters
    ----------
    spread : Spread
        Where the levels lie.
    levels : (n,) array
        Levels in metres; no NaN.
    drift : {"plane", "level"}
        What is taken off first: a plane, or only the mean level (as ordinary kriging does; the slope is then part of the relief).
    settings : GroundSettings
        Reading error and default relief.

    Returns
    -------
    Variogram
        The default when no level is left over to judge it by.

    Notes
    -----
    Restricted maximum likelihood over a grid of families, ranges and nuggets; the default takes part with the weight of three
    levels on the sill, and as a log-normal on the range, so that three levels give nearly the default and fifty nearly their own.
    With more than 120 levels, 120 spread evenly through the list are used.

    References
    ----------
    Restricted likelihood for kriging: Kitanidis (1983), Water Resources Research 19, 909; from memory.
    """
    default = default_variogram(spread.diameter, settings)
    if spread.count <= len(drift_columns(spread, drift)[0]):
        return default
    if spread.count > _FITTED_AT_MOST:
        some = np.linspace(0, spread.count - 1, _FITTED_AT_MOST).astype(int)
        spread, levels = Spread.of(spread.places[some]), levels[some]
    columns = drift_columns(spread, drift)
    relief = default.sill + ((settings.slope * spread.diameter) ** 2 / 12 if drift == "level" else 0.0)
    reaches = np.maximum(_REACHES * spread.diameter, settings.least_range)
    likelihood, sills = restricted_likelihood(
        distances_of(spread.centred), columns, levels - levels.mean(), reaches, _NUGGETS, relief, settings.default_counts_as
    )
    likelihood = likelihood - _penalty()
    if not np.isfinite(likelihood).any():
        return default
    family, place, trial = (int(one) for one in np.unravel_index(int(np.argmax(likelihood)), likelihood.shape))
    sill = float(sills[family, place, trial])
    nugget = max(sill * float(_NUGGETS[trial]), settings.reading**2)
    free = settings.default_counts_as + spread.count - columns.shape[1]
    says = (
        f"{FAMILIES[family]}, relief {1000 * sill**0.5:.0f} mm, range {reaches[place]:.2f} m, "
        f"single levels {1000 * nugget**0.5:.0f} mm, from {spread.count} levels "
        f"with a default that counts as {settings.default_counts_as:.0f}"
    )
    return Variogram(family, float(reaches[place]), sill, nugget, free, says)


@lru_cache(maxsize=1)
def _penalty() -> Floats:
    """Return what the default range holds against each range, by family, range and nugget."""
    off: Floats = 0.5 * (np.log(_REACHES / _DEFAULT_REACH) / _PRIOR_WIDTH) ** 2
    return off[None, :, None]
