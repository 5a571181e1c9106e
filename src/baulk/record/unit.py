"""The excavation unit and how it was closed."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Day, Measure, Percent, Polygon, Position

__all__ = ["Backfill", "Unit"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_STATE = "published state guidance"
_CP = "common practice, no source"


class Unit(Entity):
    """An excavation unit: a square or other opening of known corners."""

    KIND: ClassVar[str] = "unit"
    TITLE: ClassVar[str] = "unit"
    SHAPE: ClassVar[str] = "polygon"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Unit", "Number or name of the unit.", _M, source=_STATE)] = None
    shape: Annotated[str | None, facts("Shape", "Square, rectangle or other.", _E, Quantity.WORD, "unit_shape", source=_STATE)] = (
        None
    )
    design_width: Annotated[
        Measure | None, facts("Width as designed", "Side along grid east.", _M, Quantity.LENGTH, source=_STATE)
    ] = None
    design_length: Annotated[
        Measure | None, facts("Length as designed", "Side along grid north.", _M, Quantity.LENGTH, source=_STATE)
    ] = None
    corners: Annotated[
        Polygon | None,
        facts("Corners", "Grid positions, from the south-west corner anticlockwise.", _M, Quantity.POLYGON, source=_STATE),
    ] = None
    sides: Annotated[
        tuple[Measure, ...] | None,
        facts("Sides as taped", "Lengths of the sides in the order of the corners.", _E, Quantity.LENGTH, source=_CP),
    ] = None
    diagonals: Annotated[
        tuple[Measure, ...] | None,
        facts("Diagonals as taped", "Both diagonals, first from corner 1 to 3.", _E, Quantity.LENGTH, source=_CP),
    ] = None
    datum_corner: Annotated[str | None, facts("Datum corner", "Corner from which depths are given.", _E, source=_STATE)] = None
    ties: Annotated[
        str | None,
        facts("Ties", "Distances to fixed points outside the unit.", _E, sensitivity=Sensitivity.AGENCY, source=_STATE),
    ] = None
    reason: Annotated[str | None, facts("Reason", "Why the unit was placed here.", _M, source=_STATE)] = None
    question: Annotated[str | None, facts("Question", "What it is to answer.", _M, source=_STATE)] = None
    surface_before: Annotated[str | None, facts("Surface before", "What lay on the ground before.", _M, source=_STATE)] = None
    opening_levels: Annotated[
        tuple[Measure, ...] | None,
        facts("Opening levels", "Level at each corner in order, then at the centre.", _M, Quantity.LEVEL, source=_CP),
    ] = None
    method: Annotated[
        str | None,
        facts("Method", "Natural layers, or arbitrary levels within them.", _M, Quantity.WORD, "dig_method", source=_STATE),
    ] = None
    mesh: Annotated[Measure | None, facts("Mesh", "Opening of the sieve in millimetres.", _M, Quantity.SIZE, source=_STATE)] = None
    sieved: Annotated[
        Percent | None,
        facts("Share sieved", "Percent of the soil that was sieved.", _M, Quantity.PERCENT, source=_STATE),
    ] = None
    recovery: Annotated[str | None, facts("Recovery", "How finds were recovered, spoil searched.", _E, source=_STATE)] = None
    opened: Annotated[Day | None, facts("Opened", "Day of opening.", _M, Quantity.DAY, source=_STATE)] = None
    closed: Annotated[Day | None, facts("Closed", "Day of closing.", _E, Quantity.DAY, source=_STATE)] = None
    depth: Annotated[
        Measure | None,
        facts("Greatest depth", "Below the lowest corner of the surface.", _M, Quantity.LENGTH, source=_STATE),
    ] = None
    protection: Annotated[
        str | None,
        facts(
            "Protection",
            "How the sides were kept from falling in, and who inspected.",
            _E,
            source="29 CFR 1926 Subpart P",
        ),
    ] = None
    stop_reason: Annotated[
        str | None,
        facts("Reason for stopping", "Why it went no deeper.", _M, Quantity.WORD, "stop_reason", source=_STATE),
    ] = None
    probe: Annotated[str | None, facts("Probe below", "What an auger or probe met below the base.", _E, source=_STATE)] = None
    unexcavated: Annotated[
        Percent | None,
        facts("Left undug", "Percent of the unit's area not dug to the base.", _E, Quantity.PERCENT, source="from memory"),
    ] = None
    unexcavated_note: Annotated[
        str | None, facts("What was left", "What stays in the ground and why.", _E, source="from memory")
    ] = None
    base_levels: Annotated[
        tuple[Measure, ...] | None,
        facts("Base levels", "At least five levels of the final base.", _M, Quantity.LEVEL, source=_STATE),
    ] = None
    walls_with_layers: Annotated[
        tuple[str, ...] | None,
        facts(
            "Walls that show layers",
            "Faces of the unit in which layers can be seen.",
            _E,
            Quantity.WORD,
            "face",
            source=_STATE,
        ),
    ] = None
    sampling_plan: Annotated[
        str | None, facts("Sampling plan", "Which samples were to be taken.", _E, source="published guidance")
    ] = None
    depth_by_day: Annotated[
        tuple[Measure, ...] | None,
        facts("Depth day by day", "Depth at the end of each working day.", _E, Quantity.LENGTH, source=_CP),
    ] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the corners."""
        return self.corners or ()


class Backfill(Entity):
    """How a unit was filled in, and what tells the next digger."""

    KIND: ClassVar[str] = "backfill"
    TITLE: ClassVar[str] = "backfill"

    unit: Annotated[str | None, facts("Unit", "The unit filled in.", _M, Quantity.REFERENCE, refers="unit")] = None
    day: Annotated[Day | None, facts("Date", "Day of backfilling.", _M, Quantity.DAY, source=_CP)] = None
    liner: Annotated[
        str | None,
        facts(
            "Liner",
            "What was laid on the base and sides.",
            _M,
            Quantity.WORD,
            "liner",
            source="published field reports",
        ),
    ] = None
    liner_level: Annotated[
        Measure | None, facts("Level of the liner", "So that the next digger knows.", _E, Quantity.LEVEL, source=_CP)
    ] = None
    token: Annotated[
        str | None,
        facts("Dated token", "What dates the backfill, such as a coin of the year.", _E, source="published field reports"),
    ] = None
    support: Annotated[
        str | None,
        facts(
            "Support of masonry",
            "How fragile masonry or surfaces were cushioned.",
            _E,
            source="published field reports",
        ),
    ] = None
    material: Annotated[
        str | None, facts("Material", "What it was filled with, and from where.", _M, source="published field reports")
    ] = None
    imported: Annotated[
        bool | None,
        facts("Imported soil", "Whether soil was brought in.", _E, Quantity.YES_NO, source="published field reports"),
    ] = None
    volume: Annotated[
        Measure | None,
        facts("Volume", "Cubic quantity filled in, in the site's own length cubed.", _E, Quantity.NUMBER, source=_CP),
    ] = None
    compacted: Annotated[
        str | None,
        facts("Compaction", "How it was compacted.", _E, Quantity.WORD, "compacted", source="published field reports"),
    ] = None
    reinstated: Annotated[str | None, facts("Surface put back", "What lies on top now.", _E, source="published field reports")] = (
        None
    )
    copies: Annotated[
        str | None,
        facts("Copies of the record", "Where the copies were, before filling in.", _E, source="published archive guidance"),
    ] = None
