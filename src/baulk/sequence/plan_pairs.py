"""Which outlines overlap or touch in plan, found through a tree of boxes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from baulk.record import Context, Outline, SiteRecord

__all__ = ["overlapping_pairs", "plan_shape", "plan_shapes", "touching_pairs"]


def plan_shape(outlines: Sequence[Outline]) -> BaseGeometry | None:
    """Return the ground that the outlines of one context cover, in the site's own quantity; None when they enclose none."""
    rings = [outline.ring for outline in outlines if outline.ring]
    if not rings:
        return None
    drawn = [shapely.make_valid(Polygon(ring)) for ring in rings]
    shape = drawn[0] if len(drawn) == 1 else shapely.union_all(drawn)
    return shape if shape.area > 0 else None


def plan_shapes(record: SiteRecord) -> dict[str, BaseGeometry]:
    """Return the extent in plan of every context that is drawn, by its id."""
    found = ((context.id, plan_shape(record.pointing_at(Outline, "context", context.id))) for context in record.all(Context))
    return {context: shape for context, shape in found if shape is not None}


def overlapping_pairs(shapes: Sequence[BaseGeometry], least: float) -> NDArray[np.int64]:
    """Return the pairs of shapes that share more than some area.

    Parameters
    ----------
    shapes : sequence of geometry
        Valid shapes.
    least : float
        Area that two must share more than, in their own quantity squared.

    Returns
    -------
    int64 array, shape (k, 2)
        Places in `shapes`, the smaller first; each pair once. Only shapes whose boxes meet are compared.

    Examples
    --------
    >>> from shapely import box
    >>> overlapping_pairs([box(0, 0, 2, 2), box(1, 0, 3, 2), box(3, 0, 4, 2)], 0.5).tolist()
    [[0, 1]]
    """
    if len(shapes) < 2:
        return np.zeros((0, 2), np.int64)
    held = np.array(shapes, dtype=object)
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = one < other
    one, other = one[once], other[once]
    over = shapely.area(shapely.intersection(held[one], held[other])) > least
    return np.column_stack((one[over], other[over])).astype(np.int64)


def touching_pairs(shapes: Sequence[BaseGeometry], reach: float, length: float = 0.0) -> NDArray[np.int64]:
    """Return the pairs of shapes that come within `reach` of each other, along at least `length` of the first one's edge.

    Parameters
    ----------
    shapes : sequence of geometry
        Valid shapes; overlapping ones touch too.
    reach : float
        Distance that counts as touching.
    length : float, optional
        Metres, or the shapes' own quantity, of edge that must lie within reach; 0 asks for none.

    Returns
    -------
    int64 array, shape (k, 2)
        Places in `shapes`, the smaller first; each pair once.
    """
    if len(shapes) < 2:
        return np.zeros((0, 2), np.int64)
    one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    once = one < other
    one, other = one[once], other[once]
    if length > 0 and len(one):
        held = np.array(shapes, dtype=object)
        beside = shapely.intersection(shapely.boundary(held[one]), shapely.buffer(held[other], reach, quad_segs=2))
        long_enough = shapely.length(beside) >= length
        one, other = one[long_enough], other[long_enough]
    return np.column_stack((one, other)).astype(np.int64)
