"""Words placed so that they do not lie over each other, and the tags that carry context numbers."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi, sin

from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Shape, Spot, Stroke, Text

__all__ = ["Places", "number_tag", "places_around", "tag_form", "tag_size"]

_CELL = 10.0
_RIM = Stroke("tag", 0.2)
_FORMS = {"cut": "cut", "structure": "structure", "timber": "structure", "surface": "structure"}


class Places:
    """The places on one sheet that are taken; used while a drawing is made and then dropped."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[tuple[float, float, float, float]]] = {}

    def take(self, centre: Spot, width: float, height: float) -> None:
        """Mark an upright rectangle as taken."""
        box = _box(centre, width, height)
        for cell in _cells_of(box):
            self._cells.setdefault(cell, []).append(box)

    def is_free(self, centre: Spot, width: float, height: float) -> bool:
        """Tell whether an upright rectangle meets none that is taken."""
        left, top, right, bottom = box = _box(centre, width, height)
        return not any(
            left < other[2] and other[0] < right and top < other[3] and other[1] < bottom
            for cell in _cells_of(box)
            for other in self._cells.get(cell, ())
        )

    def take_first(self, centres: Iterable[Spot], width: float, height: float) -> Spot | None:
        """Take the first free place of those offered; None when there is none."""
        for centre in centres:
            if self.is_free(centre, width, height):
                self.take(centre, width, height)
                return centre
        return None


def places_around(spot: Spot, width: float, height: float, gap: float) -> tuple[Spot, ...]:
    """Return centres for words of that size round a mark: right, left, above, below, the corners, then the same further out."""
    found = []
    for ring in (1.0, 2.2, 3.6):
        across, down = width / 2 + gap * ring, height / 2 + gap * ring
        sides = ((across, 0.0), (-across, 0.0), (0.0, -down), (0.0, down))
        corners = ((across, -down), (-across, -down), (across, down), (-across, down))
        found += [Spot(spot.across + right, spot.down + below) for right, below in (*sides, *corners)]
    return tuple(found)


def tag_form(kind: str | None) -> str:
    """Return the form of number tag for a kind of context: deposit, cut or structure."""
    return _FORMS.get(kind or "", "deposit")


def tag_size(number: str, size: float) -> tuple[float, float]:
    """Return width and height of the tag that carries `number` in letters of that size."""
    return shown_width(number, size) + 1.1 * size, 1.55 * size


def number_tag(number: str, form: str, centre: Spot, size: float) -> Group:
    """Return a context's number on its tag.

    A deposit's tag has round ends, a cut's is square with notches below, a structure's has a double rim.
    """
    width, height = tag_size(number, size)
    shapes: list[Shape] = [Area((_outline(centre, width, height, form),), "paper", stroke=_RIM)]
    if form == "cut":
        foot = centre.down + height / 2
        spots = [centre.across + width * share for share in (-0.25, 0.0, 0.25)]
        shapes.append(Line(tuple((Spot(across, foot), Spot(across, foot + 0.28 * size)) for across in spots), _RIM))
    elif form == "structure":
        shapes.append(Area((_outline(centre, width - 0.36 * size, height - 0.36 * size, form),), stroke=Stroke("tag", 0.14)))
    shapes.append(Text(number, Spot(centre.across, centre.down + 0.36 * size), size, "middle", bold=True))
    return Group(tuple(shapes), role="number", name=number)


def _outline(centre: Spot, width: float, height: float, form: str) -> tuple[Spot, ...]:
    left, right, top, bottom = _box(centre, width, height)[0], _box(centre, width, height)[2], *_box(centre, width, height)[1::2]
    if form != "deposit":
        return (Spot(left, top), Spot(right, top), Spot(right, bottom), Spot(left, bottom))
    radius = height / 2
    ends = []
    for start, middle in ((-pi / 2, right - radius), (pi / 2, left + radius)):
        angles = (start + pi * step / 8 for step in range(9))
        ends += [Spot(middle + radius * cos(angle), centre.down + radius * sin(angle)) for angle in angles]
    return tuple(ends)


def _box(centre: Spot, width: float, height: float) -> tuple[float, float, float, float]:
    return (centre.across - width / 2, centre.down - height / 2, centre.across + width / 2, centre.down + height / 2)


def _cells_of(box: tuple[float, float, float, float]) -> list[tuple[int, int]]:
    left, top, right, bottom = (int(side // _CELL) for side in box)
    return [(across, down) for across in range(left, right + 1) for down in range(top, bottom + 1)]
