"""A record as the page reads it: plain values, words for what is absent, links for what it refers to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pydantic import BaseModel, Field

from baulk.errors import UnknownRecord
from baulk.ground import srgb_of
from baulk.record import Context, Entity, Level, SiteRecord, View, fields_for, kinds_for, withheld_from
from baulk.record.naming import called, known_by
from baulk.server.study import OrderFacts, Study

__all__ = ["Attached", "RecordLink", "RecordView", "Shown"]

_ATTACHED_LIMIT = 200
_NOT_VALUES = frozenset({"id", "absences"})


class RecordLink(BaseModel):
    """What is needed to name a record and to select it."""

    id: str
    kind: str = Field(description="The kind's one-word name.")
    label: str = Field(description="Its number, or the words that tell which one it is.")
    title: str = Field("", description="A few words to know it by; empty when blank.")
    context_kind: str = Field("", description="Of a context: deposit, fill, cut and so on.")
    colour: str = Field("", description="Of a context: #RRGGBB of its moist Munsell colour, else of the dry one.")


class RecordView(BaseModel):
    """One record."""

    link: RecordLink
    values: dict[str, Any] = Field(description="Field by field, without blanks; lengths in the site's own quantity.")
    absences: dict[str, str] = Field(description="Fields absent on purpose, each with its words.")
    links: dict[str, list[RecordLink]] = Field(description="The records that a reference field points to.")
    differing: list[str] = Field(description="Fields that two people changed without sight of each other.")
    withheld: bool = Field(description="True when it is shown only as far as the order needs it.")


class Attached(BaseModel):
    """Records of one kind that point at a record through one field."""

    kind: str
    field: str
    total: int
    records: list[RecordView]


@dataclass(frozen=True)
class Shown:
    """A study as far as the workbench shows it; every view is made through one of these."""

    study: Study
    viewer: View = View.CREW

    @cached_property
    def pieces(self) -> dict[str, bytes]:
        """Long answers by name, once they are made."""
        return {}

    @cached_property
    def record(self) -> SiteRecord:
        """The record as the viewer may have it: nothing else is shown."""
        return self.study.seen_by(self.viewer)

    @cached_property
    def order(self) -> OrderFacts:
        """The order of `record`, for what rests on more than relations: phases, outlines and levels."""
        return self.study.order_of(self.record)

    def is_bare(self, identity: str) -> bool:
        """Tell whether a context or relation is shown only as far as the order needs it."""
        return identity in withheld_from(self.study.record, self.viewer).bare

    def leaves_out(self, identity: str) -> bool:
        """Tell whether a record that the site has is not shown."""
        return identity in self.study.record.by_id and identity not in self.record.by_id

    def entity(self, identity: str) -> Entity:
        """Return the record of that id.

        Raises
        ------
        UnknownRecord
            When there is none, or it is not shown here: both are answered alike.
        """
        found = self.record.by_id.get(identity)
        if found is None:
            raise UnknownRecord("record", identity, ())
        return found

    def link(self, identity: str) -> RecordLink | None:
        """Return the link to a record, or None when it is unknown or not shown."""
        found = self.record.by_id.get(identity)
        if found is None:
            return None
        if not isinstance(found, Context):
            return RecordLink(id=found.id, kind=found.KIND, label=called(self.record, found), title=known_by(found))
        bare = self.is_bare(found.id)
        return RecordLink(
            id=found.id,
            kind=found.KIND,
            label=called(self.record, found),
            title="" if bare else known_by(found),
            context_kind=found.kind or "",
            colour="" if bare else srgb_of(found.colour_moist or found.colour_dry) or "",
        )

    def links(self, identities: Iterable[str]) -> list[RecordLink]:
        """Return the links to those of the records that are shown."""
        return [link for link in map(self.link, identities) if link is not None]

    def view(self, entity: Entity) -> RecordView:
        """Return a record as the page reads it."""
        bare = self.is_bare(entity.id)
        link = self.link(entity.id)
        if link is None:
            raise UnknownRecord("record", entity.id, ())
        values: dict[str, Any] = {}
        links: dict[str, list[RecordLink]] = {}
        fields = fields_for(type(entity), self.viewer)
        names = [name for name, _ in fields if name not in _NOT_VALUES]
        refers = {name: facts.refers for name, facts in fields if facts.refers}
        plain = entity.model_dump(mode="json", include=set(names), exclude_none=True)
        for name in names:
            held = plain.get(name)
            if held is None or held in ("", []):
                continue
            if name in refers:
                links[name] = self.links([held] if isinstance(held, str) else held)
                continue
            values[name] = held
        absences = {name: words for name, words in entity.absences.items() if name in names}
        differing = [found.field for found in self._differences.get(entity.id, ()) if found.field in names]
        return RecordView(link=link, values=values, absences=absences, links=links, differing=differing, withheld=bare)

    def views(self, entities: Iterable[Entity]) -> list[RecordView]:
        """Return records of `record` as the page reads them."""
        return [self.view(entity) for entity in entities]

    def attached(self, identity: str, *, without: frozenset[str] = frozenset()) -> list[Attached]:
        """Return what points at a record, group by group, in the order of the kinds."""
        kind = self.entity(identity).KIND
        groups = []
        for name, other in kinds_for(self.viewer).items():
            if name in without:
                continue
            for field, facts in fields_for(other, self.viewer):
                if facts.refers != kind:
                    continue
                found = self.record.pointing_at(other, field, identity)
                if found:
                    shown = [self.view(entity) for entity in found[:_ATTACHED_LIMIT]]
                    groups.append(Attached(kind=name, field=field, total=len(found), records=shown))
        return groups

    def top_level(self, context: str) -> float | None:
        """Return the highest level taken on the top of a context, in the site's own quantity; None when there is none."""
        tops = [
            level.level
            for level in self.record.pointing_at(Level, "context", context)
            if level.level is not None and level.surface == "top"
        ]
        return max(tops, default=None)

    @cached_property
    def _differences(self) -> dict[str, list[Any]]:
        table: dict[str, list[Any]] = {}
        for difference in self.record.differences:
            table.setdefault(difference.record, []).append(difference)
        return table
