"""What an answer of the chronology rests on, and its ranges as data."""

from __future__ import annotations

from typing import Any

from baulk.dating.calibration import Piece
from baulk.dating.posterior import EventDate
from baulk.drawing.dates import OUTER, told_pieces
from baulk.work.chronology_answers import DatedSite

__all__ = ["how_told", "piece_told", "pieces_told", "rests_in_words"]


def how_told(dated: DatedSite) -> dict[str, Any]:
    """Return what a result rests on: every setting, the seed, the curve and how the chains stand."""
    return {
        "settings": list(dated.settings_in_words), "seed": dated.dates.seed, "curves": list(dated.curves),
        "chains": dated.dates.diagnosis.words, "notes": [*dated.site.notes, *dated.dates.notes],
    }  # fmt: skip


def rests_in_words(dated: DatedSite) -> tuple[str, ...]:
    """Return the same in sentences."""
    notes = (*dated.curves, *dated.site.notes, *dated.dates.notes)
    return (*dated.settings_in_words, *notes, dated.dates.diagnosis.words)


def pieces_told(date: EventDate, level: float = OUTER) -> list[dict[str, Any]]:
    """Return a range piece by piece."""
    return [piece_told(one) for one in told_pieces(date, level)]


def piece_told(one: Piece) -> dict[str, Any]:
    """Return one piece with the share of the date in it."""
    return {"begin": one.begin, "end": one.end, "share": round(one.share, 4)}
