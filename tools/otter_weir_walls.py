"""The two walls of the invented unit as drawn: distance along the wall and level."""

from __future__ import annotations

from otter_weir import CUT, LIMIT, SEEN, UNSURE, Row, points, signed

Ring = list[tuple[float, float]]


def walls() -> list[Row]:
    """Return the north and the west wall."""
    return [
        {"number": "W1", "unit": 1, "face": "north", "ends": "112 206; 114 206", "string_level": "29.300", "scale": 10, "drawn_by": "TB",
         "drawn_on": "2026-05-20", "surface_line": points([(0, 29.657), (0.7, 29.655), (1.42, 29.648), (1.70, 29.400), (2, 29.300)]),
         "base_line": points([(0, 28.60), (2, 28.60)]), **signed("TB", "2026-05-20")},
        {"number": "W2", "unit": 1, "face": "west", "ends": "112 204; 112 206", "string_level": "29.300", "scale": 10, "drawn_by": "AK",
         "drawn_on": "2026-05-20", "surface_line": points([(0, 29.625), (1, 29.641), (2, 29.657)]),
         "base_line": points([(0, 29.0), (0.92, 29.0), (1.0, 28.60), (2, 28.60)]), **signed("AK", "2026-05-20")},
    ]  # fmt: skip


NORTH: dict[int, tuple[Ring, str]] = {
    101: ([(0, 29.657), (0.7, 29.655), (1.42, 29.648), (1.47, 29.535), (0.8, 29.541), (0, 29.544)], f"{SEEN};{SEEN};{CUT};{SEEN};{SEEN};{LIMIT}"),
    102: ([(0, 29.544), (0.8, 29.541), (1.47, 29.535), (1.53, 29.396), (0.7, 29.400), (0, 29.402)], f"{SEEN};{SEEN};{CUT};{SEEN};{SEEN};{LIMIT}"),
    108: ([(0, 29.402), (0.7, 29.400), (1.53, 29.396), (1.62, 29.070), (1.03, 29.076), (1.03, 29.212), (0.56, 29.214), (0.56, 29.078), (0, 29.086)],
          f"{SEEN};{SEEN};{CUT};{UNSURE};{SEEN};{SEEN};{SEEN};{UNSURE};{LIMIT}"),
    109: ([(0.56, 29.214), (1.03, 29.212), (1.03, 29.066), (0.56, 29.068)], f"{SEEN};{SEEN};{SEEN};{SEEN}"),
    110: ([(0.56, 29.068), (1.03, 29.066), (1.03, 29.038), (0.56, 29.040)], f"{SEEN};{UNSURE};{SEEN};{UNSURE}"),
    118: ([(0, 29.086), (0.56, 29.078), (0.56, 29.040), (1.03, 29.038), (1.03, 29.076), (1.62, 29.070), (1.66, 28.906), (0, 28.914)],
          f"{UNSURE};{SEEN};{SEEN};{SEEN};{UNSURE};{CUT};{SEEN};{LIMIT}"),
    119: ([(0, 28.914), (1.66, 28.906), (1.72, 28.722), (0, 28.730)], f"{SEEN};{CUT};{SEEN};{LIMIT}"),
    120: ([(0, 28.730), (1.72, 28.722), (1.75, 28.60), (0, 28.60)], f"{SEEN};{CUT};{LIMIT};{LIMIT}"),
    104: ([(1.42, 29.648), (1.70, 29.400), (2, 29.300), (2, 28.60), (1.75, 28.60), (1.66, 28.906), (1.53, 29.396)],
          f"{SEEN};{SEEN};{LIMIT};{LIMIT};{UNSURE};{SEEN};{SEEN}"),
}  # fmt: skip

