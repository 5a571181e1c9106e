"""The block drawing of a unit from its solids."""

from __future__ import annotations

from baulk.drawing.block import block_drawing
from baulk.drawing.scene import Scene
from baulk.record import SiteRecord, View
from baulk.work.solids import UnitSolids

__all__ = ["BLOCK_SCALE", "block_scene"]

BLOCK_SCALE = 40.0
"""1:40: a unit of 2 m, drawn apart, then stands on a page of the report."""


def block_scene(record: SiteRecord, found: UnitSolids, view: View, *, scale: float | None = None) -> Scene:
    """Return the block drawing of the solids that a viewer may see.

    Raises
    ------
    InputError
        When no context of the unit has a solid.
    MeasureError
        When the scale cannot be used.
    """
    return block_drawing(
        record, found.unit, found.solids, scale=scale or BLOCK_SCALE, without=[record.label(one.context) for one in found.left_out],
        withheld=found.withheld, restricted=view is View.RESTRICTED and found.holds_restricted,
    )  # fmt: skip
