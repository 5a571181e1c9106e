"""The plane through one, two, three or more levels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.ground.spread import Spread

__all__ = ["Plane", "plane_through"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """The least-squares plane as weights of its levels; level across a line of levels, level about a single one.

    Parameters
    ----------
    spread : Spread
        Where the levels lie.
    slopes : (2, n) array
        Weights of the levels in the slope along easting and northing, per metre.
    """

    spread: Spread
    slopes: Floats

    def weights(self, places: Floats) -> Floats:
        """Return the weight of each level (n) in the height at each place (m × 2) as m × n; each row sums to 1."""
        return 1.0 / self.spread.count + (places - self.spread.centre) @ self.slopes

    def left_out(self, levels: Floats) -> Floats | None:
        """Return how far the plane without it misses each level, metres; None when nothing is left over to check by."""
        lever = np.diag(self.weights(self.spread.places))
        if self.spread.count <= self.spread.directions + 1 or (lever > 1 - 1e-9).any():
            return None
        missed: Floats = (levels - self.weights(self.spread.places) @ levels) / (1 - lever)
        return missed


def plane_through(spread: Spread) -> Plane:
    """Return the plane through levels: level with one, falling along their line with levels in a line, else least squares."""
    axes = spread.axes[: spread.directions]
    if not len(axes):
        return Plane(spread, np.zeros((2, spread.count)))
    along = spread.centred @ axes.T
    return Plane(spread, axes.T @ np.linalg.pinv(along))