WEST: dict[int, tuple[Ring, str]] = {
    101: ([(0, 29.625), (1, 29.641), (2, 29.657), (2, 29.544), (1, 29.532), (0, 29.520)], f"{SEEN};{SEEN};{LIMIT};{SEEN};{SEEN};{LIMIT}"),
    102: ([(0, 29.520), (1, 29.532), (2, 29.544), (2, 29.402), (1, 29.392), (0, 29.382)], f"{SEEN};{SEEN};{LIMIT};{SEEN};{SEEN};{LIMIT}"),
    108: ([(0, 29.382), (1, 29.392), (2, 29.402), (2, 29.086), (1.45, 29.082), (1.45, 29.210), (0.87, 29.206), (0.87, 29.078), (0.22, 29.074), (0, 29.068)],
          f"{SEEN};{SEEN};{LIMIT};{UNSURE};{SEEN};{SEEN};{SEEN};{SEEN};{UNSURE};{LIMIT}"),
    109: ([(0.87, 29.206), (1.45, 29.210), (1.45, 29.070), (0.88, 29.066)], f"{SEEN};{SEEN};{SEEN};{CUT}"),
    110: ([(0.88, 29.066), (1.45, 29.070), (1.45, 29.040), (0.88, 29.038)], f"{SEEN};{UNSURE};{SEEN};{CUT}"),
    115: ([(0.22, 29.074), (0.87, 29.078), (0.88, 29.038), (0.89, 29.0), (0.24, 29.0)], f"{SEEN};{SEEN};{SEEN};{LIMIT};{SEEN}"),
    118: ([(0.88, 29.038), (1.45, 29.040), (1.45, 29.082), (2, 29.086), (2, 28.914), (0.94, 28.910)],
          f"{SEEN};{SEEN};{UNSURE};{LIMIT};{SEEN};{LIMIT}"),
    119: ([(0.94, 28.910), (2, 28.914), (2, 28.730), (0.97, 28.728)], f"{SEEN};{LIMIT};{SEEN};{LIMIT}"),
    120: ([(0.97, 28.728), (2, 28.730), (2, 28.60), (1.0, 28.60)], f"{SEEN};{LIMIT};{LIMIT};{LIMIT}"),
}  # fmt: skip


def wall_outlines() -> list[Row]:
    """Return the contexts on both walls; the cuts share the line of their fills."""
    rows: list[Row] = []
    for wall, shapes, by in (("W1", NORTH, "TB"), ("W2", WEST, "AK")):
        for context, (ring, edges) in shapes.items():
            rows.append(
                {
                    "wall": wall,
                    "context": context,
                    "ring": points(ring),
                    "edges": edges.replace(";", "; "),
                    **signed(by, "2026-05-20"),
                }
            )
    rows.append(
        {
            "wall": "W1",
            "context": 103,
            "ring": points(NORTH[104][0]),
            "edges": NORTH[104][1].replace(";", "; "),
            **signed("TB", "2026-05-20"),
        }
    )
    rows.append(
        {
            "wall": "W2",
            "context": 114,
            "ring": points(WEST[115][0]),
            "edges": WEST[115][1].replace(";", "; "),
            **signed("AK", "2026-05-20"),
        }
    )
    rows.append({"wall": "W2", "context": 118, "ring": points([(0, 29.068), (0.22, 29.074), (0.24, 29.0), (0, 29.0)]),
                 "edges": f"{UNSURE}; {CUT}; {LIMIT}; {LIMIT}", **signed("AK", "2026-05-20")})  # fmt: skip
    return rows


def contacts() -> list[Row]:
    """Return the contacts seen on both walls."""
    seen = [
        ("W1", 104, 103, "fills", "firm"), ("W1", 103, 101, "cuts", "firm"), ("W1", 103, 102, "cuts", "firm"), ("W1", 103, 108, "cuts", "firm"),
        ("W1", 103, 118, "cuts", "firm"), ("W1", 103, 119, "cuts", "probable"), ("W1", 101, 102, "overlies", "firm"),
        ("W1", 102, 108, "overlies", "firm"), ("W1", 108, 109, "overlies", "firm"), ("W1", 108, 118, "overlies", "probable"),
        ("W1", 109, 110, "overlies", "firm"), ("W1", 110, 118, "overlies", "firm"), ("W1", 118, 119, "overlies", "firm"),
        ("W1", 119, 120, "overlies", "firm"), ("W2", 101, 102, "overlies", "firm"), ("W2", 102, 108, "overlies", "firm"),
        ("W2", 108, 109, "overlies", "firm"), ("W2", 108, 115, "overlies", "firm"), ("W2", 115, 114, "fills", "firm"),
        ("W2", 114, 109, "cuts", "firm"), ("W2", 114, 110, "cuts", "firm"), ("W2", 114, 118, "cuts", "firm"), ("W2", 109, 110, "overlies", "firm"),
        ("W2", 110, 118, "overlies", "firm"), ("W2", 118, 119, "overlies", "firm"), ("W2", 119, 120, "overlies", "firm"),
    ]  # fmt: skip
    return [
        {
            "wall": wall,
            "later": later,
            "earlier": earlier,
            "how": how,
            "certainty": certainty,
            **signed("TB" if wall == "W1" else "AK", "2026-05-20"),
        }
        for wall, later, earlier, how, certainty in seen
    ]
