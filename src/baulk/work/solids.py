"""The contexts of a unit as solids, each less what later cuts took out of it, and how they lie one on another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.drawing.withheld import neighbours_that_show
from baulk.errors import UnknownRecord
from baulk.ground.solid import ContextSolid, HeightsAt, Solid, solid_between
from baulk.ground.surface import Surface
from baulk.record import Context, SiteRecord, Unit, View, record_for, withheld_contexts
from baulk.sequence.paths import reaches
from baulk.work.bodies import UnitBody, bodies_of_unit
from baulk.work.order import SiteOrder

__all__ = ["LeftOut", "UnitSolids", "unit_solids"]

Floats = NDArray[np.float64]

_ROOM = ("cut", "disturbance")
_SQUARES = 20
_FINEST = 0.04
_LEAST_AREA = 1e-5
_OVERLAP = 1e-3


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A context without a solid: its id, and why in words."""

    context: str
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class UnitSolids:
    """The solids of a unit, the lowest first.

    Parameters
    ----------
    unit : Unit
        The unit.
    solids : tuple of ContextSolid
        The lowest first.
    left_out : tuple of LeftOut
        Contexts that have none.
    withheld : int
        How many contexts of the unit are withheld from who looks, and not told of.
    holds_restricted : bool
        Whether a solid is one that others may not see.
    """

    unit: Unit
    solids: tuple[ContextSolid, ...]
    left_out: tuple[LeftOut, ...]
    withheld: int = 0
    holds_restricted: bool = False


def unit_solids(
    record: SiteRecord, unit_id: str, order: SiteOrder, view: View = View.CREW, *, squares: int = _SQUARES
) -> UnitSolids:
    """Return the solids of a unit's contexts.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    unit_id : str
        Id of the unit.
    order : SiteOrder
        What is later than what: tells which cuts cut a context, and what lies on what.
    view : View
        Who looks; what is withheld from them, and neighbours that would show it, have no solid.
    squares : int
        Squares along the longer side of each outline.

    Raises
    ------
    UnknownRecord
        When there is no such unit, or it is not shown.

    Notes
    -----
    Inside the outline of a later cut the top of a context lies no higher than the base of the cut. A cut itself is room and has no
    solid: its fills have.
    """
    seen = record_for(record, view, also=neighbours_that_show(record) if view is not View.RESTRICTED else ())
    unit = seen.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord("unit", unit_id, [one.number or one.id for one in seen.all(Unit)])
    hidden = frozenset() if view is View.RESTRICTED else withheld_contexts(record)
    bodies = bodies_of_unit(seen, unit, hidden)
    later = _later(order, bodies)
    made: dict[int, ContextSolid] = {}
    left_out: list[LeftOut] = []
    for place, body in enumerate(bodies):
        why = _why_none(body)
        cuts = [bodies[other] for other in np.flatnonzero(later[:, place]).tolist() if bodies[other].context.kind in _ROOM]
        parts, says = ((), ()) if why else _solid(seen, body, cuts, squares)
        if not parts:
            left_out.append(LeftOut(body.context.id, why or "nothing of it is left between its top and its base"))
        else:
            made[place] = ContextSolid(body.context.id, parts, 0, says)
    own = {one.id for one in record.pointing_at(Context, "units", unit.id)}
    restricted = view is View.RESTRICTED and any(one.context in withheld_contexts(record) for one in made.values())
    return UnitSolids(unit, _ranked(bodies, made, later), tuple(left_out), len(own & hidden), restricted)


def _later(order: SiteOrder, bodies: Sequence[UnitBody]) -> NDArray[np.bool_]:
    """Return for each pair of bodies whether the first is later than the second."""
    table = np.zeros((len(bodies), len(bodies)), bool)
    known = [
        (place, order.known.index[body.context.id]) for place, body in enumerate(bodies) if body.context.id in order.known.index
    ]
    if len(known) < 2:
        return table
    places, indices = np.array(known).T
    upper, lower = (side.ravel() for side in np.meshgrid(indices, indices, indexing="ij"))
    table[np.ix_(places, places)] = reaches(order.known.relations, upper, lower).reshape(len(places), -1)
    return table


