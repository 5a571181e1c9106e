"""The contexts of a unit as bodies: outline, top and base from what was levelled, and words on where each came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from baulk.ground.levels_of import SpotLevels, levels_of, outline_of, unit_ground
from baulk.ground.section import Body
from baulk.ground.surface import Surface, fit_surface
from baulk.ground.volume import Outlined
from baulk.record import Context, Relation, SiteRecord, Unit

__all__ = ["UnitBody", "bodies_of_unit", "direct_pairs"]


@dataclass(frozen=True, eq=False)
class UnitBody:
    """One context of a unit.

    Parameters
    ----------
    context : Context
        The record.
    outline : Outlined or None
        Extent inside the unit, with its edges; None when it is not drawn, or not in this unit.
    top, base : Surface or None
        None when there is nothing to take it from.
    top_from, base_from : str
        Whose levels, and what the model makes of them; or what is missing.
    top_levels, base_levels : tuple of str
        Ids of the levels that they were fitted to.
    """

    context: Context
    outline: Outlined | None
    top: Surface | None
    base: Surface | None
    top_from: str
    base_from: str
    top_levels: tuple[str, ...] = ()
    base_levels: tuple[str, ...] = ()

    @property
    def why_no_volume(self) -> str | None:
        """What is missing for a volume; None when nothing is."""
        if self.outline is None:
            return "no outline is drawn in this unit"
        if self.top is None:
            return self.top_from
        return self.base_from if self.base is None else None

    def as_body(self) -> Body | None:
        """Return it for a section; None without an outline or any surface."""
        if self.outline is None or (self.top is None and self.base is None):
            return None
        return Body(self.context.id, self.top, self.base, self.outline.ground)


def direct_pairs(record: SiteRecord) -> dict[str, list[str]]:
    """Return for each context those that it directly overlies, cuts left out on both sides: only these must lie below it."""
    cuts = {context.id for context in record.all(Context) if context.kind in ("cut", "disturbance")}
    found: dict[str, list[str]] = {}
    for relation in record.all(Relation):
        if relation.how == "overlies" and relation.later not in cuts and relation.earlier not in cuts:
            below = found.setdefault(relation.later, [])
            if relation.earlier not in below:
                below.append(relation.earlier)
    return found


def bodies_of_unit(record: SiteRecord, unit: Unit, withheld: frozenset[str] = frozenset()) -> tuple[UnitBody, ...]:
    """Return the contexts of a unit as bodies, in natural order of number.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    unit : Unit
        The unit.
    withheld : frozenset of str
        Ids of contexts to leave out.
    """
    ground = unit_ground(record, unit)
    over = direct_pairs(record)
    under: dict[str, list[str]] = {}
    for later, earlier in over.items():
        for one in earlier:
            under.setdefault(one, []).append(later)
    contexts = [one for one in record.pointing_at(Context, "units", unit.id) if one.id not in withheld]
    return tuple(_body(record, context, ground, over.get(context.id, []), under.get(context.id, [])) for context in contexts)


def _body(record: SiteRecord, context: Context, ground: BaseGeometry | None, below: list[str], above: list[str]) -> UnitBody:
    outline = _inside(outline_of(record, context.id), ground)
    area = None if outline is None else outline.ground
    top, top_from, top_levels = _surface(_tops(record, context, above), area, "top")
    base, base_from, base_levels = _surface(_bases(record, context, below), area, "base")
    return UnitBody(context, outline, top, base, top_from, base_from, top_levels, base_levels)


def _inside(outline: Outlined | None, ground: BaseGeometry | None) -> Outlined | None:
    if outline is None or ground is None or shapely.covers(ground, outline.ground):
        return outline
    part = shapely.intersection(outline.ground, ground)
    parts = [one for one in shapely.get_parts(part).tolist() if one.geom_type == "Polygon"]
    return Outlined(shapely.union_all(parts), outline.edges) if parts else None


_Sources = Iterator[tuple[str, SpotLevels]]


def _tops(record: SiteRecord, context: Context, above: list[str]) -> _Sources:
    yield "its own levels", levels_of(record, context.id, "top")
    yield "the bases of what lies on it", _pooled(record, above, "base")


def _bases(record: SiteRecord, context: Context, below: list[str]) -> _Sources:
    yield "its own levels", levels_of(record, context.id, "base")
    if context.fill_of:
        yield f"the base of cut {record.label(context.fill_of)}", levels_of(record, context.fill_of, "base")
    yield "the tops of what it lies on", _pooled(record, below, "top")


def _pooled(record: SiteRecord, contexts: Iterable[str], surface: str) -> SpotLevels:
    found = [levels_of(record, context, surface) for context in contexts]
    return SpotLevels(
        np.vstack([np.zeros((0, 2)), *(one.points for one in found)]),
        np.concatenate([np.zeros(0), *(one.levels for one in found)]),
        tuple(identity for one in found for identity in one.ids),
        tuple(identity for one in found for identity in one.set_aside),
    )


def _surface(sources: _Sources, outline: BaseGeometry | None, name: str) -> tuple[Surface | None, str, tuple[str, ...]]:
    aside = 0
    for whose, spots in sources:
        aside += len(spots.set_aside)
        if len(spots):
            surface = fit_surface(spots.points, spots.levels, outline)
            lost = f"; {aside} levels without a place or a height are not used" if aside else ""
            return surface, f"{whose}: {surface.says}{lost}", spots.ids
    lost = f" that can be used ({aside} lack a place or a height)" if aside else ""
    return None, f"no level on its {name}{lost}, nor on what it meets there", ()
