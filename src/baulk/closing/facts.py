"""What the closing rules read: the records of each unit, grouped once for the whole site."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from baulk.closing.levels_book import CheckedRun, check_run, reduced_levels
from baulk.closing.limits import HOUSE_LIMITS, Limits
from baulk.closing.order_facts import OrderFacts
from baulk.closing.rule import Verdict
from baulk.record import (
    Backfill,
    Burial,
    Context,
    DayEntry,
    Drawing,
    Entity,
    Find,
    Level,
    LevelRun,
    Outline,
    Photo,
    Relation,
    Sample,
    SiteRecord,
    Unit,
    Wall,
    WallOutline,
)
from baulk.sequence.cuts_and_fills import fills_of_cut
from baulk.sequence.level_pairs import surface_levels
from baulk.sequence.order import Order
from baulk.sequence.plan_pairs import plan_shape

__all__ = ["PLANS", "SiteFacts", "UnitFacts"]

PLANS = ("plan", "base plan", "day plan")
"""Kinds of drawing that count as plans."""

E = TypeVar("E", bound=Entity)


@dataclass(frozen=True, eq=False)
class SiteFacts:
    """What is found out once for all units.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    limits : Limits
        The figures of the jurisdiction profile.
    verdicts : dict
        Verdicts of the rules that ask the whole site, by rule id, filled in as they are asked.
    given_order : Order, optional
        The order of the record, when it is worked out already.
    """

    record: SiteRecord
    limits: Limits = HOUSE_LIMITS
    verdicts: dict[str, Verdict] = field(default_factory=dict)
    given_order: Order | None = None

    @cached_property
    def order(self) -> OrderFacts:
        """What the relations say, over the whole site."""
        return OrderFacts.of(self.record, self.given_order)

    @cached_property
    def areas(self) -> Mapping[str, BaseGeometry]:
        """The area of each unit whose corners are known and enclose ground, by unit id, in the site's own quantity."""
        drawn = {unit.id: shapely.make_valid(Polygon(unit.corners)) for unit in self.record.all(Unit) if unit.corners}
        return {unit: area for unit, area in drawn.items() if area.area > 0}

    @cached_property
    def drawings_of(self) -> Mapping[str, tuple[Drawing, ...]]:
        """Drawings of each unit: those that name it or one of its walls, else those of its contexts; "" = of no unit."""
        walls = {wall.id: wall.unit for wall in self.record.all(Wall)}
        return self._by_unit(
            (drawing, drawing.unit or walls.get(drawing.wall or ""), drawing.contexts) for drawing in self.record.all(Drawing)
        )

    @cached_property
    def photos_of(self) -> Mapping[str, tuple[Photo, ...]]:
        """Photos of each unit: those that name it, else those of its contexts; "" = of no unit."""
        return self._by_unit((photo, photo.unit, photo.contexts) for photo in self.record.all(Photo))

    @cached_property
    def checked_runs(self) -> Mapping[str, CheckedRun]:
        """Each levels run, reduced and closed, by its id."""
        return {run.id: check_run(self.record, run) for run in self.record.all(LevelRun)}

    @cached_property
    def runs_by_day(self) -> Mapping[str, tuple[LevelRun, ...]]:
        """The levels runs of each day."""
        held: dict[str, list[LevelRun]] = {}
        for run in self.record.all(LevelRun):
            held.setdefault(run.day or "", []).append(run)
        return {day: tuple(runs) for day, runs in held.items()}

    @cached_property
    def reduced(self) -> Mapping[str, float]:
        """The level in metres that each line of the levels book reduces to, by the line's id."""
        return reduced_levels(self.checked_runs)

    @cached_property
    def overlain(self) -> Mapping[str, tuple[str, ...]]:
        """The contexts that each context is recorded as overlying."""
        held: dict[str, list[str]] = {}
        for relation in self.record.all(Relation):
            if relation.how == "overlies":
                held.setdefault(relation.later, []).append(relation.earlier)
        return {later: tuple(dict.fromkeys(earlier)) for later, earlier in held.items()}

    @cached_property
    def overlain_by(self) -> Mapping[str, tuple[str, ...]]:
        """The contexts that are recorded as overlying each context."""
        held: dict[str, list[str]] = {}
        for later, below in self.overlain.items():
            for earlier in below:
                held.setdefault(earlier, []).append(later)
        return {earlier: tuple(later) for earlier, later in held.items()}

    @cached_property
    def latest_finds(self) -> Mapping[str, int]:
        """For each context the latest of the years from which its finds were made."""
        held: dict[str, int] = {}
        for find in self.record.all(Find):
            if find.begin is not None and find.context is not None and self.order.knows(find.context):
                held[find.context] = max(held.get(find.context, find.begin), find.begin)
        return held

    @cached_property
    def latest_below(self) -> Mapping[str, tuple[int, str]]:
        """For each context the latest such year of any context below it, and that context."""
        return self.order.highest_below(self.latest_finds)

    def _by_unit(self, placed: Iterable[tuple[E, str | None, tuple[str, ...] | None]]) -> dict[str, tuple[E, ...]]:
        held: dict[str, list[E]] = {}
        for entity, unit, contexts in placed:
            for place in {unit} if unit else self.units_of(contexts or ()) or {""}:
                held.setdefault(place, []).append(entity)
        return {unit: tuple(found) for unit, found in held.items()}

    def units_of(self, contexts: Iterable[str]) -> set[str]:
        """Return the units in which the contexts were seen."""
        found = (self.record.get(Context, context) for context in contexts)
        return {unit for context in found if context for unit in context.units or ()}

    @cached_property
    def burials_of(self) -> Mapping[str, tuple[Burial, ...]]:
        """Possible burials of each unit, by their contexts or their place.

        Under "" stand those that give neither; under "outside" those that lie in no unit whose corners are known.
        """
        ids, shapes = list(self.areas), list(self.areas.values())
        tree = shapely.STRtree(shapes)
        held: dict[str, list[Burial]] = {}
        for burial in self.record.all(Burial):
            units = self.units_of(burial.contexts or ())
            if burial.ring:
                units |= {
                    ids[place] for place in tree.query(shapely.make_valid(Polygon(burial.ring)), predicate="intersects").tolist()
                }
            for unit in units or {"outside" if burial.ring else ""}:
                held.setdefault(unit, []).append(burial)
        return {unit: tuple(found) for unit, found in held.items()}


