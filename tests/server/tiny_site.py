"""A small invented site, complete enough for every route, with a possible burial whose words must never leave the server."""

from __future__ import annotations

import io
from collections.abc import Sequence
from hashlib import sha256
from typing import Any

from PIL import Image

from baulk.record import (
    Burial,
    Context,
    Difference,
    Entity,
    Find,
    FollowUp,
    Level,
    Notice,
    Outline,
    Photo,
    Relation,
    Site,
    SiteRecord,
    Unit,
    Wall,
    WallOutline,
    build,
)
from baulk.record.fold import Write

SECRET = "wrapped in a shroud of sailcloth"
"""Words that stand in restricted records only."""


def _picture(colour: str) -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (2, 2), colour).save(held, "PNG")
    return held.getvalue()


PICTURE = _picture("green")
SECRET_PICTURE = _picture("black")


def tiny_record(more: Sequence[Entity] = ()) -> SiteRecord:
    """Return the record of the small site: one unit, six contexts, one of which belongs to a possible burial."""
    entities = [*_ground(), *_registers(), *_restricted(), *more]
    writes = tuple(Write(f"change-{each}", "", each, each, words) for each, words in (("TB", "brown"), ("AK", "grey")))
    return SiteRecord.of(entities, [Difference("context", "c-105", "description", writes)], revision=42)


def _ground() -> list[Entity]:
    unit_corners = [[112, 204], [114, 204], [114, 206], [112, 206]]
    made: list[Entity] = [
        build(Site, {"id": "site-1", "code": "OTW26", "name": "Otter Weir (invented)", "invented": True, "length_unit": "m"}),
        build(
            Unit, {"id": "unit-1", "number": "1", "corners": unit_corners, "opened": "2026-05-11", "reason": "A culvert fell in."}
        ),
        build(Wall, {"id": "wall-1", "number": "1", "unit": "unit-1", "face": "east", "ends": [[114, 206], [114, 204]]}),
    ]
    said: list[dict[str, Any]] = [
        {"number": "101", "kind": "deposit", "title": "Turf and cinders", "colour_moist": "10YR 2/1", "thickness_max": 0.12},
        {
            "number": "105",
            "kind": "fill",
            "title": "Pit fill",
            "description": "Grey ash with glass waste.",
            "colour_moist": "2.5Y 5/1",
            "fill_of": "c-106",
            "recorded_by": "TB",
            "absences": {"boundary": "not visible"},
        },
        {"number": "106", "kind": "cut", "title": "Pit", "plan_shape": "circular", "depth": 0.45},
        {"number": "110", "kind": "structure", "title": "Setts on edge", "material": "stone"},
        {"number": "114", "kind": "cut", "title": SECRET, "description": SECRET},
        {"number": "120", "kind": "deposit", "title": "River gravel", "natural": True, "void": "given twice"},
    ]
    made += [build(Context, {"id": f"c-{one['number']}", "units": ["unit-1"], **one}) for one in said]
    pairs = [
        ("101", "105", "overlies"),
        ("105", "106", "fills"),
        ("106", "110", "cuts"),
        ("106", "110", "cuts"),
        ("101", "114", "overlies"),
    ]
    made += [
        build(Relation, {"id": f"r-{row}", "later": f"c-{above}", "earlier": f"c-{below}", "how": how, "certainty": "firm"})
        for row, (above, below, how) in enumerate(pairs)
    ]
    return made


def _registers() -> list[Entity]:
    ring = [[112, 204], [113, 204], [113, 205]]
    return [
        build(Level, {"id": "l-1", "context": "c-105", "easting": 112.5, "northing": 204.5, "level": 29.41}),
        build(Outline, {"id": "o-1", "context": "c-105", "ring": ring}),
        build(WallOutline, {"id": "w-1", "wall": "wall-1", "context": "c-105", "ring": ring}),
        build(Find, {"id": "f-1", "number": "12", "context": "c-105", "material": "glass", "object": "Bottle neck", "count": 3}),
        build(
            Photo,
            {
                "id": "p-1",
                "number": "P1",
                "file": sha256(PICTURE).hexdigest(),
                "subject": "Pit half dug",
                "contexts": ["c-106"],
                "unit": "unit-1",
            },
        ),
        build(
            FollowUp,
            {"id": "q-1", "number": "Q1", "unit": "unit-1", "contexts": ["c-110"], "asks": "Round what do the setts swing?"},
        ),
    ]


def _restricted() -> list[Entity]:
    return [
        build(Burial, {"id": "burial-1", "number": "G1", "contexts": ["c-114"], "evidence": SECRET}),
        build(Notice, {"id": "notice-1", "burial": "burial-1", "to": SECRET}),
        build(Level, {"id": "l-secret", "context": "c-114", "level": 28.765, "notes": SECRET}),
        build(Find, {"id": "f-secret", "number": "13", "context": "c-114", "object": SECRET}),
        build(Find, {"id": "f-bone", "number": "14", "context": "c-105", "material": "human bone", "object": "Bone, withheld"}),
        build(
            Photo,
            {"id": "p-secret", "number": "P2", "file": sha256(SECRET_PICTURE).hexdigest(), "subject": SECRET, "sensitive": True},
        ),
    ]
