"""Sheets of the modelled ground by name: the thickness of a context, and the model behind a drawn wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from threading import RLock

import numpy as np
import shapely
from scipy.spatial import cKDTree

from baulk.drawing import Scene
from baulk.drawing.modelled_wall import ModelledFace, modelled_wall_drawing
from baulk.drawing.paper import round_step
from baulk.drawing.thickness import Thickness, thickness_drawing
from baulk.errors import InputError, UnknownRecord
from baulk.ground.section import Section
from baulk.ground.thickness import ThicknessMap, thickness_map
from baulk.record import Context, Level, Outline, SiteRecord, Unit, View, Wall, WallOutline, withheld_contexts
from baulk.work.bodies import direct_pairs
from baulk.work.order import SiteOrder
from baulk.work.shape import ContextShape, UnitShape, seen_ground, unit_volumes
from baulk.work.unit_sections import FaceSection, unit_sections

__all__ = ["GroundSheets"]

_CELLS = 40
_FINEST = 0.005


@dataclass(eq=False)
class GroundSheets:
    """The sheets of the modelled ground of one record, each unit modelled once for each kind of viewer.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    order : SiteOrder
        Its order.
    """

    record: SiteRecord
    order: SiteOrder
    _shapes: dict[tuple[str, bool], UnitShape] = field(default_factory=dict)
    _faces: dict[tuple[str, bool], tuple[FaceSection, ...]] = field(default_factory=dict)
    _lock: RLock = field(default_factory=RLock)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Names of the sheets that everyone on the crew may see: ``thickness-102``, ``modelled-W1``.

        Notes
        -----
        Listed is each context with an outline and levels for top and base; that its volume can be told is worked out when asked.
        """
        seen = seen_ground(self.record)
        hidden = withheld_contexts(self.record)
        ready = _Ready(seen)
        contexts = [one for one in seen.all(Context) if one.id not in hidden and one.units and ready.has_volume(one)]
        walls = [one for one in seen.all(Wall) if _is_comparable(seen, one)]
        return (
            *(f"thickness-{one.number or one.id}" for one in contexts),
            *(f"modelled-{one.number or one.id}" for one in walls),
        )

    @cached_property
    def solid_units(self) -> tuple[Unit, ...]:
        """The units of which the crew may see a solid: some context in it has an outline and levels for top and base."""
        seen = seen_ground(self.record)
        hidden, ready = withheld_contexts(self.record), _Ready(seen)
        held = {unit for one in seen.all(Context) if one.id not in hidden and ready.has_volume(one) for unit in one.units or ()}
        return tuple(unit for unit in self.record.all(Unit) if unit.id in held)

    def shape(self, unit_id: str, *, restricted: bool = False) -> UnitShape:
        """Return the volumes of a unit, worked out once.

        Raises
        ------
        UnknownRecord
            When there is no such unit.
        """
        with self._lock:
            key = (unit_id, restricted)
            if key not in self._shapes:
                self._shapes[key] = unit_volumes(self.record, unit_id, self.order, restricted=restricted)
            return self._shapes[key]

    def faces(self, unit_id: str, *, restricted: bool = False) -> tuple[FaceSection, ...]:
        """Return the modelled faces of a unit, worked out once.

        Raises
        ------
        UnknownRecord
            When there is no such unit.
        InputError
            When its corners are not on record.
        """
        with self._lock:
            key = (unit_id, restricted)
            if key not in self._faces:
                self._faces[key] = unit_sections(self.record, unit_id, self.order, restricted=restricted)
            return self._faces[key]

    def scene(self, name: str, view: View = View.CREW, *, scale: float | None = None) -> Scene:
        """Return a sheet by its name.

        Raises
        ------
        UnknownRecord
            When there is no such context, wall or sheet.
        InputError
            When it is withheld, or what it would show is not on record.
        """
        kind, _, number = name.partition("-")
        if kind == "thickness":
            found = self._thickness(
                (self.record.get(Context, number) or self.record.numbered(Context, number)).id, restricted=view is View.RESTRICTED
            )
            return thickness_drawing(self.record, found, scale=scale or 20, public=view is View.PUBLIC)
        if kind == "modelled":
            face = self._face(
                self.record.get(Wall, number) or self.record.numbered(Wall, number), restricted=view is View.RESTRICTED
            )
            return modelled_wall_drawing(self.record, face, scale=scale or 10, public=view is View.PUBLIC)
        raise UnknownRecord("drawing", name, list(self.names))

    def _thickness(self, context_id: str, *, restricted: bool) -> Thickness:
        label = self.record.label(context_id)
        if not restricted and context_id in withheld_contexts(self.record):
            raise InputError(f"The shape of context {label} is withheld. Ask for it as restricted if you may know of burials.")
        context = self.record.get(Context, context_id)
        why = "it is in no unit"
        for unit_id in (context.units or ()) if context else ():
            shapes = self.shape(unit_id, restricted=restricted).contexts
            one = next((found for found in shapes if found.context.id == context_id), None)
            if one is not None and one.body.why_no_volume is None:
                held = restricted and context_id in withheld_contexts(self.record)
                return _thickness_of(seen_ground(self.record, restricted=restricted), unit_id, one, held=held)
            why = why if one is None else one.why_not or why
        raise InputError(f"Context {label} has no thickness to draw: {why}. Enter its outline and levels on its top and base.")

    def _face(self, wall: Wall, *, restricted: bool) -> ModelledFace:
        number = wall.number or wall.id
        if self.record.get(Unit, wall.unit) is None:
            raise InputError(
                f"Wall {number} names no unit that is on record, so there is no model to hold it against. Enter its unit."
            )
        found = next((one for one in self.faces(wall.unit, restricted=restricted) if one.wall == number), None)
        seen = seen_ground(self.record, restricted=restricted)
        if found is None or not _is_comparable(seen, wall):
            raise InputError(
                f"Wall {number} cannot be held against the model: its face is not one of the unit's, or nothing drawn on it "
                "is shown. Enter which face it is, and what it shows as outlines of contexts."
            )
        outlines = tuple(one for one in seen.pointing_at(WallOutline, "wall", wall.id) if one.ring and one.context)
        hidden = withheld_contexts(self.record)
        shown = {*_on_line(found.section), *(one.context for one in outlines)}
        held = restricted and not hidden.isdisjoint(shown)
        latest = {identity: place for place, identity in enumerate(self.order.latest_first)}
        painted = tuple(sorted(found.section.contexts, key=lambda one: -latest.get(one, 0)))
        return ModelledFace(wall, found.section, found.differences, outlines, painted, held)


