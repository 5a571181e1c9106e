"""Lists of terms, each with a name and version that records keep.

A *closed* list is part of how Baulk computes and refuses other words. An *open* list is a house list: a site may bring its own in
its place, other words are kept and shown as not in the list.

Marks: "field seen" means that a deposited archive or published manual was read that uses the field; "from memory" that the terms
themselves were not read at a source; "common practice, no source" that none was found.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["VOCABULARIES", "Vocabulary", "terms_of"]


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """One list of terms; `mark` tells where it comes from."""

    name: str
    title: str
    terms: tuple[str, ...]
    closed: bool = False
    mark: str = "from memory"


def _list(name: str, title: str, terms: str, *, closed: bool = False, mark: str = "from memory") -> tuple[str, Vocabulary]:
    return name, Vocabulary(name, title, tuple(term.strip() for term in terms.split(";")), closed, mark)


VOCABULARIES: Mapping[str, Vocabulary] = MappingProxyType(dict([
    # closed lists: Baulk computes with these words
    _list("context_kind", "Kind of context", "deposit; fill; cut; structure; surface; timber; disturbance", closed=True,
          mark="published recording manuals"),
    _list("how", "How one lies to the other",
          "overlies; cuts; fills; abuts; same as; bonded with", closed=True, mark="published recording manuals"),
    _list("sheet", "Entered on", "later's sheet; earlier's sheet; both sheets; a drawing; neither sheet", closed=True,
          mark="published recording manual: each relation is entered on both sheets"),
    _list("where_seen", "Where seen", "plan; wall; plan and wall; inferred", closed=True, mark="common practice, no source"),
    _list("certainty", "Certainty", "firm; probable; doubtful", closed=True, mark="common practice, no source"),
    _list("edge", "Kind of edge", "seen; uncertain; cut away; limit of excavation", closed=True, mark="common practice, no source"),
    _list("surface_of", "Which surface", "top; base", closed=True, mark="published recording manual"),
    _list("length_unit", "Quantity of lengths", "m; ft; ft_us", closed=True, mark="published state guidance"),
    _list("severity", "Severity", "lost for good; recoverable; good practice", closed=True, mark="common practice, no source"),
    _list("follow_up_state", "State", "open; answered; given up", closed=True, mark="common practice, no source"),
    _list("photo_stage", "Stage", "before; during; after", closed=True, mark="published guides"),
    _list("face", "Face of the unit", "north; east; south; west", closed=True, mark="common practice, no source"),
    _list("station_status", "Status", "good; disturbed; destroyed", closed=True, mark="from memory"),
    _list("burial_step", "Step taken", "stopped; covered; notified; left in place; authority given; excavated under authority",
          closed=True, mark="published state statutes and federal guidance"),
    _list("dating_method", "What was measured", "radiocarbon; pipe stems; window glass; tree rings", closed=True,
          mark="common practice, no source"),
    _list("own_age", "Age when it came in", "young; may be old; not known", closed=True, mark="common practice, no source"),
    _list("disturbed", "How far disturbed", "none seen; slight; moderate; heavy", closed=True, mark="common practice, no source"),
    _list("phase_use", "How phases are used", "not used; may overlap; one after the other", closed=True,
          mark="common practice, no source"),
    # open lists: house lists
    _list("unit_shape", "Shape of the unit", "square; rectangle; irregular", mark="common practice, no source"),
    _list("dig_method", "Method", "natural layers; arbitrary levels within layers; single context; machine then hand",
          mark="published state guidance"),
    _list("stop_reason", "Reason for stopping",
          "natural reached; sterile levels; water; safety; burial; time; masonry left in place; question answered",
          mark="published state guidance"),
    _list("deposit_type", "Kind of deposit",
          "layer; spread; dump; floor make-up; occupation; garden soil; topsoil; turf; demolition; collapse; levelling; alluvium; "
          "old ground; trample; natural"),
    _list("texture", "Composition",
          "sand; loamy sand; sandy loam; loam; silt loam; silt; sandy clay loam; clay loam; silty clay loam; sandy clay; "
          "silty clay; clay; ash; mortar; brick rubble; stone rubble; gravel; peat; charcoal; glass waste",
          mark="USDA texture classes; other materials common practice, no source"),
    _list("compaction", "Compaction", "loose; friable; soft; firm; stiff; hard; compact; plastic; cemented",
          mark="some terms seen in a deposited archive; full list from memory"),
    _list("frequency", "How frequent", "rare; occasional; moderate; frequent; abundant",
          mark="terms seen in deposited archives; percentages from memory"),
    _list("sorting", "Sorting", "well sorted; moderately sorted; poorly sorted"),
    _list("boundary", "Boundary to the layer below", "sharp; clear; gradual; diffuse"),
    _list("boundary_form", "Form of the boundary", "smooth; wavy; irregular; broken"),
    _list("clarity", "Clarity of the edge", "clear; diffuse; not seen; cut away; beyond limit", mark="seen in a deposited archive"),
    _list("reliability", "Reliability", "good; fair; poor", mark="field seen in a deposited archive"),
    _list("formation", "How it formed",
          "dumped; accumulated; collapsed; trampled; silted; built; dug; burnt; grown; natural",
          mark="field seen; terms from memory"),
    _list("tool", "Dug with", "trowel; hand shovel; shovel; mattock; pick; machine"),
    _list("plan_shape", "Shape in plan",
          "circular; sub-circular; oval; square; rectangular; sub-rectangular; linear; curvilinear; irregular; not known",
          mark="field seen in deposited archives; terms from memory"),
    _list("corners", "Corners", "square; rounded; not seen"),
    _list("break_of_slope", "Break of slope", "sharp; gradual; imperceptible; not known", mark="field seen; terms from memory"),
    _list("side_slope", "Slope of sides", "vertical; near-vertical; steep; moderate; gentle", mark="field seen; terms from memory"),
    _list("side_shape", "Shape of sides", "straight; concave; convex; stepped; undercut; differs by side",
          mark="field seen; terms from memory"),
    _list("base_shape", "Base", "flat; concave; V-shaped; tapered point; uneven; sloping; not reached",
          mark="field seen; terms from memory"),
    _list("cut_function", "What the cut may be",
          "post hole; pit; privy; well; cellar; grave; robber trench; construction trench; planting hole; drain; utility; "
          "tree hole; animal run"),
    _list("section_share", "How much was dug", "half; quarter; full; not dug", mark="published state guidance"),
    _list("fill_position", "Place among the fills", "primary; secondary; upper; only fill"),
    _list("deliberate", "Deliberate or gradual", "deliberate; gradual; cannot tell"),
    _list("structure_type", "Kind of structure",
          "wall; footing; foundation; pier; chimney stack; hearth; floor; path; yard surface; cellar; cistern; drain; culvert; "
          "kiln; furnace base; buttress; blocking; kerb; vault; well lining; collapsed wall; not known",
          mark="published prompt sheet; some terms common practice, no source"),
    _list("material", "Material", "brick; stone; setts; cobble; tabby; concrete; re-used; mixed", mark="published prompt sheet"),
    _list("bond", "Bond",
          "stretcher; header; English; Flemish; common; English garden wall; monk; random; coursed; irregular; none",
          mark="published prompt sheet"),
    _list("bonding_agent", "Bonding agent",
          "none (dry); earth; lime mortar; shell lime mortar; hydraulic lime; natural cement; Portland cement",
          mark="National Park Service Preservation Brief 35"),
    _list("joint", "Joints", "flush; raked; struck; weathered; double-struck; tuck; beaded; concave; ruled; V; extruded",
          mark="published prompt sheet"),
    _list("attitude", "How it is laid", "flat; on edge; on end; not visible", mark="common practice, no source"),
    _list("bond_term", "Bond term", "stretcher; header; rowlock; shiner; soldier; sailor"),
    _list("mortar_remnant", "Mortar on it", "none; bedding; clinging remnant; not visible", mark="common practice, no source"),
    _list("firing", "Firing", "soft, low-fired; medium; hard; over-fired; not fired; not known", mark="common practice, no source"),
    _list("hardness", "Hardness", "soft; medium; hard; not known", mark="common practice, no source"),
    _list("wear", "Wear", "none; worn; polished; rutted; repaired; not known"),
    _list("timber_type", "Kind of timber", "post; stake; plank; sill; joist; coffin; fence; root; other",
          mark="published guidance; some terms from memory"),
    _list("timber_condition", "Condition", "waterlogged; charred; dry; void or stain", mark="published guidance"),
    _list("conversion", "Conversion", "whole; halved; quartered; radial; tangential; box",
          mark="published guidance; terms from memory"),
    _list("disturbance_type", "Kind of disturbance", "roots; burrow; utility; previous dig; machine; collapse; not known",
          mark="published state guidance"),
    _list("recovery", "Recovered by", "hand; dry sieve; wet sieve; flotation; metal detector; spoil heap; unstratified"),
    _list("find_status", "What became of it", "lifted; left in place; not collected; deselected", mark="published guidance"),
    _list("find_material", "Material",
          "ceramic; pipe clay; glass; glass waste; brick; tile; stone; iron; copper alloy; lead; bone; human bone; shell; wood; "
          "leather; slag; coal; mortar; plaster; other"),
    _list("sample_type", "Kind of sample", "bulk; column; mortar; brick; radiocarbon; timber; control; other", mark="field seen"),
    _list("sapwood_area", "Area of a sapwood estimate",
          "North Wales and north-west England; Wales and its borders; southern England; northern England; Kent; "
          "United Kingdom, mature oak; England and Wales, older usage", mark="as in the estimates that Baulk holds"),
    _list("photo_kind", "Kind of photo", "record; working; location", mark="published guides"),
    _list("sheet_kind", "Kind of drawing", "plan; base plan; section; elevation; profile; sketch; day plan",
          mark="published standards"),
    _list("document_kind", "Kind of document", "map; deed; design; permit; letter; drawing; photograph; report; other"),
    _list("liner", "Liner", "geotextile; landscape fabric; plastic sheet; boards; none", mark="published field reports"),
    _list("compacted", "Compaction of the backfill", "loose; tamped in layers; machine compacted", mark="published field reports"),
    _list("anomaly_class", "Class of anomaly",
          "grave-like; wall or foundation; floor or path; pit, well or cellar; utility; root or tree; old excavation; "
          "geology or unknown", mark="common practice, no source"),
    _list("visit_answer", "Answer", "viewed; declined; no answer", mark="published state guidance"),
]))  # fmt: skip


def terms_of(name: str) -> Vocabulary:
    """Return one list of terms.

    Raises
    ------
    KeyError
        When no list has that name (a fault of the code, caught by a test).
    """
    return VOCABULARIES[name]
