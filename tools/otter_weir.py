"""Writes the geometry of the invented demo site, Otter Weir, as CSV files that `baulk take` reads.

Everything here is invented. The script holds the shape of the ground in one place so that outlines, walls, levels and the levels
book agree with each other as a real record would, to within the millimetre that a staff reads. Words and registers stand in CSV
files of their own beside the ones written here.

Run: python tools/otter_weir.py
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

TARGET = Path(__file__).parent.parent / "src" / "baulk" / "work" / "otter_weir"
WEST, SOUTH, EAST, NORTH = 112.0, 204.0, 114.0, 206.0
CENTRE = (112.20, 205.80)  # of what the setts swing round
SEEN, UNSURE, CUT, LIMIT = "seen", "uncertain", "cut away", "limit of excavation"
Row = dict[str, object]


def write(kind: str, rows: list[Row]) -> None:
    """Write one kind's rows; a column stands where any row has a value."""
    columns = list(dict.fromkeys(name for row in rows for name in row))
    with (TARGET / f"{kind}.csv").open("w", newline="", encoding="utf-8") as file:
        sheet = csv.DictWriter(file, columns, lineterminator="\n")
        sheet.writeheader()
        sheet.writerows(rows)


def points(ring: list[tuple[float, float]]) -> str:
    """Return positions in the form of a cell."""
    return "; ".join(f"{east:.3f} {north:.3f}" for east, north in ring)


def signed(by: str, day: str, checked: str = "RM", checked_on: str = "") -> Row:
    """Return the fields that every record carries."""
    row: Row = {"recorded_by": by, "recorded_on": day}
    if checked:
        row |= {"checked_by": checked, "checked_on": checked_on or day}
    return row


def circle(east: float, north: float, radius: float, corners: int = 14) -> list[tuple[float, float]]:
    """Return a slightly uneven round outline, anticlockwise."""
    return [
        (
            east + radius * (1 + 0.05 * math.sin(3 * turn)) * math.cos(turn),
            north + radius * (1 + 0.05 * math.sin(3 * turn)) * math.sin(turn),
        )
        for turn in (2 * math.pi * step / corners for step in range(corners))
    ]


WHOLE = [(WEST, SOUTH), (EAST, SOUTH), (EAST, NORTH), (WEST, NORTH)]
COLLAPSE = [(113.45, 206.0), (113.40, 205.80), (113.58, 205.46), (114.0, 205.30), (114.0, 206.0)]
PIT = circle(113.05, 205.33, 0.29)
DRAIN = [(113.38, 204.0), (113.72, 204.0), (113.735, 205.40), (113.58, 205.46), (113.545, 205.53), (113.40, 205.50)]
PIPE = [(113.46, 204.0), (113.63, 204.0), (113.65, 205.43), (113.58, 205.46), (113.48, 205.46)]
GRAVE_1 = [(112.0, 204.22), (112.98, 204.25), (113.05, 204.31), (113.04, 204.80), (112.97, 204.88), (112.0, 204.86)]
GRAVE_2 = [(112.55, 204.0), (113.38, 204.0), (113.38, 204.15), (112.62, 204.14), (112.56, 204.10)]
SOCKET = circle(*CENTRE, 0.17, 12)


def arc(radius: float, start: float, end: float, steps: int = 10) -> list[tuple[float, float]]:
    """Return an arc about the centre, bearings in degrees from grid north, clockwise."""
    turns = (math.radians(start + (end - start) * step / steps) for step in range(steps + 1))
    return [(CENTRE[0] + radius * math.sin(turn), CENTRE[1] + radius * math.cos(turn)) for turn in turns]


def band() -> list[tuple[float, float]]:
    """Return the outline of the setting: where it leaves the north and west walls, less what grave 1 has taken."""
    inner, outer = 0.40, 1.06
    start = [math.degrees(math.acos(0.2 / radius)) for radius in (inner, outer)]
    end = [180 + math.degrees(math.asin(0.2 / inner)), 180 + math.degrees(math.asin(0.1 / outer))]
    return [*arc(inner, start[0], end[0]), (112.0, 204.86), (112.29, 204.868), *arc(outer, 170, start[1])]


def inside(point: tuple[float, float], ring: list[tuple[float, float]]) -> bool:
    """Tell whether a point lies inside a ring (ray crossing)."""
    odd = False
    for (east_a, north_a), (east_b, north_b) in zip(ring, ring[1:] + ring[:1], strict=True):
        if (north_a > point[1]) != (north_b > point[1]):
            odd ^= point[0] < (east_b - east_a) * (point[1] - north_a) / (north_b - north_a) + east_a
    return odd


