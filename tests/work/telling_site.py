"""An invented site whose withheld records carry a mark of their own in every field that can hold one.

The ids of withheld records begin with Xh; those of the contexts among them the crew may see.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from itertools import count
from typing import Any

from PIL import Image

from baulk.record import (
    KINDS,
    Entity,
    Quantity,
    Sensitivity,
    SiteRecord,
    build,
    fields_of,
)

OPEN_WORDS = "Grey ash with glass waste"
"""Words of an open record: every output holds them, so a missing mark is no missing output."""

GRAVE = ((101.13791, 201.24371), (101.67913, 201.24371), (101.67913, 201.76737), (101.13791, 201.76737))
_SQUARE = ((100.0, 200.0), (102.0, 200.0), (102.0, 202.0), (100.0, 202.0))
_BESIDE = ((100.5, 200.5), (101.9, 200.5), (101.9, 201.76737), (101.67913, 201.76737), *GRAVE[1::-1], (100.5, 201.24371))
"""A neighbour that the grave cuts: its edge runs along the grave's."""

_ON_WALL = ((0.41717, 40.21713), (0.93137, 40.21713), (0.93137, 40.83171), (0.41717, 40.83171))
_WALL_BESIDE = ((0.1, 40.1), (1.9, 40.1), (1.9, 40.9), (0.93137, 40.9), (0.93137, 40.21713), (0.41717, 40.21713), (0.41717, 40.9))

_BARE = ("Xh-cut", "Xh-fill", "Xh-fill-2", "Xh-coffin", "Xh-vault")


@dataclass(frozen=True)
class Telling:
    """The site, and what stands in it that may not be told, each with the place where it stands."""

    record: SiteRecord
    crew: dict[str, str]
    """Marks that neither the crew nor the public may see."""
    public: dict[str, str]
    """Marks that the public may not see either: agency fields, positions, numbers of withheld contexts."""


def telling_site(shas: dict[str, str]) -> Telling:
    """Return the site; `shas` names the files of the photos ``open`` and ``sensitive``."""
    numbers, crew, public = count(1), {}, {}
    entities: list[Entity] = []
    for kind, values in _records(shas):
        identity = values["id"]
        given = dict(values)
        for name, said in fields_of(KINDS[kind]):
            hidden = identity.startswith("Xh-") or (identity == "basis" and name in ("basis", "settled_by", "notes"))
            agency = said.sensitivity is Sensitivity.AGENCY
            value = _mark(name, said.quantity, bool(said.vocabulary or said.refers), next(numbers))
            if name in given or value is None or not (hidden or (agency and isinstance(value, str))):
                continue
            given[name] = value
            (crew if hidden else public)[str(value)] = f"{kind}.{name} of {identity}"
        entities.append(build(KINDS[kind], given))
        if identity.startswith("Xh-") and identity not in _BARE:
            crew[identity] = f"id of a withheld {kind}"
    crew |= {
        "Xq-point": "point of a withheld reading",
        "Xq-turning": "point of a turning point",
        "Xq-void": "why a level is void",
        "Xq-reading": "name of a reading for remains",
    }
    for place in (*GRAVE, *_ON_WALL):
        crew |= {f"{part}": "a corner of the grave" for part in place}
    public |= {number: "number of a withheld context" for number in ("3071", "3072", "3073", "3074", "3075")}
    public |= {"101.3137": "easting of an open find", "201.9173": "its northing", "nail in coping": "mark of a station"}
    return Telling(SiteRecord.of(entities), crew, public)


def _mark(name: str, quantity: Quantity, listed: bool, number: int) -> str | float | None:
    if name in ("id", "number", "void", "absences", "term_list", "crs", "backsight", "foresight") or listed:
        return None
    if quantity is Quantity.TEXT:
        return f"Xq{number:04d}z"
    if quantity in (Quantity.LENGTH, Quantity.LEVEL, Quantity.BEARING, Quantity.SIZE, Quantity.LITRES, Quantity.MASS):
        return round(17 + number / 10_000 + 0.000_07, 5)
    return None


