"""A surface of a context from its levels: which model, why, how sure, and how far it is carried."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import MeasureError
from baulk.ground.covariance import double_sum, weighted_alikeness
from baulk.ground.hull import beyond_hull
from baulk.ground.kriging import krige
from baulk.ground.plane import plane_through
from baulk.ground.settled import HOUSE, GroundSettings
from baulk.ground.spline import fit_spline
from baulk.ground.spread import Spread, one_level_a_place
from baulk.ground.tin import triangulate
from baulk.ground.variogram import Variogram, default_variogram, fit_variogram

__all__ = ["KINDS", "Heights", "LevelWeights", "Surface", "fit_surface"]

Floats = NDArray[np.float64]

KINDS = ("plane", "triangles", "spline", "kriging")
_DENSE = 120
_BOTH_FROM = 10


class LevelWeights(Protocol):
    """A surface as weights of its levels; it has no error of its own, the variogram tells that of any weights."""

    def weights(self, places: Floats) -> Floats:
        """Return the weight of each level in the height at each place (m × 2) as m × n."""
        ...

    def left_out(self, levels: Floats) -> Floats | None:
        """Return how far each level is missed by the surface without it, metres; None when that cannot be told."""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class Heights:
    """Heights of a surface at places.

    Parameters
    ----------
    levels : (m,) array
        Heights in metres; NaN where the surface is not carried.
    deviation : (m,) array
        Standard deviation in metres; NaN with the height.
    beyond : (m,) array
        Metres outside the outermost levels; 0 between them.
    """

    levels: Floats
    deviation: Floats
    beyond: Floats

    @property
    def extrapolated(self) -> NDArray[np.bool_]:
        """Whether each place lies outside the outermost levels."""
        return self.beyond > 1e-6


@dataclass(frozen=True, eq=False)
class Surface:
    """A fitted surface.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    model : LevelWeights
        The heights as weights of the levels.
    spread : Spread
        Where the levels lie.
    levels : (n,) array
        Levels in metres, one a place.
    variogram : Variogram
        How rough the ground is; it gives every standard deviation.
    reach : float
        How far beyond the outermost levels the surface is carried, metres.
    reason : str
        Why this kind.
    notes : tuple of str
        What else to know: averaged levels, levels in one line.
    settings : GroundSettings
        The settings used.
    """

    kind: str
    model: LevelWeights
    spread: Spread
    levels: Floats
    variogram: Variogram
    reach: float
    reason: str
    notes: tuple[str, ...]
    settings: GroundSettings

    @cached_property
    def hull(self) -> BaseGeometry:
        """The convex hull of the levels: a point, a line or a polygon."""
        return shapely.MultiPoint(self.spread.places).convex_hull

    @cached_property
    def left_out(self) -> Floats | None:
        """How far each level is missed by the surface without it, metres; None when there is no check."""
        return self.model.left_out(self.levels)

    @property
    def left_out_error(self) -> float | None:
        """Root mean square of `left_out`, metres; None when there is no check."""
        return None if self.left_out is None else float(np.sqrt(np.mean(self.left_out**2)))

    @property
    def says(self) -> str:
        """The model, why, and its check, in one line."""
        error = self.left_out_error
        check = (
            "no check" if error is None else f"each level left out in turn is met within {1000 * error:.0f} mm (root mean square)"
        )
        return "; ".join([self.reason, check, *self.notes])

    def at(self, places: ArrayLike) -> Heights:
        """Return the heights at places (m × 2, metres) with their standard deviation, that of the surface and not of a reading.

        Examples
        --------
        >>> slope = fit_surface([(0, 0), (1, 0), (0, 1)], [10.0, 10.1, 10.0])
        >>> round(float(slope.at([(0.5, 0.25)]).levels[0]), 3)
        10.05
        """
        asked = np.ascontiguousarray(np.asarray(places, float).reshape(-1, 2))
        weights = self.model.weights(asked)
        base = float(self.levels.mean())
        heights = base + weights @ (self.levels - base)
        beyond = self.beyond(asked)
        deviation = np.sqrt(np.maximum(self._variance(asked, weights), 0.0))
        far = beyond > self.reach + 1e-9
        heights[far], deviation[far] = np.nan, np.nan
        return Heights(heights, deviation, beyond)

    def heights(self, places: Floats) -> Floats:
        """Return the heights alone at places (m × 2, metres), also where the surface is not carried."""
        base = float(self.levels.mean())
        found: Floats = base + self.model.weights(places) @ (self.levels - base)
        return found

    def beyond(self, places: Floats) -> Floats:
        """Return how far places (m × 2, metres) lie outside the outermost levels, metres; 0 between them."""
        return beyond_hull(np.ascontiguousarray(places), self._corners)

    def variance_over(self, places: Floats, weights: Floats) -> float:
        """Return the variance of Σ wᵢ h(sᵢ) over places (m × 2, metres), m² times that of the weights.

        Notes
        -----
        With λ = W'w the weights of the levels: w'Kw − 2w'Kₙλ + λ'Cλ + n λ'λ, plus the slope that no level shows. The covariance
        between all pairs of places is in the first term.
        """
        return max(self._variance_of_sum(places, weights, weights @ self.model.weights(places)), 0.0)

    def _variance_of_sum(self, spots: Floats, shares: Floats, of_levels: Floats) -> float:
        ground, own = self.variogram, self.spread.places
        relief = double_sum(spots, shares, ground.reach, ground.family)
        relief -= 2.0 * float(weighted_alikeness(spots, shares, own, ground.reach, ground.family) @ of_levels)
        relief += double_sum(own, of_levels, ground.reach, ground.family)
        missing = self.spread.axes[self.spread.directions :] @ (shares @ spots - of_levels @ own)
        return (
            ground.sill * relief + ground.nugget * float(of_levels @ of_levels) + self.settings.slope**2 * float(missing @ missing)
        )

    def _variance(self, places: Floats, weights: Floats) -> Floats:
        ground, own = self.variogram, self.spread.places
        across = ground.covariance(places, own)
        among = ground.covariance(own, own) + ground.nugget * np.eye(len(own))
        relief = ground.sill - 2.0 * (weights * across).sum(axis=1) + ((weights @ among) * weights).sum(axis=1)
        missing = (places - weights @ own) @ self.spread.axes[self.spread.directions :].T
        found: Floats = relief + self.settings.slope**2 * (missing**2).sum(axis=1)
        return found

    @cached_property
    def _corners(self) -> Floats:
        """The hull's corners, anticlockwise; one or two when the levels lie in one place or line."""
        corners = shapely.get_coordinates(shapely.orient_polygons(self.hull) if self.hull.geom_type == "Polygon" else self.hull)
        return np.ascontiguousarray(corners[:-1] if len(corners) > 3 else corners)


