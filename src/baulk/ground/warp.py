"""A photo drawn anew on the site grid, a band of rows at a time, so that memory does not grow with the picture.

Each cell's centre is carried to the photo and the four pixels about it are mixed (bilinear). The photo's pixels come from a
`PixelSource`, asked for no more than the window that a tile needs.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numba
import numpy as np
from numpy.typing import NDArray

from baulk.ground.raster import SiteRaster
from baulk.ground.rectify import Rectification

__all__ = ["PixelSource", "PlainPixels", "warp_bands", "warp_whole"]

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

TILE = 512
_NO_LENS = (0.0, 0.0, 0.0, 0.0, 1.0, np.inf)


class PixelSource(Protocol):
    """A photo that gives windows of its pixels as they are stored."""

    @property
    def stored_size(self) -> tuple[int, int]:
        """Columns and rows as stored."""
        ...

    @property
    def to_stored(self) -> Floats:
        """The 3 × 3 affine matrix from upright full-size pixels to stored ones (turning and reduction)."""
        ...

    def window(self, left: int, top: int, right: int, bottom: int) -> Pixels:
        """Return stored pixels, shape (rows, columns, 3), of a window that lies inside the stored picture."""
        ...


class PlainPixels:
    """A photo that is an array in memory, upright and full size; `pixels` has shape (rows, columns, 3)."""

    def __init__(self, pixels: Pixels) -> None:
        self._pixels = np.ascontiguousarray(pixels)

    @property
    def stored_size(self) -> tuple[int, int]:
        """Columns and rows."""
        return self._pixels.shape[1], self._pixels.shape[0]

    @property
    def to_stored(self) -> Floats:
        """No turning and no reduction."""
        return np.eye(3)

    def window(self, left: int, top: int, right: int, bottom: int) -> Pixels:
        """Return a view of the window."""
        return self._pixels[top:bottom, left:right]


def warp_bands(photo: PixelSource, found: Rectification, raster: SiteRaster, *, rows: int = TILE) -> Iterator[Pixels]:
    """Yield the rectified picture in bands of rows from the north.

    Parameters
    ----------
    photo : PixelSource
        The pixels.
    found : Rectification
        The fit, in upright full-size pixels.
    raster : SiteRaster
        The cells to draw.
    rows : int
        Rows in a band; the last may have fewer.

    Yields
    ------
    numpy.ndarray of shape (rows, columns, 4)
        Red, green, blue and 255 where the photo shows the ground, 0 where it does not.
    """
    to_ideal = np.ascontiguousarray(found.plane.matrix @ raster.to_ground())
    middle = found.plane.depth(found.ground.mean(axis=0, keepdims=True))[0]
    to_ideal *= np.sign(middle)
    lens = _NO_LENS
    if found.lens is not None:
        held = found.lens
        lens = (held.k1, held.k2, held.column, held.row, held.reach, min(held.edge(), 1e6))
    to_stored = np.ascontiguousarray(photo.to_stored[:2])
    for top in range(0, raster.rows, rows):
        high = min(rows, raster.rows - top)
        band = np.zeros((high, raster.columns, 4), np.uint8)
        for left in range(0, raster.columns, TILE):
            tile = np.zeros((high, min(TILE, raster.columns - left), 4), np.uint8)
            _tile(photo, tile, left, top, to_ideal, np.array(lens), to_stored)
            band[:, left : left + TILE] = tile
        yield band


def warp_whole(photo: PixelSource, found: Rectification, raster: SiteRaster) -> Pixels:
    """Return the whole rectified picture, shape (rows, columns, 4); see `warp_bands`."""
    return np.concatenate(list(warp_bands(photo, found, raster)))


def _tile(photo: PixelSource, out: Pixels, left: int, top: int, to_ideal: Floats, lens: Floats, to_stored: Floats) -> None:
    """Fill one tile from the smallest window of the photo that holds it."""
    columns, rows = photo.stored_size
    low_column, low_row, high_column, high_row = _reach(out.shape[0], out.shape[1], left, top, to_ideal, lens, to_stored)
    west, north = max(0, int(max(low_column, 0.0))), max(0, int(max(low_row, 0.0)))
    east, south = int(min(high_column + 2, columns)), int(min(high_row + 2, rows))
    if east <= west or south <= north:
        return
    window = np.ascontiguousarray(photo.window(west, north, east, south))
    _draw(out, window, left, top, west, north, columns, rows, to_ideal, lens, to_stored)


@numba.njit(cache=True, nogil=True)
def _place(column: float, row: float, to_ideal: Floats, lens: Floats, to_stored: Floats) -> tuple[float, float]:
    """Return the stored column and row of a cell; NaN beyond the horizon or where the lens folds back."""
    depth = to_ideal[2, 0] * column + to_ideal[2, 1] * row + to_ideal[2, 2]
    if depth <= 0:
        return np.nan, np.nan
    across = (to_ideal[0, 0] * column + to_ideal[0, 1] * row + to_ideal[0, 2]) / depth
    down = (to_ideal[1, 0] * column + to_ideal[1, 1] * row + to_ideal[1, 2]) / depth
    if lens[0] != 0 or lens[1] != 0:
        away, under = (across - lens[2]) / lens[4], (down - lens[3]) / lens[4]
        square = away * away + under * under
        if square > lens[5] * lens[5]:
            return np.nan, np.nan
        stretch = 1 + square * (lens[0] + square * lens[1])
        across, down = away * stretch * lens[4] + lens[2], under * stretch * lens[4] + lens[3]
    return (
        to_stored[0, 0] * across + to_stored[0, 1] * down + to_stored[0, 2],
        to_stored[1, 0] * across + to_stored[1, 1] * down + to_stored[1, 2],
    )


@numba.njit(cache=True, nogil=True)
def _reach(
    rows: int, columns: int, left: int, top: int, to_ideal: Floats, lens: Floats, to_stored: Floats
) -> tuple[float, float, float, float]:
    """Return the stored window that the tile's cells fall into, not cut to the picture."""
    low_column, low_row, high_column, high_row = np.inf, np.inf, -np.inf, -np.inf
    for row in range(rows):
        # The inside of a tile lies within its rim, but not where the horizon or a lens cuts it: every eighth cell is looked at.
        step = 1 if row in (0, rows - 1) or row % 8 == 0 else max(columns - 1, 1)
        for column in range(0, columns, step):
            across, down = _place(left + column, top + row, to_ideal, lens, to_stored)
            if not np.isnan(across):
                low_column, high_column = min(low_column, across), max(high_column, across)
                low_row, high_row = min(low_row, down), max(high_row, down)
    return low_column, low_row, high_column, high_row


