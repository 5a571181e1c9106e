"""One unit with its contexts, walls and what else belongs to it; one context or other record with all that points at it."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.closing import DEFER
from baulk.errors import UnknownRecord
from baulk.record import SAME, Context, Relation, Unit, Wall
from baulk.server.record_view import Attached, RecordLink, RecordView, Shown

__all__ = [
    "CautionLine",
    "ContextLine",
    "RecordPage",
    "RelationLine",
    "UnitView",
    "WallLine",
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


class WallLine(BaseModel):
    """One wall of the unit and the name of its drawing."""

    link: RecordLink
    face: str
    drawing: str


class CautionLine(BaseModel):
    """One safety caution of a unit."""

    topic: str
    says: str
    source: str


class UnitView(BaseModel):
    """One unit."""

    record: RecordView
    plan: str = Field(description="Name of its plan among the drawings.")
    contexts: list[ContextLine]
    walls: list[WallLine]
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
    contexts = {context.id for context in record.pointing_at(Context, "units", unit.id)}
    walls = [
        WallLine(link=link, face=wall.face or "", drawing=f"wall-{wall.number or wall.id}")
        for wall in record.pointing_at(Wall, "unit", unit.id)
        if (link := shown.link(wall.id)) is not None
    ]
    return UnitView(
        record=shown.view(unit),
        plan=f"plan-{unit.number or unit.id}",
        contexts=context_lines(shown, [each for each in shown.study.order.latest_first if each in contexts]),
        walls=walls,
        cautions=[
            CautionLine(topic=caution.topic, says=caution.says, source=caution.source)
            for caution in shown.study.cautions(unit.id)
            if not caution.restricted
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


def _context_line(shown: Shown, context: Context) -> ContextLine:
    link = shown.link(context.id)
    if link is None:
        raise UnknownRecord("context", context.id, ())
    bare = context.id in shown.withheld.bare
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
