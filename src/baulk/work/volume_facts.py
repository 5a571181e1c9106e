"""The volumes of a unit as the report prints them."""

from __future__ import annotations

from baulk.report.volumes_given import BackfillFacts, VolumeFacts, VolumeLine
from baulk.work.shape import ContextShape, UnitShape

__all__ = ["volume_facts"]


def volume_facts(found: UnitShape) -> VolumeFacts:
    """Return the volumes of a unit as plain figures."""
    plan = found.backfill
    backfill = None
    if plan is not None:
        factors = plan.bulking
        backfill = BackfillFacts(plan.says, factors.soil, factors.loose, factors.compacted, factors.source)
    return VolumeFacts(tuple(_line(one) for one in found.contexts), found.hole, found.hole_error, backfill, found.notes)


def _line(one: ContextShape) -> VolumeLine:
    volume = one.volume
    if volume is None:
        return VolumeLine(one.context.id, one.is_room, None, None, None, None, one.dug, one.why_not or "")
    buckets, finds = one.buckets, one.finds
    return VolumeLine(
        one.context.id, one.is_room, volume.cubic_metres, volume.half_width, volume.mean_thickness, volume.extrapolated, one.dug,
        buckets="" if buckets is None else buckets.says, agrees=None if buckets is None else buckets.agrees,
        finds="" if finds is None else finds.says,
    )  # fmt: skip
