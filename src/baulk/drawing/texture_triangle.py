"""The texture triangle: the twelve classes drawn from their inequalities, and soils on it.

Each class is what its inequalities leave of the triangle, so that a boundary stands where the definition has it (clay 27, 12 and 7
per cent) and not where an older drawing put it (27.5, 12.5 and 7.5).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import shapely

from baulk.drawing.scene import Area, Group, Line, Mark, Scene, Shape, Spot, Stroke, Text
from baulk.ground.soil import CLASSES

__all__ = ["class_polygons", "texture_triangle"]

_BOUNDARY = Stroke("texture boundary", 0.35)
_FRAME = Stroke("frame", 0.5)
_FAINT = Stroke("faint grid", 0.15)
_WIDTH, _HEIGHT, _LEFT, _TOP = 190.0, 172.0, 18.0, 22.0
_SIDE = 154.0

# Corners of each class as (silt, clay), where the lines of its inequalities meet; sand is the rest of 100.
_CORNERS = {
    "sand": ((0, 0), (15, 0), (0, 10)),
    "loamy sand": ((15, 0), (30, 0), (0, 15), (0, 10)),
    "sandy loam": ((30, 0), (50, 0), (50, 7), (41, 7), (28, 20), (0, 20), (0, 15)),
    "loam": ((41, 7), (50, 7), (50, 27), (28, 27), (28, 20)),
    "silt loam": ((50, 0), (80, 0), (80, 12), (88, 12), (73, 27), (50, 27)),
    "silt": ((80, 0), (100, 0), (88, 12), (80, 12)),
    "sandy clay loam": ((0, 20), (28, 20), (28, 27), (20, 35), (0, 35)),
    "clay loam": ((28, 27), (53, 27), (40, 40), (15, 40), (20, 35)),
    "silty clay loam": ((53, 27), (73, 27), (60, 40), (40, 40)),
    "sandy clay": ((0, 35), (20, 35), (0, 55)),
    "silty clay": ((40, 40), (60, 40), (40, 60)),
    "clay": ((15, 40), (40, 40), (40, 60), (0, 100), (0, 55)),
}


def class_polygons() -> dict[str, shapely.Polygon]:
    """Return the outline of each class on the plane of silt and clay, in per cent."""
    return {name: shapely.Polygon(_CORNERS[name]) for name in CLASSES}


def texture_triangle(soils: Sequence[tuple[str, float, float, float]] = ()) -> Scene:
    """Return the triangle with soils on it.

    Parameters
    ----------
    soils : sequence of (name, sand, silt, clay)
        Names and shares in per cent of the fine earth, each adding up to 100.
    """
    shapes: list[Shape] = [_grid(), *_classes(), *_edges(), *_soils(soils)]
    heading = Text("Soil texture, USDA classes", Spot(_LEFT, 12.0), 5.0, bold=True)
    told = f"Triangle of the twelve texture classes with {len(soils)} soils on it."
    return Scene("texture triangle", "Soil texture triangle", _WIDTH, _HEIGHT, (heading, *shapes), description=told)


def _spot(silt: float, clay: float) -> Spot:
    """Return the place of a soil: sand runs leftward along the base, clay up, silt down the right side."""
    return Spot(_LEFT + _SIDE * (silt + clay / 2) / 100, _TOP + _SIDE * sqrt(3) / 2 * (1 - clay / 100))


def _grid() -> Line:
    parts = []
    for share in range(10, 100, 10):
        parts += [
            (_spot(0, share), _spot(100 - share, share)),
            (_spot(share, 0), _spot(share, 100 - share)),
            (_spot(0, 100 - share), _spot(100 - share, 0)),
        ]
    return Line(tuple(parts), _FAINT)


def _classes() -> list[Shape]:
    found: list[Shape] = []
    for name, outline in class_polygons().items():
        ring = tuple(_spot(*corner) for corner in shapely.get_coordinates(outline)[:-1].tolist())
        inside = shapely.maximum_inscribed_circle(outline).coords[0] if name != "loamy sand" else (11.5, 6.5)
        middle = _spot(*inside)
        words = name.split(" ") if len(name) > 6 and name not in ("silty clay", "sandy clay") else [name]
        size = 2.4 if name == "loamy sand" else 3.2
        lines = [
            Text(
                word,
                Spot(middle.across, middle.down + size * (1.1 * (place - (len(words) - 1) / 2) + 0.35)),
                size,
                "middle",
                halo=True,
            )
            for place, word in enumerate(words)
        ]
        found.append(Group((Area((ring,), stroke=_BOUNDARY), *lines), name, role="texture-class", name=name))
    return found


def _edges() -> list[Shape]:
    frame = Line(((_spot(0, 0), _spot(100, 0), _spot(0, 100)),), _FRAME, closed=True)
    marks: list[Shape] = [frame]
    for share in range(0, 101, 10):
        left, right, base = _spot(0, share), _spot(share, 100 - share), _spot(100 - share, 0)
        marks += [
            Text(str(share), Spot(left.across - 2.0, left.down + 1.0), 2.8, "end"),
            Text(str(share), Spot(right.across + 2.0, right.down + 1.0), 2.8),
            Text(str(share), Spot(base.across, base.down + 4.5), 2.8, "middle"),
        ]
    left, right, base = _spot(0, 50), _spot(50, 50), _spot(50, 0)
    return [
        *marks,
        Text("clay %", Spot(left.across - 11.0, left.down), 3.6, "middle", turn=-60.0),
        Text("silt %", Spot(right.across + 11.0, right.down), 3.6, "middle", turn=60.0),
        Text("sand %", Spot(base.across, base.down + 11.0), 3.6, "middle"),
    ]


def _soils(soils: Sequence[tuple[str, float, float, float]]) -> list[Shape]:
    found: list[Shape] = []
    for name, sand, silt, clay in soils:
        spot = _spot(silt, clay)
        told = f"{name}: sand {sand:g}, silt {silt:g}, clay {clay:g} %"
        label = Text(name, Spot(spot.across + 2.2, spot.down - 1.4), 3.2, bold=True, halo=True)
        found.append(Group((Mark("sample", spot, 3.2), label), told, role="soil", name=name))
    return found
