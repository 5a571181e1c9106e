"""Places and weights that stand for the area inside an outline."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.compiled import compiled

__all__ = ["places_inside", "rings_of"]

Floats = NDArray[np.float64]


@compiled
def _crossings(ends: Floats, height: float, found: Floats) -> int:
    """Write the eastings at which edges (k × 4: e, n, e, n) cross a northing, sorted; return how many."""
    count = 0
    for edge in range(ends.shape[0]):
        low, high = ends[edge, 1], ends[edge, 3]
        if (low <= height) != (high <= height):
            found[count] = ends[edge, 0] + (height - low) / (high - low) * (ends[edge, 2] - ends[edge, 0])
            count += 1
    for i in range(1, count):
        held, j = found[i], i - 1
        while j >= 0 and found[j] > held:
            found[j + 1] = found[j]
            j -= 1
        found[j + 1] = held
    return count


@compiled
def _strips(ends: Floats, south: float, north: float, strips: int, width: float) -> Floats:
    """Return easting, northing and area of cells: the middle of even shares of each strip inside the edges."""
    deep = (north - south) / strips
    found = np.empty(ends.shape[0])
    total = 0
    for write in range(2):
        if write == 1:
            out = np.empty((total, 3))
            total = 0
        for strip in range(strips):
            middle = south + (strip + 0.5) * deep
            count = _crossings(ends, middle, found)
            for pair in range(count // 2):
                start, length = found[2 * pair], found[2 * pair + 1] - found[2 * pair]
                cells = max(1, int(np.ceil(length / width)))
                if write == 1:
                    for cell in range(cells):
                        out[total, 0] = start + (cell + 0.5) * length / cells
                        out[total, 1] = middle
                        out[total, 2] = deep * length / cells
                        total += 1
                else:
                    total += cells
    return out


def rings_of(outline: BaseGeometry) -> list[Floats]:
    """Return every ring of an outline (k × 2, the first position repeated last), shells and holes."""
    found = []
    for part in shapely.get_parts(outline):
        if part.geom_type != "Polygon":
            continue
        found += [np.asarray(ring.coords)[:, :2] for ring in (part.exterior, *part.interiors)]
    return found


def places_inside(outline: BaseGeometry, strips: int = 24) -> tuple[Floats, Floats]:
    """Return places inside an outline and the area each stands for.

    Parameters
    ----------
    outline : shapely Polygon or MultiPolygon
        In metres; holes are left out.
    strips : int
        Strips from south to north; cells are about as wide as a strip is deep.

    Returns
    -------
    places : (m, 2) array
        Easting and northing, metres.
    areas : (m,) array
        Square metres; they sum to the outline's own area.

    Raises
    ------
    MeasureError
        When the outline has no area.

    Notes
    -----
    The midpoint rule in strips cut exactly at the outline; areas are scaled and tilted so that their sum and
    centroid are the outline's own: a plane is integrated exactly.
    """
    if outline.is_empty or outline.area <= 0:
        raise MeasureError("An outline has no area, so no volume can stand on it. Enter at least three corners not in one line.")
    edges = np.ascontiguousarray(np.vstack([np.hstack([ring[:-1], ring[1:]]) for ring in rings_of(outline)]))
    west, south, east, north = outline.bounds
    width = min(max((north - south) / strips, (east - west) / (4 * strips)), (east - west) / 4)
    found = _strips(edges, south, north, strips, width)
    if not len(found):
        centre = outline.representative_point()
        return np.array([[centre.x, centre.y]]), np.array([outline.area])
    places, areas = np.ascontiguousarray(found[:, :2]), found[:, 2] * (outline.area / found[:, 2].sum())
    return places, _balanced(places, areas, np.array([outline.centroid.x, outline.centroid.y]))


def _balanced(places: Floats, areas: Floats, centroid: Floats) -> Floats:
    """Return areas tilted a little so that their own centroid is the outline's: planes are then integrated exactly."""
    total = areas.sum()
    local = places - (areas @ places) / total
    moments = (local * areas[:, None]).T @ local
    if np.linalg.det(moments) <= 1e-9 * moments.trace() ** 2:
        return areas
    tilt = np.linalg.solve(moments, total * (centroid - (areas @ places) / total))
    balanced: Floats = areas * (1 + local @ tilt)
    return balanced if (balanced > 0).all() else areas
