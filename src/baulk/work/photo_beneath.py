"""A photo put straight by its marked points, to lie beneath a plan or wall that is being drawn; nothing is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from baulk.exchange.geotiff import PngWriter
from baulk.exchange.photo import photo_size, read_photo
from baulk.ground.raster import SiteRaster, raster_for, round_cell
from baulk.ground.rectify import Rectification, rectify
from baulk.ground.warp import TILE, warp_bands
from baulk.record import Context, SiteRecord
from baulk.work.piece_finder import PieceFinder, ProposedPiece
from baulk.work.propose import RefusedPick, pieces_under, usual_size
from baulk.work.rectify import MarkedPoints

__all__ = ["PhotoBeneath", "lay_beneath", "picture_beneath", "pieces_beneath"]

Floats = NDArray[np.float64]

MOST_ACROSS = 2400
"""Most cells along the longer side of a picture that is sent to a page (house value)."""


@dataclass(frozen=True, slots=True, eq=False)
class PhotoBeneath:
    """A photo's file, its fit, and the cells in which it is drawn anew."""

    file: Path
    fit: Rectification
    raster: SiteRaster


def lay_beneath(file: Path, points: MarkedPoints, *, lens: bool = True) -> PhotoBeneath:
    """Return a photo fitted by its marked points exactly as `baulk rectify` fits it, with cells coarse enough to be sent to a page.

    Parameters
    ----------
    file : Path
        The photo.
    points : MarkedPoints
        In metres: easting and northing on a floor, distance and level on a wall.
    lens : bool
        False to take straight lines as straight.

    Raises
    ------
    FileError, MeasureError, MissingPart
        The photo or the points cannot be used.
    """
    size, _ = photo_size(file)
    fit = rectify(points.seen, points.ground, size, names=points.names, lens="try" if lens else None)
    raster = raster_for(fit)
    if max(raster.columns, raster.rows) > MOST_ACROSS:
        raster = raster_for(fit, cell=round_cell(raster.cell * max(raster.columns, raster.rows) / MOST_ACROSS * 1.5))
    return PhotoBeneath(file, fit, raster)


def picture_beneath(found: PhotoBeneath) -> bytes:
    """Return the photo drawn anew as a PNG, clear where the photo shows no ground."""
    with TemporaryDirectory() as folder:
        return _drawn(found, Path(folder)).read_bytes()


def pieces_beneath(
    record: SiteRecord, context: Context, found: PhotoBeneath, names: Sequence[str], places: Floats, *, stones: bool = False,
    largest: float = 0.45,
) -> tuple[tuple[ProposedPiece, ...], tuple[RefusedPick, ...]]:  # fmt: skip
    """Return the outlines of pieces proposed under picks, and the picks refused, as `baulk propose` finds them.

    Parameters
    ----------
    record, context
        The record, and the structure that the pieces belong to.
    found : PhotoBeneath
        The photo, fitted.
    names : sequence of str
        A number for each pick.
    places : numpy.ndarray of shape (n, 2)
        The picks in metres.
    stones, largest
        As of `baulk.work.propose.propose_pieces`.
    """
    with TemporaryDirectory() as folder:
        straight = read_photo(_drawn(found, Path(folder)))
        finder = PieceFinder(straight, found.raster.to_ground(), largest, stones, usual_size(record, context))
        return pieces_under(finder, names, places)


def _drawn(found: PhotoBeneath, folder: Path) -> Path:
    photo = read_photo(found.file, coarser=max(1.0, found.raster.cell / found.fit.resolution()))
    path = folder / "beneath.png"
    with PngWriter(path, (found.raster.columns, found.raster.rows)) as png:
        for band in warp_bands(photo, found.fit, found.raster, rows=TILE):
            png.write(band)
    return path
