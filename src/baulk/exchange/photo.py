"""A photo as a source of pixels: read once, turned once by its own note of orientation, given out in windows.

JPEG, PNG, TIFF, WebP and GIF (its first frame); HEIC with the optional part ``heic``. What the file says of itself is told
before a pixel is decoded, so that a small file that would unpack to a very large picture is refused.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from threading import Lock

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from baulk.errors import FileError, MissingPart, shorten
from baulk.exchange.first_bytes import beginning_of

__all__ = ["LARGEST_PHOTO_BYTES", "MOST_PIXELS", "Photo", "photo_size", "read_photo"]

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

LARGEST_PHOTO_BYTES = 4 * 1024**3
"""Largest file read, in bytes (4 GB)."""
MOST_PIXELS = 400_000_000
"""Most pixels decoded; each takes four bytes of memory while the photo is open."""

_OPENING = Lock()
_FORMS = ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "HEIF", "MPO")
_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"heim", b"heis")
_ORIENTATION, _FOCAL_35, _EXIF = 0x0112, 0xA405, 0x8769

# Stored position of an upright pixel for each orientation of the EXIF standard (2.32, tag 0x0112; from memory, compared with the
# imaging library): columns and rows swapped or not, then counted from the far side or not.
_TURNS = {
    1: (False, False, False), 2: (False, True, False), 3: (False, True, True), 4: (False, False, True),
    5: (True, False, False), 6: (True, False, True), 7: (True, True, True), 8: (True, True, False),
}  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """An open photo.

    Parameters
    ----------
    name : str
        Name of the file.
    form : str
        JPEG, PNG, TIFF, WEBP, GIF or HEIF.
    size : tuple of two int
        Columns and rows, upright and at full size: marked points count in these.
    to_stored : numpy.ndarray of shape (3, 3)
        From upright full-size pixels to those held.
    focal : float or None
        Focal length in pixels of the upright picture, from its data; None when these do not say.
    reduction : int
        1 when every pixel is held, 2 when two by two were mixed into one, and so on.
    """

    name: str
    form: str
    size: tuple[int, int]
    to_stored: Floats
    focal: float | None
    reduction: int
    _held: Image.Image

    @property
    def stored_size(self) -> tuple[int, int]:
        """Columns and rows held."""
        return self._held.size

    def window(self, left: int, top: int, right: int, bottom: int) -> Pixels:
        """Return held pixels of a window, shape (rows, columns, 3)."""
        cut = self._held.crop((left, top, right, bottom))
        return np.asarray(cut if cut.mode == "RGB" else cut.convert("RGB"))


def read_photo(path: Path, *, coarser: float = 1.0, most_pixels: int = MOST_PIXELS) -> Photo:
    """Return the photo of a file.

    Parameters
    ----------
    path : Path
        The file.
    coarser : float
        How many photo pixels the finest use mixes into one; from 2 on the photo is reduced by that whole factor as it is read.
    most_pixels : int
        Most pixels accepted.

    Raises
    ------
    FileError
        The file is missing, too large, no picture of a known kind, cut short, or would unpack to too many pixels.
    MissingPart
        It is HEIC and the part that reads it is not installed.
    """
    name = shorten(path.name, 80)
    _look(path, name)
    reduction = max(1, int(coarser + 1e-6))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of size and of odd data: both are told here, in our words
        picture, size, orientation, focal = _opened(path, name, most_pixels)
        full = picture.size
        try:
            held = _decoded(picture, name, reduction)
        except FileError:
            picture.close()
            raise
        if held is not picture:
            picture.close()
    to_stored = _reduced(full, held.size) @ _turned(orientation, full)
    form = "JPEG" if picture.format == "MPO" else str(picture.format)
    return Photo(name, form, size, to_stored, focal, reduction, held)


def photo_size(path: Path, *, most_pixels: int = MOST_PIXELS) -> tuple[tuple[int, int], float | None]:
    """Return columns and rows, upright, and the focal length in pixels (None when the file is silent), without decoding.

    Parameters and errors are those of `read_photo`; that the file is cut short shows only when it is read.
    """
    name = shorten(path.name, 80)
    _look(path, name)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        picture, size, _, focal = _opened(path, name, most_pixels)
    picture.close()
    return size, focal


def _opened(path: Path, name: str, most_pixels: int) -> tuple[Image.Image, tuple[int, int], int, float | None]:
    """Return the picture before it is decoded, its upright size, its orientation and its focal length in pixels."""
    try:
        with _OPENING:
            usual = Image.MAX_IMAGE_PIXELS
            Image.MAX_IMAGE_PIXELS = None  # the library's own limit of 179 million stands in the way; ours follows at once
            try:
                picture = Image.open(path, formats=_FORMS)
            finally:
                Image.MAX_IMAGE_PIXELS = usual
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, KeyError, TypeError):
        raise FileError(
            f"{name} cannot be read as a picture: it is damaged or of another kind. Give a JPEG, PNG, TIFF, WebP, GIF or HEIC file."
        ) from None
    columns, rows = picture.size
    if columns * rows > most_pixels:
        picture.close()
        raise _too_many(name, f"{columns:,} × {rows:,} pixels", most_pixels)
    orientation, focal = _facts(picture)
    size = (rows, columns) if _TURNS[orientation][0] else (columns, rows)
    return picture, size, orientation, None if focal is None else focal * max(size)


def _too_many(name: str, given: str, most: int) -> FileError:
    return FileError(f"{name} unpacks to {given}; at most {most:,} are read. Save the photo smaller, or cut it to the unit first.")


def _look(path: Path, name: str) -> None:
    """Refuse what is missing or too large, and ask for the part that reads HEIC."""
    start = beginning_of(path, inside="Name one picture inside it.", again="Copy it from the camera again.")
    size = path.stat().st_size
    if size > LARGEST_PHOTO_BYTES:
        raise FileError(f"{name} has {size / 1024**3:.1f} GB; at most 4 GB are read. Save the photo smaller.")
    if start[4:8] == b"ftyp" and start[8:12] in _HEIC_BRANDS:
        try:
            import_module("pillow_heif").register_heif_opener()
        except ImportError:
            raise MissingPart("heic", f"{name} is a HEIC photo; reading it") from None


def _facts(picture: Image.Image) -> tuple[int, float | None]:
    """Return the orientation, 1 to 8, and the focal length as a share of the longer side, where the file tells them."""
    try:
        exif = picture.getexif()
        orientation, equivalent = int(exif.get(_ORIENTATION, 1) or 1), float(exif.get_ifd(_EXIF).get(_FOCAL_35, 0) or 0)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError, ZeroDivisionError):
        orientation, equivalent = 1, 0.0
    if picture.format in ("HEIF", "TIFF"):
        orientation = 1  # their readers turn the picture by themselves
    diagonal = float(np.hypot(*picture.size))
    focal = equivalent / 43.2666 * diagonal / max(picture.size) if equivalent > 0 else None
    return (orientation if orientation in _TURNS else 1), focal


def _decoded(picture: Image.Image, name: str, reduction: int) -> Image.Image:
    """Return the pixels, reduced as they are decoded where the file allows it and after it where not."""
    wanted = tuple(-(-side // reduction) for side in picture.size)
    try:
        if reduction > 1:
            picture.draft("RGB", (max(1, picture.size[0] // reduction), max(1, picture.size[1] // reduction)))
        picture.load()
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError) as refusal:
        raise FileError(f"{name} is cut short or damaged ({shorten(refusal, 80)}). Copy it from the camera again.") from None
    if picture.mode in ("I;16", "I;16B", "I;16L", "I", "F"):
        raise FileError(f"{name} holds more than 8 bits a channel, which is not read. Save it as an 8-bit JPEG, PNG or TIFF.")
    left = max(1, round(picture.size[0] / wanted[0]))
    mixable = picture.convert("RGB") if picture.mode in ("P", "PA", "1") else picture  # numbers of a table of colours do not mix
    reduced = mixable.reduce(left) if left > 1 else mixable
    if reduced.mode not in ("RGB", "L"):
        return reduced.convert("RGB")
    return (
        reduced.copy() if reduced is picture and picture.format == "GIF" else reduced
    )  # its reader holds the file for more frames


def _turned(orientation: int, stored: tuple[int, int]) -> Floats:
    """Return the matrix from upright pixels to stored ones."""
    swap, far_column, far_row = _TURNS[orientation]
    matrix = np.array([[0, 1, 0], [1, 0, 0], [0, 0, 1]] if swap else np.eye(3), dtype=np.float64)
    for row, far in enumerate((far_column, far_row)):
        if far:
            matrix[row] *= -1
            matrix[row, 2] = stored[row] - 1
    return matrix


def _reduced(full: tuple[int, int], held: tuple[int, int]) -> Floats:
    """Return the matrix from full-size stored pixels to the pixels held; centres of pixels are whole numbers in both."""
    factors = [max(1, round(side / kept)) for side, kept in zip(full, held, strict=True)]
    return np.array([[1 / factors[0], 0, 0.5 / factors[0] - 0.5], [0, 1 / factors[1], 0.5 / factors[1] - 0.5], [0, 0, 1]])