def setts() -> list[Row]:
    """Return the setts: laid on edge in arcs, the long axis along the arc, dry, no mortar on any face."""
    rows: list[Row] = []
    for course in range(7):
        radius = 0.445 + course * 0.096
        step = math.degrees(0.222 / radius)
        bearing = 60 + (course % 2) * step / 2
        while bearing < 212:
            wobble = 1.6 * math.sin(7.3 * len(rows) + course)
            ring = sett(radius, bearing, wobble)
            middle = (sum(p[0] for p in ring) / 4, sum(p[1] for p in ring) / 4)
            in_unit = all(WEST <= east <= EAST and SOUTH <= north <= NORTH for east, north in ring)
            lost = [cut for cut in (PIT, GRAVE_1, COLLAPSE) if inside(middle, cut)]
            if in_unit and not lost:
                clipped = any(inside(corner, cut) for cut in (PIT, GRAVE_1, COLLAPSE) for corner in ring)
                rows.append(sett_row(len(rows) + 1, ring, radius, bearing, wobble, whole=not clipped))
            bearing += step
    return rows


def sett(radius: float, bearing: float, wobble: float) -> list[tuple[float, float]]:
    """Return the visible face of one sett, 210 by 90 mm."""
    turn = math.radians(bearing)
    east, north = CENTRE[0] + radius * math.sin(turn), CENTRE[1] + radius * math.cos(turn)
    along = turn + math.pi / 2 + math.radians(wobble)
    half_length, half_width = 0.102, 0.043
    ring = []
    for sign_along, sign_across in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        ring.append(
            (
                east + sign_along * half_length * math.sin(along) + sign_across * half_width * math.cos(along),
                north + sign_along * half_length * math.cos(along) - sign_across * half_width * math.sin(along),
            )
        )
    return ring


def sett_row(number: int, ring: list[tuple[float, float]], radius: float, bearing: float, wobble: float, *, whole: bool) -> Row:
    """Return the record of one sett."""
    axis = (bearing + 90 + wobble) % 180
    ends = [((ring[0][i] + ring[3][i]) / 2, (ring[1][i] + ring[2][i]) / 2) for i in (0, 1)]
    return {
        "number": f"S{number:02d}", "context": 109, "ring": points(ring),
        "axis": points([(ends[0][0], ends[1][0]), (ends[0][1], ends[1][1])]), "bearing": f"{axis:.1f}", "attitude": "on edge",
        "length": 204 + (number * 7) % 13, "width": 148 + (number * 5) % 9, "height": 86 + (number * 3) % 7,
        "level": f"{29.212 - 0.012 * (radius - 0.4) + 0.003 * math.sin(number):.3f}", "material": "setts", "mortar": "none",
        "whole": "yes" if whole else "no", "firing": "not fired", "wear": "worn" if number % 4 else "polished",
        **signed("TB", "2026-05-14"),
    }  # fmt: skip


