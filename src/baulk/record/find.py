"""Finds, samples, photos, drawings and documents: the registers."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Count, Day, FileMark, Measure, Position, YearNumber, position_at

__all__ = ["Document", "Drawing", "Find", "Photo", "Sample"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_FINDS = "published finds guidance"
_PHOTO = "published photography guidance"
_DRAW = "published drawing standards"
_CP = "common practice, no source"


class Find(Entity):
    """A bag of finds of one material from one context, or one registered find."""

    KIND: ClassVar[str] = "find"
    TITLE: ClassVar[str] = "find"
    SHAPE: ClassVar[str] = "point"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Find", "Bag or find number.", _M, source=_FINDS)] = None
    context: Annotated[
        str | None, facts("Context", "Where it came from.", _M, Quantity.REFERENCE, refers="context", source=_FINDS)
    ] = None
    registered: Annotated[
        bool | None, facts("Registered", "True for a find with its own position.", _E, Quantity.YES_NO, source=_FINDS)
    ] = None
    material: Annotated[str | None, facts("Material", "One per bag.", _M, Quantity.WORD, "find_material", source=_FINDS)] = None
    object: Annotated[str | None, facts("Object", "What it is.", _E, source=_FINDS)] = None
    type: Annotated[str | None, facts("Type", "Name of the dated type, as in the table used.", _E)] = None
    count: Annotated[Count | None, facts("Count", "Pieces.", _M, Quantity.COUNT, source=_FINDS)] = None
    mass: Annotated[Measure | None, facts("Mass", "Grams.", _M, Quantity.MASS, source=_FINDS)] = None
    easting: Annotated[
        Measure | None, facts("Easting", "Site grid easting of a registered find.", _E, Quantity.LENGTH, source=_FINDS)
    ] = None
    northing: Annotated[Measure | None, facts("Northing", "Site grid northing.", _E, Quantity.LENGTH, source=_FINDS)] = None
    level: Annotated[Measure | None, facts("Level", "Height.", _E, Quantity.LEVEL, source=_FINDS)] = None
    recovery: Annotated[
        str | None,
        facts("Recovered by", "Hand, sieve, spoil heap.", _M, Quantity.WORD, "recovery", source="from memory"),
    ] = None
    status: Annotated[
        str | None,
        facts(
            "Status",
            "Lifted, left in place, not collected, deselected.",
            _M,
            Quantity.WORD,
            "find_status",
            source=_FINDS,
        ),
    ] = None
    begin: Annotated[
        YearNumber | None,
        facts("Made from", "Earliest year of making.", _E, Quantity.YEAR, source="published dating guides"),
    ] = None
    end: Annotated[
        YearNumber | None,
        facts("Made to", "Latest year of making.", _E, Quantity.YEAR, source="published dating guides"),
    ] = None
    date_source: Annotated[str | None, facts("Dated from", "Where the range comes from.", _E, source="published dating guides")] = (
        None
    )
    at_change: Annotated[
        bool | None,
        facts(
            "At a change of layer",
            "True when it lay at the boundary: kept with the later layer.",
            quantity=Quantity.YES_NO,
            source="published dating guide",
        ),
    ] = None
    condition: Annotated[str | None, facts("Condition", "State and first aid.", _E, source=_FINDS)] = None
    kept_at: Annotated[str | None, facts("Kept at", "Box, laboratory, store.", _E, source="36 CFR 79.9")] = None

    def positions(self) -> tuple[Position, ...]:
        """Return where it lay, when it was plotted."""
        return position_at(self.easting, self.northing)


class Sample(Entity):
    """Soil, mortar, charcoal or other taken for study."""

    KIND: ClassVar[str] = "sample"
    TITLE: ClassVar[str] = "sample"
    SHAPE: ClassVar[str] = "point"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Sample", "Number.", _M, source="published archive register")] = None
    context: Annotated[
        str | None,
        facts(
            "Context",
            "Where it came from.",
            _M,
            Quantity.REFERENCE,
            refers="context",
            source="published archive register",
        ),
    ] = None
    type: Annotated[
        str | None,
        facts(
            "Kind",
            "Bulk, column, mortar, radiocarbon.",
            _M,
            Quantity.WORD,
            "sample_type",
            source="published archive register",
        ),
    ] = None
    purpose: Annotated[
        str | None, facts("Purpose", "What it is to answer, and why here.", _M, source="published archive register")
    ] = None
    litres: Annotated[Measure | None, facts("Volume", "Litres.", _M, Quantity.LITRES, source="published guidance")] = None
    containers: Annotated[
        Count | None,
        facts("Containers", "How many bags or tubs.", _M, Quantity.COUNT, source="published archive register"),
    ] = None
    easting: Annotated[Measure | None, facts("Easting", "Site grid easting.", _E, Quantity.LENGTH)] = None
    northing: Annotated[Measure | None, facts("Northing", "Site grid northing.", _E, Quantity.LENGTH)] = None
    level: Annotated[Measure | None, facts("Level", "Height.", _E, Quantity.LEVEL)] = None
    contamination: Annotated[str | None, facts("Contamination", "Risk of it.", _E, source="published research design")] = None
    labelled: Annotated[
        bool | None,
        facts("Labelled in and out", "Both labels written.", _E, Quantity.YES_NO, source="published guidance"),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return where it was taken."""
        return position_at(self.easting, self.northing)


