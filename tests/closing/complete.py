"""One complete, invented record of a unit (Otter Weir) that passes every rule."""

from __future__ import annotations

from collections.abc import Iterable

from baulk.record import (
    Backfill,
    Burial,
    Contact,
    Context,
    DayEntry,
    Drawing,
    Entity,
    Find,
    FollowUp,
    Level,
    LevelRun,
    Notice,
    Outline,
    Photo,
    Relation,
    Sample,
    Sight,
    Site,
    Station,
    Unit,
    Visit,
    Wall,
    WallOutline,
    build,
)

WHOLE = ((100, 200), (102, 200), (102, 202), (100, 202))
FACES = ("north", "east", "south", "west")
ALL = ("1001", "1002", "1003", "1004", "1005", "1006", "1007", "1008", "1009")


def box(west: float, south: float, east: float, north: float) -> tuple[tuple[float, float], ...]:
    """Return a rectangle."""
    return ((west, south), (east, south), (east, north), (west, north))


SHAPES = {
    "1001": WHOLE,
    "1002": box(100, 200, 102, 200.8),
    "1003": box(100, 200.8, 102, 201.0),
    "1004": box(100, 200.8, 102, 201.3),
    "1005": box(100, 201.0, 102, 201.3),
    "1006": box(100, 200, 101, 202),
    "1007": WHOLE,
    "1008": box(101, 200, 102, 202),
    "1009": box(100, 201.0, 102, 201.3),
}
HEIGHTS = {
    "1001": (10.0, 9.8),
    "1002": (9.8, None),
    "1003": (9.8, None),
    "1004": (9.75, 9.3),
    "1005": (9.75, 9.5),
    "1006": (9.75, 9.4),
    "1007": (9.4, None),
    "1008": (9.75, 9.4),
    "1009": (9.5, 9.3),
}
ORDER = (
    ("1001", "1002", "overlies"),
    ("1001", "1003", "overlies"),
    ("1001", "1005", "overlies"),
    ("1001", "1006", "overlies"),
    ("1001", "1008", "overlies"),
    ("1002", "1003", "abuts"),
    ("1002", "1006", "overlies"),
    ("1002", "1008", "overlies"),
    ("1005", "1004", "fills"),
    ("1009", "1004", "fills"),
    ("1005", "1009", "overlies"),
    ("1003", "1004", "overlies"),
    ("1005", "1003", "abuts"),
    ("1009", "1003", "abuts"),
    ("1004", "1006", "cuts"),
    ("1004", "1008", "cuts"),
    ("1004", "1007", "cuts"),
    ("1006", "1007", "overlies"),
    ("1008", "1007", "overlies"),
    ("1006", "1008", "same as"),
)

_SOIL = {
    "kind": "deposit",
    "colour_moist": "10YR 3/2",
    "texture": "loam",
    "compaction": "friable",
    "inclusions": "occasional coal",
    "thickness_min": 0.2,
    "thickness_max": 0.35,
    "boundary": "clear",
    "edge_north": "beyond limit",
    "edge_east": "beyond limit",
    "edge_south": "beyond limit",
    "edge_west": "beyond limit",
    "contamination": "none seen",
    "reliability": "good",
    "dug": 100,
    "sieved": 100,
}
_CUT = {
    "kind": "cut",
    "plan_shape": "linear",
    "length": 2,
    "width": 0.5,
    "depth": 0.45,
    "break_top": "sharp",
    "break_base": "sharp",
    "side_slope": "vertical",
    "side_shape": "straight",
    "base_shape": "flat",
    "orientation": 90,
    "truncated": "not truncated",
    "cut_from": "1006",
    "cut_from_shown": "west wall",
    "section_share": "full",
    "cut_function": "construction trench",
}
_MADE = {
    "kind": "structure",
    "measured_pieces": 12,
    "joint": "flush",
    "faces": "upper face fair",
    "left_in_place": True,
    "courses": 1,
}
CONTEXTS = {
    "1001": {**_SOIL, "deposit_type": "topsoil", "litres": 780, "phase": 4, "natural": False},
    "1002": {
        **_MADE,
        "material": "setts",
        "bond": "coursed",
        "bonding_agent": "none (dry)",
        "structure_type": "path",
        "phase": 3,
        "absences": {"construction_cut": "not visible"},
    },
    "1003": {
        **_MADE,
        "material": "brick",
        "bond": "English",
        "bonding_agent": "lime mortar",
        "structure_type": "wall",
        "phase": 2,
        "construction_cut": "1004",
    },
    "1004": {**_CUT, "phase": 2},
    "1005": {**_SOIL, "kind": "fill", "fill_of": "1004", "litres": 150, "phase": 2},
    "1006": {**_SOIL, "litres": 690, "phase": 1, "key_context": True, "natural": False},
    "1007": {**_SOIL, "dug": 0, "natural": True, "phase": 1},
    "1008": {**_SOIL, "litres": 700, "phase": 1, "natural": False},
    "1009": {**_SOIL, "kind": "fill", "fill_of": "1004", "litres": 118, "phase": 2},
}


