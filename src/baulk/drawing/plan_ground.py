"""Contexts in plan: which lies over which, their ground, edges, laid pieces, and where a number fits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import hypot

import shapely
from shapely.geometry.base import BaseGeometry

from baulk.drawing.edges import edge_runs, notched, signed_area
from baulk.drawing.key import Key
from baulk.drawing.look import Appearance, appearance_of, context_title, line_for
from baulk.drawing.paper import Frame
from baulk.drawing.scene import Area, Group, Line, Shape, Spot, Stroke
from baulk.record import Context, Element, Outline, SiteRecord, WallOutline

__all__ = ["Laid", "context_group", "label_spots", "laid_in_order"]

_PIECE = Stroke("piece", 0.25)
_LEAST_SEEN = 0.5
"""Square millimetres of paper."""


@dataclass(frozen=True)
class Laid:
    """One context as it lies in the plan.

    Parameters
    ----------
    context, outlines, look
        What is drawn and how.
    rings
        One for each outline, on the sheet.
    seen
        The part that no later context covers, on the sheet; of a cut, its line.
    """

    context: Context
    outlines: tuple[Outline | WallOutline, ...]
    look: Appearance
    rings: tuple[tuple[Spot, ...], ...]
    seen: BaseGeometry

    @property
    def number(self) -> str:
        """The context's number, as it is written on the drawing."""
        return self.context.number or "no number"

    @property
    def is_seen(self) -> bool:
        """Whether later contexts leave anything of it that can be made out on paper."""
        return not self.seen.is_empty and (self.seen.area > _LEAST_SEEN or self.context.kind == "cut")


def laid_in_order(drawn: Sequence[tuple[Context, tuple[Outline, ...]]], frame: Frame) -> tuple[Laid, ...]:
    """Return contexts in the order in which they are painted, with what later ones leave to be seen.

    `drawn` is earliest first. A cut's line is painted after the last of its own fills, so that they do not cover it.
    """
    place_of = {context.id: place for place, (context, _) in enumerate(drawn)}
    last = dict(place_of)
    for context, _ in drawn:
        if context.fill_of in last:
            last[context.fill_of] = max(last[context.fill_of], place_of[context.id])
    painted = sorted(drawn, key=lambda pair: (last[pair[0].id], pair[0].kind == "cut", place_of[pair[0].id]))
    rings_of = [tuple(frame.spots(outline.ring or ()) for outline in outlines) for _, outlines in painted]
    wholes = [shapely.unary_union([shapely.make_valid(shapely.Polygon(ring)) for ring in rings]) for rings in rings_of]
    covering = [place for place, (context, _) in enumerate(painted) if context.kind != "cut"]
    tree = shapely.STRtree([wholes[place] for place in covering])
    laid: list[Laid] = []
    for place, (context, outlines) in enumerate(painted):
        rings, shape = rings_of[place], wholes[place]
        later = [covering[found] for found in tree.query(shape, predicate="intersects") if covering[found] > place]
        if context.kind == "cut":
            shape = shapely.unary_union([shapely.LinearRing(ring) for ring in rings])
        seen = shape.difference(shapely.union_all([wholes[found] for found in later])) if later else shape
        laid.append(Laid(context, outlines, appearance_of(context), rings, seen))
    return tuple(laid)


def context_group(laid: Laid, frame: Frame, key: Key, record: SiteRecord) -> Group:
    """Return one context with its ground, its edges by kind and its laid pieces."""
    is_cut = laid.context.kind == "cut"
    drawn = (_piece(element, frame, key) for element in record.pointing_at(Element, "context", laid.context.id))
    pieces = [piece for piece in drawn if piece is not None]
    look = replace(laid.look, texture="") if pieces else laid.look  # the pieces themselves show what it is of
    shapes: list[Shape] = []
    if not is_cut:
        shapes.append(Area(laid.rings, look.fill or "paper", look.texture, None, look.light_texture))
        key.ground(look, laid.number)
    for ring, outline in zip(laid.rings, laid.outlines, strict=True):
        shapes += _edges(ring, outline.edges or (), key, is_cut=is_cut)
    shapes += pieces
    role = laid.context.kind or "context"
    return Group(tuple(shapes), context_title(laid.context, laid.number), laid.context.id, role, laid.number)


def _edges(ring: tuple[Spot, ...], kinds: Sequence[str], key: Key, *, is_cut: bool) -> list[Shape]:
    shapes: list[Shape] = []
    inside_right = signed_area(ring) > 0
    for kind, run in edge_runs(ring, kinds):
        name = line_for(kind)
        stroke = key.line(name)
        if is_cut and name not in ("cut away", "limit of excavation"):
            key.cut_line()
            shapes += notched(run, stroke, right=inside_right)
        else:
            shapes.append(Line((run,), stroke, cased=True))
    return shapes


