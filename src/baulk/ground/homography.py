"""The plane homography: from one plane to another through marked points, as a camera sees a flat floor.

References
----------
Hartley, R. & Zisserman, A.: *Multiple View Geometry in Computer Vision*, direct linear transformation with normalised
points (from memory; the reference test compares OpenCV and scikit-image).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["Homography", "direct_homography", "fit_homography", "normalisation", "points_off_every_line"]

Floats = NDArray[np.float64]

LEAST_POINTS = 4
_ROUNDS, _SETTLED = 60, 1e-13


@dataclass(frozen=True, slots=True, eq=False)
class Homography:
    """A plane seen from elsewhere: `matrix` takes homogeneous positions of the first plane to the second.

    Parameters
    ----------
    matrix : numpy.ndarray of shape (3, 3)
        Scaled so that its last entry is 1.

    Notes
    -----
    With w = h31·u + h32·v + 1: first = (h11·u + h12·v + h13)/w, second = (h21·u + h22·v + h23)/w.
    """

    matrix: Floats

    @classmethod
    def of(cls, matrix: ArrayLike) -> Homography:
        """Return the homography of a matrix, which is scaled to end in 1 where that can be."""
        held = np.array(matrix, dtype=np.float64)
        return cls(held / held[2, 2] if abs(held[2, 2]) > 1e-12 * np.abs(held).max() else held)

    def __call__(self, points: ArrayLike) -> Floats:
        """Return where positions fall on the second plane; NaN where one lies on the vanishing line.

        Parameters
        ----------
        points : array_like of shape (n, 2)
            Positions on the first plane.

        Examples
        --------
        >>> Homography.of([[4, 2, 0], [0, 4, 0], [0, 1, 1]])([[0.5, 0.5]]).round(6).tolist()
        [[2.0, 1.333333]]
        """
        given = np.asarray(points, dtype=np.float64)
        along = given @ self.matrix[:, :2].T + self.matrix[:, 2]
        depth = along[:, 2:]
        return np.asarray(np.divide(along[:, :2], depth, out=np.full((len(given), 2), np.nan), where=depth != 0))

    def depth(self, points: ArrayLike) -> Floats:
        """Return w of each position, shape (n,): its sign tells on which side of the vanishing line the position lies."""
        return np.asarray(np.asarray(points, dtype=np.float64) @ self.matrix[2, :2] + self.matrix[2, 2])

    def inverse(self) -> Homography:
        """Return the way back."""
        return Homography.of(np.linalg.inv(self.matrix))

    def slope(self, points: ArrayLike) -> Floats:
        """Return the local change of the second plane with the first at each position, shape (n, 2, 2)."""
        given = np.asarray(points, dtype=np.float64)
        found, depth = self(given), self.depth(given)
        rise = self.matrix[None, :2, :2] - found[:, :, None] * self.matrix[None, 2:, :2]
        return np.asarray(rise / depth[:, None, None])


def normalisation(points: Floats) -> Floats:
    """Return the 3 × 3 shift and scale that put points about the origin at a mean distance of √2."""
    centre = points.mean(axis=0)
    spread = float(np.hypot(*(points - centre).T).mean())
    if not spread > 0:
        raise MeasureError(
            "All the points marked have one position. Mark at least four that lie apart, round the edge of the unit."
        )
    scale = np.sqrt(2) / spread
    return np.array([[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]])


def direct_homography(first: ArrayLike, second: ArrayLike) -> Homography:
    """Return the homography of at least four pairs by the direct linear transformation with normalised points.

    Parameters
    ----------
    first, second : array_like of shape (n, 2)
        Positions on both planes, pair by pair; no NaN.

    Raises
    ------
    MeasureError
        Fewer than four pairs.

    Notes
    -----
    The right singular vector of the least singular value of the 2n × 9 system; with four pairs it fits exactly.
    """
    one, two = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    if len(one) < LEAST_POINTS:
        raise MeasureError(
            f"{len(one)} points are marked. A flat floor seen from above needs four, and a fifth to check them: mark more points."
        )
    to_one, to_two = normalisation(one), normalisation(two)
    u, v = (one @ to_one[:2, :2].T + to_one[:2, 2]).T
    p, q = (two @ to_two[:2, :2].T + to_two[:2, 2]).T
    nought, unity = np.zeros_like(u), np.ones_like(u)
    rows = np.empty((2 * len(u), 9))
    rows[0::2] = np.stack([u, v, unity, nought, nought, nought, -p * u, -p * v, -p], axis=1)
    rows[1::2] = np.stack([nought, nought, nought, u, v, unity, -q * u, -q * v, -q], axis=1)
    vector = np.linalg.svd(rows)[2][-1]
    return Homography.of(np.linalg.inv(to_two) @ vector.reshape(3, 3) @ to_one)


def fit_homography(first: ArrayLike, second: ArrayLike) -> Homography:
    """Return the homography that leaves the least sum of squared distances on the second plane.

    Parameters
    ----------
    first, second : array_like of shape (n, 2)
        At least four pairs; no NaN.

    Raises
    ------
    MeasureError
        Fewer than four pairs.

    Notes
    -----
    Begins with `direct_homography` and goes on by damped Gauss-Newton steps on the eight free entries, both planes normalised.
    """
    one, two = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    start = direct_homography(one, two)
    to_one, to_two = normalisation(one), normalisation(two)
    given, wanted = (one @ to_one[:2, :2].T + to_one[:2, 2]), (two @ to_two[:2, :2].T + to_two[:2, 2])
    entries = (to_two @ start.matrix @ np.linalg.inv(to_one)).ravel()
    entries = _settled(entries / entries[8], given, wanted)
    return Homography.of(np.linalg.inv(to_two) @ entries.reshape(3, 3) @ to_one)


def _settled(entries: Floats, given: Floats, wanted: Floats) -> Floats:
    """Return the entries after damped Gauss-Newton steps."""
    missed, damping = _missed(entries, given, wanted), 1e-6
    for _ in range(_ROUNDS):
        rise = _rise(entries, given)
        normal = rise.T @ rise
        step = np.linalg.lstsq(normal + damping * np.diag(np.diag(normal) + 1e-12), -rise.T @ missed, rcond=None)[0]
        trial = entries + np.append(step, 0.0)
        after = _missed(trial, given, wanted)
        if after @ after <= missed @ missed:
            gained = missed @ missed - after @ after
            entries, missed, damping = trial, after, max(damping / 10, 1e-12)
            if gained <= _SETTLED * (after @ after) or np.abs(step).max() < _SETTLED:
                break
        else:
            damping *= 10
            if damping > 1e6:
                break
    return entries


def _missed(entries: Floats, given: Floats, wanted: Floats) -> Floats:
    return np.asarray((Homography(entries.reshape(3, 3))(given) - wanted).ravel())


def _rise(entries: Floats, given: Floats) -> Floats:
    """Return the derivatives of the positions by the first eight entries, shape (2n, 8)."""
    matrix = Homography(entries.reshape(3, 3))
    found, depth = matrix(given), matrix.depth(given)[:, None]
    line = np.column_stack([given, np.ones(len(given))]) / depth
    rise = np.zeros((2 * len(given), 8))
    rise[0::2, 0:3] = line
    rise[1::2, 3:6] = line
    rise[0::2, 6:8] = -found[:, :1] * line[:, :2]
    rise[1::2, 6:8] = -found[:, 1:] * line[:, :2]
    return rise


def points_off_every_line(points: ArrayLike, share: float = 0.02) -> tuple[int, tuple[int, ...]]:
    """Return how many points lie off the line that holds most of them, and which lie on it.

    Parameters
    ----------
    points : array_like of shape (n, 2)
        Positions on one plane.
    share : float
        A point lies on a line when it is nearer to it than this share of the points' extent (house value).

    Returns
    -------
    tuple of int and tuple of int
        A homography needs at least two points off every line; four points with three in line leave one.
    """
    held = np.asarray(points, dtype=np.float64)
    reach = share * float(np.hypot(*np.ptp(held, axis=0)))
    worst: tuple[int, tuple[int, ...]] = (len(held), ())
    for place in range(len(held) - 1):
        along = held[place + 1 :] - held[place]
        length = np.hypot(*along.T)
        away = held - held[place]
        cross = np.abs(along[:, :1] * away[None, :, 1] - along[:, 1:] * away[None, :, 0])
        on = np.where(length[:, None] > reach, cross <= reach * length[:, None], np.hypot(*away.T)[None, :] <= reach)
        best = int(on.sum(axis=1).argmax())
        if len(held) - int(on[best].sum()) < worst[0]:
            worst = len(held) - int(on[best].sum()), tuple(np.flatnonzero(on[best]).tolist())
    return worst
