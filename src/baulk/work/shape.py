"""The shape of a unit: volumes of its contexts, what crossed, the buckets, and what filling it in takes."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.drawing.withheld import neighbours_that_show
from baulk.errors import UnknownRecord
from baulk.ground.backfill import BackfillPlan, plan_backfill
from baulk.ground.buckets import BucketCheck, FindDensity, compare_buckets, find_density
from baulk.ground.bulking import Bulking, bulking_of
from baulk.ground.stack import Stacked, keep_from_crossing
from baulk.ground.surface import Surface
from baulk.ground.thickness import cells_over
from baulk.ground.volume import Volume, volume_between
from baulk.record import Context, Find, SiteRecord, Unit, View, record_for, withheld_contexts
from baulk.work.bodies import UnitBody, bodies_of_unit, direct_pairs
from baulk.work.order import SiteOrder

__all__ = ["ContextShape", "UnitShape", "seen_ground", "unit_volumes"]

Floats = NDArray[np.float64]
_CELLS = 1200
_ROOM = ("cut", "disturbance")
_FIRM = ("structure", "timber")


@dataclass(frozen=True, eq=False)
class ContextShape:
    """One context: its body, its volume or why there is none, buckets and finds held against it.

    Parameters
    ----------
    body : UnitBody
        Surfaces and outline.
    volume : Volume or None
        None when `why_not` tells what is missing.
    why_not : str or None
        What is missing.
    dug : float
        Percent of it that was dug; 100 when that is blank.
    buckets : BucketCheck or None
        None when no litres were counted.
    finds : FindDensity or None
        None without finds, without their count, or when nothing was dug.
    moved : float
        The most that its top or base was moved to keep it from crossing another, metres.
    thicker : (places, areas, metres) or None
        How much thicker that made it, at places that stand for areas; None where nothing was moved.
    """

    body: UnitBody
    volume: Volume | None
    why_not: str | None
    dug: float
    buckets: BucketCheck | None
    finds: FindDensity | None
    moved: float
    thicker: tuple[Floats, Floats, Floats] | None = None

    @property
    def context(self) -> Context:
        """The record."""
        return self.body.context

    @property
    def is_room(self) -> bool:
        """Whether it is a cut or disturbance: its volume is room, which the fills take up."""
        return self.context.kind in _ROOM


@dataclass(frozen=True, eq=False)
class UnitShape:
    """The volumes of a unit.

    Parameters
    ----------
    unit : Unit
        The unit.
    contexts : tuple of ContextShape
        In natural order of number.
    crossings : tuple of str
        Which surfaces crossed, which levels pushed, in words.
    hole : float
        Sum of the volumes dug, cubic metres; cuts are not counted, their fills are.
    hole_error : float
        Its standard error; what neighbours share is taken as independent, which errs on the wide side.
    backfill : BackfillPlan or None
        None when nothing has a volume.
    notes : tuple of str
        What to know about the sum.
    """

    unit: Unit
    contexts: tuple[ContextShape, ...]
    crossings: tuple[str, ...]
    hole: float
    hole_error: float
    backfill: BackfillPlan | None
    notes: tuple[str, ...]


def unit_volumes(
    record: SiteRecord,
    unit_id: str,
    order: SiteOrder | None = None,
    *,
    kept: float = 0.0,
    soil: str | None = None,
    restricted: bool = False,
) -> UnitShape:
    """Return the volumes of a unit's contexts, with errors, and what filling it in takes.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    unit_id : str
        Id of the unit.
    order : SiteOrder, optional
        The order; surfaces are kept from crossing only when it holds no loop.
    kept : float
        Cubic metres, as they lay in the ground, that do not go back in.
    soil : str, optional
        Kind of soil or texture of the spoil; the one most of the volume has when None.
    restricted : bool
        Whether burials are included; without them, nothing withheld and no neighbour that would show it is used either.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    """
    whole, record = record, seen_ground(record, restricted=restricted)
    unit = record.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord("unit", unit_id, [one.number or one.id for one in record.all(Unit)])
    withheld = frozenset() if restricted else withheld_contexts(whole)
    bodies = bodies_of_unit(record, unit, withheld)
    notes = []
    stacked: Stacked | None = None
    rows: dict[tuple[int, str], int] = {}
    if order is not None and not order.sound:
        notes.append("the order holds a loop or a contradiction: surfaces were not kept from crossing")
    else:
        stacked, rows = _stacked(record, bodies)
    shapes = tuple(_context(record, place, body, stacked, rows) for place, body in enumerate(bodies))
    hidden = len(whole.pointing_at(Context, "units", unit.id)) - len(bodies)
    if hidden:
        notes.append(f"{hidden} contexts are withheld; they are in no sum")
    counted = [one for one in shapes if one.volume is not None and not one.is_room and one.dug > 0]
    hole = sum(_dug(one) for one in counted)
    error = float(np.sqrt(sum((one.volume.standard_error * one.dug / 100) ** 2 for one in counted if one.volume)))
    missing = [record.label(one.context.id) for one in shapes if one.volume is None and not one.is_room and one.dug > 0]
    if missing:
        notes.append(f"not in the sum, having no volume: {', '.join(missing)}")
    plan = plan_backfill(hole, 1.96 * error, kept=kept, bulking=_spoil(counted, soil)) if counted else None
    return UnitShape(unit, shapes, _crossings(record, bodies, stacked, rows), hole, error, plan, tuple(notes))


def seen_ground(record: SiteRecord, *, restricted: bool = False) -> SiteRecord:
    """Return what of a record the ground may be modelled from: all, or nothing withheld and no neighbour that would show it."""
    if restricted:
        return record
    known = record.worked_out.get("seen ground")
    if known is None:
        known = record.worked_out["seen ground"] = record_for(record, View.CREW, also=neighbours_that_show(record))
    assert isinstance(known, SiteRecord)
    return known


def _dug(one: ContextShape) -> float:
    return 0.0 if one.volume is None else one.volume.cubic_metres * one.dug / 100


def _spoil(counted: list[ContextShape], soil: str | None) -> Bulking:
    if soil is not None:
        return bulking_of(soil)
    litres: defaultdict[str, float] = defaultdict(float)
    for one in counted:
        litres[bulking_of(one.context.texture or None).soil] += _dug(one)
    return bulking_of(max(litres, key=lambda kind: litres[kind]))


def _stacked(record: SiteRecord, bodies: tuple[UnitBody, ...]) -> tuple[Stacked | None, dict[tuple[int, str], int]]:
    """Return the surfaces kept from crossing and the row of each by body and name; None when no two have to."""
    pairs = _surface_pairs(record, bodies)
    rows: dict[tuple[int, str], int] = {}
    for pair in pairs:
        for key in pair:
            rows.setdefault(key, len(rows))
    if not rows:
        return None, rows
    surfaces = [_surface(bodies[place], name) for place, name in rows]
    grounds = [_ground(bodies[place]) for place, _ in rows]
    whole = shapely.union_all(grounds)
    cells = cells_over(whole, max(float(np.sqrt(whole.envelope.area / _CELLS)), 0.02))
    above = [(rows[upper], rows[lower]) for upper, lower in pairs]
    firm = [row for (place, name), row in rows.items() if name == "top" and bodies[place].context.kind in _FIRM]
    return keep_from_crossing(surfaces, grounds, above, cells.places, firm), rows


def _surface(body: UnitBody, name: str) -> Surface:
    found = body.top if name == "top" else body.base
    assert found is not None  # a pair is only made of surfaces that are there
    return found


def _ground(body: UnitBody) -> BaseGeometry:
    assert body.outline is not None  # a pair is only made of bodies with an outline
    return body.outline.ground


def _surface_pairs(record: SiteRecord, bodies: tuple[UnitBody, ...]) -> list[tuple[tuple[int, str], tuple[int, str]]]:
    """Return which surface must lie above which: each top above its own base, each base above the tops that it overlies."""
    placed = {body.context.id: place for place, body in enumerate(bodies) if body.outline is not None}
    below = direct_pairs(record)
    pairs = []
    for context, place in placed.items():
        body = bodies[place]
        if body.top is not None and body.base is not None and body.context.kind not in _ROOM:
            pairs.append(((place, "top"), (place, "base")))
        for under in below.get(context, []):
            other = placed.get(under)
            if other is None or bodies[other].top is None or body.base is None or not _overlap(body, bodies[other]):
                continue
            pairs.append(((place, "base"), (other, "top")))
    return pairs


def _overlap(one: UnitBody, other: UnitBody) -> bool:
    return (
        one.outline is not None and other.outline is not None and bool(shapely.intersects(one.outline.ground, other.outline.ground))
    )


def _context(
    record: SiteRecord, place: int, body: UnitBody, stacked: Stacked | None, rows: dict[tuple[int, str], int]
) -> ContextShape:
    dug = 100.0 if body.context.dug is None else float(body.context.dug)
    if body.why_no_volume or body.top is None or body.base is None or body.outline is None:
        return ContextShape(body, None, body.why_no_volume, dug, None, None, 0.0)
    moved, most = _moved(place, stacked, rows)
    volume = volume_between(body.top, body.base, body.outline, moved)
    if not volume.covered:
        return ContextShape(body, None, volume.notes[0], dug, None, None, most)
    litres = body.context.litres
    buckets = None
    if litres is not None:
        buckets = compare_buckets(volume, litres, bulking_of(body.context.texture or None), dug=dug)
    return ContextShape(body, volume, None, dug, buckets, _finds(record, body.context, volume, dug), most, moved)


def _moved(
    place: int, stacked: Stacked | None, rows: dict[tuple[int, str], int]
) -> tuple[tuple[Floats, Floats, Floats] | None, float]:
    """Return how much thicker a context became in each cell, and the most that one of its surfaces moved."""
    if stacked is None:
        return None, 0.0
    top, base = (rows.get((place, name)) for name in ("top", "base"))
    most = max([stacked.most_moved(row) for row in (top, base) if row is not None], default=0.0)
    if most < 5e-4 or top is None or base is None:
        return None, most
    before = stacked.heights[top] - stacked.moved[top] - (stacked.heights[base] - stacked.moved[base])
    thicker = stacked.heights[top] - stacked.heights[base] - np.maximum(before, 0.0)
    there = np.isfinite(thicker)
    east, north = stacked.places[:, 0], stacked.places[:, 1]
    side = min(_step(east), _step(north))
    return (stacked.places[there], np.full(int(there.sum()), side * side), thicker[there]), most


def _step(values: Floats) -> float:
    steps = np.diff(np.unique(np.round(values, 6)))
    return float(steps.min()) if steps.size else 0.0


def _finds(record: SiteRecord, context: Context, volume: Volume, dug: float) -> FindDensity | None:
    finds = [one for one in record.pointing_at(Find, "context", context.id) if (one.material or "").lower() != "human bone"]
    if not finds or not volume.cubic_metres * dug > 0 or any(one.count is None and not one.registered for one in finds):
        return None
    return find_density(sum(1 if one.count is None else one.count for one in finds), volume, dug=dug)


def _crossings(
    record: SiteRecord, bodies: tuple[UnitBody, ...], stacked: Stacked | None, rows: dict[tuple[int, str], int]
) -> tuple[str, ...]:
    if stacked is None:
        return ()
    names = [f"the {name} of {record.label(bodies[place].context.id)}" for place, name in rows]
    metres, surfaces = record.metres, [_surface(bodies[place], name) for place, name in rows]
    told = []
    for one in stacked.crossings:
        words = f"{names[one.lower]} came out up to {1000 * one.deepest:.0f} mm above {names[one.upper]}"
        moved = [f"{names[row]} moved {1000 * stacked.most_moved(row):.0f} mm" for row in (one.upper, one.lower)]
        pushed = []
        for level in one.levels[:3]:
            surface = surfaces[level.surface]
            east, north = surface.spread.places[level.level] / metres
            own = "" if level.from_own is None else f", {1000 * abs(level.from_own):.0f} mm from what its own surface expects"
            pushed.append(
                f"level {surface.levels[level.level] / metres:.3f} at {east:.2f} {north:.2f} on {names[level.surface]}{own}"
            )
        told.append(f"{words}: {'; '.join(pushed) or 'no single level pushes, only the ground between levels'}; {', '.join(moved)}")
    if stacked.unsettled:
        told.append(f"in {stacked.unsettled} cells the surfaces contradict one another and did not settle")
    return tuple(told)
