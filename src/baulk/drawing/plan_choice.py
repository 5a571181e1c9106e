"""What a plan draws, what lies over what, and what it leaves out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely import Polygon, make_valid, union_all
from shapely.geometry.base import BaseGeometry

from baulk.drawing.withheld import follows, hidden_rings
from baulk.record import Burial, Context, Find, Outline, SiteRecord, Unit, by_natural_number, withheld_contexts, withheld_finds

__all__ = ["Choice", "Drawn", "choose", "in_order", "outlined"]

Drawn = tuple[Context, tuple[Outline, ...]]
"""A context with its outlines."""

_WHOLE = 0.9
"""Share of the unit from which a layer counts as lying over all of it."""


@dataclass(frozen=True)
class Choice:
    """What is drawn, earliest first, and what is left out of it; burials only when they are drawn."""

    drawn: tuple[Drawn, ...]
    burials: tuple[Burial, ...]
    hidden: frozenset[str]
    hidden_finds: frozenset[str]
    withheld: int
    giving_away: int
    taken_off: tuple[str, ...]
    held: bool
    picked: bool
    """True when the caller named the contexts to draw."""


def choose(
    record: SiteRecord, unit: Unit, contexts: Sequence[str] | None, order: Sequence[str] | None, *, restricted: bool
) -> Choice:
    """Return what is drawn of a unit; the parameters are those of `baulk.drawing.plan.plan_drawing`."""
    every = outlined(record, unit, contexts)
    burials = _burials(record, unit) if contexts is None else ()
    held = withheld_contexts(record)
    if restricted:
        shown = bool(burials) or any(context.id in held for context, _ in every)
        drawn, off = _without_covers(in_order(every, order), unit, contexts)
        return Choice(drawn, burials, frozenset(), frozenset(), 0, 0, off, shown, contexts is not None)
    shapes = hidden_rings(record, held)
    open_to_all = [pair for pair in every if pair[0].id not in held]
    kept = [
        (context, outlines)
        for context, outlines in open_to_all
        if not any(
            follows(outline.ring, shapes, record.metres, edges=outline.edges or (), limit=unit.corners or ())
            for outline in outlines
            if outline.ring
        )
    ]
    finds = withheld_finds(record)
    of_drawn = {context.id for context, _ in open_to_all}
    loose = sum(find.context in of_drawn and bool(find.positions()) for find in record.all(Find) if find.id in finds)
    withheld = len(burials) + len(every) - len(open_to_all) + loose
    drawn, off = _without_covers(in_order(kept, order), unit, contexts)
    return Choice(drawn, (), held, finds, withheld, len(open_to_all) - len(kept), off, False, contexts is not None)


def outlined(record: SiteRecord, unit: Unit, contexts: Sequence[str] | None) -> list[Drawn]:
    """Return the contexts of a unit, or those named, that have an outline, in order of number."""
    if contexts is None:
        wanted: Iterable[Context] = record.pointing_at(Context, "units", unit.id)
    else:
        named = (record.get(Context, each) for each in dict.fromkeys(contexts))
        wanted = sorted((one for one in named if one is not None and one.void is None), key=by_natural_number)
    found: list[Drawn] = []
    for context in wanted:
        outlines = tuple(outline for outline in record.pointing_at(Outline, "context", context.id) if outline.ring)
        if outlines:
            found.append((context, outlines))
    return found


def in_order(drawn: list[Drawn], order: Sequence[str] | None) -> list[Drawn]:
    """Return contexts earliest first: by the order given, else by number, the lowest latest."""
    if order is None:
        return list(reversed(drawn))
    place = {identity: number for number, identity in enumerate(order)}
    return sorted(reversed(drawn), key=lambda pair: place.get(pair[0].id, -1))


def _without_covers(drawn: list[Drawn], unit: Unit, contexts: Sequence[str] | None) -> tuple[tuple[Drawn, ...], tuple[str, ...]]:
    """Return the contexts without the layers that would cover every feature beneath them, and the numbers of these layers.

    A plan of everything, painted as it lies, would show the turf alone. A deposit over (nearly) the whole unit is taken off when a
    feature lies beneath it; the last that is left is the ground on which the features are seen.
    """
    if contexts is not None or not unit.corners:
        return tuple(drawn), ()
    whole = make_valid(Polygon(unit.corners))
    kept: list[Drawn] = []
    taken_off: list[str] = []
    feature_beneath = False
    for context, outlines in drawn:
        feature_beneath |= context.kind not in ("deposit", None)
        if feature_beneath and context.kind == "deposit" and _covers(outlines, whole):
            taken_off.append(context.number or "?")
        else:
            kept.append((context, outlines))
    return tuple(kept), tuple(taken_off)


def _covers(outlines: Sequence[Outline], whole: BaseGeometry) -> bool:
    shape = union_all([make_valid(Polygon(outline.ring)) for outline in outlines if outline.ring])
    return shape.intersection(whole).area >= _WHOLE * whole.area


def _burials(record: SiteRecord, unit: Unit) -> tuple[Burial, ...]:
    """Return the burials that the unit met: by their contexts, or by lying within its corners."""
    of_unit = {context.id for context in record.pointing_at(Context, "units", unit.id)}
    corners = unit.corners or ()
    west, east = min((c.easting for c in corners), default=0.0), max((c.easting for c in corners), default=0.0)
    south, north = min((c.northing for c in corners), default=0.0), max((c.northing for c in corners), default=0.0)
    return tuple(
        burial
        for burial in record.all(Burial)
        if of_unit & set(burial.contexts or ())
        or any(west <= spot.easting <= east and south <= spot.northing <= north for spot in burial.ring or ())
    )
