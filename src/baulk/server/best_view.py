"""What would date a context best, and what hangs on what is supposed, as the page reads them."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.drawing.dates import OUTER, told_pieces
from baulk.record import Context
from baulk.server.chronology_view import PieceLine
from baulk.server.record_view import RecordLink, Shown
from baulk.work.date_more import best_told, varied_told

__all__ = ["BestView", "CandidateLine", "MovedLine", "VariedLine", "best_view", "varied_view"]

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
    says: str


class BestView(BaseModel):
    """What would date a context best, the best first."""

    event: str
    candidates: list[CandidateLine]
    hours: str = Field(description="What work costs, in a sentence.")


class MovedLine(BaseModel):
    """A context whose date moved."""

    link: RecordLink
    outer: list[PieceLine]
    moved: int = Field(description="Years by which the end that moved more moved.")


class VariedLine(BaseModel):
    """The dates under another supposition: those that moved most."""

    name: str
    contexts: list[MovedLine]


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
        candidates=[
            CandidateLine(
                name=one.candidate.name, hours=round(one.candidate.cost, 1), now=one.now, expected=one.expected,
                standard_error=one.standard_error, least=one.least, most=one.most, an_hour=one.each, says=one.words,
            )
            for one in told.worths
        ],
    )  # fmt: skip


def varied_view(shown: Shown) -> list[VariedLine]:
    """Return the dates under each variation; worked out at each asking, which takes as long as all of them."""
    dated = shown.study.dating.dated(shown.viewer)
    lines = []
    for one in varied_told(dated):
        most = sorted(range(len(one.moved)), key=lambda place: -one.moved[place])
        moved: list[MovedLine] = []
        for place in most:
            link = next(iter(shown.links(i for i in dated.site.contexts[place] if shown.record.get(Context, i))), None)
            if link is not None and len(moved) < _MOVED:
                pieces = told_pieces(one.dates[place], OUTER)
                outer = [PieceLine(begin=each.begin, end=each.end, share=round(each.share, 4)) for each in pieces]
                moved.append(MovedLine(link=link, outer=outer, moved=one.moved[place]))
        lines.append(VariedLine(name=one.name, contexts=moved))
    return lines
