"""A made camera over a made unit: where it sees points, and the picture it takes of a chequered floor."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

CORNERS = np.array([(111, 205), (113, 205), (113, 207), (111, 207), (112, 206), (112.1, 205.1), (111.1, 206.2), (112.9, 206.1)])
"""Nails of a 2 m unit: the four corners first."""


@dataclass(frozen=True)
class Camera:
    """A pinhole camera with a radial lens; `tilt` from straight down, `bearing` of its view, both in degrees."""

    place: tuple[float, float, float] = (111.7, 204.6, 2.4)
    tilt: float = 26.0
    bearing: float = 12.0
    focal: float = 1100.0
    size: tuple[int, int] = (1600, 1200)
    k1: float = 0.0
    k2: float = 0.0
    axes: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        """Work out the camera's axes."""
        tilt, bearing = np.radians([self.tilt, self.bearing])
        ahead = np.array([np.sin(tilt) * np.sin(bearing), np.sin(tilt) * np.cos(bearing), -np.cos(tilt)])
        right = np.array([np.cos(bearing), -np.sin(bearing), 0])
        object.__setattr__(self, "axes", np.array([right, np.cross(ahead, right), ahead]))

    def sees(self, ground, level=0.0):
        """Return columns and rows of ground positions at a level above the plane."""
        ground = np.asarray(ground, float)
        spots = np.column_stack([ground, np.broadcast_to(level, len(ground))])
        away = (spots - np.array(self.place)) @ self.axes.T
        flat = away[:, :2] / away[:, 2:]
        reach = np.hypot(*self.size) / 2 / self.focal
        square = (flat**2).sum(axis=1, keepdims=True) / reach**2
        middle = (np.array(self.size) - 1) / 2
        return flat * (1 + self.k1 * square + self.k2 * square**2) * self.focal + middle

    def shot(self, shade):
        """Return the picture of a floor (no lens), shape (rows, columns, 3); `shade` gives 0 to 255 at eastings and northings."""
        columns, rows = np.meshgrid(np.arange(self.size[0]), np.arange(self.size[1]))
        total = np.zeros((self.size[1], self.size[0]))
        middle = (np.array(self.size) - 1) / 2
        for across, down in ((-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)):
            rays = np.stack(
                [(columns + across - middle[0]) / self.focal, (rows + down - middle[1]) / self.focal, np.ones(columns.shape)], -1
            )
            rays = rays @ self.axes
            reach = -self.place[2] / rays[..., 2]
            total += shade(self.place[0] + reach * rays[..., 0], self.place[1] + reach * rays[..., 1]) / 4
        return np.repeat(total.astype(np.uint8)[..., None], 3, axis=2)

    def floor(self, cell=0.1):
        """Return the picture of a floor of light and dark squares on round co-ordinates (no lens), shape (rows, columns, 3)."""
        return self.shot(lambda east, north: 40 + 180 * ((np.floor(east / cell + 1e-9) + np.floor(north / cell + 1e-9)) % 2))