def _on_line(section: Section) -> Iterator[str]:
    """Yield the contexts that a section has a height of."""
    for row, context in enumerate(section.contexts):
        if np.isfinite(section.top[row]).any() or np.isfinite(section.base[row]).any():
            yield context


def _is_comparable(record: SiteRecord, wall: Wall) -> bool:
    return bool(wall.face and wall.unit) and any(
        one.ring and one.context for one in record.pointing_at(WallOutline, "wall", wall.id)
    )


class _Ready:
    """Which contexts have what a volume takes, told without fitting anything."""

    def __init__(self, record: SiteRecord) -> None:
        self.record = record
        self.below = direct_pairs(record)
        self.above: dict[str, list[str]] = {}
        for later, earlier in self.below.items():
            for one in earlier:
                self.above.setdefault(one, []).append(later)
        self.levelled = {
            (level.context, level.surface or "top")
            for level in record.all(Level)
            if level.level is not None and level.easting is not None and level.northing is not None
        }

    def has_volume(self, context: Context) -> bool:
        """Tell whether a context has an outline, and levels that its top and its base can be taken from."""
        if not any(one.ring for one in self.record.pointing_at(Outline, "context", context.id)):
            return False
        tops = [(context.id, "top"), *((one, "base") for one in self.above.get(context.id, ()))]
        bases = [(context.id, "base"), (context.fill_of, "base"), *((one, "top") for one in self.below.get(context.id, ()))]
        return any(one in self.levelled for one in tops) and any(one in self.levelled for one in bases)


def _thickness_of(record: SiteRecord, unit_id: str, one: ContextShape, *, held: bool) -> Thickness:
    top, base, outline = one.body.top, one.body.base, one.body.outline
    assert top is not None  # what is missing is told by `why_no_volume` before
    assert base is not None
    assert outline is not None
    west, south, east, north = outline.ground.bounds
    size = max(round_step(max(east - west, north - south), _CELLS), _FINEST)
    found = _kept_apart(thickness_map(top, base, shapely.buffer(outline.ground, 1.5 * size), size), one)
    known = dict.fromkeys((*one.body.top_levels, *one.body.base_levels))
    levels = tuple(level for identity in known if (level := record.get(Level, identity)))
    says = [f"Top from {one.body.top_from}.", f"Base from {one.body.base_from}."]
    if one.moved >= 0.0005:
        says.append(f"To keep surfaces from crossing, its top or base was moved by up to {1000 * one.moved:.0f} mm.")
    return Thickness(one.context.id, unit_id, outline.ground, found, one.volume, levels, tuple(says), held)


def _kept_apart(found: ThicknessMap, one: ContextShape) -> ThicknessMap:
    """Return a thickness with what keeping the surfaces from crossing added or took, that of the nearest place."""
    if one.thicker is None or not len(one.thicker[0]):
        return found
    places, areas, thicker = one.thicker
    far, nearest = cKDTree(places).query(found.cells.places)
    near = far <= float(np.sqrt(areas.max())) + found.cells.size
    added = np.where(near, thicker[nearest], 0.0).reshape(found.thickness.shape)
    return ThicknessMap(found.cells, np.maximum(found.thickness + added, 0.0), found.deviation, found.extrapolated)
