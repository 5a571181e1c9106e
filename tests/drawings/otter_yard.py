"""A small invented record for the drawing tests: one unit in the canal-side yard at Otter Weir."""

from __future__ import annotations

from math import cos, radians, sin

from baulk.record import KINDS, Entity, SiteRecord, build

__all__ = ["UNIT", "WALL", "yard", "yard_entities"]

UNIT, WALL = "unit-1", "wall-1"
_SQUARE = [(100, 200), (102, 200), (102, 202), (100, 202)]
_LIMIT = "limit of excavation"


def _make(kind: str, values: dict[str, object]) -> Entity:
    return build(KINDS[kind], values)


def _context(number: str, kind: str, **values: object) -> Entity:
    return _make("context", {"id": f"c{number}", "number": number, "kind": kind, "units": [UNIT], **values})


def _outline(number: str, ring: list[tuple[float, float]], edges: list[str] | None = None) -> Entity:
    return _make("outline", {"id": f"o{number}", "context": f"c{number}", "ring": ring, "edges": edges, "drawing": "d1"})


def _wall_outline(number: str, ring: list[tuple[float, float]], edges: list[str] | None = None) -> Entity:
    return _make("wall_outline", {"id": f"w{number}", "wall": WALL, "context": f"c{number}", "ring": ring, "edges": edges})


def _round(middle: tuple[float, float], radius: float, corners: int = 20) -> list[tuple[float, float]]:
    angles = [radians(360 * corner / corners) for corner in range(corners)]
    return [(middle[0] + radius * cos(angle), middle[1] + radius * sin(angle) * 0.85) for angle in angles]


