"""From the site grid to a projected grid and back: shift, turn and one scale, fitted to control points.

References
----------
EPSG co-ordinate operation method 9621, similarity transformation: epsg.io/9621-method (read).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from baulk.errors import MeasureError
from baulk.grid.points import Floats, GridPoint, ProjectedPoint, positions

__all__ = ["Similarity"]


@dataclass(frozen=True, slots=True)
class Similarity:
    """A shift, a turn and one scale from the site grid to a projected grid.

    Parameters
    ----------
    easting, northing : float
        Projected position of the site grid's origin, in metres (XT0, YT0).
    scale : float
        Projected metres for each metre on the site grid (M).
    bearing : float
        Bearing of the site grid's north on the projected grid, degrees clockwise (q).

    Raises
    ------
    MeasureError
        A number is not finite, or the scale is not above zero.

    Notes
    -----
    XT = XT0 + XS·M·cos q + YS·M·sin q; YT = YT0 − XS·M·sin q + YS·M·cos q. EPSG gives q as the rotation of the source
    axes counter-clockwise and, equally, as the bearing of the source Y axis; the second is how it is named here.
    """

    easting: float
    northing: float
    scale: float
    bearing: float

    def __post_init__(self) -> None:
        """Refuse what cannot be turned back."""
        if not all(math.isfinite(part) for part in (self.easting, self.northing, self.scale, self.bearing)) or self.scale <= 0:
            raise MeasureError(
                f"The site grid's place is given as origin ({self.easting:g}, {self.northing:g}), scale "
                f"{self.scale:g}, bearing "
                f"{self.bearing:g}°. All four are numbers and the scale is above zero: fill in what is missing."
            )

    @property
    def rotation(self) -> float:
        """Degrees by which the site grid is turned anticlockwise on the projected grid: the bearing the other way."""
        return -self.bearing

    def _matrix(self) -> Floats:
        """Return the matrix that a row of site easting and northing is multiplied by."""
        turn = math.radians(self.bearing)
        cosine, sine = self.scale * math.cos(turn), self.scale * math.sin(turn)
        return np.array([[cosine, -sine], [sine, cosine]])

    def forward(self, points: Sequence[GridPoint] | ArrayLike) -> Floats:
        """Return projected positions of site-grid positions.

        Parameters
        ----------
        points : sequence of GridPoint, or array_like of shape (n, 2)
            Metres; NaN is refused.

        Returns
        -------
        numpy.ndarray of shape (n, 2)
            Easting, northing in metres.
        """
        given = positions(points, "positions on the site grid")
        return np.asarray(given @ self._matrix() + np.array([self.easting, self.northing]))

    def inverse(self, points: Sequence[ProjectedPoint] | ArrayLike) -> Floats:
        """Return site-grid positions of projected positions; the other way of `forward`, with the same rules."""
        given = positions(points, "projected positions")
        shifted = given - np.array([self.easting, self.northing])
        return np.asarray(shifted @ self._matrix().T / self.scale**2)
