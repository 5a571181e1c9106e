"""The thin-plate spline with smoothing, as weights of the levels."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import xlogy

from baulk.errors import MeasureError
from baulk.ground.spread import Spread, distances_of

__all__ = ["Spline", "fit_spline"]

Floats = NDArray[np.float64]

_SMOOTHINGS = np.concatenate([[0.0], np.logspace(-5, 2, 15)])
_FEW = 10
_KEPT_WITHIN = 0.010
"""With fewer than ten levels smoothing may move them by 10 mm (root mean square): a hump stays; our judgement."""


@dataclass(frozen=True, slots=True, eq=False)
class Spline:
    """A fitted spline.

    Parameters
    ----------
    spread : Spread
        Where the levels lie.
    solved : (n + 3, n) array
        Weights of the levels in the coefficients of the kernels and the plane.
    bending : (n, n) array
        Inverse of the smoothed kernel matrix on what is left of the plane.
    smoothing : float
        Smoothing, for co-ordinates divided by the spread's diameter: 0 passes through every level.
    """

    spread: Spread
    solved: Floats
    bending: Floats
    smoothing: float

    def weights(self, places: Floats) -> Floats:
        """Return the weight of each level (n) in the height at each place (m × 2) as m × n; each row sums to 1."""
        scaled = (places - self.spread.centre) / self.spread.diameter
        own = self.spread.centred / self.spread.diameter
        squared = (scaled**2).sum(axis=1)[:, None] + (own**2).sum(axis=1)[None, :] - 2 * scaled @ own.T
        columns = np.hstack([_kernel(np.maximum(squared, 0.0)), np.ones((len(places), 1)), scaled])
        found: Floats = columns @ self.solved
        return found

    def left_out(self, levels: Floats) -> Floats | None:
        """Return how far the spline without it misses each level, metres, at the same smoothing; None with three levels."""
        if self.spread.count < 4:
            return None
        return _left_out(self.bending, levels - levels.mean())


def _kernel(squared: Floats) -> Floats:
    found: Floats = np.asarray(0.5 * xlogy(squared, squared), np.float64)
    return found


def _left_out(bending: Floats, levels: Floats) -> Floats:
    found: Floats = np.asarray((bending @ levels) / np.maximum(np.diag(bending), 1e-300), np.float64)
    return found


def fit_spline(spread: Spread, levels: Floats, smoothing: float | None = None) -> Spline:
    """Return the thin-plate spline through levels.

    Parameters
    ----------
    spread : Spread
        Where the levels lie: at least three, not in one line.
    levels : (n,) array
        Levels in metres; no NaN.
    smoothing : float, optional
        Smoothing for co-ordinates divided by the spread's diameter; chosen by leave-one-out when None (0 with up to four levels,
        where leaving one out says nothing of it; with fewer than ten it may move the levels by 10 mm, root mean square).

    Raises
    ------
    MeasureError
        When the levels lie in one line or are fewer than three.

    Notes
    -----
    f(s) = a₀ + a·s + Σ cᵢ r² log r minimises Σ (zᵢ − f(sᵢ))² + λ c'Kc. Leave-one-out in closed form: with B = Q(Q'KQ + λ)⁻¹Q',
    eᵢ = (Bz)ᵢ / Bᵢᵢ, where Q spans what is left of the plane.

    References
    ----------
    Wahba (1990), Spline Models for Observational Data; from memory.
    """
    if spread.count < 3 or spread.directions < 2:
        raise MeasureError(
            f"A spline was asked for from {spread.count} levels that lie in {'one line' if spread.directions else 'one place'}. "
            "It needs three that do not: use a plane, or take a level to one side."
        )
    own = spread.centred / spread.diameter
    kernel, whole, triangle, sizes, turned = _taken_apart(own.tobytes())
    centred = levels - levels.mean()
    if smoothing is None:
        smoothing = _chosen(sizes, turned, centred) if spread.count > 4 else 0.0
    bending = (turned / (np.maximum(sizes, 0.0) + smoothing + 1e-12)) @ turned.T
    smoothed = kernel + smoothing * np.eye(spread.count)
    plane = np.linalg.solve(triangle[:3], whole[:, :3].T @ (np.eye(spread.count) - smoothed @ bending))
    return Spline(spread, np.vstack([bending, plane]), bending, float(smoothing))


@lru_cache(maxsize=4)
def _taken_apart(own: bytes) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Return kernel, basis and its triangle, and sizes and directions of bending, for scaled places.

    Kept for the few places seen last: top and base of a context are mostly levelled at the same ones.
    """
    places = np.frombuffer(own, np.float64).reshape(-1, 2)
    kernel = _kernel(distances_of(places) ** 2)
    whole, triangle = np.linalg.qr(np.column_stack([np.ones(len(places)), places]), mode="complete")
    rest = whole[:, 3:]
    sizes, turn = np.linalg.eigh(rest.T @ kernel @ rest)
    return kernel, whole, triangle, sizes, rest @ turn


def _chosen(sizes: Floats, turned: Floats, levels: Floats) -> float:
    """Return the smoothing whose left-out errors are least; the smallest of equals."""
    few = len(levels) < _FEW
    shrunk = 1.0 / (np.maximum(sizes, 0.0)[None, :] + _SMOOTHINGS[:, None] + 1e-12)
    fitted = (shrunk * (turned.T @ levels)) @ turned.T
    lever = shrunk @ (turned**2).T
    errors = ((fitted / np.maximum(lever, 1e-300)) ** 2).mean(axis=1)
    if few:
        missed = _SMOOTHINGS * np.sqrt((fitted**2).mean(axis=1))
        errors = np.where(missed > _KEPT_WITHIN, np.inf, errors)
    return float(_SMOOTHINGS[int(np.argmin(errors * (1 + 1e-9 * np.arange(len(errors)))))])
