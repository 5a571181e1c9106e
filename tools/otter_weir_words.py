"""The words of the invented demo site: registers, descriptions, diary. Nothing here is real."""

from __future__ import annotations

from otter_weir import LIST, Row, signed
from otter_weir_contexts import CONTEXTS

RELATIONS = """
104 fills 103 plan and wall; 103 cuts 101 plan and wall; 103 cuts 102 wall; 103 cuts 108 wall; 103 cuts 118 wall; 103 cuts 119 wall probable;
103 cuts 111 plan probable; 101 overlies 102 plan and wall; 102 overlies 107 plan; 102 overlies 113 plan; 102 overlies 108 plan and wall;
107 overlies 106 plan; 107 fills 105 plan; 106 fills 105 plan; 105 cuts 108 plan; 105 cuts 109 plan; 105 cuts 110 plan; 105 cuts 118 plan;
113 overlies 112 plan; 113 fills 111 plan; 112 fills 111 plan; 111 cuts 108 plan; 111 cuts 117 plan; 111 cuts 118 plan; 111 cuts 119 plan;
108 overlies 115 plan and wall; 108 overlies 117 plan; 108 overlies 109 plan and wall; 108 overlies 122 plan; 108 overlies 118 wall probable;
115 fills 114 plan and wall; 114 cuts 109 plan and wall; 114 cuts 110 wall; 114 cuts 118 plan and wall; 117 fills 116 plan; 116 cuts 118 plan;
109 overlies 110 plan and wall; 110 overlies 118 plan and wall; 122 fills 121 plan; 121 cuts 118 plan probable; 121 cuts 119 plan;
118 overlies 119 plan and wall; 119 overlies 120 plan and wall
"""


def relations() -> list[Row]:
    """Return the relations, each entered on both sheets."""
    rows: list[Row] = []
    for entry in RELATIONS.replace("\n", " ").split(";"):
        later, how, earlier, *seen = entry.split()
        certainty = seen.pop() if seen[-1] in ("probable", "doubtful") else "firm"
        rows.append({"later": later, "earlier": earlier, "how": how, "where_seen": " ".join(seen), "certainty": certainty,
                     "sheet": "both sheets", "basis": DOUBTS.get((later, earlier), ""), "settled_by": TRIED.get((later, earlier), ""),
                     **signed("TB" if int(later) % 2 else "AK", "2026-05-19")})  # fmt: skip
    return rows


DOUBTS = {
    ("103", "119"): "The side slumped while it was drawn; a clean face would settle it.",
    ("103", "111"): "Where the drain meets the hole both edges are lost; the east wall, once safe, would settle it.",
    ("108", "118"): "Away from the setts the boundary is diffuse; a thin section would settle it.",
    ("121", "118"): "118 was trowelled thin over the socket; the half section was read in poor light.",
}
TRIED = {
    ("121", "118"): "Second half dug from the north face in raking light.",
    ("108", "118"): "Face wetted and looked at again next morning.",
}

