"""What would date a context best, and how its date moves when what is supposed is varied."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.dating.calibration import Piece
from baulk.dating.candidates import Question, Worth
from baulk.dating.chronology import sensitivity, usual_variations
from baulk.dating.posterior import EventDate
from baulk.dating.worth import rank_candidates
from baulk.dating.years import counted
from baulk.drawing.dates import OUTER, told_pieces
from baulk.work.chronology_answers import DatedSite
from baulk.work.date_candidates import Hours, candidates_for

__all__ = ["BestTold", "VariedTold", "best_told", "varied_told"]


@dataclass(frozen=True, slots=True)
class BestTold:
    """What would date a context best.

    Parameters
    ----------
    event : str
        The context's name in the chronology.
    worths : tuple of Worth
        The candidates, the one that narrows most for an hour first; empty when nothing that could be done is on record.
    hours : str
        What work costs, in a sentence.
    """

    event: str
    worths: tuple[Worth, ...]
    hours: str


@dataclass(frozen=True, slots=True)
class VariedTold:
    """The dates under another supposition.

    Parameters
    ----------
    name : str
        What was varied.
    dates : tuple of EventDate
        By event.
    moved : tuple of int
        By event, years by which the nearer or the farther end of the range at 95 per cent moved, the larger of the two.
    """

    name: str
    dates: tuple[EventDate, ...]
    moved: tuple[int, ...]


def best_told(dated: DatedSite, named: str, hours: Hours | None = None) -> BestTold:
    """Return what would date a context best, by its number or id.

    Raises
    ------
    UnknownRecord, InputError
        When it is not on record or not in the chronology.
    """
    event = dated.site.event(named)
    cost = hours or Hours()
    candidates = candidates_for(dated.site, event, cost)
    worths = rank_candidates(dated.dates, Question(event), candidates, seed=dated.dates.seed) if candidates else ()
    return BestTold(event, worths, cost.words)


def varied_told(dated: DatedSite) -> tuple[VariedTold, ...]:
    """Return the dates with one supposition varied at a time: intrusion, discard, moved soil, and the absence of later finds."""
    varied = sensitivity(dated.dates, usual_variations(dated.site.settings.suppositions), sampling=dated.site.settings.sampling)
    return tuple(VariedTold(one.name, one.dates.events, tuple(map(_moved, dated.dates.events, one.dates.events))) for one in varied)


def _moved(before: EventDate, after: EventDate) -> int:
    (first, last), (begin, end) = _ends(told_pieces(before, OUTER)), _ends(told_pieces(after, OUTER))
    return max(abs(begin - first), abs(end - last))


def _ends(pieces: tuple[Piece, ...]) -> tuple[int, int]:
    return min(counted(one.begin) for one in pieces), max(counted(one.end) for one in pieces)