def fit_surface(
    points: ArrayLike,
    levels: ArrayLike,
    outline: BaseGeometry | None = None,
    *,
    kind: str | None = None,
    settings: GroundSettings = HOUSE,
) -> Surface:
    """Return the surface through spot levels.

    Parameters
    ----------
    points : (n, 2) array
        Easting and northing in metres.
    levels : (n,) array
        Levels in metres; NaN is refused.
    outline : shapely geometry, optional
        Extent of the context in metres; only used to say how much of it lies outside the outermost levels.
    kind : {"plane", "triangles", "spline", "kriging"}, optional
        Chosen by number and layout of the levels when None.
    settings : GroundSettings
        House settings.

    Returns
    -------
    Surface

    Raises
    ------
    MeasureError
        When there is no level, a level is not a number, or the kind asked for cannot be had from these levels.

    Notes
    -----
    One level: a level plane. Two, or three: the plane through them, without a check. Levels in one line: kriging, and the plane for
    two. Four to nine: a thin-plate spline. Ten to 120: spline or kriging, whichever meets left-out levels better. More: triangles.
    """
    places, heights, merged = one_level_a_place(points, levels)
    spread = Spread.of(places)
    if kind is not None and kind not in KINDS:
        raise MeasureError(f"A surface of kind “{kind}” was asked for. There are {', '.join(KINDS)}: name one of these, or none.")
    chosen = _given(kind, spread, heights, settings) if kind else _by_layout(spread, heights, settings)
    model, ground, name, reason = chosen
    notes = [merged] if merged else []
    if spread.directions == 1:
        notes.append("the levels lie in one line: no slope known across it")
    reach = max(settings.reach, spread.diameter / 2)
    found = Surface(name, model, spread, heights, ground, reach, reason, tuple(notes), settings)
    if outline is None or outline.area == 0:
        return found
    return _with_edges(found, outline)


_Fit = tuple[LevelWeights, Variogram, str, str]


def _with_edges(found: Surface, outline: BaseGeometry) -> Surface:
    outside = 1 - shapely.intersection(outline, found.hull).area / outline.area
    if outside < 0.005:
        return found
    words = f"{outside:.0%} of the outline lies outside the outermost levels; the surface is carried at most {found.reach:.2f} m"
    return replace(found, notes=(*found.notes, words))


def _given(kind: str, spread: Spread, levels: Floats, settings: GroundSettings) -> _Fit:
    reason = f"{kind} asked for, {spread.count} levels"
    if kind == "kriging":
        ground = fit_variogram(spread, levels, drift="level", settings=settings)
        return krige(spread, ground), ground, kind, reason
    ground = fit_variogram(spread, levels, settings=settings)
    if kind == "plane":
        return plane_through(spread), ground, kind, reason
    if kind == "spline":
        return fit_spline(spread, levels), ground, kind, reason
    return triangulate(spread), ground, kind, reason


def _by_layout(spread: Spread, levels: Floats, settings: GroundSettings) -> _Fit:
    count = spread.count
    if count <= 3:
        reason = ("one level: no slope known", "two levels: the slope along them, no check", "three levels: a plane, no check")[
            count - 1
        ]
        return plane_through(spread), default_variogram(spread.diameter, settings), "plane", reason
    if count > _DENSE and spread.directions == 2:
        ground = fit_variogram(spread, levels, settings=settings)
        return triangulate(spread), ground, "triangles", f"{count} levels: dense enough to join by triangles"
    if spread.directions < 2:
        ground = fit_variogram(spread, levels, drift="level", settings=settings)
        return krige(spread, ground), ground, "kriging", f"{count} levels in one line: kriging along it"
    ground = fit_variogram(spread, levels, settings=settings)
    spline = fit_spline(spread, levels)
    if count < _BOTH_FROM:
        return spline, ground, "spline", f"{count} levels: a thin-plate spline"
    return _better(spread, levels, spline, ground, settings)


def _better(spread: Spread, levels: Floats, spline: LevelWeights, ground: Variogram, settings: GroundSettings) -> _Fit:
    about_mean = fit_variogram(spread, levels, drift="level", settings=settings)
    kriging = krige(spread, about_mean)
    bent, kriged = _miss(spline, levels), _miss(kriging, levels)
    words = f"kriging {1000 * kriged:.0f} mm, spline {1000 * bent:.0f} mm"
    if kriged < bent:
        return kriging, about_mean, "kriging", f"{spread.count} levels: kriging meets left-out levels better ({words})"
    return spline, ground, "spline", f"{spread.count} levels: the spline meets left-out levels at least as well ({words})"


def _miss(model: LevelWeights, levels: Floats) -> float:
    missed = model.left_out(levels)
    return float("inf") if missed is None else float(np.sqrt(np.mean(missed**2)))
