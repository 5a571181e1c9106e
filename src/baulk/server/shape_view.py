"""The solids of a unit as the page draws them: whole numbers of millimetres, so that they are small to send."""

from __future__ import annotations

import numpy as np
from pydantic import BaseModel, Field

from baulk.ground.solid import ContextSolid
from baulk.record import Unit
from baulk.server.record_view import RecordLink, Shown

__all__ = ["LeftOutLine", "ShapeView", "SolidView", "shape_view"]


class SolidView(BaseModel):
    """The solid of one context: closed triangles, anticlockwise as seen from outside."""

    link: RecordLink
    rank: int = Field(description="How many solids lie one on another beneath it.")
    litres: float = Field(description="Its volume as drawn, less what later cuts took out of it.")
    says: list[str] = Field(description="Where its surfaces come from, and what cut it.")
    vertices: list[int] = Field(description="Easting, northing and level of each corner in turn, millimetres from the origin.")
    triangles: list[int] = Field(description="Three corners of each triangle in turn, counted from 0.")


class LeftOutLine(BaseModel):
    """A context that has no solid, and why."""

    link: RecordLink
    why: str


class ShapeView(BaseModel):
    """The solids of a unit, the lowest first."""

    unit: RecordLink
    origin: list[float] = Field(description="Easting, northing and level in metres from which corners are counted.")
    solids: list[SolidView]
    left_out: list[LeftOutLine]
    withheld: int = Field(description="How many contexts of the unit are withheld.")


def shape_view(shown: Shown, unit_id: str) -> ShapeView:
    """Return the solids of a unit, by its id or its number.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    """
    unit = shown.record.get(Unit, unit_id) or shown.record.numbered(Unit, unit_id)
    found = shown.study.solids(unit.id, shown.viewer)
    corners = [one.solid.vertices.min(axis=0) for one in found.solids]
    origin = np.floor(np.min(corners, axis=0)) if corners else np.zeros(3)
    left_out = ((shown.link(one.context), one.why) for one in found.left_out)
    link = shown.link(unit.id)
    assert link is not None  # the unit was taken from what is shown
    return ShapeView(
        unit=link,
        origin=[float(part) for part in origin],
        solids=[view for one in found.solids if (view := _solid(shown, one, origin)) is not None],
        left_out=[LeftOutLine(link=named, why=why) for named, why in left_out if named is not None],
        withheld=found.withheld,
    )


def _solid(shown: Shown, one: ContextSolid, origin: np.ndarray) -> SolidView | None:
    link, solid = shown.link(one.context), one.solid
    if link is None:
        return None
    return SolidView(
        link=link,
        rank=one.rank,
        litres=round(1000 * solid.volume, 1),
        says=list(one.says),
        vertices=np.round(1000 * (solid.vertices - origin)).astype(int).ravel().tolist(),
        triangles=solid.triangles.ravel().tolist(),
    )
