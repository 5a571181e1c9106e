"""A picture with its place read back: GeoTIFF, or JPEG, PNG or TIFF with a world file beside it.

References
----------
OGC GeoTIFF 1.1 (OGC 19-008r4): tags 33550, 33922, 34264, 34735; keys 1024, 1025, 3072, 3076. A world file names the centre of the
first pixel (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, TiffImagePlugin

from baulk.errors import FileError, shorten
from baulk.exchange.photo import Photo, read_photo

__all__ = ["PlacedPicture", "read_placed_picture"]

Floats = NDArray[np.float64]

_SCALE, _TIE, _MATRIX, _KEYS = 33550, 33922, 34264, 34735
_MODEL, _RASTER, _PROJECTED, _LENGTHS = 1024, 1025, 3072, 3076
_DEGREES, _CENTRES, _METRE = 2, 2, 9001
_ENDINGS = {".tif": "tfw", ".tiff": "tfw", ".png": "pgw", ".jpg": "jgw", ".jpeg": "jgw"}


@dataclass(frozen=True, slots=True, eq=False)
class PlacedPicture:
    """A picture and where its pixels lie.

    Parameters
    ----------
    photo : Photo
        The pixels, as they are stored.
    to_ground : numpy.ndarray of shape (3, 3)
        From column and row (0, 0 is the centre of the first pixel) to easting and northing in metres.
    epsg : int or None
        Code of the projected grid that these count on; None for the site grid.
    """

    photo: Photo
    to_ground: Floats
    epsg: int | None


def read_placed_picture(path: Path) -> PlacedPicture:
    """Return the picture of a file with its place.

    Parameters
    ----------
    path : Path
        A GeoTIFF, or a JPEG, PNG or TIFF with a world file of its name beside it (``.pgw``, ``.tfw``, ``.jgw`` or ``.wld``), which
        is taken to count metres on the site grid.

    Raises
    ------
    FileError
        The picture cannot be read, or has no place that can be used.
    MissingPart
        It is HEIC and the part that reads it is not installed.
    """
    photo = read_photo(path)
    placed = _from_tags(path, photo.name) if photo.form == "TIFF" else None
    to_ground, epsg = placed or (_from_world_file(path, photo.name), None)
    if not np.isfinite(to_ground).all() or abs(np.linalg.det(to_ground[:2, :2])) < 1e-14:
        raise FileError(f"{photo.name} has a place in which its pixels have no size. Rectify the photo again.")
    return PlacedPicture(photo, to_ground, epsg)


def _from_tags(path: Path, name: str) -> tuple[Floats, int | None] | None:
    """Return the place that a TIFF's own tags tell; None when they tell none."""
    with Image.open(path, formats=("TIFF",)) as picture:
        if not isinstance(picture, TiffImagePlugin.TiffImageFile):
            return None
        scale, tie, matrix, listed = (picture.tag_v2.get(tag) for tag in (_SCALE, _TIE, _MATRIX, _KEYS))
    if matrix is not None and len(matrix) == 16:
        corner = np.array([[matrix[0], matrix[1], matrix[3]], [matrix[4], matrix[5], matrix[7]], [0, 0, 1]], dtype=np.float64)
    elif scale is not None and tie is not None and len(scale) >= 2 and len(tie) == 6:
        west, north = tie[3] - tie[0] * scale[0], tie[4] + tie[1] * scale[1]
        corner = np.array([[scale[0], 0, west], [0, -scale[1], north], [0, 0, 1]], dtype=np.float64)
    else:
        return None
    keys = dict(zip(listed[4::4], listed[7::4], strict=False)) if listed else {}
    if keys.get(_MODEL) == _DEGREES or keys.get(_LENGTHS, _METRE) != _METRE:
        raise FileError(f"{name} does not lie on a grid in metres. Turn it onto the site grid, or rectify the photo again.")
    centre = 0.0 if keys.get(_RASTER) == _CENTRES else 0.5
    return corner @ np.array([[1, 0, centre], [0, 1, centre], [0, 0, 1]]), keys.get(_PROJECTED)


def _from_world_file(path: Path, name: str) -> Floats:
    wanted = _ENDINGS.get(path.suffix.lower(), "wld")
    found = next((one for one in (path.with_suffix(f".{wanted}"), path.with_suffix(".wld")) if one.is_file()), None)
    if found is None:
        raise FileError(
            f"{name} says nothing of its place, and there is no world file {shorten(path.stem, 60)}.{wanted} beside it. Give a "
            "picture that `baulk rectify` wrote."
        )
    try:
        across, turn, skew, down, west, north = (float(part) for part in found.read_text(encoding="ascii").split())
    except (ValueError, OSError):
        raise FileError(f"{shorten(found.name, 80)} is no world file: it holds six numbers, one a line.") from None
    return np.array([[across, skew, west], [turn, down, north], [0, 0, 1]])
