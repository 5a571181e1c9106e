"""Points and lines on a plan: levels, finds, samples, the unit's corners and the faces drawn as walls."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import shapely

from baulk.drawing.key import Key
from baulk.drawing.labels import Places, places_around
from baulk.drawing.paper import Frame, Letters, level_text, position_text
from baulk.drawing.plan_ground import Laid
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Group, Line, Shape, Spot, Stroke, Text
from baulk.errors import shorten
from baulk.record import Find, Level, Position, Sample, SiteRecord, Unit, Wall

__all__ = ["Point", "corner_groups", "point_groups", "points_on", "wall_groups"]

_FACE = Stroke("drawn face", 0.25)
_NEAR = 0.05

Point = tuple[Spot, str, str, str, str]
"""A place, the name of its sign, its words, what is told of it, and its record's id."""


def points_on(laid: Sequence[Laid], frame: Frame, record: SiteRecord, hidden_finds: frozenset[str]) -> list[Point]:
    """Return the levels, finds and samples of contexts where these are seen, levels first."""
    levels: list[Point] = []
    finds: list[Point] = []
    filled = {one.context.fill_of for one in laid}
    for one in laid:
        seen = one.seen.buffer(_NEAR)
        shapely.prepare(seen)
        # a cut's levels lie beneath its fill, and are drawn where the fill is not
        of_context = () if one.context.id in filled else record.pointing_at(Level, "context", one.context.id)
        for level in of_context:
            spot = _seen_spot(level.positions(), frame, one, seen)
            if spot is not None and level.level is not None and not (level.surface == "base" and one.context.kind != "cut"):
                sign = "level on base" if level.surface == "base" else "level on top"
                words = level_text(level.level)
                levels.append((spot, sign, words, f"Level {words} on {one.number}", level.id))
        for kind, sign in ((Find, "find"), (Sample, "sample")):
            for entity in record.pointing_at(kind, "context", one.context.id):
                spot = _seen_spot(entity.positions(), frame, one, seen)
                if spot is not None and entity.id not in hidden_finds:
                    number = shorten(getattr(entity, "number", None) or "?", 12)
                    finds.append((spot, sign, number, f"{sign.capitalize()} {number} from {one.number}", entity.id))
    return [*levels, *finds]


def _seen_spot(positions: Sequence[Position], frame: Frame, one: Laid, seen: shapely.geometry.base.BaseGeometry) -> Spot | None:
    if not positions:
        return None
    spot = frame.spot(positions[0])
    if one.context.kind == "cut":  # a cut is seen as a line; its levels stand inside
        return spot if not one.seen.is_empty else None
    return spot if seen.covers(shapely.Point(spot.across, spot.down)) else None


def point_groups(points: Sequence[Point], places: Places, key: Key, letters: Letters) -> tuple[list[Shape], int]:
    """Return points with their words beside them, and how many words found no room."""
    size = letters.small
    mark = 0.95 * size
    shapes: list[Shape] = []
    crowded = 0
    for spot, _, _, _, _ in points:
        places.take(Spot(spot.across, spot.down - 0.3 * mark), mark * 0.8, mark * 0.8)
    for spot, sign, words, told, record in points:
        width, height = shown_width(words, size) + 0.3 * size, 1.15 * size
        centre = places.take_first(
            places_around(Spot(spot.across, spot.down - 0.3 * mark), width, height, 0.6 * mark), width, height
        )
        inner: list[Shape] = []
        if centre is None:
            crowded += 1
        else:
            if hypot(centre.across - spot.across, centre.down - spot.down) > width / 2 + 1.6 * mark:
                inner.append(Line(((spot, centre),), Stroke("faint leader", 0.15)))
            inner.append(Text(words, Spot(centre.across, centre.down + 0.36 * size), size, "middle", halo=True))
        inner.append(key.mark(sign, spot, mark))
        shapes.append(Group(tuple(inner), told, record, "point", sign))
    return shapes, crowded


def corner_groups(unit: Unit, frame: Frame, key: Key, letters: Letters, *, public: bool) -> list[Shape]:
    """Return a cross at each corner of the unit with its grid position outside; a public sheet has the crosses alone."""
    corners = unit.corners or ()
    if not corners:
        return []
    middle = (
        sum(corner.easting for corner in corners) / len(corners),
        sum(corner.northing for corner in corners) / len(corners),
    )
    shapes: list[Shape] = []
    for corner in corners:
        spot = frame.spot(corner)
        inner: list[Shape] = [key.mark("grid position", spot, 1.9 * letters.small)]
        if not public:
            above, west = corner.northing > middle[1], corner.easting < middle[0]
            first = spot.down - 3.6 * letters.small if above else spot.down + 3.3 * letters.small
            inner += [
                Text(words, Spot(spot.across, first + line * 1.2 * letters.small), letters.small, "start" if west else "end")
                for line, words in enumerate(position_text(corner))
            ]
        shapes.append(Group(tuple(inner), role="corner"))
    return shapes


def wall_groups(walls: Sequence[Wall], frame: Frame, key: Key, letters: Letters) -> list[Shape]:
    """Return a line beside each face that was drawn, its ticks pointing to the face, with the wall's number."""
    shapes: list[Shape] = []
    for wall in walls:
        if not wall.ends:
            continue
        left, right = frame.spot(wall.ends[0]), frame.spot(wall.ends[-1])
        length = hypot(right.across - left.across, right.down - left.down)
        if length == 0:
            continue
        # seen from inside, the face's outside lies to the left of the way from its left end to its right end
        out = ((right.down - left.down) / length, -(right.across - left.across) / length)
        gap, tick = 1.9 * letters.small, 0.9 * letters.small
        ends = [Spot(end.across + out[0] * gap, end.down + out[1] * gap) for end in (left, right)]
        ticks = [(end, Spot(end.across - out[0] * tick, end.down - out[1] * tick)) for end in ends]
        stroke = key.other_line(_FACE, "face drawn; ticks point to it")
        words = f"wall {shorten(wall.number or '?', 16)}"
        centre = Spot((ends[0].across + ends[1].across) / 2, (ends[0].down + ends[1].down) / 2)
        upright = abs(out[0]) > abs(out[1])
        lift = 0.5 * letters.small
        if upright:
            turn = -90.0 if out[0] < 0 else 90.0
            place = Spot(centre.across + out[0] * lift, centre.down)
        else:
            turn = 0.0
            place = Spot(centre.across, centre.down - lift if out[1] < 0 else centre.down + lift + 0.75 * letters.small)
        label = Text(words, place, letters.small, "middle", turn=turn)
        shapes.append(Group((Line((tuple(ends), *ticks), stroke), label), f"Face drawn as {words}", wall.id, "drawn-face"))
    return shapes