# what a context's surface is like: level at the south-west corner, rise eastward and northward per metre
TOPS = {
    101: (29.625, -0.006, 0.016), 102: (29.520, -0.004, 0.012), 104: (29.330, 0.0, 0.0), 107: (29.372, 0.0, 0.0),
    106: (29.110, 0.0, 0.0), 108: (29.382, -0.004, 0.010), 109: (29.205, -0.002, 0.004), 110: (29.062, -0.002, 0.004),
    112: (29.010, 0.012, 0.0), 113: (29.376, 0.0, 0.004), 115: (29.078, 0.0, 0.0), 117: (29.070, 0.0, 0.0),
    118: (29.064, -0.006, 0.008), 119: (28.902, -0.004, 0.006), 120: (28.722, -0.004, 0.004), 122: (29.066, 0.0, 0.0),
    103: (29.640, 0.0, 0.0), 105: (29.372, 0.0, 0.0), 111: (29.376, 0.0, 0.0), 114: (29.078, 0.0, 0.0), 116: (29.070, 0.0, 0.0),
    121: (29.066, 0.0, 0.0),
}  # fmt: skip
BASES = {
    101: (29.520, -0.004, 0.012), 102: (29.382, -0.004, 0.010), 104: (28.440, 0.0, 0.0), 106: (28.850, 0.0, 0.0),
    107: (29.110, 0.0, 0.0), 108: (29.070, -0.006, 0.008), 109: (29.062, -0.002, 0.004), 110: (29.034, -0.002, 0.004),
    112: (28.862, 0.012, 0.0), 113: (29.010, 0.012, 0.0), 118: (28.902, -0.004, 0.006), 119: (28.722, -0.004, 0.004),
    120: (28.600, 0.0, 0.0), 122: (28.700, 0.0, 0.0), 103: (28.440, 0.0, 0.0), 105: (28.850, 0.0, 0.0),
    111: (28.862, 0.012, 0.0), 121: (28.700, 0.0, 0.0),
}  # fmt: skip
CORNERS = [(112.1, 204.1), (113.9, 204.1), (113.9, 205.15), (112.1, 205.9), (113.0, 205.0)]
SPOTS: dict[int, list[tuple[float, float]]] = {
    101: CORNERS, 102: CORNERS, 108: [(112.1, 204.1), (113.9, 204.1), (113.9, 205.15), (113.3, 204.6), (113.34, 205.02)],
    109: [(112.72, 205.86), (112.86, 205.44), (112.48, 205.12), (112.14, 205.04), (113.05, 205.78)],
    110: [(112.72, 205.86), (112.86, 205.44), (112.48, 205.12)],
    118: [(113.2, 204.6), (113.25, 205.75), (112.40, 205.72), (113.85, 204.3), (113.2, 205.05)],
    119: [(113.2, 204.6), (113.25, 205.75), (112.48, 205.62), (113.85, 204.3)],
    120: [(113.2, 204.6), (113.25, 205.75), (112.48, 205.62), (113.85, 204.3), (113.0, 205.03)],
    104: [(113.8, 205.7)], 103: [(113.8, 205.7)], 105: [(113.05, 205.33)], 106: [(113.05, 205.33), (113.0, 205.25)],
    107: [(113.05, 205.33), (112.95, 205.42)], 111: [(113.55, 204.1), (113.56, 205.3)], 112: [(113.55, 204.1), (113.56, 205.3)],
    113: [(113.55, 204.1), (113.56, 205.3)], 114: [(112.2, 204.5), (112.9, 204.55)], 115: [(112.2, 204.5), (112.9, 204.55), (112.5, 204.7)],
    116: [(112.8, 204.07)], 117: [(112.8, 204.07), (113.2, 204.08)], 121: [(112.2, 205.8)], 122: [(112.2, 205.8), (112.12, 205.85)],
}  # fmt: skip
# where a base was levelled, the top of what lies under it was levelled too: the old ground gave way under the sand and the setts
PRESSED = {(110, "base"): [118]}


def height(plane: tuple[float, float, float], place: tuple[float, float]) -> float:
    """Return the level of a plane at a place, with the millimetre or two by which ground is never plane."""
    ripple = 0.003 * math.sin(11 * place[0] + 7 * place[1])
    return plane[0] + plane[1] * (place[0] - WEST) + plane[2] * (place[1] - SOUTH) + ripple


def levels_and_book() -> tuple[list[Row], list[Row], list[Row]]:
    """Return the levels, the runs and the staff readings they were reduced from."""
    days = {"1": "2026-05-11", "2": "2026-05-13", "3": "2026-05-15", "4": "2026-05-18"}
    of_run = {"1": [101, 102, 103], "2": [104, 105, 106, 107, 108, 111, 113], "3": [109, 112, 114, 115, 116, 117, 118, 121, 122],
              "4": [110, 119, 120]}  # fmt: skip
    misclosure = {"1": 0.001, "2": -0.002, "3": 0.001, "4": 0.002}
    bench = 30.000
    runs: list[Row] = []
    sights: list[Row] = []
    levels: list[Row] = []
    for run, contexts in of_run.items():
        by = "TB" if run in "13" else "AK"
        runs.append({"number": run, "day": days[run], "instrument": "Automatic level 2", "observer": by, "start": "YD1", "end": "YD1",
                     "limit": "0.005", "two_peg_on": "2026-05-11", **signed(by, days[run])})  # fmt: skip
        line = 1
        backsight = {"1": 1.342, "2": 1.287, "3": 1.401, "4": 1.366}[run]
        instrument = bench + backsight
        sights.append({"run": run, "place": line, "point": "YD1", "backsight": f"{backsight:.3f}", "booked_level": f"{bench:.3f}"})
        for context in contexts:
            for surface, planes in (("top", TOPS), ("base", BASES)):
                if context not in planes:
                    continue
                for of, shape, place in [
                    *((context, planes[context], place) for place in SPOTS[context]),
                    *((lower, planes[context], place) for lower in PRESSED.get((context, surface), []) for place in SPOTS[context]),
                ]:
                    line += 1
                    level = round(height(shape, place), 3)
                    seen = surface if of == context else "top"
                    reading = instrument - level
                    sights.append({"run": run, "place": line, "point": f"{seen} of {of}", "intermediate": f"{reading:.3f}",
                                   "booked_level": f"{level:.3f}"})  # fmt: skip
                    levels.append({"context": of, "surface": seen, "easting": place[0], "northing": place[1],
                                   "level": f"{level:.3f}", "sight": f"{run}/{line}", "on_plan": f"{level:.2f}",
                                   **signed(by, days[run])})  # fmt: skip
        closing = instrument - bench - misclosure[run]
        sights.append({"run": run, "place": line + 1, "point": "YD1", "foresight": f"{closing:.3f}",
                       "booked_level": f"{bench + misclosure[run]:.3f}"})  # fmt: skip
    return levels, runs, sights