@numba.njit(cache=True, nogil=True)
def _draw(
    out: Pixels, window: Pixels, left: int, top: int, west: int, north: int, columns: int, rows: int,
    to_ideal: Floats, lens: Floats, to_stored: Floats,
) -> None:  # fmt: skip
    high, wide = window.shape[0], window.shape[1]
    for row in range(out.shape[0]):
        for column in range(out.shape[1]):
            across, down = _place(left + column, top + row, to_ideal, lens, to_stored)
            if not (-0.5 <= across <= columns - 0.5 and -0.5 <= down <= rows - 0.5):
                continue
            across, down = min(max(across, 0.0), columns - 1.0) - west, min(max(down, 0.0), rows - 1.0) - north
            across, down = min(max(across, 0.0), wide - 1.0), min(max(down, 0.0), high - 1.0)
            one, two = int(across), int(down)
            next_one, next_two = min(one + 1, wide - 1), min(two + 1, high - 1)
            share, part = across - one, down - two
            low_left, low_right = (1 - share) * (1 - part), share * (1 - part)
            high_left, high_right = (1 - share) * part, share * part
            for band in range(3):
                mixed = (
                    window[two, one, band] * low_left
                    + window[two, next_one, band] * low_right
                    + window[next_two, one, band] * high_left
                    + window[next_two, next_one, band] * high_right
                )
                out[row, column, band] = int(mixed + 0.5)
            out[row, column, 3] = 255
