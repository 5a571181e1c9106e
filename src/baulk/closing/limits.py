"""The figures that the closing rules hold the record against; a jurisdiction profile may set others."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

from baulk.sequence.closeness import HOUSE_CLOSENESS, Closeness

__all__ = ["HOUSE_LIMITS", "LIMIT_MEANINGS", "Limits"]


@dataclass(frozen=True, slots=True)
class Limits:
    """House values; lengths in metres. Their meaning and source stand in `LIMIT_MEANINGS`."""

    corner_tolerance: float = 0.010
    marks_needed: float = 2
    two_peg_days: float = 30
    level_reach: float = HOUSE_CLOSENESS.level_reach
    level_tolerance: float = HOUSE_CLOSENESS.level_tolerance
    level_slope: float = HOUSE_CLOSENESS.level_slope
    base_levels_needed: float = 5
    plan_level_tolerance: float = 0.005
    place_tolerance: float = 0.10
    touch_distance: float = HOUSE_CLOSENESS.touch_distance
    overlap_area: float = HOUSE_CLOSENESS.overlap_area
    wall_touch: float = 0.10
    section_tolerance: float = 0.05
    pieces_measured: float = 10
    grid_points_needed: float = 2
    coverage_missing: float = 2
    volume_share: float = 30
    copies_needed: float = 2
    protection_depth: float = 1.524
    egress_depth: float = 1.2192
    walls_to_draw: float = 1
    walls_contiguous: float = 0
    sterile_depth: float = 0.20
    largest_mesh: float = 6.35
    plan_scale: float = 20
    section_scale: float = 20

    @property
    def closeness(self) -> Closeness:
        """The figures with which levels and outlines are held beside the relations."""
        return Closeness(
            level_reach=self.level_reach,
            level_tolerance=self.level_tolerance,
            level_slope=self.level_slope,
            overlap_area=self.overlap_area,
            touch_distance=self.touch_distance,
        )


HOUSE_LIMITS: Final = Limits()

_CP = "common practice, no source"
_OURS = "our judgement"

LIMIT_MEANINGS: Final[dict[str, tuple[str, str]]] = {
    "corner_tolerance": ("metres that a taped side or diagonal, or a corner, may differ from the design", _CP),
    "marks_needed": ("permanent marks outside the unit", "published state guidance"),
    "two_peg_days": ("days that a two-peg check stays good", _OURS),
    "level_reach": ("metres within which two levels count as about the same point", _OURS),
    "level_tolerance": ("metres by which a lower surface may seem to stand above an upper one", _OURS),
    "level_slope": ("metres more for each metre between the two points, for slope", _OURS),
    "base_levels_needed": ("levels on the final base", _CP),
    "plan_level_tolerance": ("metres that a level on a plan may differ from the book", _OURS),
    "place_tolerance": ("metres that a find or a wall's end may lie outside the unit", _OURS),
    "touch_distance": ("metres between two structures that count as touching", _OURS),
    "overlap_area": ("square metres of overlap in plan below which two contexts do not count as overlapping", _OURS),
    "wall_touch": ("metres of a wall along which a context must touch it to be looked for on the drawing", _OURS),
    "section_tolerance": ("metres that the ends of a drawn section may differ from the levels", _OURS),
    "pieces_measured": ("bricks or stones measured for each structure", _CP),
    "grid_points_needed": ("grid points on a plan", "published drawing standards"),
    "coverage_missing": ("percent of the unit that plans may leave bare", _OURS),
    "volume_share": ("percent by which buckets and computed volume may differ", _OURS),
    "copies_needed": ("places at which copies of the record are kept", "published archive guidance"),
    "protection_depth": ("metres of depth from which sides must be protected (5 ft)", "29 CFR 1926.652(a)(1)"),
    "egress_depth": ("metres of depth from which a ladder or ramp is needed (4 ft)", "29 CFR 1926.651(c)(2)"),
    "walls_to_draw": ("walls of the unit that must be drawn", "published state guidance"),
    "walls_contiguous": ("1 when those walls must meet at a corner, else 0", "published state guidance"),
    "sterile_depth": ("metres without finds dug below the last finds", "published state guidance"),
    "largest_mesh": ("millimetres: widest opening of the sieve", "published state guidance"),
    "plan_scale": ("plans are drawn at 1 to this, or larger", "published drawing standards; the figure is our judgement"),
    "section_scale": ("sections are drawn at 1 to this, or larger", "published drawing standards; the figure is our judgement"),
}

if {entry.name for entry in fields(Limits)} != set(LIMIT_MEANINGS):  # pragma: no cover - our own fault, told as soon as it loads
    raise KeyError("a limit of the closing check does not say what it means")
