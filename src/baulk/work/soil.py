"""Soil in the hand and on a photo: texture with its triangle, and inclusions of a patch."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.svg import to_svg
from baulk.drawing.texture_triangle import texture_triangle
from baulk.errors import FileError, InputError
from baulk.exchange.photo import read_photo
from baulk.ground.inclusions import Inclusions, inclusions_of, share_error
from baulk.ground.soil import classes_touched
from baulk.work.give import write_new

__all__ = ["PARTS", "PatchInclusions", "SoilTexture", "patch_inclusions", "soil_texture"]

PARTS = 4
"""Parts along each side of a patch from which the error of its share is taken (house value)."""


@dataclass(frozen=True, slots=True)
class SoilTexture:
    """The class of a soil, the other classes on whose boundary it stands, and the drawing written, if one was asked for."""

    texture: str
    also: tuple[str, ...]
    file: Path | None

    @property
    def words(self) -> str:
        """The class in a sentence."""
        if not self.also:
            return f"Texture: {self.texture}."
        return f"Texture: {self.texture}; it stands on the boundary with {' and '.join(self.also)}."


@dataclass(frozen=True, slots=True, eq=False)
class PatchInclusions:
    """Inclusions of a patch of a photo, and the standard error of their share in per cent of the area."""

    found: Inclusions
    error: float
    millimetres: float | None

    @property
    def words(self) -> str:
        """The share, its error and the sizes in sentences."""
        in_what = "pixels" if self.millimetres is None else "mm"
        sizes = self.found.sizes
        largest = f" The largest is {sizes[0].most:.1f} {in_what} long." if sizes else ""
        return f"{self.found.words} Standard error {self.error:.1f} %, from {PARTS**2} parts of the patch.{largest}"


def soil_texture(sand: float, silt: float, clay: float, *, triangle: Path | None = None, name: str = "this soil") -> SoilTexture:
    """Return the texture of a soil, and write the triangle with it where a file is named.

    Parameters
    ----------
    sand, silt, clay : float
        Per cent of the fine earth.
    triangle : Path, optional
        An SVG to write; a file that is there is refused.
    name : str
        What the soil is called on the drawing.

    Raises
    ------
    MeasureError
        The shares do not make a whole.
    FileError
        The drawing cannot be written.
    """
    own, *also = classes_touched(sand, silt, clay)
    if triangle is not None:
        if triangle.exists():
            raise FileError(f"{triangle.name} is already there: nothing was written, so nothing is lost. Give another name.")
        write_new(triangle, to_svg(texture_triangle([(name, sand, silt, clay)])).encode("utf-8"))
    return SoilTexture(own, tuple(also), triangle)


def patch_inclusions(
    photo_file: Path, box: tuple[int, int, int, int], *, which: str = "lighter", millimetres: float | None = None
) -> PatchInclusions:
    """Return the inclusions of a patch of a photo.

    Parameters
    ----------
    photo_file : Path
        The photo.
    box : tuple of four int
        Left, top, right and bottom edge of the patch in pixels of the upright photo, counted from 0.
    which : str
        ``lighter`` or ``darker`` than the soil, or ``other colour``.
    millimetres : float or None
        Of ground to a pixel; sizes are in pixels when None.

    Raises
    ------
    FileError, MissingPart
        The photo cannot be read.
    InputError
        The box does not lie in the photo, or a pixel covers no ground.
    MeasureError
        The patch is too small or of one shade.
    """
    if millimetres is not None and not (np.isfinite(millimetres) and millimetres > 0):
        raise InputError(f"A pixel is said to cover {millimetres:g} mm. Give millimetres above 0, or leave it out.")
    found = inclusions_of(_patch(photo_file, box), which=which, millimetres=millimetres)
    return PatchInclusions(found, share_error(found.mask, PARTS), millimetres)


def _patch(photo_file: Path, box: tuple[int, int, int, int]) -> NDArray[np.uint8]:
    photo = read_photo(photo_file)
    left, top, right, bottom = box
    if not (0 <= left < right <= photo.size[0] and 0 <= top < bottom <= photo.size[1]):
        raise InputError(
            f"The patch runs from column {left} to {right} and from row {top} to {bottom}; the photo has {photo.size[0]} × "
            f"{photo.size[1]} pixels, counted from 0 at the top left. Give left, top, right and bottom inside it."
        )
    corners = photo.to_stored @ np.array([[left, right - 1], [top, bottom - 1], [1, 1]])
    (first, last), (upper, lower) = np.sort(np.rint(corners[:2]).astype(int), axis=1).tolist()
    return photo.window(first, upper, last + 1, lower + 1)
