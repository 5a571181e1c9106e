"""A photo of a flat floor or wall fitted to the site grid through marked points.

The fit holds in one plane only: what stands above or lies below it is moved away from the point under the camera
(see `baulk.ground.camera`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError
from baulk.ground.homography import LEAST_POINTS, Homography, fit_homography, points_off_every_line
from baulk.ground.lens import Lens
from baulk.ground.lens_fit import fit_with_lens, lens_freedom

__all__ = ["NO_CHECK", "Rectification", "rectify"]

Floats = NDArray[np.float64]

NO_CHECK = "no check"
_WORTH = 0.8
"""The lens is kept when the left-out error falls to this share (house value)."""
_STRANGER = 3.0
"""A point is named when its left-out error is this many times the median of the others (house value)."""

_ALONE = 8.0
"""A point alone holds its side when the fit follows it so many times closer than the others foretell it (house value)."""


@dataclass(frozen=True, slots=True, eq=False)
class Rectification:
    """A photo tied to the ground.

    Parameters
    ----------
    names : tuple of str
        Names of the marked points.
    seen, ground : numpy.ndarray of shape (n, 2)
        Column and row in pixels (0, 0 is the centre of the first pixel), and easting and northing in metres.
    plane : Homography
        From the ground to ideal pixels.
    lens : Lens or None
        From ideal pixels to those seen.
    residuals : numpy.ndarray of shape (n, 2)
        Position read off the picture less the position given, millimetres on the ground, east and north.
    left_out : numpy.ndarray of shape (n,) or None
        Distance in millimetres by which each point is missed when it takes no part in the fit; NaN where the others alone
        cannot carry a fit; None for exactly four points.
    notes : tuple of str
        What a person should know.
    """

    names: tuple[str, ...]
    seen: Floats
    ground: Floats
    size: tuple[int, int]
    plane: Homography
    lens: Lens | None
    residuals: Floats
    left_out: Floats | None
    notes: tuple[str, ...] = field(default=())

    @property
    def root_mean_square(self) -> float:
        """Root of the mean squared residual distance, millimetres; 0 by construction for four points, and no check then."""
        return float(np.sqrt((self.residuals**2).sum(axis=1).mean()))

    @property
    def left_out_error(self) -> float | None:
        """Root of the mean squared left-out distance, millimetres; None when there is no check."""
        if self.left_out is None or np.isnan(self.left_out).all():
            return None
        return float(np.sqrt(np.nanmean(self.left_out**2)))

    @property
    def check(self) -> str:
        """The check in words."""
        error = self.left_out_error
        return NO_CHECK if error is None else f"{error:.1f} mm left out, {self.root_mean_square:.1f} mm fitted"

    def pixels(self, ground: ArrayLike) -> Floats:
        """Return the pixels, shape (n, 2), at which ground positions are seen."""
        ideal = self.plane(ground)
        return ideal if self.lens is None else self.lens.seen(ideal)

    def positions(self, pixels: ArrayLike) -> Floats:
        """Return the ground positions, shape (n, 2), of pixels."""
        given = np.asarray(pixels, dtype=np.float64)
        return self.plane.inverse()(given if self.lens is None else self.lens.ideal(given))

    def resolution(self) -> float:
        """Return the ground covered by one pixel in metres: the median over the marked points of the root of its area."""
        area = np.abs(np.linalg.det(self.plane.slope(self.ground)))
        return float(np.median(1 / np.sqrt(area)))


def rectify(
    seen: ArrayLike,
    ground: ArrayLike,
    size: tuple[int, int],
    *,
    names: Sequence[str] = (),
    lens: Lens | str | None = "try",
) -> Rectification:
    """Return a photo fitted to the ground.

    Parameters
    ----------
    seen : array_like of shape (n, 2)
        Column and row of each marked point; (0, 0) is the centre of the first pixel, rows run down.
    ground : array_like of shape (n, 2)
        Easting and northing in metres (for a wall: distance and level).
    size : tuple of two int
        Columns and rows of the picture.
    names : sequence of str
        Names of the points; their places from 1 when left out.
    lens : Lens, "try" or None
        A lens known from elsewhere; "try" fits one and keeps it when it pays; None goes without.

    Raises
    ------
    MeasureError
        Fewer than four points, a point that is not a number or lies outside the picture, two points at one place, all but one
        in one line, a mirrored picture, or points on both sides of the horizon.

    Notes
    -----
    Least squares of the distances in the picture. A left-out error comes from a fit of all other points.
    """
    called = tuple(names) or tuple(str(place + 1) for place in range(len(np.atleast_2d(seen))))
    pixels, places = _checked(seen, ground, size, called)
    plane, held, notes = _fitted(pixels, places, size, lens)
    _refuse_mirrored(plane, places)
    residuals = 1000 * (_positions(plane, held, pixels) - places)
    left_out = _left_out(pixels, places, size, held, lens)
    notes += _stranger(called, left_out, np.hypot(*residuals.T))
    if left_out is None:
        notes += ("Four points fit exactly, whatever their errors: no check. Mark a fifth point to learn how good the fit is.",)
    return Rectification(called, pixels, places, size, plane, held, residuals, left_out, notes)


def _checked(seen: ArrayLike, ground: ArrayLike, size: tuple[int, int], names: tuple[str, ...]) -> tuple[Floats, Floats]:
    pixels, places = np.atleast_2d(np.asarray(seen, dtype=np.float64)), np.atleast_2d(np.asarray(ground, dtype=np.float64))
    if pixels.shape != places.shape or pixels.shape[-1] != 2 or len(names) != len(pixels):
        raise MeasureError(
            f"{len(pixels)} places in the picture, {len(places)} on the ground and {len(names)} names are given. Each marked "
            "point has one of each: a column and a row, an easting and a northing."
        )
    if len(pixels) < LEAST_POINTS:
        raise MeasureError(
            f"{len(pixels)} points are marked. A flat floor seen from above needs four, and a fifth to check: mark more points."
        )
    for place, name in enumerate(names):
        if not (np.isfinite(pixels[place]).all() and np.isfinite(places[place]).all()):
            raise MeasureError(f"Point {name} lacks a number. A marked point has a column, a row, an easting and a northing.")
        if not (-0.5 <= pixels[place, 0] <= size[0] - 0.5 and -0.5 <= pixels[place, 1] <= size[1] - 0.5):
            raise MeasureError(
                f"Point {name} is marked at column {pixels[place, 0]:g}, row {pixels[place, 1]:g}, outside the picture of "
                f"{size[0]} × {size[1]} pixels. Columns count from 0 at the left, rows from 0 at the top, after the picture is "
                "turned upright: mark it again."
            )
    _refuse_lines(pixels, names, "in the picture")
    _refuse_lines(places, names, "on the ground")
    return pixels, places


def _refuse_lines(points: Floats, names: tuple[str, ...], where: str) -> None:
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    first, second = np.unravel_index(int(np.argmin(apart)), apart.shape)
    if apart[first, second] <= 1e-9 * float(np.hypot(*np.ptp(points, axis=0))):
        raise MeasureError(
            f"Points {names[first]} and {names[second]} have one position {where}. Two nails cannot: see which was read wrongly."
        )
    off, line = points_off_every_line(points)
    if off < 2:
        named = ", ".join(names[place] for place in line)
        raise MeasureError(
            f"Points {named} lie in one line {where}, and only {off} of the points lies off it. At least two must, or the fit "
            "slides along the line: mark points at the corners of the area."
        )


def _fitted(
    pixels: Floats, places: Floats, size: tuple[int, int], lens: Lens | str | None
) -> tuple[Homography, Lens | None, tuple[str, ...]]:
    if isinstance(lens, Lens):
        return fit_homography(places, lens.ideal(pixels)), lens, ("The lens was given.",)
    plane = fit_homography(places, pixels)
    if lens is None:
        return plane, None, ("No lens was asked for: straight lines are taken to be straight in the picture.",)
    freedom = lens_freedom(len(pixels))
    if not freedom:
        return plane, None, (f"{len(pixels)} points are too few to find how the lens bends lines; it takes seven.",)
    bent_plane, found = fit_with_lens(places, pixels, size, freedom)
    plain, with_lens = (_error(_misses(pixels, places, size, choice)) for choice in (0, freedom))
    farthest = float(np.hypot(*size)) / 2 / found.reach
    if not with_lens < _WORTH * plain or found.edge() < 1.05 * farthest:
        return (
            plane,
            None,
            (f"A lens was tried and left out: left-out error {plain:.1f} mm without it, {with_lens:.1f} mm with it.",),
        )
    words = f"k1 {found.k1:+.4f}, k2 {found.k2:+.4f} for half the diagonal"
    return bent_plane, found, (f"Lens fitted ({words}): left-out error {plain:.1f} mm without it, {with_lens:.1f} mm with it.",)


def _positions(plane: Homography, lens: Lens | None, pixels: Floats) -> Floats:
    return plane.inverse()(pixels if lens is None else lens.ideal(pixels))


def _left_out(pixels: Floats, places: Floats, size: tuple[int, int], held: Lens | None, asked: Lens | str | None) -> Floats | None:
    if len(pixels) == LEAST_POINTS:
        return None
    if isinstance(asked, Lens):
        return _misses(asked.ideal(pixels), places, size, 0)
    return _misses(pixels, places, size, 0 if held is None else lens_freedom(len(pixels)))


def _misses(pixels: Floats, places: Floats, size: tuple[int, int], freedom: int) -> Floats:
    """Return by how many millimetres each point is missed by a fit of the others; NaN where they cannot carry one."""
    misses = np.full(len(pixels), np.nan)
    for place in range(len(pixels)):
        others = np.arange(len(pixels)) != place
        if points_off_every_line(places[others])[0] < 2:
            continue
        try:
            if freedom:
                plane, lens = fit_with_lens(places[others], pixels[others], size, freedom)
                found = _positions(plane, lens, pixels[~others])
            else:
                found = _positions(fit_homography(places[others], pixels[others]), None, pixels[~others])
        except (MeasureError, np.linalg.LinAlgError):
            continue
        misses[place] = 1000 * float(np.hypot(*(found - places[~others])[0]))
    return misses


def _error(misses: Floats) -> float:
    return float("inf") if np.isnan(misses).all() else float(np.sqrt(np.nanmean(misses**2)))


def _refuse_mirrored(plane: Homography, places: Floats) -> None:
    depth = plane.depth(places)
    if not (np.all(depth > 0) or np.all(depth < 0)):
        raise MeasureError(
            "The points marked cannot all be seen in one picture of one plane: some would lie behind the camera. See whether two "
            "points have exchanged their names."
        )
    if np.median(np.linalg.det(plane.slope(places))) > 0:
        raise MeasureError(
            "The points marked run the other way round in the picture than on the ground. Seen from above they cannot: see whether "
            "easting and northing, or column and row, or two names were exchanged, or the picture was mirrored."
        )


def _stranger(names: tuple[str, ...], left_out: Floats | None, fitted: Floats) -> tuple[str, ...]:
    """Return a note on the one point that does not fit the others, or that alone holds its side of the picture."""
    if left_out is None or len(left_out) < 6 or np.isnan(left_out).any():
        return ()
    worst = int(left_out.argmax())
    others = float(np.median(np.delete(left_out, worst)))
    if left_out[worst] <= _STRANGER * others:
        return ()
    missed = f"Point {names[worst]} is missed by {left_out[worst]:.0f} mm when left out, the others by {others:.0f} mm (median): "
    if fitted[worst] < left_out[worst] / _ALONE:
        return (f"{missed}it alone holds its side, where nothing checks it. Mark another point near it.",)
    return (f"{missed}look at its mark and its co-ordinates again.",)
