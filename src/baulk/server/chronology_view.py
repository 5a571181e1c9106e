"""The chronology as the page reads it: how far it is, ranges, prior beside posterior, what was put in, what it answers."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.dating.calibration import Piece
from baulk.dating.posterior import EventDate, PhaseDate
from baulk.drawing.dates import INNER, OUTER, told_pieces
from baulk.record import Context
from baulk.server.record_view import RecordLink, Shown
from baulk.work.chronology_answers import DatedSite, absence_told, before_told, prior_range
from baulk.work.out_of_place import out_of_place
from baulk.work.site_dating import RunState, State

__all__ = [
    "AbsenceLine", "BeforeView", "ChronologyView", "DatedLine", "FindLine", "PhaseLineDated", "PieceLine", "PutInLine",
    "absence_view", "before_view", "chronology_view", "context_link",
]  # fmt: skip


class PieceLine(BaseModel):
    """One piece of a range, and the share of the date in it."""

    begin: int
    end: int
    share: float


class DatedLine(BaseModel):
    """The date of one context."""

    link: RecordLink
    inner: list[PieceLine] = Field(description="The range at 68 per cent, in as many pieces as it takes.")
    outer: list[PieceLine] = Field(description="The range at 95 per cent.")
    before: list[PieceLine] = Field(description="The range at 95 per cent by order and span alone.")
    undated: bool = Field(description="True when nothing of its own dates it: the order alone does.")


class PhaseLineDated(BaseModel):
    """When a phase, or the site, began and ended."""

    name: str
    start: list[PieceLine]
    end: list[PieceLine]
    length: list[float] = Field(description="Years at 2.5, 16, 50, 84 and 97.5 per cent.")


class FindLine(BaseModel):
    """A find, sample or deposit that looks out of place."""

    link: RecordLink | None = Field(description="Its context; null when that is not shown.")
    links: list[RecordLink] = Field(description="The find, result or document itself.")
    says: str


class PutInLine(BaseModel):
    """A piece of evidence that was put in."""

    link: RecordLink | None = Field(description="Its context; null when that is not shown.")
    links: list[RecordLink] = Field(description="The finds, result or document that it is of.")
    says: str


class ChronologyView(BaseModel):
    """How far a chronology is, and its dates once they are worked out."""

    state: State
    says: str
    absence: bool = Field(description="Whether the absence of later finds counts here.")
    lines: list[DatedLine]
    phases: list[PhaseLineDated]
    out_of_place: list[FindLine]
    settings: list[str]
    evidence: list[PutInLine] = Field(description="What was put in, by context.")
    left_out: list[str]
    notes: list[str]
    diagnosis: str
    seed: int


class BeforeView(BaseModel):
    """Which of two contexts is earlier."""

    chance: float
    standard_error: float
    apart: list[float] = Field(description="Years from the first to the second at 2.5, 16, 50, 84 and 97.5 per cent.")
    links: list[RecordLink] = Field(description="The two contexts.")
    says: str


class AbsenceLine(BaseModel):
    """What the absence of later finds does to one date."""

    link: RecordLink | None
    says: str
    with_it: list[PieceLine]
    without_it: list[PieceLine]


def chronology_view(shown: Shown, *, absence: bool, begin: bool) -> ChronologyView:
    """Return how far the chronology is, and its dates once they are there; begin to work it out when asked."""
    dating = shown.study.dating
    settings = dating.settings if absence else dating.settings.without_absence()
    run: RunState = dating.state(shown.viewer, settings, begin=begin)
    if run.dated is None:
        return ChronologyView(
            state=run.state, says=run.says, absence=absence, lines=[], phases=[], out_of_place=[], settings=[], evidence=[],
            left_out=[], notes=[], diagnosis="", seed=settings.seed,
        )  # fmt: skip
    return _worked_out(shown, run.dated, run.says, absence=absence)


def _worked_out(shown: Shown, dated: DatedSite, says: str, *, absence: bool) -> ChronologyView:
    site, dates = dated.site, dated.dates
    undated = set(site.undated)
    lines = []
    for identity in site.order.latest_first:
        link, date = shown.link(identity), dated.of(identity)
        if link is not None and date is not None:
            lines.append(DatedLine(link=link, inner=_pieces(date, INNER), outer=_pieces(date), before=[_piece(prior_range(date))],
                                   undated=date.name in undated))  # fmt: skip
    return ChronologyView(
        state=State.DONE,
        says=says,
        absence=absence,
        lines=lines,
        phases=[_phase(one) for one in (dates.site, *dates.phases)],
        out_of_place=[
            FindLine(link=_context(shown, dated, one.event), links=shown.links(one.records), says=one.says)
            for one in out_of_place(dated)
        ],
        settings=list(dated.settings_in_words),
        evidence=[
            PutInLine(link=_context(shown, dated, one.event), links=shown.links(records), says=one.name)
            for one, records in zip(site.chronology.evidence, site.rests_on, strict=True)
        ],
        left_out=list(site.left_out),
        notes=[*site.notes, *dates.notes, *dated.curves],
        diagnosis=dates.diagnosis.words,
        seed=dates.seed,
    )


def before_view(shown: Shown, one: str, other: str) -> BeforeView:
    """Return which of two contexts is earlier, by the chronology; it is worked out first if need be.

    Raises
    ------
    UnknownRecord, InputError
        When one is not on record, not in the chronology, or both are one.
    """
    dated = shown.study.dating.dated(shown.viewer)
    told = before_told(dated, one, other)
    return BeforeView(
        chance=told.chance.value, standard_error=told.chance.standard_error, apart=list(told.apart), says=told.says,
        links=[link for name in (told.one, told.other) if (link := context_link(shown, dated, name)) is not None],
    )  # fmt: skip


def absence_view(shown: Shown) -> list[AbsenceLine]:
    """Return what the absence of later finds does to each date; both chronologies are worked out first if need be."""
    dating = shown.study.dating
    with_it = dating.dated(shown.viewer)
    without = dating.dated(shown.viewer, dating.settings.without_absence())
    return [
        AbsenceLine(
            link=_context(shown, with_it, with_it.site.chronology.place(one.event)), says=one.says, with_it=_pieces(one.with_it),
            without_it=_pieces(one.without_it),
        )
        for one in absence_told(with_it, without)
    ]  # fmt: skip


def _pieces(date: EventDate, level: float = OUTER) -> list[PieceLine]:
    return [_piece(one) for one in told_pieces(date, level)]


def _piece(one: Piece) -> PieceLine:
    return PieceLine(begin=one.begin, end=one.end, share=round(one.share, 4))


def _phase(one: PhaseDate) -> PhaseLineDated:
    return PhaseLineDated(
        name=one.name, start=_pieces(one.start), end=_pieces(one.end), length=[round(year, 1) for year in one.length]
    )


def context_link(shown: Shown, dated: DatedSite, event: str) -> RecordLink | None:
    """Return the link to a context of an event by its name; None when none is shown."""
    return _context(shown, dated, dated.site.chronology.place(event))


def _context(shown: Shown, dated: DatedSite, event: int) -> RecordLink | None:
    return next(iter(shown.links(one for one in dated.site.contexts[event] if shown.record.get(Context, one))), None)
