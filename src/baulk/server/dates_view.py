"""Dates as the page reads them: bounds with what set them, contradictions with their ways out, the aids of one context."""

from __future__ import annotations

from math import isfinite

from pydantic import BaseModel, Field

from baulk.dating.aid import DateAid
from baulk.dating.contradictions import Contradiction, WayOut
from baulk.dating.termini import Side
from baulk.server.record_view import RecordLink, Shown
from baulk.work.dates import SiteDates
from baulk.work.dating_oddities import against_in_words

__all__ = [
    "AidLine", "BoundLine", "ContradictionLine", "DatesView", "OddityLine", "ShiftLine", "WayOutLine", "WhyDateView", "dates_view",
    "why_date_view",
]  # fmt: skip

_CONTRADICTIONS = 50
_LEFT_OUT = 200
_CHANGES = 60


class BoundLine(BaseModel):
    """The bounds of one context; the paths run from it to where the find or document is."""

    link: RecordLink
    tpq: int | None = Field(description="Not earlier than; negative is BC.")
    tpq_by: str
    tpq_link: RecordLink | None = Field(description="The find or document that set it.")
    tpq_path: list[RecordLink]
    taq: int | None = Field(description="Not later than.")
    taq_by: str
    taq_link: RecordLink | None = Field(description="The document that set it.")
    taq_path: list[RecordLink]
    contradicted: bool = Field(description="True when it would have to be later than it can be.")
    withheld: bool = Field(description="True when its own record is not shown here.")


class ShiftLine(BaseModel):
    """A bound that a way out would change."""

    link: RecordLink
    bound: str = Field(description="tpq or taq.")
    before: int | None
    after: int | None


class WayOutLine(BaseModel):
    """One way out of a contradiction, with what it would cost."""

    kind: str
    says: str
    settles: bool
    changes: list[ShiftLine]
    still_contradicted: int


class ContradictionLine(BaseModel):
    """A find and a firm date that cannot both be right."""

    says: str
    chain: list[RecordLink]
    contexts: list[RecordLink]
    ways_out: list[WayOutLine]


class AidLine(BaseModel):
    """What one aid says."""

    name: str
    begin: float | None
    end: float | None
    middle: float | None = Field(description="The one year of a formula or a mean: no date by itself.")
    holds_for: str
    limits: list[str]
    source: str
    mark: str
    in_validity: bool
    left_out: list[str]
    links: list[RecordLink] = Field(description="The finds, results or pieces that it is worked out of.")


class OddityLine(BaseModel):
    """Something odd among the radiocarbon ages."""

    says: str
    links: list[RecordLink] = Field(description="The results and their contexts.")


class DatesView(BaseModel):
    """The bounds of the site, latest first."""

    total: int
    offset: int
    lines: list[BoundLine]
    contradictions: list[ContradictionLine]
    contradictions_in_all: int
    oddities: list[OddityLine] = Field(description="Radiocarbon ages against the order or each other, and results of no use.")
    oddities_mean: list[str] = Field(description="What an age against the order may mean.")
    left_out: list[str] = Field(description="Finds and documents that set no bound, each with the reason.")
    left_out_in_all: int
    notes: list[str]


class WhyDateView(BaseModel):
    """Why one context has its bounds, and what each aid says."""

    line: BoundLine
    says: list[str]
    aids: list[AidLine]


def dates_view(shown: Shown, *, offset: int, limit: int) -> DatesView:
    """Return a page of the bounds, with every contradiction."""
    found = shown.study.dating.bounds(shown.viewer)
    identities = [one for one in found.order.latest_first if shown.link(one) is not None]
    return DatesView(
        total=len(identities),
        offset=offset,
        lines=[_line(shown, found, one) for one in identities[offset : offset + limit]],
        contradictions=[_contradiction(shown, found, one) for one in found.contradictions[:_CONTRADICTIONS]],
        contradictions_in_all=len(found.contradictions),
        oddities=[
            OddityLine(says=one.says, links=shown.links((*one.contexts, *one.records))) for one in found.oddities[:_CONTRADICTIONS]
        ],
        oddities_mean=list(against_in_words([one.says for one in found.oddities])),
        left_out=list(found.left_out[:_LEFT_OUT]),
        left_out_in_all=len(found.left_out),
        notes=list(found.notes),
    )


def why_date_view(shown: Shown, named: str) -> WhyDateView:
    """Return why a context, by number or id, has its bounds.

    Raises
    ------
    UnknownRecord
        When there is no such context.
    InputError
        When it is void.
    """
    found = shown.study.dating.bounds(shown.viewer)
    context = found.context(named)
    aids = [_aid(shown, found, context.id, aid) for aid in found.aids(context.id)]
    return WhyDateView(line=_line(shown, found, context.id), says=list(found.why(context.id)), aids=aids)


def _line(shown: Shown, found: SiteDates, identity: str) -> BoundLine:
    one = found.of(identity)
    group = found.bounds.place(found.order.known.index[identity])
    paths = {side: _groups(shown, found, found.bounds.chain(group, side)) for side in Side}
    link = shown.link(identity)
    assert link is not None  # lines are made of what is shown
    return BoundLine(
        link=link, tpq=one.tpq, tpq_by=one.tpq_by, tpq_link=shown.link(found.setter(identity, Side.POST)), taq=one.taq,
        taq_by=one.taq_by, taq_link=shown.link(found.setter(identity, Side.ANTE)), tpq_path=paths[Side.POST] if one.tpq_by else [],
        taq_path=paths[Side.ANTE] if one.taq_by else [], contradicted=one.contradicted, withheld=shown.is_bare(identity),
    )  # fmt: skip


def _groups(shown: Shown, found: SiteDates, groups: tuple[int, ...]) -> list[RecordLink]:
    """Return a link to one context of each group of a path, as far as they are shown."""
    return shown.links(found.order.ids([group])[0] for group in groups)


def _contradiction(shown: Shown, found: SiteDates, one: Contradiction) -> ContradictionLine:
    return ContradictionLine(
        says=found.says(one),
        chain=_groups(shown, found, one.chain),
        contexts=_groups(shown, found, one.contexts),
        ways_out=[_way_out(shown, found, way) for way in found.ways_out(one)],
    )


def _way_out(shown: Shown, found: SiteDates, way: WayOut) -> WayOutLine:
    changes = [
        ShiftLine(
            link=link, bound="tpq" if shift.side is Side.POST else "taq", before=_year(shift.before), after=_year(shift.after)
        )
        for shift in way.shifts[:_CHANGES]
        if (link := next(iter(_groups(shown, found, (shift.group,))), None)) is not None
    ]
    return WayOutLine(kind=way.kind, says=way.says, settles=way.settles, changes=changes, still_contradicted=way.left)


def _year(year: float) -> int | None:
    return int(year) if isfinite(year) else None


def _aid(shown: Shown, found: SiteDates, identity: str, aid: DateAid) -> AidLine:
    return AidLine(
        name=aid.name, begin=aid.begin, end=aid.end, middle=aid.middle, holds_for=aid.valid, limits=list(aid.limits),
        source=aid.source, mark=aid.mark, in_validity=aid.in_validity, left_out=list(aid.left_out),
        links=shown.links(found.aided_by(identity, aid)),
    )  # fmt: skip
