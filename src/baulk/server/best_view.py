"""What would date a context best, and what hangs on what is supposed, as the page reads them."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel, Field

from baulk.dating.posterior import EventDate
from baulk.drawing.dates import OUTER, told_pieces
from baulk.record import Context
from baulk.server.chronology_view import PieceLine
from baulk.server.record_view import RecordLink, Shown
from baulk.work.chronology_answers import DatedSite
from baulk.work.date_more import VariedTold, best_told, varied_comes_to
from baulk.work.site_dating import State

__all__ = ["BestView", "CandidateLine", "MovedLine", "SensitivityView", "VariedLine", "best_view", "varied_view"]

_MOVED = 8


class CandidateLine(BaseModel):
    """One piece of work that could be done."""

    name: str
    hours: float
    now: float = Field(description="Years of the range as it stands.")
    expected: float = Field(description="Years that it would have on average.")
    standard_error: float
    least: float = Field(description="Years in the narrowest tenth of outcomes.")
    most: float
    an_hour: float = Field(description="Years narrowed for each hour.")
    tells: bool = Field(description="False when the narrowing is no more than chance.")
    links: list[RecordLink] = Field(description="The context, and the sample or finds, that it is of.")
    says: str


class BestView(BaseModel):
    """What would date a context best, the best first."""

    event: str
    candidates: list[CandidateLine]
    says: str = Field(description="What that comes to; or why nothing can be said.")
    hours: str = Field(description="What work costs, in a sentence.")


class MovedLine(BaseModel):
    """A context whose date moved."""

    link: RecordLink
    outer: list[PieceLine]
    as_supposed: list[PieceLine] = Field(description="The range under what is supposed.")
    moved: int = Field(description="Years by which the end that moved more moved.")


class VariedLine(BaseModel):
    """The dates under another supposition: those that moved most."""

    name: str
    contexts: list[MovedLine]


class SensitivityView(BaseModel):
    """How far the variations are, and those that are there."""

    state: State
    says: str
    lines: list[VariedLine]
    comes_to: str = Field(description="How far the answer hangs on what is supposed; empty until all are there.")


def best_view(shown: Shown, named: str) -> BestView:
    """Return what would date a context best; the chronology is worked out first if need be.

    Raises
    ------
    UnknownRecord, InputError
        When it is not on record or not in the chronology.
    """
    told = best_told(shown.study.dating.dated(shown.viewer), named)
    return BestView(
        event=told.event,
        hours=told.hours,
        says=told.says,
        candidates=[
            CandidateLine(
                name=one.candidate.name, hours=round(one.candidate.cost, 1), now=one.now, expected=one.expected,
                standard_error=one.standard_error, least=one.least, most=one.most, an_hour=one.each, tells=one.tells,
                links=shown.links(records), says=line,
            )
            for one, line, records in zip(told.worths, told.lines, told.records, strict=True)
        ],
    )  # fmt: skip


def varied_view(shown: Shown, *, begin: bool) -> SensitivityView:
    """Return the dates under each variation as far as they are there; begun when asked, kept once they are worked out."""
    dating = shown.study.dating
    found = dating.varied(shown.viewer, begin=begin)
    if not found.varied:
        return SensitivityView(state=found.state, says=found.says, lines=[], comes_to="")
    dated = dating.dated(shown.viewer)
    lines = [VariedLine(name=one.name, contexts=list(_moved(shown, dated, one))) for one in found.varied]
    comes_to = varied_comes_to(dated, found.varied) if found.state is State.DONE else ""
    return SensitivityView(state=found.state, says=found.says, lines=lines, comes_to=comes_to)


def _moved(shown: Shown, dated: DatedSite, one: VariedTold) -> Iterator[MovedLine]:
    most = sorted(range(len(one.moved)), key=lambda place: -one.moved[place])
    told = 0
    for place in most:
        link = next(iter(shown.links(i for i in dated.site.contexts[place] if shown.record.get(Context, i))), None)
        if link is None or told == _MOVED or one.moved[place] == 0:
            continue
        told += 1
        yield MovedLine(
            link=link, outer=_pieces(one.dates[place]), as_supposed=_pieces(dated.dates.events[place]), moved=one.moved[place]
        )


def _pieces(date: EventDate) -> list[PieceLine]:
    return [PieceLine(begin=each.begin, end=each.end, share=round(each.share, 4)) for each in told_pieces(date, OUTER)]
