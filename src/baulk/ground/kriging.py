"""Ordinary kriging: the height that errs least under the variogram, with its variance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.ground.spread import Spread
from baulk.ground.variogram import Variogram

__all__ = ["Kriging", "krige"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Kriging:
    """Solved kriging equations.

    Parameters
    ----------
    spread : Spread
        Where the levels lie.
    variogram : Variogram
        The variogram kriged with.
    solved : (n + 1, n + 1) array
        Inverse of the kriging matrix.
    """

    spread: Spread
    variogram: Variogram
    solved: Floats

    def weights(self, places: Floats) -> Floats:
        """Return the weight of each level (n) in the height at each place (m × 2) as m × n; each row sums to 1."""
        sides = np.hstack([self.variogram.covariance(places, self.spread.places), np.ones((len(places), 1))])
        found: Floats = sides @ self.solved[:, :-1]
        return found

    def left_out(self, levels: Floats) -> Floats | None:
        """Return how far kriging without it, with the same variogram, misses each level, metres; None with one level."""
        if self.spread.count < 2:
            return None
        own = self.solved[:-1, :-1]
        found: Floats = (own @ (levels - levels.mean())) / np.diag(own)
        return found


def krige(spread: Spread, variogram: Variogram) -> Kriging:
    """Return ordinary kriging of levels at the places of `spread`.

    Notes
    -----
    [C + nI  1; 1' 0] [λ; μ] = [c(s); 1]. The nugget n stands for the single level, so that the surface does not run through every
    reading; the variance at s, C(0) − λ'c − μ, is that of the surface and not of one more reading.

    References
    ----------
    Cressie (1993), Statistics for Spatial Data, section 3.2; from memory.
    """
    size = spread.count
    matrix = np.ones((size + 1, size + 1))
    matrix[:size, :size] = variogram.covariance(spread.places, spread.places) + variogram.nugget * np.eye(size)
    matrix[size, size] = 0.0
    solved: Floats = np.asarray(np.linalg.inv(matrix), float)
    return Kriging(spread, variogram, solved)
