"""`baulk date --best-sample` and `--sensitivity`: what would date a context best, and what hangs on what is supposed."""

from __future__ import annotations

from typing import Any

from baulk.cli.date_rests import pieces_told
from baulk.cli.options import step
from baulk.work.chronology_answers import DatedSite
from baulk.work.date_more import best_told, varied_comes_to, varied_says, varied_told
from baulk.work.kept_dates import KeptDates

__all__ = ["best_answer", "sensitivity_answer"]


def best_answer(dated: DatedSite, named: str) -> tuple[dict[str, Any], str]:
    """Return what would date a context best, as data and in words."""
    told = best_told(dated, named)
    candidates = [
        {
            "name": one.candidate.name, "hours": round(one.candidate.cost, 1), "range_now": round(one.now, 1),
            "range_expected": round(one.expected, 1), "standard_error": round(one.standard_error, 2), "least": round(one.least, 1),
            "most": round(one.most, 1), "years_an_hour": round(one.each, 3), "tells": one.tells, "says": line,
        }
        for one, line in zip(told.worths, told.lines, strict=True)
    ]  # fmt: skip
    answer = {"question": told.event, "candidates": candidates, "best_says": told.says}
    return answer, "\n".join([*told.lines, told.says, told.hours])


def sensitivity_answer(dated: DatedSite, kept: KeptDates) -> tuple[dict[str, Any], str]:
    """Return how the dates move with what is supposed, as data and in words."""
    step("Working out, or taking as kept, the dates under other suppositions, one at a time")
    varied = tuple(varied_told(dated, kept))
    names, says = dated.site.chronology.events, varied_comes_to(dated, varied)
    answer = {
        "as_supposed": [{"context": one.name, "range_95": pieces_told(one)} for one in dated.dates.events],
        "varied": [
            {
                "name": one.name,
                "says": varied_says(dated, one),
                "contexts": [
                    {"context": names[place], "range_95": pieces_told(date), "moved": one.moved[place]}
                    for place, date in enumerate(one.dates)
                ],
            }
            for one in varied
        ],
        "sensitivity_says": says,
    }
    return answer, "\n".join([*(varied_says(dated, one) for one in varied), says])