def _site() -> Iterable[Entity]:
    yield build(
        Site,
        {
            "id": "site",
            "code": "OW26",
            "name": "Otter Weir",
            "invented": True,
            "grid_rotation": 12.0,
            "crs": "EPSG:27700",
            "declination": 0.4,
            "length_unit": "m",
        },
    )
    for place, (easting, northing) in enumerate(((90, 190), (110, 190)), start=1):
        yield build(
            Station,
            {
                "id": f"bm{place}",
                "number": f"BM{place}",
                "permanent": True,
                "outside_unit": True,
                "status": "good",
                "easting": easting,
                "northing": northing,
                "level": 10.5,
                "projected_easting": 400_000 + easting,
                "projected_northing": 200_000 + northing,
            },
        )
    yield build(
        LevelRun, {"id": "run1", "number": "1", "day": "2026-05-15", "start": "bm1", "end": "bm1", "two_peg_on": "2026-05-10"}
    )
    yield build(Sight, {"id": "s1", "run": "run1", "place": 1, "point": "BM1", "backsight": 1.2})
    yield build(Sight, {"id": "s2", "run": "run1", "place": 2, "point": "1001", "intermediate": 1.7, "booked_level": 10.0})
    yield build(Sight, {"id": "s3", "run": "run1", "place": 3, "point": "BM1", "foresight": 1.2})


def _unit() -> Iterable[Entity]:
    yield build(
        Unit,
        {
            "id": "unit",
            "number": "1",
            "design_width": 2,
            "design_length": 2,
            "corners": WHOLE,
            "sides": (2, 2.002, 2, 1.998),
            "diagonals": (2.828, 2.83),
            "opening_levels": (10, 10, 10, 10, 10),
            "base_levels": (9.4, 9.4, 9.4, 9.4, 9.3),
            "mesh": 6.0,
            "sieved": 100,
            "recovery": "all soil sieved",
            "closed": "2026-05-15",
            "depth": 0.7,
            "stop_reason": "natural reached",
            "protection": "sides sloped; inspected daily",
            "walls_with_layers": ("north", "west"),
            "unexcavated": 0,
            "sampling_plan": "bulk of each garden soil; mortar and brick of each build",
        },
    )
    yield build(
        Backfill,
        {
            "id": "backfill",
            "unit": "unit",
            "day": "2026-05-16",
            "liner": "geotextile",
            "liner_level": 9.4,
            "token": "coin of 2026",
            "support": "sand over setts and brick",
            "material": "own spoil",
            "imported": False,
            "volume": 2.4,
            "compacted": "tamped in layers",
            "reinstated": "turf",
            "copies": "office; county archive",
        },
    )
    yield build(DayEntry, {"id": "day1", "unit": "unit", "day": "2026-05-14", "depth": 0.4})
    yield build(DayEntry, {"id": "day2", "unit": "unit", "day": "2026-05-15", "depth": 0.7})
    yield build(Visit, {"id": "visit", "unit": "unit", "who": "county archaeologist", "day": "2026-05-15", "answer": "viewed"})


def _contexts() -> Iterable[Entity]:
    shared = {
        "units": ("unit",),
        "interpretation": "yard",
        "reasons": "position",
        "confidence": "probable",
        "alternatives": "garden",
        "recorded_by": "AB",
        "checked_by": "CD",
        "checked_on": "2026-05-15",
        "key_context": False,
    }
    for number, said in CONTEXTS.items():
        yield build(Context, {"id": number, "number": number, **shared, **said})
        yield build(Outline, {"id": f"o{number}", "context": number, "ring": SHAPES[number], "edges": ("seen",) * 4})
        west, south, east, north = *SHAPES[number][0], *SHAPES[number][2]
        for surface, level in zip(("top", "base"), HEIGHTS[number], strict=True):
            spots = ((100.5, 201.15), (101.5, 201.15), (100.5, 200.4), (101.5, 200.4), (100.5, 200.9))
            inside = [spot for spot in spots if west <= spot[0] <= east and south <= spot[1] <= north]
            for place, (easting, northing) in enumerate(inside if level is not None else ()):
                yield build(
                    Level,
                    {
                        "id": f"l{number}{surface}{place}",
                        "context": number,
                        "surface": surface,
                        "level": level,
                        "easting": easting,
                        "northing": northing,
                        "on_plan": level,
                        "sight": "s2" if (number, surface, place) == ("1001", "top", 0) else None,
                    },
                )
    for later, earlier, how in ORDER:
        yield build(
            Relation,
            {
                "id": f"r{later}{earlier}",
                "later": later,
                "earlier": earlier,
                "how": how,
                "sheet": "both sheets",
                "certainty": "firm",
                "basis": "seen to run on" if how == "same as" else None,
            },
        )


