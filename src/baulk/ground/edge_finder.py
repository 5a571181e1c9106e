"""A proposal of one piece's outline on a rectified picture, grown from a point inside it; a person confirms or draws it anew.

The picture is smoothed; from the seed the region grows over neighbouring pixels whose colour is near that of the seed's own
surroundings and stops where the colour changes fast (the joint). The outline proposed is a rectangle about the region, or its own
hull for a stone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy import ndimage

from baulk.errors import MeasureError

__all__ = ["Proposal", "propose_outline"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Proposal:
    """An outline proposed for one piece; never taken without a person's word.

    Parameters
    ----------
    ring : numpy.ndarray of shape (n, 2)
        Corners as column and row of the picture (centre of the first pixel 0, 0), the first not repeated.
    fills : float
        Share of the outline that the region found fills: near 1 for a whole face, low for a region that leaked or is ragged.
    leaked : bool
        Whether the region reached the edge of the window, so that the outline is not to be trusted.
    why : str
        What was done, in a sentence.
    """

    ring: Floats
    fills: float
    leaked: bool
    why: str


def propose_outline(
    picture: ArrayLike,
    seed: tuple[float, float],
    *,
    largest: int = 200,
    smoothing: float = 1.5,
    spread: float = 3.0,
    hull: bool = False,
) -> Proposal:
    """Return the outline proposed for the piece under a point.

    Parameters
    ----------
    picture : array_like of shape (rows, columns) or (rows, columns, 3 or 4)
        Grey levels or colours from 0 to 255.
    seed : tuple of two float
        Column and row of a point inside the piece.
    largest : int
        Pixels that the piece reaches from the seed at most.
    smoothing : float
        Standard deviation of the smoothing in pixels.
    spread : float
        How many times the spread of colour about the seed a pixel may differ (house value).
    hull : bool
        True for a stone: the hull of the region in place of the rectangle.

    Raises
    ------
    MeasureError
        The seed lies outside the picture, or no piece stands out there.
    """
    held = np.asarray(picture, dtype=np.float64)
    held = held[..., None] if held.ndim == 2 else held[..., :3]
    column, row = round(seed[0]), round(seed[1])
    if not (0 <= column < held.shape[1] and 0 <= row < held.shape[0]):
        raise MeasureError(
            f"The point {seed[0]:g}, {seed[1]:g} lies outside the picture of {held.shape[1]} × {held.shape[0]} pixels."
        )
    left, top = max(0, column - largest), max(0, row - largest)
    window = held[top : row + largest + 1, left : column + largest + 1]
    smooth = ndimage.gaussian_filter(window, (smoothing, smoothing, 0))
    place = row - top, column - left
    region = _grown(smooth, place, spread)
    if region.sum() < 12:
        raise MeasureError(
            f"No piece stands out at column {seed[0]:g}, row {seed[1]:g}: the colour changes at once. Mark a point on its plain "
            "face, or draw the outline."
        )
    leaked = _reaches_edge(region)
    shape = _outline(region, hull=hull)
    ring = shapely.get_coordinates(shape)[:-1] + np.array([left, top]) - 0.5
    fills = float(region.sum()) / shape.area
    tail = " It ran out of the window: draw the outline by hand." if leaked else ""
    return Proposal(
        ring, min(fills, 1.0), leaked, f"Grown over {int(region.sum())} pixels, filling {100 * min(fills, 1):.0f} %.{tail}"
    )


def _grown(smooth: Floats, place: tuple[int, int], spread: float) -> NDArray[np.bool_]:
    """Return the region about a place, its holes filled and its thin bridges to other pieces cut."""
    about = smooth[max(0, place[0] - 3) : place[0] + 4, max(0, place[1] - 3) : place[1] + 4].reshape(-1, smooth.shape[2])
    colour = np.median(about, axis=0)
    apart = np.sqrt(((smooth - colour) ** 2).sum(axis=-1))
    own = max(float(np.percentile(np.sqrt(((about - colour) ** 2).sum(axis=-1)), 75)), 5.0)
    steep = np.sqrt(sum(ndimage.sobel(smooth[..., band], axis) ** 2 for band in range(smooth.shape[2]) for axis in (0, 1))) / 8
    inner = steep[max(0, place[0] - 3) : place[0] + 4, max(0, place[1] - 3) : place[1] + 4]
    # The face is plain up to half the height of the edge: past that the pixel is nearer to the joint's colour.
    like = (apart <= spread * own) & (steep <= max(6.0, 3 * float(inner.max())))
    opened = ndimage.binary_opening(like, iterations=2)
    opened[place] = like[place]
    labels, _ = ndimage.label(opened)
    if not labels[place]:
        return np.zeros(like.shape, bool)
    whole = np.asarray(ndimage.binary_fill_holes(labels == labels[place]), dtype=bool)
    return whole if _reaches_edge(whole) else _to_half_height(whole, apart)


def _reaches_edge(region: NDArray[np.bool_]) -> bool:
    return bool(region[0].any() or region[-1].any() or region[:, 0].any() or region[:, -1].any())


def _to_half_height(region: NDArray[np.bool_], apart: Floats) -> NDArray[np.bool_]:
    """Return the region carried out to where the colour is half-way to that of what lies round it."""
    rim = ndimage.binary_dilation(region, iterations=6) & ~ndimage.binary_dilation(region, iterations=3)
    if not rim.any():
        return region
    half = float(np.median(apart[rim])) / 2
    within = ndimage.binary_dilation(region, iterations=5) & (apart < max(half, float(np.median(apart[region]))))
    labels, _ = ndimage.label(within | region)
    inside = labels[region][0]
    return np.asarray(ndimage.binary_fill_holes(labels == inside), dtype=bool)


def _outline(region: NDArray[np.bool_], *, hull: bool) -> shapely.Polygon:
    """Return the rectangle whose sides leave out as much of the region's ragged rim as they take in, or its hull."""
    rows, columns = np.nonzero(region)
    spots = np.column_stack([columns, rows]).astype(np.float64)
    rim = np.column_stack(np.nonzero(region & ~ndimage.binary_erosion(region))[::-1]).astype(np.float64)
    corners = np.concatenate([rim + np.array([across, down]) for across in (0.0, 1.0) for down in (0.0, 1.0)])
    convex = shapely.MultiPoint(corners).convex_hull
    if hull:
        return shapely.Polygon(shapely.get_coordinates(convex))
    box = shapely.get_coordinates(convex.minimum_rotated_rectangle)
    along = box[1] - box[0]
    along = along / np.hypot(*along)
    across = np.array([-along[1], along[0]])
    middle = spots.mean(axis=0) + 0.5
    reach = []
    for one, other in ((along, across), (across, along)):
        away, beside = (spots + 0.5 - middle) @ one, (spots + 0.5 - middle) @ other
        wide = max(1, int(np.ptp(beside)))
        strip = np.clip((beside - beside.min()).astype(int), 0, wide)
        # The median end over the strips that run this way: a notch or a bump does not move the side.
        least, most = np.full(wide + 1, np.inf), np.full(wide + 1, -np.inf)
        np.minimum.at(least, strip, away)
        np.maximum.at(most, strip, away)
        held = np.isfinite(least)
        reach.append((float(np.median(least[held])) - 0.5, float(np.median(most[held])) + 0.5))
    (low, high), (near, far) = reach
    return shapely.Polygon(
        [middle + one * along + two * across for one, two in ((low, near), (high, near), (high, far), (low, far))]
    )