class Photo(Entity):
    """One frame."""

    KIND: ClassVar[str] = "photo"
    TITLE: ClassVar[str] = "photo"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Photo", "Frame number.", _M, source=_PHOTO)] = None
    file: Annotated[FileMark | None, facts("File", "The picture, by its SHA-256.", _M, Quantity.FILE, source=_PHOTO)] = None
    file_name: Annotated[str | None, facts("File name", "Name as taken.", _E, source=_PHOTO)] = None
    day: Annotated[Day | None, facts("Date", "Day taken.", _M, Quantity.DAY, source=_PHOTO)] = None
    photographer: Annotated[str | None, facts("Photographer", "Initials.", _M, sensitivity=Sensitivity.AGENCY, source=_PHOTO)] = (
        None
    )
    subject: Annotated[str | None, facts("Subject", "What it shows.", _M, source=_PHOTO)] = None
    facing: Annotated[str | None, facts("Facing", "Direction the camera looks: N, NE and so on, or down.", _M, source=_PHOTO)] = (
        None
    )
    contexts: Annotated[
        tuple[str, ...] | None,
        facts("Contexts", "Contexts shown.", _M, Quantity.REFERENCE, refers="context", source=_PHOTO),
    ] = None
    unit: Annotated[str | None, facts("Unit", "Unit shown.", _E, Quantity.REFERENCE, refers="unit")] = None
    walls: Annotated[tuple[str, ...] | None, facts("Walls", "Faces of the unit shown square-on.", _E, Quantity.WORD, "face")] = None
    shows_base: Annotated[
        bool | None,
        facts(
            "Shows the base",
            "True for the base of the unit at the end.",
            _E,
            Quantity.YES_NO,
            source="published state guidance",
        ),
    ] = None
    kind: Annotated[
        str | None, facts("Kind", "Record, working or location shot.", _E, Quantity.WORD, "photo_kind", source=_PHOTO)
    ] = None
    stage: Annotated[str | None, facts("Stage", "Before, during or after.", _M, Quantity.WORD, "photo_stage", source=_PHOTO)] = None
    scale: Annotated[
        bool | None,
        facts("Scale", "A scale is in the picture.", _M, Quantity.YES_NO, source="published state guidance"),
    ] = None
    north: Annotated[
        bool | None,
        facts("North arrow", "A north arrow is in the picture.", _M, Quantity.YES_NO, source="published state guidance"),
    ] = None
    board: Annotated[
        bool | None,
        facts("Board", "A photo board is in the picture.", _M, Quantity.YES_NO, source="published state guidance"),
    ] = None
    in_focus: Annotated[bool | None, facts("Looked at", "Opened and found sharp.", _E, Quantity.YES_NO, source=_PHOTO)] = None
    sensitive: Annotated[
        bool | None,
        facts(
            "Sensitive",
            "Shows human remains or gives a place away.",
            _M,
            Quantity.YES_NO,
            sensitivity=Sensitivity.RESTRICTED,
        ),
    ] = None


