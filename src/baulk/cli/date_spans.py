"""`baulk date --within` and `--spans`: how likely a context is of some years, and how two spans stand to each other."""

from __future__ import annotations

from typing import Any

from baulk.work.chronology_answers import DatedSite, within_told
from baulk.work.chronology_spans import spans_told

__all__ = ["spans_answer", "within_answer"]


def within_answer(dated: DatedSite, named: str, begin: int, end: int) -> tuple[dict[str, Any], str]:
    """Return how likely a context is of the years from one to another, as data and in words."""
    told = within_told(dated, named, begin, end)
    answer = {
        "event": told.event, "begin": begin, "end": end, "chance": told.chance.value, "standard_error": told.chance.standard_error,
        "earlier": told.earlier.value, "later": told.later.value, "by_order_and_span_alone": round(told.before, 4),
        "says": told.says,
    }  # fmt: skip
    return {"within": answer}, told.says


def spans_answer(dated: DatedSite, one: str, other: str) -> tuple[dict[str, Any], str]:
    """Return how two phases, or two lots of contexts, stand to each other in time, as data and in words."""
    told = spans_told(dated, one, other)
    ways = [
        {"name": way.name, "chance": way.chance.value, "standard_error": way.chance.standard_error, "says": way.says}
        for way in told.ways
    ]
    answer = {
        "first": told.first, "second": told.second, "first_events": list(told.events[0]), "second_events": list(told.events[1]),
        "ways": ways, "shared": told.shared.value, "years_between": [round(year, 1) for year in told.between], "says": told.says,
    }  # fmt: skip
    return {"spans": answer}, told.says
