"""The north-up picture on the site grid: where its cells lie."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from baulk.errors import MeasureError
from baulk.ground.rectify import Rectification

__all__ = ["LARGEST_RASTER", "SiteRaster", "raster_for", "round_cell"]

Floats = NDArray[np.float64]
LARGEST_RASTER = 1_000_000_000
"""Most cells that one picture may have."""


@dataclass(frozen=True, slots=True)
class SiteRaster:
    """Cells of one size on the site grid, rows running south from the north edge.

    Parameters
    ----------
    west, north : float
        Outer corner of the first cell, metres.
    cell : float
        Side of a cell, metres.
    columns, rows : int
        How many.
    """

    west: float
    north: float
    cell: float
    columns: int
    rows: int

    @property
    def east(self) -> float:
        """East edge, metres."""
        return self.west + self.columns * self.cell

    @property
    def south(self) -> float:
        """South edge, metres."""
        return self.north - self.rows * self.cell

    def to_ground(self) -> Floats:
        """Return the 3 × 3 matrix from a cell's column and row (0, 0 is the centre of the first) to easting and northing."""
        return np.array(
            [[self.cell, 0, self.west + self.cell / 2], [0, -self.cell, self.north - self.cell / 2], [0, 0, 1]], dtype=np.float64
        )


def round_cell(resolution: float) -> float:
    """Return a round size of cell, 1, 2 or 5 times a power of ten, not finer than `resolution` by more than a quarter.

    Examples
    --------
    >>> round_cell(0.0011), round_cell(0.0018)
    (0.001, 0.002)
    """
    power = 10.0 ** floor(np.log10(resolution))
    for step in (1, 2, 5, 10):
        if step * power >= 0.75 * resolution:
            return float(f"{step * power:.6g}")
    return float(f"{10 * power:.6g}")


def raster_for(
    found: Rectification, *, cell: float | None = None, edges: tuple[float, float, float, float] | None = None, margin: float = 0.1
) -> SiteRaster:
    """Return the picture's cells: the area of the marked points and a margin, on round co-ordinates.

    Parameters
    ----------
    found : Rectification
        The fit.
    cell : float or None
        Side of a cell in metres; a round size near the photo's own resolution when None.
    edges : tuple of four float or None
        West, south, east and north in metres; the points' own area when None.
    margin : float
        Share of that area's larger side to go beyond it: outside the points the fit is carried on, not checked.

    Raises
    ------
    MeasureError
        The cell is not above zero, the edges are out of order, or there would be more than `LARGEST_RASTER` cells.
    """
    side = round_cell(found.resolution()) if cell is None else cell
    if not (np.isfinite(side) and side > 0):
        raise MeasureError(f"A cell of {side:g} m is asked for. A cell has a side above zero: give metres, as in 0.001.")
    if edges is None:
        low, high = found.ground.min(axis=0), found.ground.max(axis=0)
        reach = margin * float((high - low).max())
        edges = float(low[0]) - reach, float(low[1]) - reach, float(high[0]) + reach, float(high[1]) + reach
    west, south, east, north = edges
    if not (all(map(np.isfinite, edges)) and west < east and south < north):
        raise MeasureError(f"The edges are given as west {west:g}, south {south:g}, east {east:g}, north {north:g}: they cross.")
    first, top = floor(west / side + 1e-6), ceil(north / side - 1e-6)
    columns, rows = ceil(east / side - 1e-6) - first, top - floor(south / side + 1e-6)
    if columns * rows > LARGEST_RASTER:
        raise MeasureError(
            f"A picture of {columns:,} × {rows:,} cells is asked for; at most {LARGEST_RASTER:,} are made. Take a larger cell than "
            f"{side:g} m or a smaller area."
        )
    return SiteRaster(round(first * side, 9), round(top * side, 9), side, columns, rows)
