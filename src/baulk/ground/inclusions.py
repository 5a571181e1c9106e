"""How much of a patch of soil is inclusions, and how large they are, measured on a photo.

A patch is parted into soil and inclusions by lightness or by its distance from the soil's own colour; the parting is Otsu's: the
limit that leaves the least scatter within the two groups. A share of area is not a share of volume or weight.

References
----------
Otsu 1979: A threshold selection method from gray-level histograms. *IEEE Trans. Syst. Man Cybern.* 9, 62-66 (from memory; a test
compares scikit-image). Cauchy: the mean width of a convex shape is its perimeter over π.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy import ndimage

from baulk.errors import MeasureError

__all__ = ["Feret", "Inclusions", "feret", "inclusions_of", "otsu", "share_error", "share_of_mask"]

Floats = NDArray[np.float64]
_EIGHT = np.ones((3, 3), bool)


@dataclass(frozen=True, slots=True)
class Feret:
    """Caliper widths of a shape: the greatest, the least, and the mean over all directions, in the quantity of its points."""

    most: float
    least: float
    mean: float


@dataclass(frozen=True, slots=True, eq=False)
class Inclusions:
    """Inclusions measured on a patch.

    Parameters
    ----------
    share : float
        Per cent of the patch's area.
    mask : numpy.ndarray of bool of shape (rows, columns)
        Where they are.
    count : int
        Separate inclusions not smaller than the least size.
    sizes : tuple of Feret
        Of each, in millimetres where the scale is known, else in pixels; largest first.
    method : str
        How they were parted.
    contrast : float
        Share of all scatter that the parting explains, 0 to 1: below about 0.6 there may be nothing to part (house value).
    """

    share: float
    mask: NDArray[np.bool_]
    count: int
    sizes: tuple[Feret, ...]
    method: str
    contrast: float

    @property
    def words(self) -> str:
        """The share in a sentence."""
        doubt = " The two hardly differ: the share may be no more than grain and shadow." if self.contrast < 0.6 else ""
        return f"{self.share:.1f} % of the patch by area, in {self.count} pieces ({self.method}).{doubt}"


def share_of_mask(mask: ArrayLike) -> float:
    """Return the per cent of cells that are true."""
    held = np.asarray(mask, dtype=bool)
    return 100 * float(held.sum()) / held.size if held.size else float("nan")


def share_error(mask: ArrayLike, parts: int = 4) -> float:
    """Return the standard error in per cent of a share of area, from how the parts of the patch differ among themselves.

    Parameters
    ----------
    mask : array_like of bool of shape (rows, columns)
        Where the inclusions are.
    parts : int
        Parts along each side.

    Raises
    ------
    MeasureError
        The patch has fewer pixels along a side than parts.

    Notes
    -----
    s/√m for the m = parts² shares. Neighbouring pixels belong to one inclusion, so that counting pixels as if each were drawn by
    itself would give a much smaller error. What the patch does not show (shadow, a stone under soil) is not in it.
    """
    held = np.asarray(mask, dtype=bool)
    if min(held.shape) < parts:
        raise MeasureError(
            f"The patch is {min(held.shape)} pixels across, too few to part it into {parts} by {parts}. Mark a larger one."
        )
    shares = [share_of_mask(part) for strip in np.array_split(held, parts) for part in np.array_split(strip, parts, axis=1)]
    return float(np.std(shares, ddof=1)) / parts


def feret(points: ArrayLike) -> Feret:
    """Return the caliper widths of the convex hull of points, shape (n, 2).

    Raises
    ------
    MeasureError
        No point is given.

    Examples
    --------
    >>> found = feret([[0, 0], [3, 0], [3, 4], [0, 4]])
    >>> found.most, found.least, round(found.mean, 6)
    (5.0, 3.0, 4.456338)
    """
    held = np.atleast_2d(np.asarray(points, dtype=np.float64))
    if not held.size or not np.isfinite(held).all():
        raise MeasureError("A shape without points is given, or one with a point that is not a number: it has no size.")
    hull = shapely.MultiPoint(held).convex_hull
    corners = shapely.get_coordinates(hull)
    if len(corners) < 4:
        length = float(np.hypot(*(corners[-1] - corners[0]))) if len(corners) > 1 else 0.0
        return Feret(length, 0.0, 2 * length / np.pi)
    corners = corners[:-1]
    across = corners[:, None] - corners[None]
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([-edges[:, 1], edges[:, 0]]) / np.hypot(*edges.T)[:, None]
    widths = np.ptp(corners @ normals.T, axis=0)
    return Feret(float(np.hypot(across[..., 0], across[..., 1]).max()), float(widths.min()), float(hull.length / np.pi))


def otsu(values: ArrayLike, bins: int = 256) -> tuple[float, float]:
    """Return the limit that parts values into two groups with the least scatter within, and the share of scatter it explains.

    Raises
    ------
    MeasureError
        All values are alike, or none is a number.
    """
    held = np.asarray(values, dtype=np.float64).ravel()
    held = held[np.isfinite(held)]
    if not len(held) or held.min() == held.max():
        raise MeasureError(
            "All of the patch has one shade, so there is nothing to part. Mark a patch that holds inclusions and soil."
        )
    counts, edges = np.histogram(held, bins)
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)[:-1]
    above = len(held) - below
    sums = np.cumsum(counts * middles)
    between = below * above * (sums[:-1] / np.maximum(below, 1) - (sums[-1] - sums[:-1]) / np.maximum(above, 1)) ** 2
    # An empty stretch between the groups parts them equally well all along: its middle is taken.
    best = int(np.median(np.flatnonzero(between >= between.max() * (1 - 1e-12))))
    total = float((counts * (middles - sums[-1] / len(held)) ** 2).sum()) * len(held)
    return float(middles[best]), float(between[best]) / total if total else 0.0


def inclusions_of(
    patch: ArrayLike, *, which: str = "lighter", limit: float | None = None, millimetres: float | None = None, least: int = 4
) -> Inclusions:
    """Return the inclusions of a patch of a photo.

    Parameters
    ----------
    patch : array_like of shape (rows, columns) or (rows, columns, 3)
        Grey levels, or red, green and blue from 0 to 255.
    which : str
        ``lighter`` or ``darker`` than the soil, or ``other colour``: far from the patch's median colour.
    limit : float or None
        Grey level or distance that parts them; Otsu's when None.
    millimetres : float or None
        Of ground to a pixel; sizes are in pixels when None.
    least : int
        Fewest pixels of an inclusion whose size is given; smaller ones count in the share alone.

    Raises
    ------
    MeasureError
        The patch is of one shade or of another shape, or `which` is not known.
    """
    held = np.asarray(patch, dtype=np.float64)
    if held.ndim not in (2, 3) or (held.ndim == 3 and held.shape[2] < 3) or not held.size:
        raise MeasureError(
            "A patch is a rectangle of pixels with one grey level or three colours each. Cut it from the photo again."
        )
    grey = held if held.ndim == 2 else held[..., :3] @ np.array([0.2126, 0.7152, 0.0722])
    if which == "other colour" and held.ndim == 3:
        shade = np.sqrt(((held[..., :3] - np.median(held[..., :3], axis=(0, 1))) ** 2).sum(axis=-1))
    elif which in ("lighter", "darker"):
        shade = grey if which == "lighter" else -grey
    else:
        raise MeasureError(
            f"Inclusions that are “{which}” are asked for. Ask for lighter, darker or, in a colour photo, other colour."
        )
    if limit is None:
        parted, contrast = otsu(shade)
        how = "Otsu's limit"
    else:
        parted, contrast, how = (
            (-limit if which == "darker" else limit),
            _explained(shade, -limit if which == "darker" else limit),
            "given limit",
        )
    mask = shade > parted
    return Inclusions(share_of_mask(mask), mask, *_sizes(mask, millimetres or 1.0, least), f"{which}, {how}", contrast)


def _explained(shade: Floats, limit: float) -> float:
    above, below = shade[shade > limit], shade[shade <= limit]
    total = float(((shade - shade.mean()) ** 2).sum())
    if not len(above) or not len(below) or total == 0:
        return 0.0
    within = float(((above - above.mean()) ** 2).sum() + ((below - below.mean()) ** 2).sum())
    return 1 - within / total


def _sizes(mask: NDArray[np.bool_], scale: float, least: int) -> tuple[int, tuple[Feret, ...]]:
    """Return how many pieces there are and their widths, measured round the outer edges of their pixels."""
    labels, _ = ndimage.label(mask, _EIGHT)
    counts = np.bincount(labels.ravel())
    found: list[Feret] = []
    for number, box in enumerate(ndimage.find_objects(labels), start=1):
        if counts[number] < least:
            continue
        rows, columns = np.nonzero(labels[box] == number)
        spots = np.column_stack([columns, rows]).astype(np.float64)
        corners = np.concatenate([spots + np.array([across, down]) for across in (0.0, 1.0) for down in (0.0, 1.0)])
        one = feret(corners)
        found.append(Feret(one.most * scale, one.least * scale, one.mean * scale))
    return len(found), tuple(sorted(found, key=lambda one: -one.most))