def _why_none(body: UnitBody) -> str:
    if body.context.kind in _ROOM:
        return "a cut is room, not a body: its fills are drawn"
    return body.why_no_volume or ""


def _solid(record: SiteRecord, body: UnitBody, cuts: Sequence[UnitBody], squares: int) -> tuple[tuple[Solid, ...], tuple[str, ...]]:
    assert body.outline is not None  # what is missing is told by `why_no_volume` before
    assert body.top is not None
    assert body.base is not None
    says = [f"top from {body.top_from}", f"base from {body.base_from}"]
    ground = _carried(body.outline.ground, body.top, body.base)
    lost = 1 - ground.area / body.outline.ground.area
    if lost > 0.001:
        says.append(f"{lost:.0%} of it lies too far from any level and is not drawn")
    pieces: list[tuple[BaseGeometry, tuple[Surface, ...]]] = [(ground, ())] if ground.area > _LEAST_AREA else []
    for cut in cuts:
        if cut.outline is None or not shapely.intersects(cut.outline.ground, body.outline.ground):
            continue
        number = record.label(cut.context.id)
        if cut.base is None:
            says.append(f"how deep {number} cuts into it was not levelled: drawn uncut there")
            continue
        pieces = [part for held, floors in pieces for part in _split(held, floors, cut.outline.ground, cut.base)]
        says.append(f"cut by {number}")
    west, south, east, north = body.outline.ground.bounds
    step = max(max(east - west, north - south) / squares, _FINEST)
    base = _heights(body.base)
    parts = [solid_between(held, _lowered(body.top, floors), base, step=step) for held, floors in pieces]
    return tuple(part for part in parts if len(part.triangles)), tuple(says)


def _carried(ground: BaseGeometry, *surfaces: Surface) -> BaseGeometry:
    """Return the part of an outline where the surfaces are carried."""
    for surface in surfaces:
        ground = ground.intersection(shapely.buffer(surface.hull, max(surface.reach - 1e-4, 0.0), quad_segs=16))
    return _polygons(ground)


def _split(
    ground: BaseGeometry, floors: tuple[Surface, ...], cut: BaseGeometry, floor: Surface
) -> list[tuple[BaseGeometry, tuple[Surface, ...]]]:
    found = ((_polygons(ground.difference(cut)), floors), (_polygons(ground.intersection(cut)), (*floors, floor)))
    return [(part, over) for part, over in found if part.area > _LEAST_AREA]


def _polygons(ground: BaseGeometry) -> BaseGeometry:
    parts = [part for part in shapely.get_parts(ground).tolist() if part.geom_type == "Polygon" and part.area > _LEAST_AREA]
    return shapely.union_all(parts)


def _heights(surface: Surface) -> HeightsAt:
    return lambda places: surface.at(places).levels


def _lowered(top: Surface, floors: tuple[Surface, ...]) -> HeightsAt:
    """Return the top, no higher than the floors of the cuts; where a floor is not carried the cut is taken as it is at its edge."""

    def heights(places: Floats) -> Floats:
        found = top.at(places).levels
        for floor in floors:
            found = np.fmin(found, floor.at(places).levels)
        return found

    return heights


def _ranked(bodies: Sequence[UnitBody], made: dict[int, ContextSolid], later: NDArray[np.bool_]) -> tuple[ContextSolid, ...]:
    """Return the solids with how many lie one on another beneath each, the lowest first."""
    above = later[np.ix_(list(made), list(made))].sum(axis=1)  # how many are earlier: those with fewer come first
    ranks: dict[int, int] = {}
    for place in [list(made)[at] for at in np.argsort(above, kind="stable")]:
        under = [ranks[other] for other in ranks if later[place, other] and _overlap(bodies[place], bodies[other])]
        ranks[place] = max(under, default=-1) + 1
    found = [replace(one, rank=ranks[place]) for place, one in made.items()]
    return tuple(sorted(found, key=lambda one: (one.rank, float(one.solid.vertices[:, 2].mean()))))


def _overlap(one: UnitBody, other: UnitBody) -> bool:
    if one.outline is None or other.outline is None:
        return False
    return bool(shapely.area(shapely.intersection(one.outline.ground, other.outline.ground)) > _OVERLAP)
