"""How alike the heights of two places are, by their distance: the compiled loops under variogram, kriging and volume error.

Two families stand for two kinds of ground: *exponential* is rough at every size, *smooth* (Matérn, ν = 3/2) has a slope everywhere.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.ground.compiled import compiled

__all__ = ["EXPONENTIAL", "FAMILIES", "SMOOTH", "alikeness", "double_sum", "restricted_likelihood", "weighted_alikeness"]

Floats = NDArray[np.float64]

EXPONENTIAL, SMOOTH = 0, 1
FAMILIES = ("exponential", "smooth (Matérn 3/2)")
"""Names of the families by their number."""


@compiled
def _at(distance: float, reach: float, family: int) -> float:
    scaled = distance / reach
    if family == 0:
        return float(np.exp(-scaled))
    scaled *= 1.7320508075688772
    return float((1.0 + scaled) * np.exp(-scaled))


@compiled
def alikeness(first: Floats, second: Floats, reach: float, family: int) -> Floats:
    """Return the correlation between each place of `first` (n × 2, metres) and each of `second` (m × 2) as n × m."""
    out = np.empty((first.shape[0], second.shape[0]))
    for i in range(first.shape[0]):
        for j in range(second.shape[0]):
            east, north = first[i, 0] - second[j, 0], first[i, 1] - second[j, 1]
            out[i, j] = _at(np.sqrt(east * east + north * north), reach, family)
    return out


@compiled
def double_sum(places: Floats, weights: Floats, reach: float, family: int) -> float:
    """Return Σ wᵢ wⱼ ρ(sᵢ, sⱼ): the share of the sill that an integral over the places varies by."""
    total = 0.0
    for i in range(places.shape[0]):
        total += weights[i] * weights[i]
        row = 0.0
        for j in range(i):
            east, north = places[i, 0] - places[j, 0], places[i, 1] - places[j, 1]
            row += weights[j] * _at(np.sqrt(east * east + north * north), reach, family)
        total += 2.0 * weights[i] * row
    return total


@compiled
def weighted_alikeness(places: Floats, weights: Floats, levels_at: Floats, reach: float, family: int) -> Floats:
    """Return Σᵢ wᵢ ρ(sᵢ, pⱼ) for each place pⱼ of a level."""
    out = np.zeros(levels_at.shape[0])
    for i in range(places.shape[0]):
        for j in range(levels_at.shape[0]):
            east, north = places[i, 0] - levels_at[j, 0], places[i, 1] - levels_at[j, 1]
            out[j] += weights[i] * _at(np.sqrt(east * east + north * north), reach, family)
    return out


@compiled
def _factor(matrix: Floats) -> float:
    """Turn a symmetric matrix into its lower factor in place; return the log of its determinant, or infinity when singular."""
    size, log_size = matrix.shape[0], 0.0
    for j in range(size):
        left = matrix[j, j]
        for k in range(j):
            left -= matrix[j, k] * matrix[j, k]
        if left <= 1e-14:
            return np.inf
        matrix[j, j] = np.sqrt(left)
        log_size += np.log(left)
        for i in range(j + 1, size):
            left = matrix[i, j]
            for k in range(j):
                left -= matrix[i, k] * matrix[j, k]
            matrix[i, j] = left / matrix[j, j]
    return log_size


@compiled
def _forward(factor: Floats, sides: Floats) -> None:
    for column in range(sides.shape[1]):
        for i in range(factor.shape[0]):
            left = sides[i, column]
            for k in range(i):
                left -= factor[i, k] * sides[k, column]
            sides[i, column] = left / factor[i, i]


@compiled
def _judge(factor: Floats, drift: Floats, levels: Floats) -> tuple[float, float]:
    """Return −½ (log|A| + log|F'A⁻¹F|) and the restricted sum of squares; −∞ when A, which is overwritten, is singular."""
    size, terms = drift.shape
    sides, normal, right = np.empty((size, terms + 1)), np.empty((terms, terms)), np.empty((terms, 1))
    sides[:, :terms] = drift
    sides[:, terms] = levels
    log_size = _factor(factor)
    if not np.isfinite(log_size):
        return -np.inf, 0.0
    _forward(factor, sides)
    left = (sides[:, terms] ** 2).sum()
    for a in range(terms):
        right[a, 0] = (sides[:, a] * sides[:, terms]).sum()
        for b in range(a + 1):
            normal[a, b] = (sides[:, a] * sides[:, b]).sum()
    log_normal = _factor(normal)
    if not np.isfinite(log_normal):
        return -np.inf, 0.0
    _forward(normal, right)
    return -0.5 * (log_size + log_normal), max(left - (right[:, 0] ** 2).sum(), 0.0)


@compiled
def _alike_below(distances: Floats, reach: float, family: int) -> Floats:
    """Return the correlation of levels by their distances, the lower half only."""
    out = np.empty_like(distances)
    for i in range(distances.shape[0]):
        for j in range(i + 1):
            out[i, j] = _at(distances[i, j], reach, family)
    return out


@compiled
def restricted_likelihood(
    distances: Floats, drift: Floats, levels: Floats, reaches: Floats, nuggets: Floats, prior_sill: float, prior_levels: float
) -> tuple[Floats, Floats]:
    """Return the restricted log-likelihood and the sill, both by family, range and nugget.

    Parameters
    ----------
    distances : (n, n) array
        Distances between the levels, metres.
    drift : (n, q) array
        Columns of the drift (ones; easting and northing).
    levels : (n,) array
        Levels, metres.
    reaches, nuggets : arrays
        Ranges in metres and nuggets as shares of the sill to try.
    prior_sill, prior_levels : float
        The stated default: a sill in m² that counts as so many levels.

    Notes
    -----
    With A = ρ + ηI and R = zᵀPz the restricted sum of squares, the sill is integrated out against a scaled inverse-χ² with ν₀ and
    s₀²: −½ log|A| − ½ log|FᵀA⁻¹F| − ½ (ν₀ + n − q) log(ν₀ s₀² + R); sill = (ν₀ s₀² + R) / (ν₀ + n − q).
    """
    size, terms = drift.shape
    shape = (2, reaches.shape[0], nuggets.shape[0])
    likelihood, sill = np.full(shape, -np.inf), np.zeros(shape)
    free = prior_levels + size - terms
    for family in range(2):
        for place in range(reaches.shape[0]):
            alike = _alike_below(distances, reaches[place], family)
            for trial in range(nuggets.shape[0]):
                factor = alike.copy()
                for i in range(size):
                    factor[i, i] += nuggets[trial]
                sizes, squares = _judge(factor, drift, levels)
                whole = prior_levels * prior_sill + squares
                sill[family, place, trial] = whole / free
                likelihood[family, place, trial] = sizes - 0.5 * free * np.log(whole)
    return likelihood, sill