def _piece(element: Element, frame: Frame, key: Key) -> Group | None:
    """Return one sett, brick or stone with the sign of how it was laid; None when it has no place."""
    title = f"Piece {element.number or 'without a number'}: {element.attitude or 'way of laying not recorded'}"
    if not element.ring:
        if not element.axis:
            return None
        stroke = key.other_line(Stroke("axis of a piece", 0.5), "piece known by its axis only")
        return Group((Line((frame.spots(element.axis),), stroke),), title, element.id, "piece", "axis")
    ring = frame.spots(element.ring)
    sign, name = _way_of_laying(ring, element.attitude)
    key.mark(name, ring[0], 1.0)
    return Group((Area((ring,), "paper", stroke=_PIECE), *sign), title, element.id, "piece", name)


def _way_of_laying(ring: tuple[Spot, ...], attitude: str | None) -> tuple[tuple[Shape, ...], str]:
    middle, along, half = _long_axis(ring)
    if attitude == "flat":
        return (), "laid flat"
    if attitude == "on edge":
        ends = tuple(Spot(middle.across + s * along[0] * half * 0.74, middle.down + s * along[1] * half * 0.74) for s in (-1, 1))
        return (Line((ends,), _PIECE),), "laid on edge"
    if attitude == "on end":
        size = half * 0.22
        turned = ((1, 0), (0, 1), (-1, 0), (0, -1))
        box = tuple(Spot(middle.across + size * a, middle.down + size * d) for a, d in turned)
        return (Line((box,), Stroke("piece", 0.4), closed=True),), "laid on end"
    corner, beside = ring[0], ring[1]
    away = ring[-1]
    ends = (
        Spot(corner.across + 0.35 * (beside.across - corner.across), corner.down + 0.35 * (beside.down - corner.down)),
        Spot(corner.across + 0.35 * (away.across - corner.across), corner.down + 0.35 * (away.down - corner.down)),
    )
    return (Line((ends,), _PIECE),), "way of laying not recorded"


def _long_axis(ring: tuple[Spot, ...]) -> tuple[Spot, tuple[float, float], float]:
    """Return the middle, the direction and half the length of the long axis of a piece."""
    corners = list(shapely.get_coordinates(shapely.minimum_rotated_rectangle(shapely.Polygon(ring))))
    if len(corners) < 4:
        return ring[0], (1.0, 0.0), 0.5
    sides = [(corners[1] - corners[0]), (corners[2] - corners[1])]
    long_side = max(sides, key=lambda side: hypot(*side))
    length = hypot(*long_side)
    middle = (corners[0] + corners[2]) / 2
    return Spot(float(middle[0]), float(middle[1])), (float(long_side[0]) / length, float(long_side[1]) / length), length / 2


def label_spots(laid: Laid, width: float, height: float) -> Iterable[Spot]:
    """Yield centres for a context's number, best first: well inside what is seen of it, else anywhere on it; on a cut's line.

    The first places are those where a tag of that size lies wholly on the context.
    """
    if laid.seen.is_empty:
        return
    if laid.context.kind == "cut":
        lines = sorted(shapely.get_parts(shapely.line_merge(laid.seen)), key=lambda line: -line.length)
        for line in lines[:3]:
            for share in (0.5, 0.25, 0.75, 0.1, 0.9, 0.37, 0.63):
                yield _spot(line.interpolate(share, normalized=True))
        return
    parts = [part for part in shapely.get_parts(laid.seen) if isinstance(part, shapely.Polygon) and part.area > 0]
    largest = max(parts, key=lambda part: part.area, default=None)
    if largest is None:
        return
    yield from _inside(largest, width, height)


def _inside(part: shapely.Polygon, width: float, height: float) -> Iterable[Spot]:
    centre = _spot(shapely.get_point(shapely.maximum_inscribed_circle(part, tolerance=0.5), 0))
    left, top, right, bottom = part.bounds
    grid = [Spot(left + (right - left) * a / 8, top + (bottom - top) * d / 8) for d in range(1, 8) for a in range(1, 8)]
    grid.sort(key=lambda spot: hypot(spot.across - centre.across, spot.down - centre.down))
    shapely.prepare(part)
    yield from (
        spot
        for spot in [centre, *grid]
        if part.contains(
            shapely.box(spot.across - width / 2, spot.down - height / 2, spot.across + width / 2, spot.down + height / 2)
        )
    )
    yield from (spot for spot in [centre, *grid] if part.contains(shapely.Point(spot.across, spot.down)))


def _spot(point: BaseGeometry) -> Spot:
    return Spot(float(shapely.get_x(point)), float(shapely.get_y(point)))
