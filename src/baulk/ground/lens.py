"""The bend of straight lines by a camera's lens: a radial model about the picture's middle.

References
----------
Radial part of the model of Brown and Conrady in the order of OpenCV (k1, k2; from memory, compared with OpenCV 5.0.0).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["Lens", "bent"]

Floats = NDArray[np.float64]
_ROUNDS = 40


def bent(
    first: ArrayLike, second: ArrayLike, radial: tuple[float, ...] = (), tangential: tuple[float, float] = (0.0, 0.0)
) -> Floats:
    """Return where a lens puts ideal positions given relative to its axis, in focal lengths.

    Parameters
    ----------
    first, second : array_like of shape (n,)
        Ideal positions right of and below the axis.
    radial : tuple of float
        k1, k2, k3; those left out are 0.
    tangential : tuple of two float
        p1, p2.

    Returns
    -------
    numpy.ndarray of shape (n, 2)

    Notes
    -----
    r² = a² + b²; a' = a(1 + k1·r² + k2·r⁴ + k3·r⁶) + 2·p1·a·b + p2(r² + 2a²); b' = b(…) + p1(r² + 2b²) + 2·p2·a·b.

    Examples
    --------
    >>> bent([0.3], [-0.2], (-0.2, 0.05), (0.001, -0.0005)).round(7).tolist()
    [[0.2921785, -0.194699]]
    """
    across, down = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    square = across**2 + down**2
    stretch = np.ones_like(square)
    for power, factor in enumerate(radial, start=1):
        stretch = stretch + factor * square**power
    one, two = tangential
    return np.stack(
        [
            across * stretch + 2 * one * across * down + two * (square + 2 * across**2),
            down * stretch + one * (square + 2 * down**2) + 2 * two * across * down,
        ],
        axis=-1,
    )


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens that moves each pixel toward or away from the picture's middle.

    Parameters
    ----------
    k1, k2 : float
        Radial factors for distances counted in `reach`.
    column, row : float
        The point that keeps its place, in pixels.
    reach : float
        The distance that counts as 1, in pixels: half the picture's diagonal where the model was fitted here.
    """

    k1: float
    k2: float
    column: float
    row: float
    reach: float

    def seen(self, ideal: ArrayLike) -> Floats:
        """Return the pixels at which ideal pixels, shape (n, 2), are seen."""
        away = self._away(ideal)
        square = (away**2).sum(axis=-1, keepdims=True)
        return self._back(away * (1 + self.k1 * square + self.k2 * square**2))

    def ideal(self, seen: ArrayLike) -> Floats:
        """Return the ideal pixels of pixels that are seen, shape (n, 2), by Newton steps on the distance from the middle.

        Raises
        ------
        MeasureError
            When a pixel lies where the model folds back on itself.
        """
        away = self._away(seen)
        far = np.hypot(*away.T)
        near = far.copy()
        for _ in range(_ROUNDS):
            square = near**2
            slope = 1 + 3 * self.k1 * square + 5 * self.k2 * square**2
            step = (near * (1 + self.k1 * square + self.k2 * square**2) - far) / np.where(np.abs(slope) > 1e-9, slope, 1.0)
            near = near - step
            if np.abs(step).max(initial=0.0) < 1e-14:
                break
        square = near**2
        reached = near * (1 + self.k1 * square + self.k2 * square**2)
        if np.any(1 + 3 * self.k1 * square + 5 * self.k2 * square**2 <= 0) or np.abs(reached - far).max(initial=0.0) > 1e-9:
            raise MeasureError(
                f"The lens is given as k1 {self.k1:g}, k2 {self.k2:g}. Within the picture such a lens folds back on itself, so a "
                "pixel has no single place: leave the lens out, or give the factors for half the picture's diagonal."
            )
        return self._back(away * np.divide(near, far, out=np.ones_like(far), where=far > 0)[:, None])

    def edge(self) -> float:
        """Return the distance in `reach` beyond which the model folds back; infinity when it never does."""
        roots = np.roots([5 * self.k2, 3 * self.k1, 1.0]) if self.k2 or self.k1 else np.array([])
        real = [float(root.real) for root in roots if abs(root.imag) < 1e-12 and root.real > 0]
        return float(np.sqrt(min(real))) if real else float("inf")

    def _away(self, pixels: ArrayLike) -> Floats:
        return np.asarray((np.asarray(pixels, dtype=np.float64) - np.array([self.column, self.row])) / self.reach)

    def _back(self, away: Floats) -> Floats:
        return np.asarray(away * self.reach + np.array([self.column, self.row]))
