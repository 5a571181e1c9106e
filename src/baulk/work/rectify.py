"""Rectify a photo: marked points to a north-up picture on the site grid, with its errors told."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from baulk.errors import FileError, InputError, MeasureError, shorten
from baulk.exchange.geotiff import GeoTiffWriter, PngWriter, world_file
from baulk.exchange.number_columns import number_columns, row_names
from baulk.exchange.photo import Photo, photo_size, read_photo
from baulk.exchange.table import read_table
from baulk.grid.projection import projected_crs
from baulk.ground.camera import camera_place, relief_warning
from baulk.ground.raster import SiteRaster, raster_for
from baulk.ground.rectify import Rectification, rectify
from baulk.ground.warp import TILE, warp_bands
from baulk.record import SiteRecord
from baulk.work.give import write_new
from baulk.work.lay_out import grid_tie

__all__ = ["MarkedPoints", "RectifiedPhoto", "marked_points", "picture_grid", "rectify_photo"]

Floats = NDArray[np.float64]

_COLUMNS = ("column", "row", "easting", "northing")
_NAMES = ("point", "name", "number", "nail")
_USUAL_RELIEF = 0.05
"""Metres of relief that the warning speaks of when none is given (house value)."""


@dataclass(frozen=True, slots=True, eq=False)
class MarkedPoints:
    """Points marked on a photo: names, pixels of shape (n, 2) and site-grid positions of shape (n, 2) in metres."""

    names: tuple[str, ...]
    seen: Floats
    ground: Floats


@dataclass(frozen=True, slots=True, eq=False)
class RectifiedPhoto:
    """What was made: the fit, its cells, the files, and in words what to know of them."""

    fit: Rectification
    raster: SiteRaster
    files: tuple[Path, ...]
    grid: str
    relief: str
    notes: tuple[str, ...]


def marked_points(path: Path, metres: float) -> MarkedPoints:
    """Return the points of a table with the columns column, row, easting, northing and, if wished, point.

    Parameters
    ----------
    path : Path
        CSV or XLSX; a row for each point.
    metres : float
        Metres to one of the site's lengths, in which easting and northing stand.

    Raises
    ------
    InputError
        A column is missing.
    TableError
        A cell is no number; all such cells are listed.
    """
    table = read_table(path)
    numbers = number_columns(
        table, _COLUMNS, "Marked points are a table with the columns point, column, row, easting and northing."
    )
    return MarkedPoints(row_names(table, _NAMES), numbers[:, :2], numbers[:, 2:] * metres)


def rectify_photo(
    record: SiteRecord,
    photo_file: Path,
    points_file: Path,
    folder: Path,
    *,
    cell: float | None = None,
    relief: float | None = None,
    camera_height: float | None = None,
    lens: bool = True,
) -> RectifiedPhoto:
    """Write a photo as a north-up picture on the site grid: GeoTIFF, PNG and world file.

    Parameters
    ----------
    record : SiteRecord
        The site, for its lengths and its tie to a projected grid.
    photo_file, points_file : Path
        The photo, and its marked points as `marked_points` reads them.
    folder : Path
        Where the files go; files of the same name there are refused.
    cell, relief, camera_height : float or None
        Side of a cell, relief off the plane and height of the camera above it, all in metres.
    lens : bool
        False to take straight lines as straight.

    Raises
    ------
    FileError, InputError, MeasureError, TableError
        The photo, the table, the points or the folder cannot be used.
    """
    points = marked_points(points_file, record.metres)
    size, focal = photo_size(photo_file)
    fit = rectify(points.seen, points.ground, size, names=points.names, lens="try" if lens else None)
    raster = raster_for(fit, cell=cell)
    # Where each cell covers several pixels the photo is reduced by a whole factor, so that no pixel is skipped over.
    photo = read_photo(photo_file, coarser=max(1.0, raster.cell / fit.resolution()))
    place = camera_place(fit, focal=focal)
    words = relief_warning(fit, _USUAL_RELIEF if relief is None else relief, place, height=camera_height)
    epsg, tie, grid = picture_grid(record)
    files = _write(photo, fit, raster, folder, shorten(photo_file.stem, 60), epsg, tie, grid)
    return RectifiedPhoto(fit, raster, files, grid, words, fit.notes)


def picture_grid(record: SiteRecord) -> tuple[int | None, Floats, str]:
    """Return the projected grid's code, the way from the site grid to it (3 × 3, metres), and the grid in words.

    The code is None, and the way none, where the site is not tied to a projected grid in metres.
    """
    local = f"site grid of {record.site.code or 'a site without a code'}, metres"
    if not record.site.crs:
        return None, np.eye(3), local
    try:
        crs, tie = projected_crs(record.site.crs), grid_tie(record).similarity
    except (InputError, MeasureError):
        return None, np.eye(3), local
    code = crs.to_epsg()
    if code is None or any(axis.unit_conversion_factor != 1 for axis in crs.axis_info):
        return None, np.eye(3), local
    corner, east, north = tie.forward([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    turned = np.column_stack([east - corner, north - corner, corner])
    return code, np.vstack([turned, [0, 0, 1]]), f"EPSG:{code}, by the site's own control points"


def _write(
    photo: Photo, fit: Rectification, raster: SiteRaster, folder: Path, name: str, epsg: int | None, tie: Floats, grid: str
) -> tuple[Path, ...]:  # fmt: skip
    files = tuple(folder / f"{name}-rectified.{ending}" for ending in ("tif", "png", "pgw"))
    there = [file.name for file in files if file.exists()]
    if there:
        raise FileError(f"{there[0]} is already there: nothing was written, so nothing is lost. Give another folder with --to.")
    corner = np.array([[raster.cell, 0, raster.west], [0, -raster.cell, raster.north], [0, 0, 1]])
    size = raster.columns, raster.rows
    with (
        GeoTiffWriter(files[0], size, tie @ corner, rows_per_band=TILE, epsg=epsg, citation=grid) as tiff,
        PngWriter(files[1], size) as png,
        ThreadPoolExecutor(2) as pool,
    ):
        for band in warp_bands(photo, fit, raster, rows=TILE):
            list(pool.map(lambda writer, rows: writer.write(rows), (tiff, png), (band, band)))
    write_new(files[2], world_file(corner).encode("ascii"))
    return files