FINDS = [
    # number, context, material, object, type, count, grams, begin, end, recovery, extra
    ("1", 101, "glass", "bottle, machine made", "machine-made bottle", 6, 214, 1905, None, "dry sieve", {}),
    ("2", 101, "ceramic", "plate and cup", "whiteware", 9, 88, 1820, 1900, "dry sieve", {}),
    ("3", 102, "slag", "clinker", "", 40, 3100, None, None, "hand", {}),
    ("4", 102, "ceramic", "plate", "whiteware", 11, 132, 1820, 1900, "dry sieve", {}),
    ("5", 104, "brick", "vault brick from the culvert", "", 7, 15200, None, None, "hand", {}),
    ("6", 106, "glass waste", "moils and drips", "", 118, 2440, None, None, "dry sieve", {}),
    ("7", 106, "ceramic", "bowl", "pearlware", 3, 21, 1780, 1830, "dry sieve", {}),
    ("8", 107, "ceramic", "plate, transfer printed", "whiteware", 5, 61, 1820, 1900, "dry sieve", {}),
    ("9", 107, "pipe clay", "stem", "", 4, 19, None, None, "dry sieve", {}),
    ("10", 108, "ceramic", "plate, edged", "pearlware", 17, 140, 1780, 1830, "dry sieve", {}),
    ("11", 108, "ceramic", "plate", "creamware", 12, 96, 1762, 1820, "dry sieve", {}),
    ("12", 108, "copper alloy", "halfpenny, 1799", "coin 1799", 1, 9, 1799, None, "hand",
     {"registered": "yes", "easting": 113.12, "northing": 204.93, "level": 29.214}),
    ("13", 108, "pipe clay", "stem", "", 14, 58, None, None, "dry sieve", {}),
    ("14", 109, "glass", "drip between setts S12 and S13", "", 1, 3, None, None, "hand",
     {"registered": "yes", "easting": 112.74, "northing": 205.62, "level": 29.196}),
    ("15", 115, "iron", "nail", "", 2, 14, None, None, "hand", {"status": "left in place", "count": 2}),
    ("16", 118, "ceramic", "mug", "white salt-glazed stoneware", 8, 54, 1720, 1805, "dry sieve", {}),
    ("17", 118, "ceramic", "plate", "creamware", 2, 9, 1762, 1820, "dry sieve", {"at_change": "no"}),
    ("18", 118, "glass waste", "drips", "", 61, 402, None, None, "dry sieve", {}),
    ("19", 118, "pipe clay", "stem", "", 6, 27, None, None, "dry sieve", {}),
    ("20", 119, "ceramic", "jar, combed slip", "lead-glazed slipware", 3, 44, 1670, 1795, "dry sieve", {}),
    ("21", 122, "ceramic", "plate", "creamware", 1, 6, 1762, 1820, "dry sieve", {}),
    ("22", 113, "tile", "drain tile offcut", "", 2, 640, None, None, "hand", {}),
]  # fmt: skip


def finds() -> list[Row]:
    """Return the finds; date ranges of types are invented figures near those used in the trade."""
    rows: list[Row] = []
    for number, context, material, thing, kind, count, mass, begin, end, recovery, extra in FINDS:
        row: Row = {"number": number, "context": context, "registered": "no", "material": material, "object": thing, "type": kind,
                    "count": count, "mass": mass, "recovery": recovery, "status": "lifted", "begin": begin or "", "end": end or "",
                    "date_source": "invented for the example" if begin else "", "kept_at": "Box 1", "easting": "", "northing": "", "level": "",
                    "at_change": "", **signed("AK", "2026-05-19")}  # fmt: skip
        rows.append(row | extra)
    return rows


PHOTOS = [
    # number, day, subject, facing, contexts, stage, kind, walls, base, looked at
    ("P01", "2026-05-11", "The yard with the weir house behind, before opening", "N", "", "before", "location", "", "", "yes"),
    ("P02", "2026-05-11", "Collapse and yard surface before opening", "E", "101; 103; 104", "before", "record", "", "", "yes"),
    ("P03", "2026-05-11", "Ash levelling cleaned", "N", "102; 103; 104", "before", "record", "", "", "yes"),
    ("P04", "2026-05-12", "Mixed brown layer with pit and drain trench", "N", "108; 105; 107; 111; 113", "before", "record", "", "", "yes"),
    ("P05", "2026-05-13", "Pit half dug, south-facing section", "N", "105; 106; 107", "during", "record", "", "", "yes"),
    ("P06", "2026-05-13", "Pit and drain trench emptied, drain in place", "down", "105; 111; 112; 106", "after", "record", "", "", "yes"),
    ("P07", "2026-05-14", "Curved setting of setts, cut edges to the south", "down", "109; 114; 115", "before", "record", "", "", "yes"),
    ("P08", "2026-05-14", "Setts on edge, detail at the pit", "SW", "109", "during", "record", "", "", "yes"),
    ("P09", "2026-05-15", "Socket half dug", "N", "121; 122", "during", "record", "", "", "yes"),
    ("P10", "2026-05-15", "Socket emptied", "down", "121; 122; 118", "after", "record", "", "", "yes"),
    ("P11", "2026-05-15", "Two rectangular cuts, covered after this frame", "down", "114; 115; 116; 117", "during", "record", "", "", "yes"),
    ("P12", "2026-05-18", "Old ground surface under the setts in the east half", "N", "118; 110; 119", "before", "record", "", "", "yes"),
    ("P13", "2026-05-19", "Sondage to natural", "N", "119; 120", "after", "record", "", "", "yes"),
    ("P14", "2026-05-20", "North wall", "N", "101; 102; 108; 109; 110; 118; 119; 120; 103; 104", "after", "record", "north", "", "yes"),
    ("P15", "2026-05-20", "West wall", "W", "101; 102; 108; 109; 110; 115; 118; 119; 120", "after", "record", "west", "", "yes"),
    ("P16", "2026-05-20", "East wall, unsafe to clean below the drain", "E", "101; 102; 103; 108; 111; 118", "after", "record", "east", "", "no"),
]  # fmt: skip


