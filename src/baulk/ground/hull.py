"""How far a place lies outside the outermost levels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from baulk.ground.compiled import compiled

__all__ = ["beyond_hull"]

Floats = NDArray[np.float64]


@compiled
def beyond_hull(places: Floats, corners: Floats) -> Floats:
    """Return the distance from places (m × 2) to a convex shape of corners (k × 2, anticlockwise); 0 inside it.

    One corner is a point, two are a line.
    """
    count = corners.shape[0]
    out = np.empty(places.shape[0])
    for place in range(places.shape[0]):
        inside, nearest = count > 2, np.inf
        for start in range(count):
            end = (start + 1) % count
            east, north = corners[end, 0] - corners[start, 0], corners[end, 1] - corners[start, 1]
            from_east, from_north = places[place, 0] - corners[start, 0], places[place, 1] - corners[start, 1]
            if east * from_north - north * from_east < 0.0:
                inside = False
            length = east * east + north * north
            along = (from_east * east + from_north * north) / length if length > 0.0 else 0.0
            along = min(max(along, 0.0), 1.0)
            away = (from_east - along * east) ** 2 + (from_north - along * north) ** 2
            nearest = min(nearest, away)
        out[place] = 0.0 if inside else np.sqrt(nearest)
    return out
