"""`baulk date --best-sample` and `--sensitivity`: what would date a context best, and what hangs on what is supposed."""

from __future__ import annotations

from typing import Any

from baulk.cli.date_rests import pieces_told
from baulk.cli.options import step
from baulk.work.chronology_answers import DatedSite, ranges_in_words
from baulk.work.date_more import best_told, varied_told

__all__ = ["best_answer", "sensitivity_answer"]

_SHOWN = 5
"""Contexts named of each variation, those that move most."""


def best_answer(dated: DatedSite, named: str) -> tuple[dict[str, Any], str]:
    """Return what would date a context best, as data and in words."""
    told = best_told(dated, named)
    candidates = [
        {
            "name": one.candidate.name, "hours": round(one.candidate.cost, 1), "range_now": round(one.now, 1),
            "range_expected": round(one.expected, 1), "standard_error": round(one.standard_error, 2), "least": round(one.least, 1),
            "most": round(one.most, 1), "years_an_hour": round(one.each, 3), "says": one.words,
        }
        for one in told.worths
    ]  # fmt: skip
    none = f"Nothing that could be done for {told.event} is on record: no sample, no soil left, no loosely dated find."
    lines = [one.words for one in told.worths] or [none]
    return {"question": told.event, "candidates": candidates}, "\n".join([*lines, told.hours])


def sensitivity_answer(dated: DatedSite) -> tuple[dict[str, Any], str]:
    """Return how the dates move with what is supposed, as data and in words."""
    step("Working them out under other suppositions, one at a time")
    varied = varied_told(dated)
    names = dated.site.chronology.events
    answer = {
        "as_supposed": [{"context": one.name, "range_95": pieces_told(one)} for one in dated.dates.events],
        "varied": [
            {
                "name": one.name,
                "contexts": [
                    {"context": names[place], "range_95": pieces_told(date), "moved": one.moved[place]}
                    for place, date in enumerate(one.dates)
                ],
            }
            for one in varied
        ],
    }
    lines = []
    for one in varied:
        most = sorted(range(len(names)), key=lambda place: -one.moved[place])[:_SHOWN]
        said = "; ".join(f"{names[place]} {ranges_in_words(one.dates[place])} ({one.moved[place]} years)" for place in most)
        lines.append(f"{one.name}: moved most {said}")
    return answer, "\n".join([*lines, "In brackets by how many years the end that moved more moved, at 95 per cent."])
