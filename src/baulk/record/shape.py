"""Levels on contexts, outlines in plan, and the laid elements of a structure."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Bearing, Measure, Path, Percent, Polygon, Position, position_at

__all__ = ["Element", "Level", "Outline"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_MANUAL = "published recording manuals"


class Level(Entity):
    """One height on a surface of a context."""

    KIND: ClassVar[str] = "level"
    TITLE: ClassVar[str] = "level"
    SHAPE: ClassVar[str] = "point"

    context: Annotated[
        str,
        facts("Context", "The context whose surface it is.", _M, Quantity.REFERENCE, refers="context", source=_MANUAL),
    ]
    surface: Annotated[str | None, facts("Surface", "Top or base.", _M, Quantity.WORD, "surface_of", source=_MANUAL)] = "top"
    easting: Annotated[Measure | None, facts("Easting", "Site grid easting.", _M, Quantity.LENGTH, source=_MANUAL)] = None
    northing: Annotated[Measure | None, facts("Northing", "Site grid northing.", _M, Quantity.LENGTH, source=_MANUAL)] = None
    level: Annotated[
        Measure | None, facts("Level", "Height above the site's vertical datum.", _M, Quantity.LEVEL, source=_MANUAL)
    ] = None
    sight: Annotated[
        str | None,
        facts(
            "From reading",
            "The line of the levels book it was reduced from.",
            _E,
            Quantity.REFERENCE,
            refers="sight",
            source="published levelling instructions",
        ),
    ] = None
    on_plan: Annotated[
        Measure | None,
        facts("Level on the plan", "The value written on the drawing, to be compared.", _E, Quantity.LEVEL, source=_MANUAL),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the place of the level."""
        return position_at(self.easting, self.northing)


class Outline(Entity):
    """The extent of a context in plan; every edge says how it was seen."""

    KIND: ClassVar[str] = "outline"
    TITLE: ClassVar[str] = "outline"
    SHAPE: ClassVar[str] = "polygon"

    context: Annotated[str, facts("Context", "The context drawn.", _M, Quantity.REFERENCE, refers="context", source=_MANUAL)]
    drawing: Annotated[
        str | None,
        facts("Drawing", "The sheet it is drawn on.", _E, Quantity.REFERENCE, refers="drawing", source=_MANUAL),
    ] = None
    ring: Annotated[Polygon | None, facts("Outline", "Corners on the site grid.", _M, Quantity.POLYGON, source=_MANUAL)] = None
    edges: Annotated[
        tuple[str, ...] | None,
        facts(
            "Edges",
            "Kind of each edge, from corner 1 to 2 and on round: seen, uncertain, cut away, limit of excavation.",
            _M,
            Quantity.WORD,
            "edge",
            source="practitioners' forum, read",
        ),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the outline's corners."""
        return self.ring or ()


class Element(Entity):
    """One brick, sett or stone of a structure."""

    KIND: ClassVar[str] = "element"
    TITLE: ClassVar[str] = "laid piece"
    SHAPE: ClassVar[str] = "polygon"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Piece", "Its number in the structure.", _E)] = None
    context: Annotated[str, facts("Structure", "The structure it belongs to.", _M, Quantity.REFERENCE, refers="context")]
    ring: Annotated[Polygon | None, facts("Outline", "Visible face on the site grid.", _E, Quantity.POLYGON)] = None
    axis: Annotated[Path | None, facts("Axis", "Two ends of the long axis of the visible face.", _E, Quantity.PATH)] = None
    bearing: Annotated[Bearing | None, facts("Bearing", "Bearing of the long axis, 0 to 180.", _E, Quantity.BEARING)] = None
    attitude: Annotated[
        str | None,
        facts("How laid", "Flat, on edge, on end.", _M, Quantity.WORD, "attitude", source="common practice, no source"),
    ] = None
    bond_term: Annotated[
        str | None,
        facts(
            "Bond term",
            "Stretcher, header, rowlock, shiner, soldier, sailor.",
            _E,
            Quantity.WORD,
            "bond_term",
            source="from memory",
        ),
    ] = None
    length: Annotated[Measure | None, facts("Length", "Millimetres.", _E, Quantity.SIZE)] = None
    width: Annotated[Measure | None, facts("Width", "Millimetres.", _E, Quantity.SIZE)] = None
    height: Annotated[Measure | None, facts("Height", "Millimetres.", _E, Quantity.SIZE)] = None
    level: Annotated[Measure | None, facts("Level", "Of the visible face.", _E, Quantity.LEVEL)] = None
    material: Annotated[str | None, facts("Material", "What it is of.", _E, Quantity.WORD, "material")] = None
    mortar: Annotated[
        str | None,
        facts(
            "Mortar on it",
            "None, bedding, or remnant of an earlier use.",
            _M,
            Quantity.WORD,
            "mortar_remnant",
            source="common practice, no source",
        ),
    ] = None
    whole: Annotated[bool | None, facts("Whole", "False when it is cut or broken.", _E, Quantity.YES_NO)] = None
    firing: Annotated[
        str | None,
        facts("Firing", "Soft to over-fired.", _E, Quantity.WORD, "firing", source="common practice, no source"),
    ] = None
    hardness: Annotated[
        str | None,
        facts(
            "Hardness",
            "Soft when a fingernail marks it, medium when a knife does, hard when a knife slides off; notes tell any other test.",
            quantity=Quantity.WORD,
            vocabulary="hardness",
            source="common practice, no source",
        ),
    ] = None
    absorption: Annotated[
        Percent | None,
        facts(
            "Absorption",
            "Water taken up by soaking in per cent of the dry mass; the notes say how long it soaked.",
            quantity=Quantity.PERCENT,
            source="ASTM C67, read in trade pages",
        ),
    ] = None
    wear: Annotated[str | None, facts("Wear", "On the visible face.", _E, Quantity.WORD, "wear", source="from memory")] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the outline of the visible face."""
        return self.ring or ()