def main() -> None:
    """Write every file."""
    TARGET.mkdir(parents=True, exist_ok=True)
    write("outline", outlines())
    write("element", setts())
    levels, runs, sights = levels_and_book()
    write("level_run", runs)
    write("sight", sights)
    write("level", levels)
    from otter_weir_walls import contacts, wall_outlines, walls

    write("wall", walls())
    write("wall_outline", wall_outlines())
    write("contact", contacts())


def outline(context: int, sheet: str, ring: list[tuple[float, float]], edges: list[str], by: str, day: str) -> Row:
    """Return one outline in plan."""
    return {"context": context, "drawing": sheet, "ring": points(ring), "edges": "; ".join(edges), **signed(by, day)}


def outlines() -> list[Row]:
    """Return the outlines in plan."""
    ring = band()
    edges = [LIMIT if (abs(a[1] - NORTH) < 0.01 and abs(b[1] - NORTH) < 0.01) or (abs(a[0] - WEST) < 0.01 and abs(b[0] - WEST) < 0.01)
             else CUT if max(a[1], b[1]) < 204.9 else SEEN for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]  # fmt: skip
    bedding = [UNSURE if edge == SEEN else edge for edge in edges]
    return [
        outline(101, "D1", WHOLE, [LIMIT] * 4, "AK", "2026-05-11"),
        outline(102, "D1", WHOLE, [LIMIT] * 4, "AK", "2026-05-11"),
        outline(103, "D1", COLLAPSE, [SEEN, SEEN, UNSURE, LIMIT, LIMIT], "AK", "2026-05-11"),
        outline(104, "D1", COLLAPSE, [SEEN, SEEN, UNSURE, LIMIT, LIMIT], "AK", "2026-05-11"),
        outline(105, "D2", PIT, [SEEN] * 11 + [UNSURE] * 3, "TB", "2026-05-12"),
        outline(107, "D2", PIT, [SEEN] * 11 + [UNSURE] * 3, "TB", "2026-05-12"),
        outline(106, "D3", circle(113.05, 205.33, 0.24), [SEEN] * 14, "TB", "2026-05-13"),
        outline(108, "D2", WHOLE, [LIMIT] * 4, "TB", "2026-05-12"),
        outline(111, "D2", DRAIN, [LIMIT, SEEN, CUT, CUT, SEEN, SEEN], "AK", "2026-05-12"),
        outline(113, "D2", DRAIN, [LIMIT, SEEN, CUT, CUT, SEEN, SEEN], "AK", "2026-05-12"),
        outline(112, "D3", PIPE, [LIMIT, SEEN, CUT, CUT, SEEN], "AK", "2026-05-13"),
        outline(109, "D4", ring, edges, "TB", "2026-05-14"),
        outline(114, "D4", GRAVE_1, [SEEN, SEEN, SEEN, SEEN, SEEN, LIMIT], "RM", "2026-05-14"),
        outline(115, "D4", GRAVE_1, [SEEN, SEEN, SEEN, SEEN, SEEN, LIMIT], "RM", "2026-05-14"),
        outline(116, "D4", GRAVE_2, [LIMIT, CUT, SEEN, UNSURE, UNSURE], "RM", "2026-05-15"),
        outline(117, "D4", GRAVE_2, [LIMIT, CUT, SEEN, UNSURE, UNSURE], "RM", "2026-05-15"),
        outline(121, "D4", SOCKET, [SEEN] * 9 + [UNSURE] * 3, "TB", "2026-05-15"),
        outline(122, "D4", SOCKET, [SEEN] * 9 + [UNSURE] * 3, "TB", "2026-05-15"),
        outline(110, "D5", ring, bedding, "TB", "2026-05-18"),
        outline(118, "D5", WHOLE, [LIMIT] * 4, "AK", "2026-05-18"),
        outline(119, "D5", [(112.35, 204.95), (113.95, 204.95), (113.95, 205.25), (113.35, 205.95), (112.35, 205.95)],
                [LIMIT] * 5, "AK", "2026-05-18"),
        outline(120, "D6", [(112.40, 205.0), (113.30, 205.0), (113.30, 205.90), (112.40, 205.90)], [LIMIT] * 4, "AK", "2026-05-19"),
    ]  # fmt: skip


if __name__ == "__main__":
    main()