def photos() -> list[Row]:
    """Return the photo register."""
    return [
        {"number": number, "file_name": f"{number}.jpg", "day": day, "photographer": "TB", "subject": subject, "facing": facing,
         "contexts": contexts, "unit": 1, "walls": walls, "shows_base": base, "kind": kind, "stage": stage, "scale": "yes", "north": "yes",
         "board": "yes", "in_focus": focus, "sensitive": "yes" if number == "P11" else "no", **signed("TB", day)}
        for number, day, subject, facing, contexts, stage, kind, walls, base, focus in PHOTOS
    ]  # fmt: skip


DRAWINGS = [
    ("D1", "plan", "101; 102; 103; 104", "before", 20, "AK", "2026-05-11", ""),
    ("D2", "plan", "105; 107; 108; 111; 113", "before", 20, "TB", "2026-05-12", ""),
    ("D3", "plan", "106; 112; 105; 111", "after", 20, "TB", "2026-05-13", ""),
    ("D4", "plan", "109; 114; 115; 116; 117; 121; 122", "before", 10, "TB", "2026-05-15", ""),
    ("D5", "plan", "110; 118; 119", "before", 20, "AK", "2026-05-18", ""),
    ("D6", "base plan", "120; 119; 109; 114; 116", "after", 20, "AK", "2026-05-19", ""),
    ("D7", "profile", "105; 106; 107", "during", 10, "TB", "2026-05-13", ""),
    ("D8", "profile", "121; 122", "during", 10, "TB", "2026-05-15", ""),
    ("D9", "section", "101; 102; 103; 104; 108; 109; 110; 118; 119; 120", "after", 10, "TB", "2026-05-20", "W1"),
    ("D10", "section", "101; 102; 108; 109; 110; 114; 115; 118; 119; 120", "after", 10, "AK", "2026-05-20", "W2"),
]


def drawings() -> list[Row]:
    """Return the drawing register."""
    return [
        {"number": number, "kind": kind, "unit": 1, "wall": wall, "contexts": contexts, "stage": stage, "scale": scale, "grid_points": 4,
         "north": "yes", "drawn_by": by, "drawn_on": day, **signed(by, day)}
        for number, kind, contexts, stage, scale, by, day, wall in DRAWINGS
    ]  # fmt: skip


SITE: Row = {
    "code": "OTW26", "name": "Otter Weir glassworks yard", "invented": "yes", "length_unit": "m",
    "vertical_datum": "Yard datum, mark YD1 taken as 30.000 m", "crs": "not applicable", "grid_rotation": 348.5, "declination": 0.8,
    "permit": "EXAMPLE 26/014", "director": "R. Marlow", "organisation": "Otter Weir Trust (invented)", "client": "Canal bank repairs (invented)",
    "place": "Otter Weir, on the Lower Cut (invented)",
    "background": "An invented canal-side glassworks that worked from 1740 to 1890. A rental of 1792 speaks of a paved way to the cone house; "
    "a workhouse stood behind the yard from 1801 and its burial plot was never mapped.",
    "setting": "River gravel under silty alluvium; made ground of ash, clinker and glass waste. Level yard, drained by a brick culvert.",
    "aims": "To record what the collapse of the culvert has laid open, to find how deep undisturbed ground lies, and to leave in place what "
    "can be left.",
    "stop_radius": 5.0, "repository": "County store (invented), accession to be given", **signed("RM", "2026-05-08", checked=""),
}  # fmt: skip

