"""A photo drawn anew on the site grid, a band of rows at a time, so that memory does not grow with the picture.

Each cell's centre is carried to the photo and the four pixels about it are mixed (bilinear). The photo's pixels come from a
`PixelSource`, asked for no more than the window that a tile needs.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import repeat
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from baulk.ground.compiled import compiled
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


def warp_bands(
    photo: PixelSource, found: Rectification, raster: SiteRaster, *, rows: int = TILE, workers: int = 2
) -> Iterator[Pixels]:
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
    workers : int
        Threads that draw tiles beside each other.

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
    lefts = range(0, raster.columns, TILE)

    def tile(left: int, top: int, high: int) -> Pixels:
        out = np.zeros((high, min(TILE, raster.columns - left), 4), np.uint8)
        _tile(photo, out, left, top, to_ideal, np.array(lens), to_stored)
        return out

    with ThreadPoolExecutor(workers) as pool:
        for top in range(0, raster.rows, rows):
            high = min(rows, raster.rows - top)
            yield np.concatenate(list(pool.map(tile, lefts, repeat(top), repeat(high))), axis=1)


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


@compiled
def _places(
    columns: int, left: int, row: int, to_ideal: Floats, lens: Floats, to_stored: Floats, across: Floats, down: Floats
) -> None:
    """Fill in the stored column and row of each cell of one row; NaN beyond the horizon or where the lens folds back."""
    for column in range(columns):
        east = float(left + column)
        depth = to_ideal[2, 0] * east + to_ideal[2, 1] * row + to_ideal[2, 2]
        over = 1 / depth if depth > 0 else np.nan
        across[column] = (to_ideal[0, 0] * east + to_ideal[0, 1] * row + to_ideal[0, 2]) * over
        down[column] = (to_ideal[1, 0] * east + to_ideal[1, 1] * row + to_ideal[1, 2]) * over
    if lens[0] != 0 or lens[1] != 0:
        for column in range(columns):
            away, under = (across[column] - lens[2]) / lens[4], (down[column] - lens[3]) / lens[4]
            square = away * away + under * under
            stretch = 1 + square * (lens[0] + square * lens[1]) if square <= lens[5] * lens[5] else np.nan
            across[column], down[column] = away * stretch * lens[4] + lens[2], under * stretch * lens[4] + lens[3]
    for column in range(columns):
        one, two = across[column], down[column]
        across[column] = to_stored[0, 0] * one + to_stored[0, 1] * two + to_stored[0, 2]
        down[column] = to_stored[1, 0] * one + to_stored[1, 1] * two + to_stored[1, 2]


@compiled
def _reach(
    rows: int, columns: int, left: int, top: int, to_ideal: Floats, lens: Floats, to_stored: Floats
) -> tuple[float, float, float, float]:
    """Return the stored window that the tile's cells fall into, not cut to the picture."""
    low_column, low_row, high_column, high_row = np.inf, np.inf, -np.inf, -np.inf
    across, down = np.empty(columns), np.empty(columns)
    for row in range(rows):
        # Without a horizon the inside of a tile falls within its rim, but a lens bends rims: every eighth row is looked at whole.
        if row % 8 and row != rows - 1:
            continue
        _places(columns, left, top + row, to_ideal, lens, to_stored, across, down)
        for column in range(columns):
            one, two = across[column], down[column]
            if not (np.isnan(one) or np.isnan(two)):
                low_column, high_column = min(low_column, one), max(high_column, one)
                low_row, high_row = min(low_row, two), max(high_row, two)
    return low_column, low_row, high_column, high_row


@compiled
def _draw(
    out: Pixels, window: Pixels, left: int, top: int, west: int, north: int, columns: int, rows: int,
    to_ideal: Floats, lens: Floats, to_stored: Floats,
) -> None:  # fmt: skip
    """Mix the four pixels about each cell; shares in 2048ths, so that whole numbers do."""
    high, wide = window.shape[0], window.shape[1]
    across, down = np.empty(out.shape[1]), np.empty(out.shape[1])
    for row in range(out.shape[0]):
        _places(out.shape[1], left, top + row, to_ideal, lens, to_stored, across, down)
        for column in range(out.shape[1]):
            one, two = across[column], down[column]
            if not (-0.5 <= one <= columns - 0.5 and -0.5 <= two <= rows - 0.5):
                continue
            one = min(max(min(max(one, 0.0), columns - 1.0) - west, 0.0), wide - 1.0)
            two = min(max(min(max(two, 0.0), rows - 1.0) - north, 0.0), high - 1.0)
            first, upper = np.uint64(one), np.uint64(two)
            second, lower = min(first + np.uint64(1), np.uint64(wide - 1)), min(upper + np.uint64(1), np.uint64(high - 1))
            share, part = np.uint32((one - first) * 2048 + 0.5), np.uint32((two - upper) * 2048 + 0.5)
            rest, other = np.uint32(2048) - share, np.uint32(2048) - part
            for band in range(3):
                over = window[upper, first, band] * rest + window[upper, second, band] * share
                under = window[lower, first, band] * rest + window[lower, second, band] * share
                out[row, column, band] = (over * other + under * part + np.uint32(2097152)) >> np.uint32(22)
            out[row, column, 3] = 255
