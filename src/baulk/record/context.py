"""The context: one deposit, fill, cut, structure, surface, timber or disturbance.

One kind of record with fields that apply to some kinds of context (`FieldFacts.applies`).
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity, facts_of
from baulk.record.facts import FieldFacts, Need, Quantity, facts
from baulk.record.values import Bearing, Count, Measure, Munsell, Percent, YearNumber

__all__ = ["CONTEXT_KINDS", "Context"]

CONTEXT_KINDS = ("deposit", "fill", "cut", "structure", "surface", "timber", "disturbance")

_M, _E = Need.MANDATORY, Need.EXPECTED
_SOIL = ("deposit", "fill")
_DUG = (*_SOIL, "surface", "disturbance")
"""Kinds of which soil is dug and sieved; of a cut only its fills are, of a structure and a timber what lies about them."""
_MADE = ("structure",)
_MANUAL = "published recording manuals"
_ARCHIVE = "field seen in deposited archives"
_MEMORY = "from memory"
_HOUSE = "common practice, no source"
_MASONRY = "published masonry prompt sheet"


def _soil(
    label: str, text: str, need: Need = _M, quantity: Quantity = Quantity.WORD, words: str = "", source: str = _ARCHIVE
) -> FieldFacts:
    return facts(label, text, need, quantity, words, applies=_SOIL, source=source)


def _cut(
    label: str, text: str, need: Need = _M, quantity: Quantity = Quantity.WORD, words: str = "", source: str = _ARCHIVE
) -> FieldFacts:
    return facts(label, text, need, quantity, words, applies=("cut",), source=source)


def _made(
    label: str, text: str, need: Need = _M, quantity: Quantity = Quantity.WORD, words: str = "", source: str = _MASONRY
) -> FieldFacts:
    return facts(label, text, need, quantity, words, applies=_MADE, source=source)


class Context(Entity):
    """One context, numbered once in the site's single series."""

    KIND: ClassVar[str] = "context"
    TITLE: ClassVar[str] = "context"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Context", "Its number; a void record keeps it.", _M, source=_MANUAL)] = None
    kind: Annotated[
        str | None,
        facts(
            "Kind",
            "Deposit, fill, cut, structure, surface, timber or disturbance.",
            _M,
            Quantity.WORD,
            "context_kind",
            source=_MANUAL,
        ),
    ] = None
    units: Annotated[
        tuple[str, ...] | None,
        facts("Units", "Units in which it was seen.", _M, Quantity.REFERENCE, refers="unit", source=_MANUAL),
    ] = None
    title: Annotated[str | None, facts("Short name", "A few words to know it by.", _E)] = None
    description: Annotated[str | None, facts("Description", "What was seen, apart from what it may mean.", _M, source=_MANUAL)] = (
        None
    )
    interpretation: Annotated[str | None, facts("Interpretation", "What it may be.", _M, source=_MANUAL)] = None
    reasons: Annotated[
        str | None, facts("Reasons", "What speaks for the interpretation.", _M, source="practitioners' forum, read")
    ] = None
    alternatives: Annotated[
        str | None,
        facts("Alternatives", "What else it may be, and what would tell.", _E, source="practitioners' forum, read"),
    ] = None
    confidence: Annotated[
        str | None, facts("Confidence", "Firm, probable or doubtful.", _E, Quantity.WORD, "certainty", source=_MANUAL)
    ] = None
    natural: Annotated[
        bool | None,
        facts("Natural", "True when it is natural and undisturbed.", quantity=Quantity.YES_NO, applies=("deposit",)),
    ] = None
    key_context: Annotated[
        bool | None, facts("Key context", "True when the order or a question hangs on it.", quantity=Quantity.YES_NO)
    ] = None
    phase: Annotated[Count | None, facts("Phase", "Stratigraphic phase, 1 the earliest.", quantity=Quantity.COUNT)] = None
    phase_note: Annotated[str | None, facts("Why this phase", "The reasoning, so that it can be tested.", _E)] = None

    # what every dug context says
    thickness_min: Annotated[Measure | None, _soil("Thickness from", "Least thickness.", _M, Quantity.LENGTH)] = None
    thickness_max: Annotated[Measure | None, _soil("Thickness to", "Greatest thickness.", _M, Quantity.LENGTH)] = None
    length: Annotated[Measure | None, facts("Length", "As seen.", _M, Quantity.LENGTH, source=_ARCHIVE)] = None
    width: Annotated[Measure | None, facts("Width", "As seen.", _M, Quantity.LENGTH, source=_ARCHIVE)] = None
    tools: Annotated[tuple[str, ...] | None, facts("Dug with", "Tools used.", _M, Quantity.WORD, "tool", source=_ARCHIVE)] = None
    dug: Annotated[Percent | None, facts("Share dug", "Percent of it that was dug.", _M, Quantity.PERCENT, source=_ARCHIVE)] = None
    sieved: Annotated[
        Percent | None,
        facts(
            "Share sieved", "Percent of it that was sieved.", _M, Quantity.PERCENT, applies=_DUG, source="published state guidance"
        ),
    ] = None
    litres: Annotated[
        Measure | None,
        facts("Volume dug", "Litres, from buckets.", _E, Quantity.LITRES, applies=_SOIL, source=_ARCHIVE),
    ] = None
    reliability: Annotated[
        str | None,
        facts(
            "Reliability",
            "How far its finds can be trusted to belong.",
            _E,
            Quantity.WORD,
            "reliability",
            applies=_DUG,
            source=_ARCHIVE,
        ),
    ] = None
    contamination: Annotated[
        str | None, facts("Contamination", "Roots, burrows, a collapsing edge, mixing.", _E, applies=_DUG, source=_ARCHIVE)
    ] = None
    disturbed: Annotated[
        str | None, _soil("How far disturbed", "By roots, burrows, later digging.", Need.OPTIONAL, words="disturbed", source=_HOUSE)
    ] = None
    deposition: Annotated[str | None, _soil("How finds came in", "And how long kept.", Need.OPTIONAL, Quantity.TEXT)] = None
    formation: Annotated[str | None, facts("How it formed", "The process.", _M, Quantity.WORD, "formation", source=_ARCHIVE)] = None

    # deposits and fills
    deposit_type: Annotated[
        str | None,
        _soil("Kind of deposit", "Layer, spread, dump and the like.", _E, words="deposit_type", source=_MEMORY),
    ] = None
    colour_moist: Annotated[
        Munsell | None,
        _soil(
            "Colour, moist",
            "Munsell hue value/chroma of the moist soil.",
            _M,
            Quantity.MUNSELL,
            source="published state guidance",
        ),
    ] = None
    colour_dry: Annotated[
        Munsell | None, _soil("Colour, dry", "Munsell colour of the dry soil.", Need.OPTIONAL, Quantity.MUNSELL)
    ] = None
    mottles: Annotated[str | None, _soil("Mottles", "Colour and share of mottles.", Need.OPTIONAL, Quantity.TEXT)] = None
    texture: Annotated[
        str | None,
        _soil("Composition", "Texture class or material.", _M, words="texture", source="published state guidance"),
    ] = None
    compaction: Annotated[str | None, _soil("Compaction", "How it yields to the trowel.", _M, words="compaction")] = None
    inclusions: Annotated[str | None, _soil("Inclusions", "Material, frequency, size, sorting and shape.", _M, Quantity.TEXT)] = (
        None
    )
    inclusion_frequency: Annotated[
        str | None, _soil("How frequent", "How frequent inclusions are over all.", _E, words="frequency")
    ] = None
    sorting: Annotated[
        str | None,
        _soil("Sorting", "Well, moderately or poorly sorted.", Need.OPTIONAL, words="sorting", source=_MEMORY),
    ] = None
    boundary: Annotated[
        str | None, _soil("Boundary below", "How sharp the boundary to the layer below is.", _E, words="boundary")
    ] = None
    boundary_form: Annotated[
        str | None,
        _soil("Form of boundary", "Smooth, wavy, irregular, broken.", Need.OPTIONAL, words="boundary_form", source=_MEMORY),
    ] = None
    told_apart_by: Annotated[
        str | None,
        _soil("Told apart by", "What set it off: colour, composition, compaction, inclusions.", _E, Quantity.TEXT),
    ] = None
    edge_north: Annotated[
        str | None, facts("North edge", "Clarity.", _E, Quantity.WORD, "clarity", applies=_SOIL, source=_ARCHIVE)
    ] = None
    edge_east: Annotated[
        str | None, facts("East edge", "Clarity.", _E, Quantity.WORD, "clarity", applies=_SOIL, source=_ARCHIVE)
    ] = None
    edge_south: Annotated[
        str | None, facts("South edge", "Clarity.", _E, Quantity.WORD, "clarity", applies=_SOIL, source=_ARCHIVE)
    ] = None
    edge_west: Annotated[
        str | None, facts("West edge", "Clarity.", _E, Quantity.WORD, "clarity", applies=_SOIL, source=_ARCHIVE)
    ] = None

    # fills
    fill_of: Annotated[
        str | None,
        facts("Fill of", "The cut it fills.", _M, Quantity.REFERENCE, refers="context", applies=("fill",), source=_ARCHIVE),
    ] = None
    fill_position: Annotated[
        str | None,
        facts(
            "Place among fills",
            "Primary, secondary, upper.",
            _M,
            Quantity.WORD,
            "fill_position",
            applies=("fill",),
            source=_ARCHIVE,
        ),
    ] = None
    deliberate: Annotated[
        str | None,
        facts(
            "Deliberate or gradual",
            "With the evidence in the description.",
            _E,
            Quantity.WORD,
            "deliberate",
            applies=("fill",),
            source="practitioners' forum, read",
        ),
    ] = None

    # cuts
    plan_shape: Annotated[str | None, _cut("Shape in plan", "As seen.", words="plan_shape")] = None
    corners: Annotated[str | None, _cut("Corners", "Square or rounded.", _E, words="corners", source=_MEMORY)] = None
    depth: Annotated[
        Measure | None,
        facts("Depth", "As seen, from where it was cut.", _M, Quantity.LENGTH, applies=("cut",), source=_ARCHIVE),
    ] = None
    break_top: Annotated[str | None, _cut("Break of slope, top", "Sharp, gradual, imperceptible.", words="break_of_slope")] = None
    break_base: Annotated[str | None, _cut("Break of slope, base", "Sharp, gradual, imperceptible.", words="break_of_slope")] = None
    side_slope: Annotated[str | None, _cut("Slope of sides", "Vertical to gentle.", words="side_slope")] = None
    side_shape: Annotated[str | None, _cut("Shape of sides", "Straight, concave, stepped.", words="side_shape")] = None
    base_shape: Annotated[str | None, _cut("Base", "Flat, concave, V-shaped.", words="base_shape")] = None
    orientation: Annotated[
        Bearing | None,
        facts(
            "Orientation",
            "Bearing of the long axis, degrees from grid north, 0 to 180.",
            _E,
            Quantity.BEARING,
            applies=("cut", "structure", "timber"),
            source=_ARCHIVE,
        ),
    ] = None
    truncated: Annotated[
        str | None, _cut("Truncated", "By what, and how much is lost; or not truncated.", quantity=Quantity.TEXT)
    ] = None
    cut_from: Annotated[
        str | None,
        facts(
            "Cut from",
            "The context at whose top the cut begins: it dates the feature.",
            _M,
            Quantity.REFERENCE,
            refers="context",
            applies=("cut",),
            source="published glossary and from memory",
        ),
    ] = None
    cut_from_shown: Annotated[
        str | None,
        _cut("Shown by", "The wall or section that shows where it was cut from.", _E, Quantity.TEXT, source=_MEMORY),
    ] = None
    cut_function: Annotated[
        str | None,
        _cut("What it may be", "Post hole, pit, robber trench, possible grave.", words="cut_function", source=_MEMORY),
    ] = None
    section_share: Annotated[
        str | None,
        _cut("How it was dug", "Half, quarter, full.", _M, words="section_share", source="published state guidance"),
    ] = None
    open_because: Annotated[
        str | None, _cut("No fill because", "Why the cut has no fill of its own.", Need.OPTIONAL, Quantity.TEXT)
    ] = None
    tool_marks: Annotated[str | None, _cut("Tool marks", "In the sides.", Need.OPTIONAL, Quantity.TEXT, source=_MEMORY)] = None

    # structures
    structure_type: Annotated[
        str | None,
        _made("Kind of structure", "Wall, footing, floor, path and the like, or not known.", words="structure_type"),
    ] = None
    material: Annotated[str | None, _made("Material", "Brick, stone, setts and the like.", words="material")] = None
    measured_pieces: Annotated[
        Count | None,
        _made(
            "Pieces measured",
            "How many bricks or stones were measured.",
            _M,
            Quantity.COUNT,
            source="field published; count common practice, no source",
        ),
    ] = None
    piece_length: Annotated[Measure | None, _made("Piece length", "Mean, millimetres.", _M, Quantity.SIZE)] = None
    piece_width: Annotated[Measure | None, _made("Piece width", "Mean, millimetres.", _M, Quantity.SIZE)] = None
    piece_height: Annotated[Measure | None, _made("Piece height", "Mean, millimetres.", _M, Quantity.SIZE)] = None
    bond: Annotated[str | None, _made("Bond", "Bond or coursing.", words="bond")] = None
    courses: Annotated[Count | None, _made("Courses", "How many stand.", _M, Quantity.COUNT)] = None
    attitude: Annotated[
        str | None,
        _made("How laid", "Flat, on edge, on end.", _E, words="attitude", source="common practice, no source"),
    ] = None
    bonding_agent: Annotated[str | None, _made("Bonding agent", "None, earth, lime, cement.", words="bonding_agent")] = None
    joint: Annotated[str | None, _made("Joints", "Finish of the joints.", _E, words="joint")] = None
    joint_thickness: Annotated[Measure | None, _made("Joint thickness", "Millimetres.", _E, Quantity.SIZE)] = None
    firing: Annotated[
        str | None, _made("Firing", "Soft to over-fired.", _E, words="firing", source="common practice, no source")
    ] = None
    wear: Annotated[
        str | None,
        facts("Wear", "On the upper face.", _E, Quantity.WORD, "wear", applies=("structure", "surface"), source=_MEMORY),
    ] = None
    faces: Annotated[str | None, _made("Faces", "Which faces are fair, which rough; core.", _M, Quantity.TEXT, source=_ARCHIVE)] = (
        None
    )
    construction_cut: Annotated[
        str | None,
        facts(
            "Construction cut",
            "The cut it stands in.",
            _M,
            Quantity.REFERENCE,
            refers="context",
            applies=_MADE,
            source=_MEMORY,
        ),
    ] = None
    coatings: Annotated[str | None, _made("Coatings", "Plaster, render, limewash, burnt faces.", _E, Quantity.TEXT)] = None
    left_in_place: Annotated[
        bool | None,
        facts(
            "Left in place",
            "Whether it stays in the ground.",
            _M,
            Quantity.YES_NO,
            applies=("structure", "timber", "surface"),
            source="common practice, no source",
        ),
    ] = None

    # surfaces, timber, disturbance
    slope: Annotated[str | None, facts("Fall", "Which way and how much it falls.", _E, applies=("surface",), source=_MEMORY)] = None
    timber_type: Annotated[
        str | None,
        facts(
            "Kind of timber",
            "Post, plank, coffin and the like.",
            _M,
            Quantity.WORD,
            "timber_type",
            applies=("timber",),
            source=_MEMORY,
        ),
    ] = None
    timber_condition: Annotated[
        str | None,
        facts(
            "Condition",
            "Waterlogged, charred, dry, stain.",
            _M,
            Quantity.WORD,
            "timber_condition",
            applies=("timber",),
            source="published guidance",
        ),
    ] = None
    conversion: Annotated[
        str | None,
        facts(
            "Conversion",
            "How it was cut from the log.",
            _E,
            Quantity.WORD,
            "conversion",
            applies=("timber",),
            source=_MEMORY,
        ),
    ] = None
    disturbance_type: Annotated[
        str | None,
        facts(
            "Kind of disturbance",
            "Roots, burrow, utility.",
            _M,
            Quantity.WORD,
            "disturbance_type",
            applies=("disturbance",),
            source="published state guidance",
        ),
    ] = None

    # provisional dates
    spot_begin: Annotated[YearNumber | None, facts("Provisional date from", "Year not before which.", _E, Quantity.YEAR)] = None
    spot_end: Annotated[YearNumber | None, facts("Provisional date to", "Year not after which.", _E, Quantity.YEAR)] = None
    spot_by: Annotated[str | None, facts("Dated by", "What gives the provisional date.", _E)] = None

    def applies(self, field: str) -> bool:
        """Tell whether `field` belongs to this kind of context; a context without a kind has every field."""
        kinds = facts_of(type(self), field).applies
        return not kinds or self.kind is None or self.kind in kinds