def _records(shas: dict[str, str]) -> list[tuple[str, dict[str, Any]]]:
    unit = {"units": ("u-1",)}
    return [
        ("site", {"id": "s-1", "code": "OTW", "name": "Otter Weir (invented)", "invented": True, "crs": "EPSG:27700",
                  "grid_rotation": 0.0, "background": OPEN_WORDS}),
        *(("station", {"id": f"st-{n}", "number": f"T{n}", "easting": e, "northing": north, "level": 41.0,
                       "projected_easting": 430_000.0 + e, "projected_northing": 310_000.0 + north, "mark": "nail in coping"})
          for n, (e, north) in enumerate([(98.0, 198.0), (108.0, 198.0), (98.0, 208.0)], 1)),
        ("unit", {"id": "u-1", "number": "1", "corners": _SQUARE, "reason": OPEN_WORDS}),
        ("wall", {"id": "w-1", "number": "N1", "unit": "u-1", "face": "north", "ends": _SQUARE[:1:-1],
                  "surface_line": ((0, 41.1), (2, 41.0)), "notes": OPEN_WORDS}),
        ("context", {"id": "ash", "number": "101", "kind": "deposit", "title": OPEN_WORDS, "description": OPEN_WORDS, **unit,
                     "phase": 2}),
        ("context", {"id": "setts", "number": "102", "kind": "structure", "title": "Setts on edge", "material": "stone", **unit}),
        ("context", {"id": "Xh-cut", "number": "3071", "kind": "cut", **unit}),
        ("context", {"id": "Xh-fill", "number": "3072", "kind": "fill", "fill_of": "Xh-cut", "colour_moist": "5R 4/8", **unit}),
        ("context", {"id": "Xh-fill-2", "number": "3073", "kind": "fill", "fill_of": "Xh-fill", **unit}),
        ("context", {"id": "Xh-coffin", "number": "3074", "kind": "timber", "timber_type": "coffin", **unit}),
        ("context", {"id": "Xh-vault", "number": "3075", "kind": "structure", "structure_type": "burial vault", **unit}),
        ("burial", {"id": "Xh-burial", "number": "G1", "contexts": ("Xh-cut",), "ring": GRAVE, "void": "entered twice"}),
        ("notice", {"id": "Xh-notice", "burial": "Xh-burial"}),
        ("relation", {"id": "r-1", "later": "ash", "earlier": "setts", "how": "overlies", "notes": OPEN_WORDS}),
        ("relation", {"id": "r-2", "later": "ash", "earlier": "Xh-fill", "how": "overlies"}),
        ("relation", {"id": "basis", "later": "Xh-cut", "earlier": "setts", "how": "cuts"}),
        ("level_run", {"id": "run", "number": "A", "day": "2026-05-14", "start": "st-1", "end": "st-1", "notes": OPEN_WORDS}),
        ("sight", {"id": "si-1", "run": "run", "place": 1, "point": "T1", "backsight": 1.2}),
        ("sight", {"id": "Xh-sight-hid", "run": "run", "place": 2, "point": "top of 3072, Xq-point", "intermediate": 1.93717}),
        ("sight", {"id": "turning", "run": "run", "place": 3, "point": "3072 again, Xq-turning",
                   "backsight": 1.1, "foresight": 1.9}),
        ("sight", {"id": "si-3", "run": "run", "place": 4, "point": "T1", "foresight": 1.2, "notes": OPEN_WORDS}),
        ("level", {"id": "lv-1", "context": "ash", "easting": 100.4, "northing": 200.4, "level": 40.9, "notes": OPEN_WORDS}),
        ("level", {"id": "Xh-level", "context": "Xh-fill", "sight": "Xh-sight-hid"}),
        ("level", {"id": "Xh-level-void", "context": "Xh-cut", "void": "Xq-void"}),
        ("outline", {"id": "ol-1", "context": "ash", "ring": ((100.1, 200.1), (100.4, 200.1), (100.4, 200.4)),
                     "notes": OPEN_WORDS}),
        ("outline", {"id": "Xh-outline", "context": "Xh-cut", "ring": GRAVE}),
        ("outline", {"id": "beside", "context": "setts", "ring": _BESIDE}),
        ("wall_outline", {"id": "wo-1", "wall": "w-1", "context": "ash", "ring": ((0, 40.9), (2, 40.9), (2, 41.0), (0, 41.1))}),
        ("wall_outline", {"id": "Xh-wall-outline", "wall": "w-1", "context": "Xh-cut", "ring": _ON_WALL}),
        ("wall_outline", {"id": "wall-beside", "wall": "w-1", "context": "setts", "ring": _WALL_BESIDE}),
        ("contact", {"id": "Xh-contact", "wall": "w-1", "later": "Xh-cut", "earlier": "setts", "line": _ON_WALL[:2]}),
        ("element", {"id": "Xh-element", "number": "7", "context": "Xh-vault", "ring": GRAVE}),
        ("find", {"id": "f-1", "number": "11", "context": "ash", "material": "glass", "object": OPEN_WORDS,
                  "easting": 101.3137, "northing": 201.9173}),
        ("find", {"id": "Xh-find", "number": "12", "context": "Xh-fill", "material": "iron"}),
        ("find", {"id": "Xh-bone", "number": "13", "context": "ash", "material": "Human bone"}),
        ("sample", {"id": "Xh-sample", "number": "5", "context": "Xh-fill"}),
        ("photo", {"id": "p-1", "number": "P1", "unit": "u-1", "contexts": ("ash",), "subject": OPEN_WORDS, "file": shas["open"],
                   "sensitive": False}),
        ("photo", {"id": "Xh-photo-hid", "number": "P2", "unit": "u-1", "contexts": ("ash", "Xh-cut")}),
        ("photo", {"id": "Xh-photo-sens", "number": "P3", "unit": "u-1", "file": shas["sensitive"], "sensitive": True}),
        ("drawing", {"id": "d-1", "number": "D1", "kind": "plan", "unit": "u-1", "contexts": ("ash", "Xh-cut"),
                     "notes": OPEN_WORDS}),
        ("follow_up", {"id": "Xh-follow-up", "number": "Q2", "unit": "u-1", "contexts": ("Xh-fill",)}),
        ("question", {"id": "q-1", "number": "1", "asks": OPEN_WORDS, "about": ("setts",)}),
        ("reading", {"id": "re-1", "question": "q-1", "name": OPEN_WORDS}),
        ("evidence", {"id": "Xh-evidence", "question": "q-1", "records": ("Xh-cut",)}),
        ("evidence", {"id": "ev-1", "question": "q-1", "saw": OPEN_WORDS, "records": ("setts",)}),
        ("expectation", {"id": "Xh-expectation", "evidence": "Xh-evidence", "reading": "re-1"}),
        ("expectation", {"id": "ex-1", "evidence": "ev-1", "reading": "re-1", "word": "usually", "why": OPEN_WORDS}),
        ("question", {"id": "Xh-question", "number": "2", "about": ("Xh-cut",)}),
        ("reading", {"id": "Xh-reading", "question": "Xh-question"}),
        ("test", {"id": "Xh-test", "question": "Xh-question"}),
        ("question", {"id": "Xh-question-2", "number": "3", "about": ("ash",)}),
        ("reading", {"id": "Xh-reading-2", "question": "Xh-question-2", "name": "Possible grave, Xq-reading"}),
        ("evidence", {"id": "Xh-evidence-2", "question": "Xh-question-2", "records": ("ash",)}),
        ("survey", {"id": "sv-1", "number": "1", "question": OPEN_WORDS, "ring": _SQUARE}),
        ("anomaly", {"id": "Xh-anomaly", "number": "1", "survey": "sv-1", "ring": GRAVE, "reading": "grave-like"}),
    ]  # fmt: skip


def picture_with_place(form: str = "JPEG") -> bytes:
    """Return a small picture on its side whose notes hold a place, a name and a comment."""
    picture = Image.new("RGB", (24, 16), (120, 90, 60))
    picture.paste((10, 200, 30), (3, 2, 12, 9))
    notes = Image.Exif()
    notes[0x0112] = 6
    notes[0x013B] = "Xq-artist"
    notes[0x8825] = {1: "N", 2: (52.0, 41.0, 17.25), 3: "W", 4: (1.0, 33.0, 9.5)}
    held = io.BytesIO()
    picture.save(held, form, exif=notes.tobytes(), comment=b"Xq-comment")
    return held.getvalue()