def _walls() -> Iterable[Entity]:
    seen = {"north": ("1001", "1006", "1008", "1007"), "west": tuple(number for number in ALL if number != "1008")}
    ends = {"north": ((100, 202), (102, 202)), "west": ((100, 200), (100, 202))}
    touch = {"north": (("1001", "1006"), ("1001", "1008"), ("1006", "1007"), ("1008", "1007")), "west": (("1001", "1002"),)}
    for face, contexts in seen.items():
        yield build(
            Wall,
            {
                "id": face,
                "number": f"W-{face}",
                "unit": "unit",
                "face": face,
                "ends": ends[face],
                "string_level": 10.1,
                "scale": 10,
                "surface_line": ((0, 10), (2, 10)),
                "base_line": ((0, 9.4), (2, 9.4)),
            },
        )
        for context in contexts:
            yield build(WallOutline, {"id": f"w{face}{context}", "wall": face, "context": context, "ring": box(0, 9.4, 2, 10)})
        for later, earlier in touch[face]:
            yield build(Contact, {"id": f"c{face}{later}{earlier}", "wall": face, "later": later, "earlier": earlier})


def _registers() -> Iterable[Entity]:
    photo = {
        "unit": "unit",
        "file": "a" * 64,
        "in_focus": True,
        "facing": "N",
        "subject": "unit 1",
        "kind": "record",
        "scale": True,
        "north": True,
        "board": True,
    }
    for place, stage in enumerate(("before", "during", "after"), start=1):
        yield build(Photo, {"id": f"p{stage}", "number": f"{place}", **photo, "stage": stage, "contexts": ALL})
    yield build(Photo, {"id": "pwalls", "number": "4", **photo, "stage": "after", "walls": FACES, "shows_base": True})
    for place, stage in enumerate(("before", "after"), start=5):
        yield build(Photo, {"id": f"plocation{stage}", "number": f"{place}", **photo, "stage": stage, "kind": "location"})
    sheet = {
        "unit": "unit",
        "scale": 20,
        "grid_points": 4,
        "north": True,
        "drawn_by": "AB",
        "drawn_on": "2026-05-15",
        "checked_by": "CD",
        "file": "b" * 64,
        "contexts": ALL,
    }
    for number, (kind, stage) in enumerate((("plan", "before"), ("base plan", "after"), ("profile", "during")), start=1):
        yield build(Drawing, {"id": f"d{number}", "number": f"{number}", **sheet, "kind": kind, "stage": stage})
    find = {"count": 3, "mass": 20, "recovery": "hand", "status": "lifted", "material": "ceramic"}
    place = {"easting": 100.5, "northing": 200.5, "level": 9.7}
    yield build(Find, {"id": "f1", "number": "1", **find, **place, "context": "1001", "registered": True, "begin": 1820})
    yield build(Find, {"id": "f2", "number": "2", **find, "context": "1006", "begin": 1740})
    yield build(Find, {"id": "f3", "number": "3", **find, **place, "context": "1006", "status": "left in place", "begin": 1700})
    for number, (kind, context) in enumerate((("mortar", "1003"), ("brick", "1003"), ("bulk", "1006")), start=1):
        yield build(
            Sample,
            {
                "id": f"m{number}",
                "number": f"{number}",
                "context": context,
                "type": kind,
                "litres": 1,
                "containers": 1,
                "labelled": True,
                **place,
            },
        )


def _people() -> Iterable[Entity]:
    yield build(
        Burial,
        {
            "id": "burial",
            "number": "1",
            "ring": box(101.4, 201.5, 101.6, 201.6),
            "cover": "board and sand",
            "steps": ("stopped", "covered", "notified", "left in place"),
            "left_exposed": False,
            "loose_bone": 0,
        },
    )
    yield build(
        Notice, {"id": "notice", "burial": "burial", "to": "coroner", "day": "2026-05-14", "by": "AB", "answer": "leave in place"}
    )
    ask = {"unit": "unit", "asks": "Does the path run on?", "settled_by": "slot to the north", "state": "open"}
    yield build(FollowUp, {"id": "q1", "number": "1", **ask, "lost": "lost for good"})
    yield build(FollowUp, {"id": "q2", "number": "2", **ask, "lost": "recoverable"})
    yield build(FollowUp, {"id": "q3", "number": "3", **ask, "lost": "lost for good", "state": "answered"})
    yield build(FollowUp, {"id": "q4", "number": "4", **ask, "unit": None, "contexts": ("1006",)})


def entities() -> dict[str, Entity]:
    """Return every record of the complete unit by its id."""
    made = (*_site(), *_unit(), *_contexts(), *_walls(), *_registers(), *_people())
    return {entity.id: entity for entity in made}