def _setts() -> list[Entity]:
    setts = []
    for number in range(26):
        turn, reach = radians(86 - 4.2 * (number % 13)), 1.0 + 0.22 * (number // 13)
        middle = (100.1 + reach * cos(turn), 200.1 + reach * sin(turn))
        along = (-sin(turn), cos(turn)) if number % 5 else (cos(turn), sin(turn))
        across = (along[1], -along[0])
        ring = [
            (middle[0] + a * along[0] * 0.024 + b * across[0] * 0.1, middle[1] + a * along[1] * 0.024 + b * across[1] * 0.1)
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        attitude = "on edge" if number % 9 else ("on end" if number else "flat")
        setts.append(
            _make("element", {"id": f"e{number}", "number": str(number + 1), "context": "c1006", "ring": ring,
                                     "attitude": attitude if number != 20 else None})
        )  # fmt: skip
    return setts


def yard_entities(**site: object) -> list[Entity]:
    """Return every record of the yard; `site` overrides the site's own fields."""
    pit = _round((101.35, 200.55), 0.36)
    grave = [(100.2, 200.05), (100.55, 200.05), (100.55, 200.75), (100.2, 200.75)]
    return [
        _make("site", {
            "id": "s1", "code": "OTW", "name": "Otter Weir glassworks yard", "invented": True, "grid_rotation": 14.0,
            "vertical_datum": "canal coping, 40.00 m", **site,
        }),
        _make("station", {"id": "st1", "number": "P1", "easting": 98.0, "northing": 198.5, "level": 41.2,
                          "mark": "nail in coping"}),
        _make("station", {"id": "st2", "number": "P2", "easting": 107.0, "northing": 206.0, "level": 41.05}),
        _make("unit", {"id": UNIT, "number": "1", "corners": _SQUARE, "design_width": 2, "design_length": 2}),
        _make("unit", {"id": "unit-2", "number": "2", "corners": [(104, 203), (105, 203), (105, 204), (104, 204)]}),
        _make("drawing", {"id": "d1", "number": "7", "kind": "plan", "unit": UNIT, "drawn_by": "HM", "drawn_on": "2026-05-14",
                                "checked_by": "RB"}),
        _context("1002", "deposit", title="cinder yard make-up", colour_moist="10YR 3/2", texture="sandy loam"),
        _context("1003", "fill", title="upper fill of pit", colour_moist="7.5YR 4/4", texture="brick rubble", fill_of="c1004"),
        _context("1004", "cut", title="pit"),
        _context("1005", "deposit", title="furnace rakings", colour_moist="N 2.5/0", texture="charcoal"),
        _context("1006", "structure", title="setts on edge", material="setts", attitude="on edge"),
        _context("1007", "deposit", title="bedding", texture="sand"),
        _context("1008", "deposit", title="old ground", colour_moist="2.5Y 5/4", texture="silty clay loam"),
        _context("1009", "fill", title="grave fill", colour_moist="10YR 5/6", texture="clay", fill_of="c1010"),
        _context("1010", "cut", title="possible grave", cut_function="grave"),
        _outline("1002", [(101.1, 201.2), (102, 201.1), (102, 202), (101.3, 202)], ["seen", _LIMIT, _LIMIT, "uncertain"]),
        _outline("1003", pit, ["seen"] * 12 + ["uncertain"] * 8),
        _outline("1004", pit, ["seen"] * 12 + ["uncertain"] * 8),
        _outline("1005", [(100, 201.55), (100.7, 201.5), (100.9, 202), (100, 202)], ["uncertain", "cut away", _LIMIT, _LIMIT]),
        _outline("1006", [(100, 200.9), (100.2, 200.95), (101.05, 200.6), (101.3, 200.9), (100.9, 201.4), (100.15, 201.55),
                          (100, 201.5)],
                 ["seen", "seen", "cut away", "seen", "seen", "seen", _LIMIT]),
        _outline("1007", [(100, 200.8), (101.2, 200.4), (101.45, 201), (101, 201.5), (100, 201.65)]),
        _outline("1008", _SQUARE, [_LIMIT] * 4),
        _outline("1009", grave, ["seen"] * 4),
        _outline("1010", grave, ["seen"] * 4),
        *_setts(),
        *(_make("level", {"id": f"l{n}", "context": f"c{c}", "surface": s, "easting": e, "northing": nn, "level": z})
          for n, (c, s, e, nn, z) in enumerate([
              ("1002", "top", 101.6, 201.7, 40.87), ("1006", "top", 100.5, 201.3, 40.712), ("1004", "base", 101.35, 200.55, 40.1),
              ("1008", "top", 100.9, 200.2, 40.61), ("1008", "top", 101.85, 200.15, 40.6), ("1010", "base", 100.4, 200.4, 39.33),
              ("1005", "top", 100.3, 201.8, 40.79),
          ])),
        _make("find", {"id": "f1", "number": "21", "context": "c1003", "registered": True, "easting": 101.2, "northing": 200.7,
                             "material": "glass waste"}),
        _make("find", {"id": "f2", "number": "22", "context": "c1002", "easting": 101.5, "northing": 201.4,
                       "material": "human bone"}),
        _make("sample", {"id": "sa1", "number": "3", "context": "c1005", "easting": 100.55, "northing": 201.75}),
        _make("wall", {"id": WALL, "number": "N1", "unit": UNIT, "face": "north", "ends": [(100, 202), (102, 202)],
                             "string_level": 41.0, "scale": 10, "drawn_by": "HM", "drawn_on": "2026-05-15",
                             "surface_line": [(0, 41.12), (0.7, 41.1), (1.4, 41.06), (2, 41.05)],
                             "base_line": [(0, 40.2), (0.9, 40.16), (2, 40.2)]}),
        _make("wall", {"id": "wall-2", "number": "E1", "unit": UNIT, "face": "east", "ends": [(102, 202), (102, 200)]}),
        _wall_outline("1002", [(0, 40.9), (0.62, 40.88), (1.3, 40.84), (2, 40.86), (2, 41.05), (1.4, 41.06), (0.7, 41.1),
                               (0, 41.12)],
                      ["uncertain", "seen", "seen", _LIMIT, "seen", "seen", "seen", _LIMIT]),
        _wall_outline("1003", [(0.62, 40.88), (0.7, 40.5), (1.2, 40.46), (1.3, 40.84)], ["seen", "uncertain", "seen", "seen"]),
        _wall_outline("1004", [(0.62, 40.88), (0.7, 40.5), (1.2, 40.46), (1.3, 40.84)]),
        _wall_outline("1005", [(0, 40.72), (0.655, 40.7), (0.62, 40.88), (0, 40.9)], ["seen", "cut away", "uncertain", _LIMIT]),
        _wall_outline("1008", [(0, 40.2), (0.9, 40.16), (2, 40.2), (2, 40.86), (1.3, 40.84), (1.2, 40.46), (0.7, 40.5),
                               (0.655, 40.7),
                               (0, 40.72)]),
        _make("contact", {"id": "k1", "wall": WALL, "later": "c1004", "earlier": "c1008", "how": "cuts", "certainty": "firm",
                                "line": [(0.655, 40.7), (0.7, 40.5), (1.2, 40.46), (1.3, 40.84)]}),
        _make("contact", {"id": "k2", "wall": WALL, "later": "c1005", "earlier": "c1008", "certainty": "doubtful",
                                "line": [(0, 40.72), (0.655, 40.7)]}),
        _make("contact", {"id": "k3", "wall": WALL, "later": "c1002", "earlier": "c1008", "certainty": "probable",
                                "line": [(1.3, 40.84), (2, 40.86)]}),
        _make("burial", {"id": "b1", "number": "B1", "contexts": ["c1009", "c1010"], "ring": grave}),
    ]  # fmt: skip


def yard(**site: object) -> SiteRecord:
    """Return the yard's record."""
    return SiteRecord.of(yard_entities(**site))