UNIT: Row = {
    "number": 1, "shape": "square", "design_width": 2, "design_length": 2, "corners": "112 204; 114 204; 114 206; 112 206",
    "sides": "2.001; 1.999; 2.002; 2.000", "diagonals": "2.828; 2.830", "datum_corner": "south-west",
    "ties": "South-west corner 4.62 from the weir house corner and 7.15 from the crane base bolt",
    "reason": "The culvert roof fell in on 4 May 2026 and left a hole that was still growing: the unit takes its west edge.",
    "question": "What lies beside the culvert, how old is it, and what must the repair spare?",
    "surface_before": "Thin turf on cinders, a hole 0.6 m wide to the north-east with loose sides.",
    "opening_levels": "29.626; 29.614; 29.645; 29.657; 29.640", "method": "natural layers", "mesh": 6.35, "sieved": 100,
    "recovery": "Trowel and hand shovel; all soil dry sieved; spoil heap scanned with a detector.", "opened": "2026-05-11",
    "depth": 1.05, "protection": "Sides less than 1.1 m high; north-east corner shored and roped off; inspected by R. Marlow each morning.",
    "stop_reason": "natural reached", "unexcavated": 55,
    "unexcavated_note": "The setts west of the pit, both rectangular cuts and the drain stay in the ground.",
    "base_levels": "28.600; 28.603; 28.598; 28.601; 28.600", "walls_with_layers": "north; east; south; west",
    "sampling_plan": "Bulk sample of 118 and of 122; one sett for thin section; mortar if any is met.",
    "depth_by_day": "0.25; 0.30; 0.58; 0.58; 0.62; 0.92; 1.05; 1.05", **signed("RM", "2026-05-20", checked=""),
}  # fmt: skip


def days() -> list[Row]:
    """Return the diary."""
    told = [
        ("2026-05-11", 21, "Dry, bright", "Set out, open", "Unit set out and taped; turf and ash off; hole roped off.",
         "Unit moved 0.5 m west, away from the loose edge (R. Marlow).", "", "Shoring set at the hole before anyone worked near it.", 0.25),
        ("2026-05-12", 20, "Dry, hard light", "Define cuts in 108", "Pit 105 and drain trench 111 found at the top of 108.",
         "Both dug before 108, since both cut it.", "108 has no white ware: earlier than we took it for?", "", 0.30),
        ("2026-05-13", 21, "Overcast", "Empty pit and drain", "Pit half sectioned then emptied; drain left in place.", "Drain not lifted: it still carries water.",
         "", "", 0.58),
        ("2026-05-14", 18, "Showers after two", "Clean what lies under 108", "A curved setting of setts on edge came up, dry laid, cut on the south by a straight edge.",
         "Stopped at a rectangular cut with mixed fill; treated as a possible grave.", "It swings round something: a post, a tree, a crane?",
         "Possible grave: work stopped at 11:20, covered, coroner and county archaeologist told the same day.", 0.58),
        ("2026-05-15", 19, "Dry, grey", "Record setts, socket", "Setts drawn and numbered; socket 121 half sectioned. A second rectangular cut at the south edge.",
         "Neither cut is dug; the unit narrows to its north-east half below the setts.", "", "Second possible grave covered, both reported again.", 0.62),
        ("2026-05-18", 20, "Fine", "Old ground", "A strip of setts lifted east of the pit, bedding and old ground 118 dug beneath.",
         "Eleven setts lifted to see the ground beneath, with the county's consent.", "Nothing cut for them: laid on open ground.", "", 0.92),
        ("2026-05-19", 18, "Fine", "To natural", "Sondage through 119 into alluvium.", "Stopped at natural.", "", "", 1.05),
        ("2026-05-20", 20, "Fine, wind", "Walls", "North and west walls cleaned, photographed, drawn.", "East wall photographed only: unsafe.", "", "East side inspected, rope moved back.", 1.05),
    ]  # fmt: skip
    return [
        {"day": day, "unit": 1, "crew": "RM, TB, AK", "hours": hours, "weather": weather, "goals": goals, "done": done, "decisions": decisions,
         "doubts": doubts, "incidents": incidents or "None; sides inspected in the morning.", "depth": depth, "copied": "Office server and RM's drive",
         **signed("RM", day, checked="")}
        for day, hours, weather, goals, done, decisions, doubts, incidents, depth in told
    ]  # fmt: skip


