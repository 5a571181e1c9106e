"""A wall of the unit as drawn: the face, the contexts on it, and the contacts between them."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Day, Measure, Path, Polygon, Position

__all__ = ["Contact", "Wall", "WallOutline"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_STANDARD = "published drawing standards"


class Wall(Entity):
    """One vertical face of a unit; distance runs left to right as seen from inside the unit, height is a level."""

    KIND: ClassVar[str] = "wall"
    TITLE: ClassVar[str] = "wall"
    SHAPE: ClassVar[str] = "line"

    number: Annotated[str | None, facts("Wall", "Number of the drawing of this face.", _M, source=_STANDARD)] = None
    unit: Annotated[str, facts("Unit", "The unit whose face it is.", _M, Quantity.REFERENCE, refers="unit")]
    face: Annotated[str | None, facts("Face", "North, east, south or west wall.", _M, Quantity.WORD, "face", source=_STANDARD)] = (
        None
    )
    ends: Annotated[
        Path | None, facts("Ends", "Grid positions of the left and the right end.", _M, Quantity.PATH, source=_STANDARD)
    ] = None
    string_level: Annotated[
        Measure | None, facts("String level", "Level of the string line.", _M, Quantity.LEVEL, source=_STANDARD)
    ] = None
    scale: Annotated[Measure | None, facts("Scale", "10 for 1:10.", _M, Quantity.NUMBER, source=_STANDARD)] = None
    drawn_by: Annotated[str | None, facts("Drawn by", "Initials.", _M, sensitivity=Sensitivity.AGENCY, source=_STANDARD)] = None
    drawn_on: Annotated[Day | None, facts("Drawn on", "Day.", _M, Quantity.DAY, source=_STANDARD)] = None
    surface_line: Annotated[
        Path | None,
        facts("Ground line", "Ground surface as (distance, level).", _E, Quantity.PATH, source="from memory"),
    ] = None
    base_line: Annotated[
        Path | None,
        facts("Limit below", "Limit of excavation as (distance, level).", _E, Quantity.PATH, source="from memory"),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return both ends."""
        return self.ends or ()


class WallOutline(Entity):
    """The shape of one context on a wall, in distance along the wall and level."""

    KIND: ClassVar[str] = "wall_outline"
    TITLE: ClassVar[str] = "outline on a wall"

    wall: Annotated[str, facts("Wall", "The wall it is drawn on.", _M, Quantity.REFERENCE, refers="wall")]
    context: Annotated[
        str | None,
        facts(
            "Context",
            "The context drawn; every shape carries a number.",
            _M,
            Quantity.REFERENCE,
            refers="context",
            source=_STANDARD,
        ),
    ] = None
    ring: Annotated[Polygon | None, facts("Outline", "Corners as (distance, level).", _M, Quantity.POLYGON, source=_STANDARD)] = (
        None
    )
    edges: Annotated[
        tuple[str, ...] | None, facts("Edges", "Kind of each edge, as for outlines in plan.", _E, Quantity.WORD, "edge")
    ] = None


class Contact(Entity):
    """Two contexts that touch on a wall, the later first: independent evidence of the order."""

    KIND: ClassVar[str] = "contact"
    TITLE: ClassVar[str] = "contact on a wall"

    wall: Annotated[str, facts("Wall", "The wall on which they touch.", _M, Quantity.REFERENCE, refers="wall")]
    later: Annotated[str, facts("Later", "The context above or cutting.", _M, Quantity.REFERENCE, refers="context")]
    earlier: Annotated[str, facts("Earlier", "The context below or cut.", _M, Quantity.REFERENCE, refers="context")]
    how: Annotated[str | None, facts("How", "Overlies, cuts, fills, abuts.", _E, Quantity.WORD, "how")] = "overlies"
    line: Annotated[Path | None, facts("Line", "The contact as (distance, level).", _E, Quantity.PATH)] = None
    certainty: Annotated[str | None, facts("Certainty", "Firm, probable or doubtful.", _E, Quantity.WORD, "certainty")] = None
