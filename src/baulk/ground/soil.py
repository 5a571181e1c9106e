"""Soil texture: the class of a soil from its sand, silt and clay, after the twelve classes of the USDA.

References
----------
Inequalities of the Soil Survey Manual (read in several code files); Benham, Ahrens & Nettleton 2009, Clarification of Soil Texture
Class Boundaries: a soil on a boundary belongs to the class above or to the right (abstract read).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError
from baulk.ground.colour import colour_difference, lab_of

__all__ = [
    "CLASSES", "ColourDifference", "classes_touched", "compare_colours", "separate_of", "texture_class", "texture_classes",
]  # fmt: skip

CLASSES = (
    "sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam", "clay loam", "silty clay loam",
    "sandy clay", "silty clay", "clay",
)  # fmt: skip
"""The twelve classes, coarsest first."""

_TOLERANCE = 0.5
"""Per cent by which the three shares may miss 100 (house value: laboratories round each to a tenth or a whole)."""

_NEAR = 0.01
"""Per cent within which a soil stands on a boundary: finer than any laboratory's reading (house value)."""

_SEPARATES = (
    (0.002, "clay"), (0.05, "silt"), (0.1, "very fine sand"), (0.25, "fine sand"), (0.5, "medium sand"), (1.0, "coarse sand"),
    (2.0, "very coarse sand"),
)  # fmt: skip
# Upper limits in millimetres, USDA (from memory).

_READING_ERROR = 5.0
"""Difference (CIEDE2000) within which two readings of one soil may differ: about one chip (house value, no source)."""


def texture_classes(sand: ArrayLike, silt: ArrayLike, clay: ArrayLike) -> NDArray[np.intp]:
    """Return the class of each soil as a place in `CLASSES`.

    Parameters
    ----------
    sand, silt, clay : array_like of shape (n,)
        Per cent of the fine earth (below 2 mm); NaN gives −1. They are not checked to add up to 100.

    Notes
    -----
    Shares are rounded to a thousandth of a per cent first, so that sums of decimals do not cross a boundary.
    """
    sa, si, cl = (np.round(np.asarray(part, dtype=np.float64), 3) for part in (sand, silt, clay))
    tests = (
        si + 1.5 * cl < 15,
        (si + 1.5 * cl >= 15) & (si + 2 * cl < 30),
        ((cl >= 7) & (cl < 20) & (sa > 52) & (si + 2 * cl >= 30)) | ((cl < 7) & (si < 50) & (si + 2 * cl >= 30)),
        (cl >= 7) & (cl < 27) & (si >= 28) & (si < 50) & (sa <= 52),
        ((si >= 50) & (cl >= 12) & (cl < 27)) | ((si >= 50) & (si < 80) & (cl < 12)),
        (si >= 80) & (cl < 12),
        (cl >= 20) & (cl < 35) & (si < 28) & (sa > 45),
        (cl >= 27) & (cl < 40) & (sa > 20) & (sa <= 45),
        (cl >= 27) & (cl < 40) & (sa <= 20),
        (cl >= 35) & (sa > 45),
        (cl >= 40) & (si >= 40),
        (cl >= 40) & (sa <= 45) & (si < 40),
    )
    held = np.stack(tests)
    return np.where(held.any(axis=0) & np.isfinite(sa + si + cl), held.argmax(axis=0), -1).astype(np.intp)


def texture_class(sand: float, silt: float, clay: float) -> str:
    """Return the class of one soil.

    Parameters
    ----------
    sand, silt, clay : float
        Per cent of the fine earth.

    Raises
    ------
    MeasureError
        A share is below 0 or above 100, or the three do not add up to 100 within half a per cent.

    Examples
    --------
    >>> texture_class(30, 40, 30), texture_class(85, 15, 0)
    ('clay loam', 'loamy sand')
    """
    shares = {"sand": sand, "silt": silt, "clay": clay}
    for name, share in shares.items():
        if not 0 <= share <= 100:
            raise MeasureError(f"The {name} is given as {share:g} %. Each share of the fine earth runs from 0 to 100 per cent.")
    total = sand + silt + clay
    if abs(total - 100) > _TOLERANCE:
        raise MeasureError(
            f"Sand {sand:g}, silt {silt:g} and clay {clay:g} add up to {total:g} %. The fine earth is these three, so they "
            "make 100: see which was read wrongly, and leave gravel out."
        )
    found = int(texture_classes(*(np.array([100 * share / total]) for share in shares.values()))[0])
    return CLASSES[found]


def classes_touched(sand: float, silt: float, clay: float) -> tuple[str, ...]:
    """Return the class of one soil and after it every other class on whose boundary it stands.

    Parameters and errors are those of `texture_class`.

    Notes
    -----
    The soil is moved by `_NEAR` per cent in 72 directions about the triangle; the classes met there are named, coarsest first.

    Examples
    --------
    >>> classes_touched(60, 30, 10), classes_touched(40, 33, 27)
    (('sandy loam',), ('clay loam', 'loam'))
    """
    own = texture_class(sand, silt, clay)
    turns = np.radians(np.arange(0, 360, 5))
    whole = sand + silt + clay
    silts, clays = silt * 100 / whole + _NEAR * np.cos(turns), clay * 100 / whole + _NEAR * np.sin(turns)
    sands = 100 - silts - clays
    inside = (sands >= 0) & (silts >= 0) & (clays >= 0)
    near = {CLASSES[place] for place in texture_classes(sands[inside], silts[inside], clays[inside]).tolist() if place >= 0}
    return own, *(name for name in CLASSES if name in near and name != own)


def separate_of(millimetres: float) -> str:
    """Return the separate that a grain of this size belongs to: clay, silt or a grade of sand; above 2 mm a rock fragment.

    Raises
    ------
    MeasureError
        The size is not above zero.
    """
    if not (np.isfinite(millimetres) and millimetres > 0):
        raise MeasureError(f"A grain of {millimetres:g} mm is given. A grain has a size above zero.")
    return next(
        (name for limit, name in _SEPARATES if millimetres < limit), "rock fragment" if millimetres > 2 else "very coarse sand"
    )


@dataclass(frozen=True, slots=True)
class ColourDifference:
    """Two readings of a soil's colour.

    Parameters
    ----------
    difference : float
        CIEDE2000.
    within_reading_error : bool
        Whether two people can read one soil so differently.
    words : str
        A sentence.
    """

    difference: float
    within_reading_error: bool
    words: str


def compare_colours(first: str, second: str, *, reading_error: float = _READING_ERROR) -> ColourDifference:
    """Return how far apart two Munsell readings are and whether that is within reading error.

    Parameters
    ----------
    first, second : str
        Notation, both of moist or both of dry soil: a dry soil is commonly lighter than the same soil moist.
    reading_error : float
        CIEDE2000 up to which readings are taken as one (house value, no source).

    Raises
    ------
    MeasureError
        A notation cannot be read.

    Examples
    --------
    >>> compare_colours("10YR 4/3", "10YR 4/4").within_reading_error
    True
    """
    apart = colour_difference(lab_of(first), lab_of(second))
    within = apart <= reading_error
    tail = (
        "within reading error: they may be one colour"
        if within
        else "more than reading error: two colours, unless one was read wet"
    )
    words = f"{first} and {second} differ by {apart:.1f} (CIEDE2000), {tail} (limit {reading_error:g}, house value)."
    return ColourDifference(apart, within, words)
