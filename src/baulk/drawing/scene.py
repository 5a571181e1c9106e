"""A drawing as plain shapes on paper, in millimetres from the sheet's top left corner.

Scenes are made by the drawings and turned into SVG by `baulk.drawing.svg`; they hold no more than what is to be seen.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

__all__ = ["Area", "Group", "Line", "Mark", "Scene", "Shape", "Spot", "Stroke", "Text", "rectangle"]


class Spot(NamedTuple):
    """A place on the sheet: millimetres to the right and down from its top left corner."""

    across: float
    down: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line is drawn.

    Parameters
    ----------
    name
        What the line stands for; it becomes the class by which a page can restyle it.
    width
        Millimetres.
    dashes
        Lengths of dash and gap in turn, millimetres; empty for a firm line.
    colour
        ``#RRGGBB`` for a line that keeps its colour, else empty: ink, which a page may change.
    round_ends
        Dots rather than dashes when a dash is nearly nothing.
    """

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    colour: str = ""
    round_ends: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line, or several of one kind; `parts` are runs of spots."""

    parts: tuple[tuple[Spot, ...], ...]
    stroke: Stroke
    closed: bool = False
    cased: bool = False
    """True for a line that runs over soil: a thin rim of paper keeps it legible on dark ground."""


@dataclass(frozen=True, slots=True)
class Area:
    """A filled shape: its rings, its own colour (None: unfilled; ``paper``: the sheet's), its texture and its outline."""

    rings: tuple[tuple[Spot, ...], ...]
    fill: str | None = None
    texture: str = ""
    stroke: Stroke | None = None
    light_texture: bool = False
    """True when the texture is drawn light on dark soil."""


@dataclass(frozen=True, slots=True)
class Text:
    """Words on the sheet; `size` is the height of the letters' body in millimetres, `anchor` start, middle or end."""

    words: str
    spot: Spot
    size: float
    anchor: str = "start"
    bold: bool = False
    turn: float = 0.0
    faint: bool = False
    halo: bool = False
    """True for words that stand on soil: a rim of paper keeps them legible."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A small sign of fixed design, named in `baulk.drawing.symbols`, with its point of reference on `spot`."""

    name: str
    spot: Spot
    size: float
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that belong together.

    Parameters
    ----------
    shapes
        In the order in which they are drawn.
    title
        What a reader who cannot see the drawing is told; empty for none.
    record
        Id of the record drawn; empty for none.
    role
        What the group is on the sheet (``deposit``, ``key``, ``scale-bar`` and so on).
    name
        Tells groups of one role apart: the key entry's name, the reading of a level.
    """

    shapes: tuple[Shape, ...]
    title: str = ""
    record: str = ""
    role: str = ""
    name: str = ""


Shape = Line | Area | Text | Mark | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole sheet at print scale.

    Parameters
    ----------
    name
        Short plain name, used to keep parts of several drawings on one page apart.
    title, description
        Told to readers who cannot see the drawing.
    width, height
        Millimetres on paper.
    shapes
        In the order in which they are drawn.
    scale
        20 for 1:20; 0 for a drawing without a scale.
    notes
        What the drawing leaves out or takes for granted, also written on it.
    """

    name: str
    title: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    scale: float = 0.0
    description: str = ""
    notes: tuple[str, ...] = field(default=())


def rectangle(left: float, top: float, width: float, height: float) -> tuple[Spot, ...]:
    """Return the corners of an upright rectangle, from the top left one clockwise."""
    return (Spot(left, top), Spot(left + width, top), Spot(left + width, top + height), Spot(left, top + height))
