"""The volume of a context between its top and its base inside its outline, with its standard error and what makes it up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student
from shapely.geometry.base import BaseGeometry

from baulk.ground.quadrature import places_inside, rings_of
from baulk.ground.settled import GroundSettings
from baulk.ground.surface import Surface

__all__ = ["Outlined", "Volume", "edge_error", "spread_factor", "volume_between"]

Floats = NDArray[np.float64]

_FINE, _COARSE = 24, 9


@dataclass(frozen=True, eq=False)
class Outlined:
    """The outline of a context in metres with the kind of each edge.

    Parameters
    ----------
    ground : shapely Polygon or MultiPolygon
        Extent in plan.
    edges : sequence of (4,) rows and kinds
        Edges as easting, northing of both ends, and how each was seen; empty when no kind is recorded: all count as uncertain.
    """

    ground: BaseGeometry
    edges: Sequence[tuple[tuple[float, float, float, float], str]] = ()


@dataclass(frozen=True, eq=False)
class Volume:
    """A volume.

    Parameters
    ----------
    cubic_metres : float
        Volume as it lies in the ground (bank), of the part where both surfaces are carried.
    standard_error : float
        Cubic metres.
    parts : mapping
        Variance in m⁶ by cause: ``top``, ``base``, ``outline``, ``crossing``.
    free : float
        Degrees of freedom behind the error.
    area : float
        Area of the outline, m².
    covered : float
        Share of the outline where both surfaces are carried.
    extrapolated : float
        Share of the outline outside the outermost levels of top or base.
    crossed : float
        Share of the covered part where the base came out above the top; it counts as nothing there.
    notes : tuple of str
        What to know about it, in words.
    """

    cubic_metres: float
    standard_error: float
    parts: Mapping[str, float]
    free: float
    area: float
    covered: float
    extrapolated: float
    crossed: float
    notes: tuple[str, ...] = ()

    @property
    def litres(self) -> float:
        """The same in litres."""
        return 1000.0 * self.cubic_metres

    @property
    def half_width(self) -> float:
        """Half the 95 % interval, cubic metres: the standard error times Student's factor."""
        return self.standard_error * spread_factor(self.free)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval, cubic metres; no volume is less than nothing."""
        return max(self.cubic_metres - self.half_width, 0.0), self.cubic_metres + self.half_width

    @property
    def mean_thickness(self) -> float:
        """Mean thickness over the covered part, metres; NaN when nothing is covered."""
        return self.cubic_metres / (self.area * self.covered) if self.covered else float("nan")


@lru_cache(maxsize=512)
def _factor(free: float) -> float:
    return float(student.ppf(0.975, free))


def spread_factor(free: float) -> float:
    """Return the factor from a standard error to half a 95 % interval, for degrees of freedom (to the tenth below 100).

    Examples
    --------
    >>> round(spread_factor(5), 3), round(spread_factor(1e6), 2)
    (2.571, 1.96)
    """
    return _factor(round(free, 1) if free < 100 else 1e6 if free > 1000 else float(round(free, -2)))


def volume_between(top: Surface, base: Surface, outline: Outlined, moved: tuple[Floats, Floats, Floats] | None = None) -> Volume:
    """Return the volume between two surfaces inside an outline.

    Parameters
    ----------
    top, base : Surface
        Upper and lower surface.
    outline : Outlined
        Extent and edges.
    moved : (places, areas, thicker), optional
        How much thicker the fit that keeps surfaces from crossing made the context, metres, at places that stand for areas.

    Returns
    -------
    Volume

    Raises
    ------
    MeasureError
        When the outline has no area.

    Notes
    -----
    V = Σ aᵢ max(top(sᵢ) − base(sᵢ), 0). Variance = that of either surface's integral (readings, relief between the levels, and the
    covariance of all pairs of places) + that of the outline + the square of what is cut off where the surfaces cross or were
    kept from crossing. Top and base are taken as independent; an error of the benchmark shifts both and cancels.
    """
    places, areas = places_inside(outline.ground, _FINE)
    outside_by, carried = _beyond(top, base, places)
    covered = float(areas[carried].sum() / areas.sum())
    if covered == 0:
        words = "no part of the outline lies near enough to levels of top and base: no volume"
        return Volume(float("nan"), float("nan"), {}, 1.0, outline.ground.area, 0.0, 1.0, 0.0, (words,))
    inside, share = places[carried], areas[carried]
    spots, weights = _coarse(top, base, outline.ground, float(share.sum()))
    thickness = _thickness(top, base, inside)
    below = np.minimum(thickness, 0.0)
    added = 0.0 if moved is None else float(moved[1] @ moved[2])
    crossing = (abs(float(below @ share)) + abs(added)) / 2
    parts = {
        "top": top.variance_over(spots, weights),
        "base": base.variance_over(spots, weights),
        "outline": edge_error(top, base, outline, top.settings) ** 2,
        "crossing": crossing**2,
    }
    total = sum(parts.values())
    volume = float((thickness - below) @ share) + added
    outside = float(areas[outside_by > 1e-6].sum() / areas.sum())
    crossed = float(share[below < -1e-4].sum() / share.sum())
    return Volume(
        max(volume, 0.0), total**0.5, parts, _free(parts, top, base), outline.ground.area, covered, outside, crossed,
        _notes(covered, outside, crossed, added),
    )  # fmt: skip


def _coarse(top: Surface, base: Surface, ground: BaseGeometry, area: float) -> tuple[Floats, Floats]:
    spots, weights = places_inside(ground, _COARSE)
    _, carried = _beyond(top, base, spots)
    if not carried.any():
        carried[:] = True
    spots, weights = np.ascontiguousarray(spots[carried]), weights[carried]
    return spots, np.ascontiguousarray(weights * (area / weights.sum()))


def _thickness(top: Surface, base: Surface, places: Floats) -> Floats:
    return top.heights(places) - base.heights(places)


def _beyond(top: Surface, base: Surface, places: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return how far places lie outside the levels of either surface, and at which both are carried."""
    above, below = top.beyond(places), base.beyond(places)
    return np.maximum(above, below), (above <= top.reach + 1e-9) & (below <= base.reach + 1e-9)


