"""The thickness of a context over its outline as a grid of cells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.surface import Surface

__all__ = ["Cells", "ThicknessMap", "cells_over", "thickness_map"]

Floats = NDArray[np.float64]
_MOST = 250_000


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """A grid of square cells: middles of its columns and rows in metres, south to north; `size` is the side of a cell."""

    eastings: Floats
    northings: Floats
    size: float

    @property
    def places(self) -> Floats:
        """Middle of every cell, row by row from the south (m × 2)."""
        east, north = np.meshgrid(self.eastings, self.northings)
        return np.column_stack([east.ravel(), north.ravel()])


@dataclass(frozen=True, slots=True, eq=False)
class ThicknessMap:
    """Thickness by cell (rows from the south): metres, NaN outside; its standard deviation; whether it is extrapolated."""

    cells: Cells
    thickness: Floats
    deviation: Floats
    extrapolated: NDArray[np.bool_]


def cells_over(ground: BaseGeometry, size: float) -> Cells:
    """Return cells of `size` metres over the bounds of an area, on whole multiples of the size so that grids of neighbours fit.

    Raises
    ------
    MeasureError
        When the size is not above 0 or there would be more than 250,000 cells.
    """
    west, south, east, north = ground.bounds
    if not size > 0 or ((east - west) / size + 2) * ((north - south) / size + 2) > _MOST:
        raise MeasureError(
            f"Cells of {size:g} m over {east - west:.1f} × {north - south:.1f} m were asked for: at most {_MOST:,} can be drawn."
        )
    columns = np.arange(np.floor(west / size + 1e-9), np.ceil(east / size - 1e-9))
    rows = np.arange(np.floor(south / size + 1e-9), np.ceil(north / size - 1e-9))
    eastings: Floats = np.asarray((columns + 0.5) * size, float)
    northings: Floats = np.asarray((rows + 0.5) * size, float)
    return Cells(eastings, northings, size)


def thickness_map(top: Surface, base: Surface, ground: BaseGeometry, size: float = 0.05) -> ThicknessMap:
    """Return the thickness between two surfaces in cells of `size` metres; 0 where the base comes out above the top.

    Raises
    ------
    MeasureError
        When there would be too many cells.
    """
    cells = cells_over(ground, size)
    places = cells.places
    shape = (len(cells.northings), len(cells.eastings))
    inside = shapely.contains_xy(ground, places[:, 0], places[:, 1])
    thickness, deviation = np.full(len(places), np.nan), np.full(len(places), np.nan)
    beyond = np.zeros(len(places), bool)
    upper, lower = top.at(places[inside]), base.at(places[inside])
    thickness[inside] = np.maximum(upper.levels - lower.levels, 0.0)
    deviation[inside] = np.hypot(upper.deviation, lower.deviation)
    beyond[inside] = upper.extrapolated | lower.extrapolated
    return ThicknessMap(cells, thickness.reshape(shape), deviation.reshape(shape), beyond.reshape(shape))