class Drawing(Entity):
    """One sheet of the drawing register."""

    KIND: ClassVar[str] = "drawing"
    TITLE: ClassVar[str] = "drawing"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Drawing", "Number in the register.", _M, source=_DRAW)] = None
    kind: Annotated[
        str | None,
        facts("Kind", "Plan, base plan, section, elevation, profile.", _M, Quantity.WORD, "sheet_kind", source=_DRAW),
    ] = None
    unit: Annotated[str | None, facts("Unit", "Unit drawn.", _E, Quantity.REFERENCE, refers="unit", source=_DRAW)] = None
    wall: Annotated[str | None, facts("Wall", "Wall drawn.", _E, Quantity.REFERENCE, refers="wall", source=_DRAW)] = None
    photo: Annotated[
        str | None, facts("Photo", "Photo that a sketch was drawn over.", quantity=Quantity.REFERENCE, refers="photo", source=_CP)
    ] = None
    contexts: Annotated[
        tuple[str, ...] | None,
        facts("Contexts", "Contexts drawn.", _M, Quantity.REFERENCE, refers="context", source=_DRAW),
    ] = None
    stage: Annotated[str | None, facts("Stage", "Before, during or after.", _E, Quantity.WORD, "photo_stage")] = None
    scale: Annotated[Measure | None, facts("Scale", "20 for 1:20.", _M, Quantity.NUMBER, source=_DRAW)] = None
    grid_points: Annotated[
        Count | None,
        facts("Grid points", "How many grid positions stand on the sheet.", _M, Quantity.COUNT, source=_DRAW),
    ] = None
    north: Annotated[bool | None, facts("North arrow", "It is on the sheet.", _M, Quantity.YES_NO, source=_DRAW)] = None
    drawn_by: Annotated[str | None, facts("Drawn by", "Initials.", _M, sensitivity=Sensitivity.AGENCY, source=_DRAW)] = None
    drawn_on: Annotated[Day | None, facts("Drawn on", "Day.", _M, Quantity.DAY, source=_DRAW)] = None
    file: Annotated[
        FileMark | None, facts("File", "Scan or photo of the sheet, by its SHA-256.", _E, Quantity.FILE, source=_DRAW)
    ] = None
    picture: Annotated[
        FileMark | None,
        facts("Picture", "The same as pixels, where the file holds lines, by its SHA-256.", quantity=Quantity.FILE, source=_CP),
    ] = None


class Document(Entity):
    """A map, deed, letter, permit or other paper that bears on the site."""

    KIND: ClassVar[str] = "document"
    TITLE: ClassVar[str] = "document"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Document", "Number in the register.", _M)] = None
    kind: Annotated[str | None, facts("Kind", "Map, deed, design, permit.", _E, Quantity.WORD, "document_kind")] = None
    title: Annotated[str | None, facts("Title", "What it is called.", _M)] = None
    source: Annotated[str | None, facts("Source", "Where it is kept.", _M)] = None
    begin: Annotated[YearNumber | None, facts("Year from", "Earliest year it speaks of.", _E, Quantity.YEAR)] = None
    end: Annotated[YearNumber | None, facts("Year to", "Latest year it speaks of.", _E, Quantity.YEAR)] = None
    says: Annotated[str | None, facts("Says", "What it says that matters here.", _M)] = None
    there_by_then: Annotated[
        bool | None,
        facts(
            "There by then",
            "True when it shows that its contexts were there by the year it ends with: they are of that year or earlier.",
            quantity=Quantity.YES_NO,
            source="published dating guides",
        ),
    ] = None
    not_there_yet: Annotated[
        bool | None,
        facts(
            "Not there yet",
            "True when it shows that its contexts were not there in the year it begins with: they are of that year or later.",
            quantity=Quantity.YES_NO,
            source="published dating guides",
        ),
    ] = None
    certainty: Annotated[
        str | None,
        facts(
            "How surely it speaks of them", "Firm, probable or doubtful that these contexts are what it speaks of.",
            quantity=Quantity.WORD, vocabulary="certainty", source="common practice, no source",
        ),
    ] = None  # fmt: skip
    contexts: Annotated[
        tuple[str, ...] | None, facts("Contexts", "Contexts it bears on.", _E, Quantity.REFERENCE, refers="context")
    ] = None
    file: Annotated[FileMark | None, facts("File", "Copy, by its SHA-256.", _E, Quantity.FILE)] = None