@dataclass(frozen=True, eq=False)
class UnitFacts:
    """The records of one unit; void records are left out.

    Parameters
    ----------
    site : SiteFacts
        What is found out once for all units.
    unit : Unit
        The unit.
    """

    site: SiteFacts
    unit: Unit

    @property
    def record(self) -> SiteRecord:
        """The whole record."""
        return self.site.record

    @property
    def limits(self) -> Limits:
        """The figures of the jurisdiction profile."""
        return self.site.limits

    @property
    def order(self) -> OrderFacts:
        """What the relations say, over the whole site."""
        return self.site.order

    @property
    def metres(self) -> float:
        """How many metres one of the site's own lengths is."""
        return self.record.metres

    @property
    def area(self) -> BaseGeometry | None:
        """The unit in plan, in the site's own quantity; None when its corners are blank or enclose no ground."""
        return self.site.areas.get(self.unit.id)

    @cached_property
    def contexts(self) -> tuple[Context, ...]:
        """Contexts seen in the unit."""
        return self.record.pointing_at(Context, "units", self.unit.id)

    @cached_property
    def context_ids(self) -> frozenset[str]:
        """Ids of those contexts."""
        return frozenset(context.id for context in self.contexts)

    @cached_property
    def in_burials(self) -> frozenset[str]:
        """Contexts of possible burials: no rule asks for what only digging them would show."""
        return frozenset(context for burial in self.burials for context in burial.contexts or ())

    def left_undug(self, context: Context) -> bool:
        """Tell whether a context stays in the ground as it was found."""
        return context.dug == 0 or context.section_share == "not dug" or context.id in self.in_burials

    def of_kind(self, *kinds: str) -> tuple[Context, ...]:
        """Return the contexts of these kinds, and those whose kind is blank: of these nobody can tell."""
        return tuple(context for context in self.contexts if context.kind is None or context.kind in kinds)

    @cached_property
    def relations(self) -> tuple[Relation, ...]:
        """Relations of the unit's contexts, each once."""
        held = {
            relation.id: relation
            for context in self.contexts
            for side in ("later", "earlier")
            for relation in self.record.pointing_at(Relation, side, context.id)
        }
        return tuple(held.values())

    def levels(self, context: str, surface: str | None = None) -> tuple[Level, ...]:
        """Return the levels of a context that have a value; those of one surface when it is named."""
        return surface_levels(self.record, context, surface)

    def outlines(self, context: str) -> tuple[Outline, ...]:
        """Return the outlines of a context of the unit; none when they enclose no ground."""
        return self._drawn(context) if context in self.plan_shapes else ()

    def _drawn(self, context: str) -> tuple[Outline, ...]:
        return tuple(outline for outline in self.record.pointing_at(Outline, "context", context) if outline.ring)

    @cached_property
    def plan_shapes(self) -> Mapping[str, BaseGeometry]:
        """The extent in plan of each context that is drawn, in the site's own quantity."""
        shapes = ((context.id, plan_shape(self._drawn(context.id))) for context in self.contexts)
        return {context: shape for context, shape in shapes if shape is not None}

    @cached_property
    def walls(self) -> tuple[Wall, ...]:
        """Walls of the unit that are on record."""
        return self.record.pointing_at(Wall, "unit", self.unit.id)

    def on_wall(self, wall: str) -> tuple[WallOutline, ...]:
        """Return the shapes drawn on a wall."""
        return self.record.pointing_at(WallOutline, "wall", wall)

    @property
    def drawings(self) -> tuple[Drawing, ...]:
        """Drawings of the unit."""
        return self.site.drawings_of.get(self.unit.id, ())

    @property
    def plans(self) -> tuple[Drawing, ...]:
        """Plans of the unit, and drawings whose kind is blank."""
        return tuple(drawing for drawing in self.drawings if drawing.kind is None or drawing.kind in PLANS)

    @property
    def photos(self) -> tuple[Photo, ...]:
        """Photos of the unit."""
        return self.site.photos_of.get(self.unit.id, ())

    @cached_property
    def finds(self) -> tuple[Find, ...]:
        """Finds from the unit's contexts."""
        return tuple(find for context in self.contexts for find in self.record.pointing_at(Find, "context", context.id))

    @cached_property
    def samples(self) -> tuple[Sample, ...]:
        """Samples from the unit's contexts."""
        return tuple(sample for context in self.contexts for sample in self.record.pointing_at(Sample, "context", context.id))

    def fills(self, cut: str) -> tuple[str, ...]:
        """Return ids of the contexts recorded as filling a cut, on their own sheets or by a relation."""
        return fills_of_cut(self.record, cut)

    @property
    def backfill(self) -> Backfill | None:
        """The last record of filling the unit in."""
        found = self.record.pointing_at(Backfill, "unit", self.unit.id)
        return found[-1] if found else None

    @cached_property
    def days(self) -> tuple[DayEntry, ...]:
        """Diary days of the unit, in order of date."""
        return tuple(sorted(self.record.pointing_at(DayEntry, "unit", self.unit.id), key=lambda entry: entry.day or ""))

    @property
    def burials(self) -> tuple[Burial, ...]:
        """Possible burials of the unit, and those of which nobody can tell that they do not lie in it."""
        held = self.site.burials_of
        unplaced = held.get("outside", ()) if self.area is None else ()
        return held.get(self.unit.id, ()) + held.get("", ()) + unplaced

    def label(self, identity: str | None) -> str:
        """Return what a person calls a record."""
        return self.record.label(identity)
