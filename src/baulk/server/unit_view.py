"""One unit with its contexts, walls and what else belongs to it; one context or other record with all that points at it."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.closing import DEFER
from baulk.errors import UnknownRecord
from baulk.record import SAME, Context, Drawing, Relation, Unit, View, Wall
from baulk.server.record_view import Attached, RecordLink, RecordView, Shown

__all__ = [
    "CautionLine",
    "ContextLine",
    "RecordPage",
    "RelationLine",
    "SheetLine",
    "UnitView",
    "context_lines",
    "record_page",
    "unit_view",
]


class ContextLine(BaseModel):
    """One context in a list, latest first."""

    link: RecordLink
    top: float | None = Field(description="Highest level on its top; null when none was taken.")
    thickness_min: float | None
    thickness_max: float | None
    texture: str
    phase: int | None
    confidence: str


class SheetLine(BaseModel):
    """One drawing of the unit: its plan, a plan of the drawing register, or a wall."""

    drawing: str = Field(description="Its name among the drawings.")
    label: str = Field(description="Number of the sheet or wall; empty for the plan of the whole unit.")
    what: str = Field(description="Kind of the sheet, or the face of the wall.")


class CautionLine(BaseModel):
    """One safety caution of a unit."""

    topic: str
    says: str
    source: str


class UnitView(BaseModel):
    """One unit."""

    record: RecordView
    plans: list[SheetLine] = Field(description="The plan of the whole unit, then those of the drawing register.")
    contexts: list[ContextLine]
    walls: list[SheetLine]
    cautions: list[CautionLine] = Field(description="Safety cautions; those on possible remains stand on the closing page.")
    defer: str = Field(description="Who decides instead; stands once beside the cautions.")
    attached: list[Attached]


class RelationLine(BaseModel):
    """What one context is to another."""

    side: str = Field(description="later: the other lies above; earlier: it lies below; same: both are one in time.")
    how: str
    certainty: str
    where_seen: str
    other: RecordLink
    records: list[str] = Field(description="Ids of the relations that say so.")


class RecordPage(BaseModel):
    """One record with its relations and all that points at it."""

    record: RecordView
    relations: list[RelationLine]
    attached: list[Attached]


def unit_view(shown: Shown, unit_id: str) -> UnitView:
    """Return a unit, by its id or its number.

    Raises
    ------
    UnknownRecord
        When the site has no such unit.
    """
    record = shown.record
    unit = record.get(Unit, unit_id) or record.numbered(Unit, unit_id)
    return UnitView(
        record=shown.view(unit),
        plans=_plans_of(shown, unit),
        contexts=context_lines(shown, list(shown.study.latest_first_in(unit.id))),  # bare ones too
        walls=_walls_of(shown, unit),
        cautions=[
            CautionLine(topic=caution.topic, says=caution.says, source=caution.source)
            for caution in shown.study.cautions(unit.id)
            if shown.viewer is View.RESTRICTED or not caution.restricted
        ],
        defer=DEFER,
        attached=shown.attached(unit.id, without=frozenset({"context", "wall"})),
    )


def context_lines(shown: Shown, identities: list[str]) -> list[ContextLine]:
    """Return contexts as lines of a list, in the order given."""
    return [_context_line(shown, context) for each in identities if (context := shown.record.get(Context, each)) is not None]


def record_page(shown: Shown, identity: str) -> RecordPage:
    """Return any record that is shown, with what points at it."""
    entity = shown.entity(identity)
    relations = _relations_of(shown, entity.id) if isinstance(entity, Context) else []
    attached = shown.attached(entity.id, without=frozenset({"relation"}))
    return RecordPage(record=shown.view(entity), relations=relations, attached=attached)


def _plans_of(shown: Shown, unit: Unit) -> list[SheetLine]:
    whole, drawn = f"plan-{unit.number or unit.id}", shown.study.sheets_of(unit.id)
    sheets = [
        SheetLine(drawing=f"{whole}-{sheet.number}", label=sheet.number or "", what=sheet.kind or "")
        for sheet in shown.record.pointing_at(Drawing, "unit", unit.id)
        if f"{whole}-{sheet.number}" in drawn
    ]
    return [SheetLine(drawing=whole, label="", what=""), *sheets]


def _walls_of(shown: Shown, unit: Unit) -> list[SheetLine]:
    return [
        SheetLine(drawing=f"wall-{wall.number or wall.id}", label=wall.number or "", what=wall.face or "")
        for wall in shown.record.pointing_at(Wall, "unit", unit.id)
    ]


def _context_line(shown: Shown, context: Context) -> ContextLine:
    link = shown.link(context.id)
    if link is None:
        raise UnknownRecord("context", context.id, ())
    bare = shown.is_bare(context.id)
    return ContextLine(
        link=link,
        top=None if bare else shown.top_level(context.id),
        thickness_min=None if bare else context.thickness_min,
        thickness_max=None if bare else context.thickness_max,
        texture="" if bare else context.texture or "",
        phase=None if bare else context.phase,
        confidence="" if bare else context.confidence or "",
    )


def _relations_of(shown: Shown, context: str) -> list[RelationLine]:
    """Return the relations of a context; two sheets that say the same are one line."""
    lines: dict[tuple[str, str, str], RelationLine] = {}
    for field, side in (("earlier", "later"), ("later", "earlier")):
        for relation in shown.record.pointing_at(Relation, field, context):
            other = shown.link(getattr(relation, side))
            if other is None:
                continue
            how = relation.how or ""
            towards = "same" if how in SAME else side
            line = lines.setdefault(
                (towards, how, other.id),
                RelationLine(side=towards, how=how, certainty="", where_seen="", other=other, records=[]),
            )
            line.records.append(relation.id)
            line.certainty = line.certainty or relation.certainty or ""
            line.where_seen = line.where_seen or relation.where_seen or ""
    return list(lines.values())
