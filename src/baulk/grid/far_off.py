"""Why positions from elsewhere lie far from where they belong: the likely slip, found by trying what would bring them there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from baulk.grid.points import Floats
from baulk.grid.transform import Similarity
from baulk.quantities import INTERNATIONAL_FOOT

__all__ = ["likely_cause", "likely_level_cause"]

_FOOT = float(INTERNATIONAL_FOOT)
_FACTORS = (
    (_FOOT, "they look like feet read as metres"),
    (1 / _FOOT, "they look like metres read as feet"),
    (0.001, "they look like millimetres read as metres"),
    (0.01, "they look like centimetres read as metres"),
)
_PROJECTED_FROM = 10_000.0
"""A projected grid counts in tens of thousands of metres or more; a site grid hardly ever does (common practice, no source)."""
_OWN_WITHIN = 50.0


def likely_cause(given: Floats, wanted: Floats, tie: Similarity | None = None) -> str:
    """Return in words why positions do not lie where they are wanted, or the empty string when nothing explains it.

    Parameters
    ----------
    given : array of shape (2, 2)
        Least and greatest easting and northing of the positions, metres.
    wanted : array of shape (2, 2)
        The same of where they belong.
    tie : Similarity, optional
        From the site grid to the projected grid, where the site has one.

    Examples
    --------
    >>> unit = np.array([[112.0, 204.0], [114.0, 206.0]])
    >>> likely_cause(unit / 0.3048, unit)
    'they look like feet read as metres'
    """
    middle = np.asarray(given, float).mean(axis=0)
    return next(_causes(middle, np.asarray(wanted, float), tie), "")


def _causes(middle: Floats, wanted: Floats, tie: Similarity | None) -> Iterator[str]:
    if _near(middle[::-1], wanted):
        yield "easting and northing look exchanged"
    for factor, words in _FACTORS:
        if _near(middle * factor, wanted):
            yield words
    if tie is not None and _near(tie.inverse(middle[None])[0], wanted):
        yield "they look like the projected grid and not the site grid"
    if tie is not None and _near(tie.inverse(middle[None] * _FOOT)[0], wanted):
        yield "they look like the projected grid in feet"
    if np.abs(middle).max() > _PROJECTED_FROM > np.abs(wanted).max():
        yield "they look like a projected grid and not the site grid"
    if np.abs(middle).max() < _OWN_WITHIN < np.abs(wanted).max():
        yield "they look like a scanner's own count, from where it stood"


def _near(place: Floats, wanted: Floats) -> bool:
    """Tell whether a place lies in the area wanted, or within its own size of it."""
    size = np.maximum(wanted[1] - wanted[0], 1.0)
    return bool((place >= wanted[0] - size).all() and (place <= wanted[1] + size).all())


def likely_level_cause(given: float, low: float, high: float, *, within: float = 3.0) -> str | None:
    """Return in words why a level is not near those known, the empty string when nothing explains it, and None when it is near.

    Parameters
    ----------
    given : float
        The level, metres.
    low, high : float
        Least and greatest level known, metres.
    within : float
        Metres beyond these that count as near (house value).

    Examples
    --------
    >>> likely_level_cause(96.8, 28.6, 29.7)
    'they look like feet read as metres'
    """

    def near(level: float) -> bool:
        return low - within <= level <= high + within

    if near(given):
        return None
    if abs(given) < within:
        return "they look like heights over an instrument or a floor, not over the site's datum"
    return next((words for factor, words in _FACTORS if near(given * factor)), "")
