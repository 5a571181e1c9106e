"""How much of an outline proposed on a picture follows an edge that is really there."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import ndimage

from baulk.errors import MeasureError

__all__ = ["edge_seen"]

Floats = NDArray[np.float64]

_REACH = 4.0
"""Pixels inward and outward of the outline at which the colours are compared (house value)."""
_STEP = 12.0
"""Least distance of the two colours, of 255 (house value): a shadowed joint differs by more, grain less."""
_SPREADS = 3.0
"""The two must also differ by this many times the piece's own spread (house value)."""


def edge_seen(picture: ArrayLike, ring: ArrayLike, *, smoothing: float = 1.5) -> float:
    """Return the share of an outline, 0 to 1, across which the colour changes.

    Parameters
    ----------
    picture : array_like of shape (rows, columns) or (rows, columns, 3 or 4)
        Grey levels or colours from 0 to 255.
    ring : array_like of shape (n, 2)
        Corners as column and row, the first not repeated.
    smoothing : float
        Standard deviation of the smoothing in pixels.

    Raises
    ------
    MeasureError
        The outline encloses nothing.

    Notes
    -----
    At places a pixel apart along each side the smoothed colours `_REACH` pixels inward and outward are compared. An edge is seen
    where they lie farther apart than `_STEP` and than `_SPREADS` times the median distance of the inward colours from their own
    median. What lies outside the picture shows no edge.
    """
    corners = np.asarray(ring, dtype=np.float64)
    following = np.roll(corners, -1, axis=0)
    turned = float((corners[:, 0] * following[:, 1] - following[:, 0] * corners[:, 1]).sum())
    if len(corners) < 3 or not abs(turned) > 1e-9:
        raise MeasureError("An outline that encloses nothing is given: it has no edge to look for. Draw it round the piece.")
    held = np.asarray(picture, dtype=np.float64)
    held = held[..., None] if held.ndim == 2 else held[..., :3]
    smooth = ndimage.gaussian_filter(held, (smoothing, smoothing, 0))
    spots, outward = _along(corners, following, np.sign(turned))
    inside, outside = _colours(smooth, spots - _REACH * outward), _colours(smooth, spots + _REACH * outward)
    own = float(np.nanmedian(_apart(inside, np.nanmedian(inside, axis=0)))) if np.isfinite(inside).any() else np.inf
    return float((_apart(inside, outside) > max(_STEP, _SPREADS * own)).mean())


def _along(corners: Floats, following: Floats, turned: float) -> tuple[Floats, Floats]:
    """Return places a pixel apart along every side and the way outward at each."""
    spots, outward = [], []
    for one, other in zip(corners, following, strict=True):
        side = other - one
        length = float(np.hypot(*side))
        count = max(1, int(length))
        shares = (np.arange(count) + 0.5) / count
        spots.append(one + shares[:, None] * side)
        outward.append(np.tile(turned * np.array([side[1], -side[0]]) / max(length, 1e-12), (count, 1)))
    return np.concatenate(spots), np.concatenate(outward)


def _colours(smooth: Floats, spots: Floats) -> Floats:
    """Return the colour at each spot; NaN outside the picture."""
    places = np.rint(spots).astype(np.intp)
    known = ((places >= 0) & (places < (smooth.shape[1], smooth.shape[0]))).all(axis=1)
    found = np.full((len(spots), smooth.shape[2]), np.nan)
    found[known] = smooth[places[known, 1], places[known, 0]]
    return found


def _apart(one: Floats, other: Floats) -> Floats:
    distance: Floats = np.sqrt(((one - other) ** 2).sum(axis=-1))
    return distance
