"""`baulk shape`: volumes, thickness, buckets and backfill of a unit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from baulk.cli.options import as_json, emit, restricted_option, site_argument
from baulk.ground.backfill import BackfillPlan
from baulk.record import SiteRecord, Unit
from baulk.store import open_site
from baulk.work.order import site_order
from baulk.work.shape import ContextShape, UnitShape, unit_volumes
from baulk.work.unit_sections import FaceSection, unit_sections

__all__ = ["shape"]


@click.command()
@site_argument
@click.argument("unit")
@click.option("--kept", type=float, default=0.0, help="Cubic metres, as they lay in the ground, that do not go back in.")
@click.option("--soil", default=None, help="Kind of soil of the spoil, or its texture; the commonest when not given.")
@click.option("--walls", is_flag=True, help="Hold the modelled faces beside the drawn walls and the relations.")
@restricted_option
@as_json
def shape(site: Path, unit: str, kept: float, soil: str | None, walls: bool, restricted: bool, json_out: bool) -> None:
    """Work out the volumes of UNIT with their errors, hold the buckets beside them, and plan its filling in."""
    with open_site(site, read_only=True) as store:
        record = store.record()
    entity = record.numbered(Unit, unit)
    order = site_order(record)
    found = unit_volumes(record, entity.id, order, kept=kept, soil=soil, restricted=restricted)
    faces = unit_sections(record, entity.id, order, restricted=restricted) if walls or json_out else ()
    answer = _answer(record, found)
    answer["walls"] = [_face(record, face) for face in faces]
    words = _words(record, found)
    if walls:
        words += [line for face in faces for line in _face_words(record, face)]
    emit(answer, "\n".join(words), json_out=json_out)


def _answer(record: SiteRecord, found: UnitShape) -> dict[str, Any]:
    return {
        "unit": record.label(found.unit.id),
        "hole_m3": found.hole,
        "hole_standard_error_m3": found.hole_error,
        "contexts": [_context(record, one) for one in found.contexts],
        "crossings": list(found.crossings),
        "backfill": None if found.backfill is None else _backfill(found.backfill),
        "notes": list(found.notes),
    }


def _context(record: SiteRecord, one: ContextShape) -> dict[str, Any]:
    volume = one.volume
    said: dict[str, Any] = {
        "context": record.label(one.context.id), "kind": one.context.kind, "room": one.is_room, "dug": one.dug,
        "top_from": one.body.top_from, "base_from": one.body.base_from, "moved_mm": 1000 * one.moved, "why_not": one.why_not,
    }  # fmt: skip
    if volume is not None:
        low, high = volume.interval
        said |= {
            "litres": volume.litres, "standard_error_litres": 1000 * volume.standard_error,
            "interval_litres": [1000 * low, 1000 * high], "mean_thickness_m": volume.mean_thickness, "area_m2": volume.area,
            "covered": volume.covered, "extrapolated": volume.extrapolated, "notes": list(volume.notes),
            "error_from": {cause: 1000 * variance**0.5 for cause, variance in volume.parts.items()},
        }  # fmt: skip
    if one.buckets is not None:
        said["buckets"] = {
            "litres": one.buckets.litres, "expected": list(one.buckets.expected), "agrees": one.buckets.agrees,
            "says": one.buckets.says,
        }  # fmt: skip
    if one.finds is not None:
        said["finds_m3"] = {
            "density": one.finds.per_cubic_metre,
            "low": one.finds.low,
            "high": one.finds.high,
            "says": one.finds.says,
        }
    return said


def _backfill(plan: BackfillPlan) -> dict[str, Any]:
    return {
        "hole_m3": list(plan.hole), "loose_m3": list(plan.loose), "fills_m3": list(plan.fills), "bring_loose_m3": list(plan.bring),
        "left_over_m3": list(plan.left_over), "soil": plan.bulking.soil, "loose_factor": list(plan.bulking.loose),
        "compacted_factor": list(plan.bulking.compacted), "source": plan.bulking.source, "says": plan.says,
    }  # fmt: skip


def _face(record: SiteRecord, face: FaceSection) -> dict[str, Any]:
    return {
        "face": face.face.name,
        "wall": face.wall,
        "differences": [
            {
                "context": record.label(one.context), "surface": one.surface, "mean_mm": one.mean, "largest_mm": one.largest,
                "at_m": one.at, "beyond_error": one.beyond_error,
            }
            for one in face.differences
        ],
        "contacts": [
            {
                "later": record.label(one.contact.later), "earlier": record.label(one.contact.earlier),
                "metres": one.contact.metres,
                "gap_mm": 1000 * one.contact.gap, "verdict": one.verdict, "says": one.says,
            }
            for one in face.contacts
        ],
    }  # fmt: skip


def _words(record: SiteRecord, found: UnitShape) -> list[str]:
    lines = [f"Unit {record.label(found.unit.id)}: dug {found.hole:.2f} m³ (standard error {found.hole_error:.2f})."]
    for one in found.contexts:
        name = f"{record.label(one.context.id)} {one.context.kind or ''}".strip()
        if one.volume is None:
            lines.append(f"  {name}: no volume: {one.why_not}")
            continue
        low, high = one.volume.interval
        room = " of room" if one.is_room else ""
        lines.append(
            f"  {name}: {one.volume.litres:.0f} litres{room} ({1000 * low:.0f} to {1000 * high:.0f}), "
            f"{1000 * one.volume.mean_thickness:.0f} mm thick on average"
        )
        lines += [f"      {note}" for note in one.volume.notes]
        lines += [f"      buckets: {one.buckets.says}"] if one.buckets else []
        lines += [f"      finds: {one.finds.says}"] if one.finds else []
    lines += [f"Crossing: {words}" for words in found.crossings]
    if found.backfill is not None:
        lines += [found.backfill.says, f"  factors: {found.backfill.bulking.source}"]
    return [*lines, *found.notes]


def _face_words(record: SiteRecord, face: FaceSection) -> list[str]:
    lines = [f"{face.face.name.capitalize()} face" + (f", wall {face.wall}:" if face.wall else ", not drawn:")]
    lines += [
        f"  the {one.surface} of {record.label(one.context)} is drawn {one.mean:+.0f} mm from the model on average, "
        f"{one.largest:+.0f} mm at {one.at:.2f} m"
        for one in face.differences
    ]
    return [*lines, *(f"  {one.says}" for one in face.contacts if one.verdict in ("missing", "against"))]
