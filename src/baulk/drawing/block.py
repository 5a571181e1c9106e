"""The block drawing of a unit: its contexts as solids, drawn apart by their order, seen from the south-west and above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.drawing.block_faces import BlockView, Side, Top, faces_of
from baulk.drawing.labels import tag_form, tag_size
from baulk.drawing.look import Appearance, appearance_of, context_title
from baulk.drawing.paper import millimetres_per, unit_word
from baulk.drawing.scene import Area, Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.errors import InputError, shorten
from baulk.ground.solid import ContextSolid
from baulk.quantities import LengthUnit
from baulk.record import Context, SiteRecord, Unit

__all__ = ["block_drawing"]

Floats = NDArray[np.float64]

_EDGE, _FINE = Stroke("block edge", 0.28), Stroke("block base", 0.2)
_DOT = Stroke("leader end", 0.9, (0.01, 5.0), round_ends=True)
_GUIDE, _LEADER = Stroke("guide", 0.14, (0.5, 1.1)), Stroke("leader", 0.14)
_APART = 0.22
_DARK, _LIGHT = 0.68, 0.9
_LABELS = 62.0
_NARROWEST = 118.0


@dataclass(frozen=True, slots=True)
class _Laid:
    """One context on the sheet: its shapes, and the part of the sheet that they cover."""

    context: Context
    shapes: tuple[Shape, ...]
    covers: BaseGeometry


def block_drawing(
    record: SiteRecord,
    unit: Unit,
    solids: Sequence[ContextSolid],
    *,
    scale: float = 40,
    apart: float | None = None,
    without: Sequence[str] = (),
    withheld: int = 0,
    restricted: bool = False,
) -> Scene:
    """Return the block drawing of a unit.

    Parameters
    ----------
    record : SiteRecord
        For the contexts and the title block.
    unit : Unit
        The unit.
    solids : sequence of ContextSolid
        The lowest first.
    scale : float
        40 for 1:40; it holds along east, north and upright alike.
    apart : float or None
        Metres by which a step of the order is lifted, more beneath wide lids; a fifth of the unit's longer side when None, 0 to
        leave all in place.
    without : sequence of str
        Numbers of contexts that have no solid; the sheet names them.
    withheld : int
        How many contexts are withheld; the sheet says so.
    restricted : bool
        True when the solids are those of a restricted view: the sheet then says so.

    Raises
    ------
    InputError
        When there is no solid.
    MeasureError
        When the scale cannot be used.
    """
    if not solids:
        raise InputError(
            f"No context of unit {shorten(unit.number or unit.id)} has an outline with levels on its top and its base, so "
            "there is no solid to draw. Enter these for at least one context."
        )
    corners = np.vstack([part.vertices for one in solids for part in one.parts])
    low, high = corners.min(axis=0), corners.max(axis=0)
    lifts = _lifts(solids, _APART * float(max(high[:2] - low[:2])) if apart is None else apart)
    millimetres = millimetres_per(LengthUnit.METRE, scale)
    view, size = _view(low, high, max(lifts.values()), millimetres)
    width = max(_NARROWEST, size[0] + _LABELS + 2 * MARGIN)
    sheet = Sheet(record, width, _title(record, unit, scale, restricted=restricted), millimetres * record.metres)
    top = sheet.top + 2 * sheet.letters.plain
    view = BlockView(view.across + MARGIN, view.down + top, view.origin, millimetres)
    laid = [one for solid in solids if (one := _laid(record, solid, view, lifts[solid.rank], sheet)) is not None]
    body: list[Shape] = [_guides(view, low, high, max(lifts.values())), *(_group(one) for one in laid)]
    body += [*_labels(laid, sheet, MARGIN + size[0] + 6.0, top, size[1]), _north(view, low, high, sheet)]
    sheet.notes += _notes(without, withheld, apart_by_order=max(lifts.values()) > 0)
    described = f"{len(laid)} contexts as solids, latest lifted most: " + ", ".join(
        one.context.number or "?" for one in reversed(laid)
    )
    return sheet.finish(f"block {unit.number or unit.id}", body, top + size[1] + 4.0, scale=scale, north=False, described=described)


def _view(low: Floats, high: Floats, lifted: float, millimetres: float) -> tuple[BlockView, tuple[float, float]]:
    """Return a view with its drawing in the sheet's corner, and how wide and high that is."""
    flat = BlockView(0.0, 0.0, (float(low[0]), float(low[1]), float(low[2])), millimetres)
    ends = [(east, north, up) for east in (low[0], high[0]) for north in (low[1], high[1]) for up in (low[2], high[2] + lifted)]
    spots = [flat.spot(end) for end in ends]
    left, top = min(spot.across for spot in spots), min(spot.down for spot in spots)
    size = max(spot.across for spot in spots) - left, max(spot.down for spot in spots) - top
    return BlockView(-left, -top, flat.origin, millimetres), size


