"""A plane homography and a radial lens fitted together, and whether the lens is worth its freedom."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from baulk.ground.homography import Homography, fit_homography, normalisation
from baulk.ground.lens import Lens

__all__ = ["fit_with_lens", "lens_freedom"]

Floats = NDArray[np.float64]


def lens_freedom(points: int) -> int:
    """Return how many numbers of a lens can be found from so many marked points.

    Returns
    -------
    int
        0 below seven points, 1 (k1) from seven, 2 (k1, k2) from ten, 4 (the middle too) from sixteen. Each leaves at least as
        many spare figures as the lens takes (house values).
    """
    return 4 if points >= 16 else 2 if points >= 10 else 1 if points >= 7 else 0


def fit_with_lens(ground: Floats, seen: Floats, size: tuple[int, int], freedom: int) -> tuple[Homography, Lens]:
    """Return the way from the ground to ideal pixels and the lens that bends them, by least squares in the picture.

    Parameters
    ----------
    ground, seen : numpy.ndarray of shape (n, 2)
        Marked points on the ground in metres and in the picture in pixels.
    size : tuple of two int
        Columns and rows of the picture.
    freedom : int
        1, 2 or 4, as `lens_freedom` says.
    """
    reach = float(np.hypot(*size)) / 2
    middle = np.array([(size[0] - 1) / 2, (size[1] - 1) / 2])
    start = fit_homography(ground, seen)
    to_ground = normalisation(ground)
    to_seen = np.array([[1 / reach, 0, -middle[0] / reach], [0, 1 / reach, -middle[1] / reach], [0, 0, 1]])
    given = ground @ to_ground[:2, :2].T + to_ground[:2, 2]
    wanted = (seen - middle) / reach
    entries = (to_seen @ start.matrix @ np.linalg.inv(to_ground)).ravel()

    def parts(values: Floats) -> tuple[Homography, Lens]:
        factors = np.zeros(4)
        factors[:freedom] = values[8:]
        return Homography(np.append(values[:8], 1.0).reshape(3, 3)), Lens(
            float(factors[0]), float(factors[1]), float(factors[2]), float(factors[3]), 1.0
        )

    def missed(values: Floats) -> Floats:
        plane, lens = parts(values)
        return np.asarray((lens.seen(plane(given)) - wanted).ravel())

    begin = np.concatenate([entries[:8] / entries[8], np.zeros(freedom)])
    found = least_squares(missed, begin, method="lm", xtol=1e-13, ftol=1e-13, max_nfev=2000)
    plane, lens = parts(np.asarray(found.x))
    back = Homography.of(np.linalg.inv(to_seen) @ plane.matrix @ to_ground)
    column, row = float(lens.column * reach + middle[0]), float(lens.row * reach + middle[1])
    return back, Lens(lens.k1, lens.k2, column, row, reach)