WORDS: dict[str, list[Row]] = {
    "site": [SITE],
    "station": [
        {"number": "YD1", "mark": "Brass bolt in the weir house step", "permanent": "yes", "outside_unit": "yes", "easting": 108.412, "northing": 203.120,
         "level": 30.000, "accuracy": 0.003, "method": "Tape and level from the building", "status": "good", **signed("TB", "2026-05-11")},
        {"number": "YD2", "mark": "Crane base bolt, north-east", "permanent": "yes", "outside_unit": "yes", "easting": 118.730, "northing": 208.005,
         "level": 29.871, "accuracy": 0.003, "method": "Tape and level from the building", "status": "good", **signed("TB", "2026-05-11")},
    ],
    "unit": [UNIT],
    "context": CONTEXTS,
    "relation": relations(),
    "find": finds(),
    "sample": [
        {"number": "1", "context": 118, "type": "bulk", "purpose": "Seeds and pollen of the ground that was paved", "litres": 20, "containers": 2,
         "easting": 113.20, "northing": 205.05, "level": 28.98, "contamination": "Few fine roots", "labelled": "yes", **signed("AK", "2026-05-18")},
        {"number": "2", "context": 122, "type": "bulk", "purpose": "Wood or bark of what stood in the socket", "litres": 10, "containers": 1,
         "easting": 112.20, "northing": 205.80, "level": 28.85, "contamination": "None seen", "labelled": "yes", **signed("TB", "2026-05-15")},
    ],
    "photo": photos(),
    "drawing": drawings(),
    "document": [
        {"number": "1", "kind": "deed", "title": "Rental of the glassworks (invented)", "source": "Trust's papers (invented)", "begin": 1792, "end": 1792,
         "says": "“the paved way from the wharf to the cone”", "contexts": "109", **signed("RM", "2026-05-08", checked="")},
        {"number": "2", "kind": "map", "title": "Map of the workhouse estate (invented)", "source": "County record office (invented)", "begin": 1836, "end": 1836,
         "says": "Shows no burial plot and an open yard where the unit lies.", "contexts": "114; 116; 108", **signed("RM", "2026-05-08", checked="")},
    ],
    "day_entry": days(),
    "follow_up": [
        {"number": "1", "unit": 1, "contexts": "109; 121", "asks": "Do the setts respect the socket, or is it later than they are?",
         "settled_by": "A slot 0.2 m wide between the innermost course and the socket, down to 118.", "lost": "lost for good", "state": "open",
         **signed("RM", "2026-05-20", checked="")},
        {"number": "2", "unit": 1, "contexts": "103; 111", "asks": "Did the drain run into the culvert before the roof fell?",
         "settled_by": "The east wall once it is shored.", "lost": "recoverable", "state": "open", **signed("RM", "2026-05-20", checked="")},
        {"number": "3", "unit": 1, "contexts": "108", "asks": "Is the mixed brown layer a levelling of the 1800s or older?",
         "settled_by": "Wet sieving of 20 litres for small white ware.", "lost": "lost for good", "state": "open", **signed("RM", "2026-05-20", checked="")},
    ],
    "visit": [{"unit": 1, "who": "County archaeologist (invented)", "day": "2026-05-18", "answer": "viewed", "said": "Both rectangular cuts stay closed; a strip of setts may be lifted.",
               **signed("RM", "2026-05-18", checked="")}],
    "waiver": [{"unit": 1, "rule": "B35", "who": "R. Marlow", "day": "2026-05-20", "why": "East wall unsafe beside the collapse; south wall stands on a possible grave and was not cut back.",
                **signed("RM", "2026-05-20", checked="")}],
    "number_block": [
        {"series": "context", "first": 101, "last": 112, "person": "AK", **signed("RM", "2026-05-11", checked="")},
        {"series": "context", "first": 113, "last": 140, "person": "TB", **signed("RM", "2026-05-11", checked="")},
    ],
    "question": [{"number": "1", "asks": "What is the curved setting of setts?", "about": "109", **signed("RM", "2026-05-20", checked="")}],
    "reading": [
        {"question": "1", "name": name, "prior": prior, "prior_reason": why, "proposed_by": by, **signed("RM", "2026-05-20", checked="")}
        for name, prior, why, by in (
            ("Path round a post or tree", 0.35, "The rental names a paved way.", "TB"), ("Stand for a crane or winch", 0.25, "A crane base stands 5 m off.", "AK"),
            ("Footing of a curved wall", 0.15, "The cone house had curved walls.", "RM"), ("Yard surface, the rest robbed", 0.15, "Common on works yards.", "RM"),
            ("None of these", 0.10, "Always kept.", "RM"))
    ],
    "burial": [
        {"number": "G1", "contexts": "114; 115", "recognised_on": "2026-05-14", "recognised_at": "11:20", "recognised_by": "R. Marlow",
         "evidence": "Straight-sided rectangular cut lying east and west, mixed fill, two nails at the edge; no bone seen.",
         "steps": "stopped; covered; notified; left in place", "ring": "112 204.22; 112.98 204.25; 113.05 204.31; 113.04 204.80; 112.97 204.88; 112 204.86",
         "top_level": 29.078, "orientation": 88, "cover": "Breathable fabric, boards, 50 mm of clean sand", "left_exposed": "no",
         "disposition": "Left in place, undug", **signed("RM", "2026-05-14")},
        {"number": "G2", "contexts": "116; 117", "recognised_on": "2026-05-15", "recognised_at": "14:05", "recognised_by": "T. Bray",
         "evidence": "Second cut of the same line and fill at the south edge; mostly beyond the unit.", "steps": "stopped; covered; notified; left in place",
         "ring": "112.55 204; 113.38 204; 113.38 204.15; 112.62 204.14; 112.56 204.10", "top_level": 29.070, "orientation": 90,
         "cover": "Breathable fabric and boards", "left_exposed": "no", "disposition": "Left in place, undug", **signed("RM", "2026-05-15")},
    ],
    "notice": [
        {"burial": "G1", "to": "Coroner's officer (invented)", "day": "2026-05-14", "time": "11:45", "by": "R. Marlow, telephone", "answer": "No further interest while covered and undug; ref EX-1", "answered_on": "2026-05-14", **signed("RM", "2026-05-14", checked="")},
        {"burial": "G1", "to": "County archaeologist (invented)", "day": "2026-05-14", "time": "12:10", "by": "R. Marlow, telephone", "answer": "Leave in place; visit on the 18th", "answered_on": "2026-05-14", **signed("RM", "2026-05-14", checked="")},
        {"burial": "G2", "to": "Coroner's officer and county archaeologist (invented)", "day": "2026-05-15", "time": "14:30", "by": "R. Marlow, telephone", "answer": "As for G1", "answered_on": "2026-05-15", **signed("RM", "2026-05-15", checked="")},
    ],
}  # fmt: skip

for _rows in WORDS.values():
    for _row in _rows:
        _row.setdefault("term_list", LIST)