def edge_error(top: Surface, base: Surface, outline: Outlined, settings: GroundSettings) -> float:
    """Return the standard error that the place of the edges puts on the volume, m³.

    Notes
    -----
    An edge shifted by δ adds ∫ thickness · δ ds. All edges of one kind are taken to shift together (the same eye drew them), the
    kinds apart from each other; how far by kind is a house setting (common practice, no source).
    """
    sizes = {
        "seen": settings.edge_seen, "cut away": settings.edge_cut_away, "limit of excavation": settings.edge_limit,
    }  # fmt: skip
    edges, kinds = _edges(outline)
    middle = np.ascontiguousarray((edges[:, :2] + edges[:, 2:]) / 2)
    length = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    thickness = np.maximum(_thickness(top, base, middle), 0.0)
    far = ~_beyond(top, base, middle)[1]
    thickness[far] = thickness[~far].mean() if (~far).any() else 0.0
    shift = np.array([sizes.get(kind, settings.edge_uncertain) for kind in kinds])
    by_kind: dict[str, float] = {}
    for kind, one in zip(kinds, (thickness * length * shift).tolist(), strict=True):
        by_kind[kind] = by_kind.get(kind, 0.0) + one
    return float(np.sqrt(sum(one**2 for one in by_kind.values())))


def _edges(outline: Outlined) -> tuple[Floats, list[str]]:
    if outline.edges:
        return np.array([ends for ends, _ in outline.edges]), [kind for _, kind in outline.edges]
    edges = np.vstack([np.hstack([ring[:-1], ring[1:]]) for ring in rings_of(outline.ground)])
    return edges, ["uncertain"] * len(edges)


def _free(parts: Mapping[str, float], top: Surface, base: Surface) -> float:
    """Return the degrees of freedom of a sum of variances (Welch–Satterthwaite; from memory)."""
    total = sum(parts.values())
    known = parts["top"] ** 2 / top.variogram.free + parts["base"] ** 2 / base.variogram.free
    return total**2 / known if known > 0 else 1e6


def _notes(covered: float, outside: float, crossed: float, added: float) -> tuple[str, ...]:
    notes = []
    if covered < 0.999:
        notes.append(f"{1 - covered:.0%} of the outline lies too far from any level and is not counted")
    if outside > 0.005:
        notes.append(f"{outside:.0%} of the outline lies outside the outermost levels")
    if crossed > 0.005:
        notes.append(f"base and top cross over {crossed:.0%} of the area, which counts as nothing")
    if abs(added) > 5e-5:
        notes.append(f"keeping the surfaces from crossing changed it by {1000 * added:+.1f} litres")
    return tuple(notes)
