"""Where the camera stood, and how far relief off the plane is moved in a rectified photo.

A point dz above the plane, seen at an angle from the plane's normal, is drawn dz·tan(angle) away from the point under the camera.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.ground.rectify import Rectification

__all__ = ["CameraPlace", "camera_place", "displacement", "relief_warning", "sample_distance"]

Floats = NDArray[np.float64]


def displacement(relief: float, angle: float) -> float:
    """Return how far a point off the plane is moved, in the quantity of `relief`.

    Parameters
    ----------
    relief : float
        Height off the plane.
    angle : float
        View angle from the plane's normal, degrees.

    Examples
    --------
    >>> round(displacement(50, 20), 1)
    18.2
    """
    return relief * tan(radians(angle))


def sample_distance(pitch: float, distance: float, focal: float) -> float:
    """Return the ground covered by one pixel of a picture taken square on, in the quantity of `pitch`.

    Parameters
    ----------
    pitch : float
        Size of one pixel on the sensor.
    distance, focal : float
        From lens to ground, and focal length, in one quantity.

    Examples
    --------
    >>> round(sample_distance(0.00391, 3000, 24), 3)
    0.489
    """
    return pitch * distance / focal


@dataclass(frozen=True, slots=True)
class CameraPlace:
    """Where the camera stood.

    Parameters
    ----------
    easting, northing, height : float
        Metres on the site grid and above the plane.
    focal : float
        Focal length in pixels.
    how : str
        What the place rests on.
    """

    easting: float
    northing: float
    height: float
    focal: float
    how: str

    def moved(self, ground: ArrayLike, relief: float) -> Floats:
        """Return how far points `relief` metres above plane positions are drawn from where they lie, metres, shape (n,)."""
        away = np.hypot(*(np.asarray(ground, dtype=np.float64) - np.array([self.easting, self.northing])).T)
        return np.asarray(away * relief / (self.height - relief))


def camera_place(found: Rectification, *, focal: float | None = None) -> CameraPlace | None:
    """Return where the camera stood, taking square pixels and the lens's axis in the middle of the picture.

    Parameters
    ----------
    found : Rectification
        The fit.
    focal : float or None
        Focal length in pixels; found from the fit itself when None, which needs a tilted view.

    Returns
    -------
    CameraPlace or None
        None when the view is too square on to find the focal length.

    Notes
    -----
    With H from ground to picture and K the camera's matrix, the first two columns of K⁻¹H are at right angles and equally long;
    both conditions give 1/f².
    """
    middle = np.array([(found.size[0] - 1) / 2, (found.size[1] - 1) / 2])
    centre = found.ground.mean(axis=0)
    shift = np.array([[1, 0, -middle[0]], [0, 1, -middle[1]], [0, 0, 1.0]])
    matrix = shift @ found.plane.matrix @ np.array([[1, 0, centre[0]], [0, 1, centre[1]], [0, 0, 1.0]])
    how = "focal length from the picture's data"
    if focal is None:
        solved = _focal(matrix, float(np.hypot(*found.size)))
        if solved is None:
            return None
        focal, how = solved, "focal length from the tilt of the view"
    columns = np.diag([1 / focal, 1 / focal, 1.0]) @ matrix
    scale = 2 / (np.linalg.norm(columns[:, 0]) + np.linalg.norm(columns[:, 1]))
    east, north, shifted = (columns * scale).T
    if shifted[2] < 0:
        east, north, shifted = -east, -north, -shifted
    turn = np.column_stack([east, north, np.cross(east, north)])
    left, _, right = np.linalg.svd(turn)
    place = -(left @ right).T @ shifted
    return CameraPlace(float(place[0] + centre[0]), float(place[1] + centre[1]), float(abs(place[2])), float(focal), how)


def _focal(matrix: Floats, diagonal: float) -> float | None:
    """Return the focal length in pixels, None when the view is too square on or the answer makes no camera."""
    one, two = matrix[:, 0], matrix[:, 1]
    factors = np.array([one[0] * two[0] + one[1] * two[1], one[0] ** 2 + one[1] ** 2 - two[0] ** 2 - two[1] ** 2])
    wanted = -np.array([one[2] * two[2], one[2] ** 2 - two[2] ** 2])
    strength = float(factors @ factors)
    tilt = float(np.hypot(one[2], two[2]) * diagonal / 2 / np.sqrt(abs(np.linalg.det(matrix[:2, :2]))))
    if strength == 0 or tilt < 0.1:
        return None
    inverse = float(factors @ wanted) / strength
    if inverse <= 0:
        return None
    focal = float(1 / np.sqrt(inverse))
    return focal if 0.3 * diagonal < focal < 10 * diagonal else None


def relief_warning(found: Rectification, relief: float, place: CameraPlace | None, *, height: float | None = None) -> str:
    """Return in words how far relief off the plane is moved at the worst marked point.

    Parameters
    ----------
    found : Rectification
        The fit.
    relief : float
        Height off the plane in metres, up or down.
    place : CameraPlace or None
        From `camera_place`.
    height : float or None
        Height of the camera above the plane in metres where it was measured; it then stands in for the computed one, and without
        a place the camera is taken to hang over the middle of the points.
    """
    if place is None and height is None:
        return (
            f"Relief of {1000 * relief:.0f} mm off the plane moves what is seen; by how much cannot be told, for the view is too "
            "square on to find the camera. Give the camera's height."
        )
    middle = found.ground.mean(axis=0)
    east, north = (place.easting, place.northing) if place else (float(middle[0]), float(middle[1]))
    stood = CameraPlace(east, north, height or (place.height if place else 0.0), 0.0, "")
    if abs(relief) >= stood.height:
        return f"Relief of {relief:.2f} m reaches the camera's height of {stood.height:.2f} m: the photo cannot be used for it."
    moved = np.abs(stood.moved(found.ground, relief))
    worst = int(moved.argmax())
    where = "over the middle of the points (taken, not known)" if place is None else f"at {east:.2f} E {north:.2f} N"
    return (
        f"What lies {1000 * relief:.0f} mm off the plane is drawn up to {1000 * moved[worst]:.0f} mm from its place (at point "
        f"{found.names[worst]}; camera {stood.height:.2f} m above the plane, {where})."
    )