def _title(record: SiteRecord, unit: Unit, scale: float, *, restricted: bool) -> Title:
    facts = (
        ("Scale", f"1:{scale:g} along east, north and upright"),
        ("Seen from", "the south-west, above"),
        ("Lengths in", "metres" if unit_word(record.length_unit) == "m" else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
    )
    return Title(f"Unit {shorten(unit.number or '?', 20)}: block drawing", facts, RESTRICTED_WARNING if restricted else "")


def _laid(record: SiteRecord, solid: ContextSolid, view: BlockView, raised: float, sheet: Sheet) -> _Laid | None:
    context = record.get(Context, solid.context)
    if context is None:
        return None
    look = appearance_of(context)
    sheet.key.ground(look, context.number or "?")
    shapes: list[Shape] = []
    for face in faces_of(solid.parts):
        shapes += _side(face, view, raised, look) if isinstance(face, Side) else _top(face, view, raised, look)
    seen = shapely.union_all([shapely.Polygon(shape.rings[0]).buffer(0.01) for shape in shapes if isinstance(shape, Area)])
    return _Laid(context, tuple(shapes), seen)


def _side(side: Side, view: BlockView, lift: float, look: Appearance) -> list[Shape]:
    upper = tuple(view.spot(place, lift) for place in side.upper)
    lower = tuple(view.spot(place, lift) for place in side.lower)
    fill = _shaded(look.fill, side.tone)
    seam = None if fill is None else Stroke("block side", 0.08, colour=fill)
    shapes: list[Shape] = [Area(((*upper, *reversed(lower)),), fill or "paper", stroke=seam), Line((lower,), _FINE)]
    ends = [(upper[at], lower[at]) for at, drawn in ((0, side.start), (-1, side.end)) if drawn]
    return [*shapes, Line(tuple(ends), _FINE)] if ends else shapes


def _top(top: Top, view: BlockView, lift: float, look: Appearance) -> list[Shape]:
    rings = tuple(tuple(view.spot(place, lift) for place in ring) for ring in top.rings)
    return [Area(rings, look.fill or "paper", look.texture, _EDGE, look.light_texture)]


def _shaded(fill: str | None, tone: float) -> str | None:
    """Return a soil colour as it looks on a side: darker toward the south, lighter toward the west."""
    if fill is None:
        return None
    share = _DARK + (_LIGHT - _DARK) * tone
    return "#" + "".join(f"{round(int(fill[at : at + 2], 16) * share):02X}" for at in (1, 3, 5))


def _group(one: _Laid) -> Group:
    number = one.context.number or "?"
    return Group(one.shapes, context_title(one.context, number), one.context.id, one.context.kind or "deposit", number)


def _guides(view: BlockView, low: Floats, high: Floats, lifted: float) -> Group:
    """Return the upright lines along which the contexts are drawn apart."""
    feet = [(low[0], low[1]), (low[0], high[1]), (high[0], low[1])]
    runs = tuple((view.spot((*foot, low[2])), view.spot((*foot, high[2]), lifted)) for foot in feet)
    return Group((Line(runs, _GUIDE),), role="guides")


def _labels(laid: Sequence[_Laid], sheet: Sheet, left: float, top: float, height: float) -> list[Shape]:
    """Return number and name of each context beside the drawing, latest on top, each with a line to its solid."""
    letters = sheet.letters
    row = max(2.0 * letters.number, min(9.0, height / max(len(laid), 1)))
    wanted = sorted(zip(_anchors(laid), laid, strict=True), key=lambda pair: pair[0].down)
    downs: list[float] = []
    for anchor, _ in wanted:
        downs.append(max(anchor.down, downs[-1] + row if downs else top))
    over = max(0.0, (downs[-1] if downs else 0.0) - (top + height))
    for at in range(len(downs) - 1, -1, -1):  # those at the foot that would run out of the drawing push the others up
        ceiling = downs[at + 1] - row if at + 1 < len(downs) else downs[at] - over
        downs[at] = min(downs[at], ceiling)
    shapes: list[Shape] = []
    for (anchor, one), down in zip(wanted, downs, strict=True):
        number = one.context.number or "?"
        wide, _ = tag_size(number, letters.number)
        centre = Spot(left + 4.0 + wide / 2, down)
        leader = Line(((anchor, Spot(left, down), Spot(left + 4.0, down)),), _LEADER, cased=True)
        dot = Line(((anchor, Spot(anchor.across + 0.01, anchor.down)),), _DOT)
        tag = sheet.key.tag(number, tag_form(one.context.kind), centre, letters.number)
        name = shorten(one.context.title or one.context.kind or "", 30)
        words = Text(name, Spot(left + 5.5 + wide, down + 0.35 * letters.small), letters.small)
        shapes.append(Group((leader, dot, tag, words), record=one.context.id, role="label", name=number))
    return shapes


def _anchors(laid: Sequence[_Laid]) -> list[Spot]:
    """Return the spot that each label points to: the farthest to the right of what is seen of its solid."""
    found: list[Spot] = []
    over: BaseGeometry = shapely.Polygon()
    for one in reversed(laid):
        seen = one.covers.difference(over)
        part = max(shapely.get_parts(seen if seen.area > 1.0 else one.covers).tolist(), key=lambda polygon: polygon.bounds[2])
        inside = part.buffer(-0.6)
        across, down = max(shapely.get_coordinates(inside if not inside.is_empty else part).tolist())
        found.append(Spot(across, down))
        over = over.union(one.covers)
    return found[::-1]


def _lifts(solids: Sequence[ContextSolid], apart: float) -> dict[int, float]:
    """Return how far each rank is lifted, metres: a wide lid farther from what is beneath it than a small fill."""
    widest = max(sum(part.area_in_plan for part in one.parts) for one in solids)
    lids = {rank: 0.0 for rank in range(max(one.rank for one in solids) + 1)}
    for one in solids:
        lids[one.rank] = max(lids[one.rank], sum(part.area_in_plan for part in one.parts) / widest)
    lifts = {0: 0.0}
    for rank in range(1, len(lids)):
        lifts[rank] = lifts[rank - 1] + apart * (0.5 + lids[rank])
    return lifts


def _north(view: BlockView, low: Floats, high: Floats, sheet: Sheet) -> Group:
    """Return grid north as an arrow on the ground, left of the lowest solid."""
    size = float(high[1] - low[1]) * 0.32
    aside = float(high[0] - low[0]) * 0.12
    foot, tip = (low[0] - aside, low[1] + 0.2 * size, low[2]), (low[0] - aside, low[1] + 1.2 * size, low[2])
    barbs = ((low[0] - aside * 1.45, low[1] + size, low[2]), tip, (low[0] - aside * 0.55, low[1] + size, low[2]))
    arrow = Line(
        (tuple(view.spot(place) for place in (foot, tip)), tuple(view.spot(place) for place in barbs)), Stroke("north", 0.3)
    )
    end = view.spot(tip)
    words = Text("grid N", Spot(end.across, end.down - 0.9 * sheet.letters.small), sheet.letters.small, "middle")
    return Group((arrow, words), "Grid north points up and to the left", role="north")


def _notes(without: Sequence[str], withheld: int, *, apart_by_order: bool) -> list[str]:
    notes = []
    if apart_by_order:
        notes.append("Drawn apart by the order: each context is lifted above those that it lies on. Time runs down the sheet.")
    notes.append("Tops in soil colour; sides shaded. Between levels the surfaces are modelled, and sides are drawn upright.")
    if without:
        notes.append(f"Not drawn, without a body of their own or levels to give one: {', '.join(without)}.")
    if withheld:
        notes.append(f"{withheld} restricted {'record' if withheld == 1 else 'records'} not drawn.")
    return notes
