"""Which contexts a plan of a unit shows, so that what lies under spread layers is seen."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import Polygon
from shapely.ops import unary_union

from baulk.record import Context, Outline, SiteRecord, Unit

__all__ = ["SPREAD", "features_of"]

SPREAD = 0.8
"""A deposit that covers more than this share of the unit is spread over it: a house setting; common practice, no source."""


def features_of(record: SiteRecord, unit: Unit, latest_first: Sequence[str]) -> tuple[str, ...]:
    """Return the unit's contexts that have an outline, without the spread deposits that lie over others.

    The earliest spread deposit stays, as the ground that the features stand on, and so does every spread one below it.

    Parameters
    ----------
    record : SiteRecord
        The record.
    unit : Unit
        The unit.
    latest_first : sequence of str
        Ids of contexts, latest first.
    """
    drawn = [
        context for identity in latest_first if (context := record.get(Context, identity)) and unit.id in (context.units or ())
    ]
    rings = {context.id: _area(record, context) for context in drawn}
    drawn = [context for context in drawn if rings[context.id] is not None]
    whole = Polygon(unit.corners).area if unit.corners else 0.0
    spread = [
        context.id for context in drawn if context.kind == "deposit" and whole and (rings[context.id] or 0.0) > SPREAD * whole
    ]
    return tuple(context.id for context in drawn if context.id not in spread[:-1])


def _area(record: SiteRecord, context: Context) -> float | None:
    shapes = [Polygon(outline.ring).buffer(0) for outline in record.pointing_at(Outline, "context", context.id) if outline.ring]
    return float(unary_union(shapes).area) if shapes else None
