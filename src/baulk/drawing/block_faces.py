"""A solid seen from the south-west and above: which of its sides are seen, in which order they are painted, how they are shaded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.drawing.scene import Spot
from baulk.ground.solid import Solid

__all__ = ["BlockView", "Side", "Top", "faces_of"]

Floats = NDArray[np.float64]

_ACROSS, _UP = cos(radians(30)), sin(radians(30))
_TONES = 8
_TURN = 0.35
_ON_RIM = 1e-4


@dataclass(frozen=True, slots=True)
class BlockView:
    """Where the ground lies on the sheet: lengths along east, north and upright are all to scale.

    Parameters
    ----------
    across, down : float
        Sheet millimetres of the point `origin`.
    origin : tuple of three float
        Easting, northing and level, metres.
    millimetres : float
        Millimetres of paper to a metre.
    """

    across: float
    down: float
    origin: tuple[float, float, float]
    millimetres: float

    def spot(self, place: Sequence[float], lift: float = 0.0) -> Spot:
        """Return where a place (easting, northing, level in metres), lifted by so much, lies on the sheet."""
        east, north, up = (float(part) - start for part, start in zip(place, self.origin, strict=True))
        return Spot(
            self.across + (east - north) * _ACROSS * self.millimetres,
            self.down - ((east + north) * _UP + up + lift) * self.millimetres,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """An upright strip that is seen: its upper and lower run of places (n × 3), its tone from 0 (dark) to 1, and its edges.

    `start` and `end` tell whether an upright edge is drawn there.
    """

    upper: Floats
    lower: Floats
    tone: float
    start: bool
    end: bool


@dataclass(frozen=True, slots=True, eq=False)
class Top:
    """The upper side of one part: its rings of places (n × 3), holes too."""

    rings: tuple[Floats, ...]


def faces_of(parts: Sequence[Solid]) -> tuple[Side | Top, ...]:
    """Return the sides and tops of a context's solid that are seen, in the order in which they are painted.

    Notes
    -----
    Sides between a part and a lower one come first, farthest first; then part by part, the lowest first, the sides on the outline
    and the top. For upright sides and tops that are not steep this is the order of depth.
    """
    rings = [_rings(part) for part in parts]
    whole = shapely.union_all([shapely.Polygon(ring[0][:, :2]) for held in rings for ring in held if _is_shell(ring[0])])
    rim = shapely.boundary(whole)
    inner: list[Side] = []
    painted: list[Side | Top] = []
    order = sorted(range(len(parts)), key=lambda at: float(np.mean([ring[0][:, 2].mean() for ring in rings[at]])))
    for at in order:
        sides = [side for upper, lower in rings[at] for side in _sides(upper, lower)]
        others = [part for other, part in enumerate(rings) if other != at]
        between = [_touches(side, others, rim) for side in sides]
        inner += [side for side, held in zip(sides, between, strict=True) if held]
        outer = sorted((side for side, held in zip(sides, between, strict=True) if not held), key=_depth)
        painted += [*outer, Top(tuple(upper for upper, _ in rings[at]))]
    return (*sorted(inner, key=_depth), *painted)


def _rings(part: Solid) -> list[tuple[Floats, Floats]]:
    """Return the rim of a part as runs of upper and of lower places, the body on the left, the first not repeated."""
    tops = part.triangles[: part.tops]
    count = len(part.vertices) // 2
    edges = np.vstack([tops[:, [0, 1]], tops[:, [1, 2]], tops[:, [2, 0]]])
    rim = edges[~np.isin(edges[:, 0] * count + edges[:, 1], edges[:, 1] * count + edges[:, 0])]
    after: dict[int, list[int]] = {}
    for start, end in rim.tolist():
        after.setdefault(start, []).append(end)
    found = []
    while after:
        first = next(iter(after))
        run, here = [first], _taken(after, first)
        while here != first:
            run.append(here)
            here = _taken(after, here)
        corners = np.array(run)
        found.append((part.vertices[corners], part.vertices[corners + count]))
    return found


def _taken(after: dict[int, list[int]], here: int) -> int:
    ends = after[here]
    end = ends.pop()
    if not ends:
        del after[here]
    return end


def _is_shell(ring: Floats) -> bool:
    e, n = ring[:, 0] - ring[0, 0], ring[:, 1] - ring[0, 1]
    return float((e * np.roll(n, -1) - np.roll(e, -1) * n).sum()) > 0


def _sides(upper: Floats, lower: Floats) -> Iterator[Side]:
    """Yield the strips of a rim that face south-west, each of one tone."""
    ahead = np.roll(upper, -1, axis=0)[:, :2] - upper[:, :2]
    length = np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-12)
    outward = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / length[:, None]
    facing = -(outward[:, 0] + outward[:, 1]) / 2**0.5
    light = (1.0 - outward[:, 0]) / 2
    tone = np.where(facing > 1e-3, np.round(light * _TONES), -1.0)
    count = len(upper)
    breaks = np.flatnonzero(tone != np.roll(tone, 1))
    starts = breaks if len(breaks) else np.array([0])
    for at, start in enumerate(starts.tolist()):
        end = starts[(at + 1) % len(starts)] if len(starts) > 1 else start
        span = (int(end) - start) % count or count
        if tone[start] < 0:
            continue
        run = (start + np.arange(span + 1)) % count
        before, behind = (start - 1) % count, int(run[-1])
        yield Side(
            upper[run], lower[run], float(tone[start]) / _TONES,
            _corner(outward[before], outward[start], facing[before]),
            _corner(outward[(behind - 1) % count], outward[behind], facing[behind]),
        )  # fmt: skip


def _corner(one: Floats, other: Floats, facing: float) -> bool:
    return facing <= 1e-3 or float(one @ other) < 1 - _TURN


def _depth(side: Side) -> float:
    return -float((side.upper[:, 0] + side.upper[:, 1]).mean())


def _touches(side: Side, others: Sequence[Sequence[tuple[Floats, Floats]]], rim: BaseGeometry) -> bool:
    """Tell whether a side stands between two parts, and not on the outline of the whole."""
    middle = shapely.Point((side.upper[0, :2] + side.upper[1, :2]) / 2)
    if shapely.distance(rim, middle) < _ON_RIM:
        return False
    return any(shapely.distance(shapely.LinearRing(upper[:, :2]), middle) < _ON_RIM for part in others for upper, _ in part)
