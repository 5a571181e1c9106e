"""`baulk date --model` and what is asked of a chronology: its options, and its answers as data and in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

import click

from baulk.cli.date_best import best_answer, sensitivity_answer
from baulk.cli.date_draw import draw_dates
from baulk.cli.date_rests import how_told, piece_told, pieces_told, rests_in_words
from baulk.cli.date_spans import spans_answer, within_answer
from baulk.cli.options import step
from baulk.dating.discard import Discard
from baulk.dating.intrusion import Intrusion
from baulk.dating.model import Suppositions
from baulk.dating.posterior import PhaseDate
from baulk.dating.types import TypeTable
from baulk.drawing.dates import INNER
from baulk.record import Context, SiteRecord, View
from baulk.record.as_seen import record_for
from baulk.work.chronology import SiteChronology, site_chronology
from baulk.work.chronology_answers import DatedSite, absence_told, before_told, prior_in_words, prior_range, ranges_in_words
from baulk.work.chronology_settings import ChronologySettings, PhaseUse, settings_of
from baulk.work.dates import site_dates
from baulk.work.kept_dates import KeptDates
from baulk.work.order import site_order
from baulk.work.out_of_place import out_of_place
from baulk.work.site_dating import dated_site

__all__ = ["ModelAsked", "answer_of_model", "model_options", "wants_model"]

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--model", is_flag=True, help="Work out the chronology: ranges, phases, finds that look out of place."),
    click.option("--before", nargs=2, default=None, metavar="A B", help="How likely context A is earlier than context B."),
    click.option("--within", nargs=3, type=(str, int, int), default=None, metavar="CONTEXT FROM TO",
                 help="How likely a context is of the years FROM to TO."),
    click.option("--spans", nargs=2, default=None, metavar="A B",
                 help="How two spans stand in time: “phase 2”, or contexts as 104,107."),
    click.option("--absence", is_flag=True, help="What the absence of later finds does to each date, explained."),
    click.option("--best-sample", default=None, metavar="CONTEXT", help="What would date this context best, for its cost."),
    click.option("--sensitivity", is_flag=True, help="How the dates move when what is supposed is varied."),
    click.option("--seed", type=click.IntRange(min=0), default=None, help="Seed of the draws; the record's, or 1."),
    click.option("--leave-out-absence", is_flag=True, help="Leave the absence of later finds out."),
    click.option("--intrusion", type=click.FloatRange(0, 1, min_open=True, max_open=True), default=None,
                 help="Chance that a find of an undisturbed deposit is intrusive."),
    click.option("--lag", type=click.FloatRange(min=0, min_open=True), default=None, help="Mean years from making to discard."),
    click.option("--moved", type=click.FloatRange(0, 1, max_open=True), default=None,
                 help="Chance that a whole deposit is older soil moved."),
    click.option("--from", "first", type=int, default=None, metavar="YEAR", help="Earliest year of anything of the site."),
    click.option("--to", "last", type=int, default=None, metavar="YEAR", help="Latest year of anything of it."),
    click.option("--phases", type=click.Choice([one.value for one in PhaseUse]), default=None, help="How phases are used."),
)  # fmt: skip


def model_options(command: F) -> F:
    """Give a command the options of the chronology."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


@dataclass(frozen=True, slots=True)
class ModelAsked:
    """What was asked of the chronology, and the settings given with it; None or False where nothing was."""

    model: bool = False
    before: tuple[str, str] | None = None
    within: tuple[str, int, int] | None = None
    spans: tuple[str, str] | None = None
    absence: bool = False
    best_sample: str | None = None
    sensitivity: bool = False
    seed: int | None = None
    leave_out_absence: bool = False
    intrusion: float | None = None
    lag: float | None = None
    moved: float | None = None
    first: int | None = None
    last: int | None = None
    phases: str | None = None

    def settings(self, kept: ChronologySettings) -> ChronologySettings:
        """Return the settings that the record keeps with those given in their place."""
        held = kept.suppositions
        intrusion = Intrusion(
            held.intrusion.undisturbed if self.intrusion is None else self.intrusion, held.intrusion.odds_each_grade
        )
        discard = Discard(
            held.discard.lag if self.lag is None else self.lag, held.discard.residual_share, held.discard.residual_lag,
            held.discard.redeposited if self.moved is None else self.moved,
        )  # fmt: skip
        begin, end = kept.window
        return replace(
            kept,
            suppositions=Suppositions(intrusion, discard, held.absence and not self.leave_out_absence, held.span),
            window=(begin if self.first is None else self.first, end if self.last is None else self.last),
            phases=kept.phases if self.phases is None else PhaseUse(self.phases),
            seed=kept.seed if self.seed is None else self.seed,
        )


def wants_model(asked: ModelAsked) -> bool:
    """Tell whether anything is asked of the chronology."""
    return any((asked.model, asked.before, asked.within, asked.spans, asked.absence, asked.best_sample, asked.sensitivity))


def answer_of_model(
    record: SiteRecord, asked: ModelAsked, view: View, types: TypeTable, draw: Path | None, kept: KeptDates
) -> tuple[dict[str, Any], str]:  # fmt: skip
    """Return what is asked of the chronology, as data and in words; with `draw` the drawing of its dates is written there.

    Dates that are kept of this record, or of an earlier one that says the same of what dates it, are not worked out again.

    Raises
    ------
    InputError, UnknownRecord
        When nothing dates a context, evidence contradicts the order, or a context is not in the chronology.
    NotSettled
        When the chains do not agree: then nothing is told.
    """
    seen, settings = record_for(record, view), asked.settings(settings_of(record))
    site = site_chronology(seen, site_order(record), settings, types=types)
    dated = _dated(site, kept)
    if draw is not None:
        draw_dates(site_dates(record, site.order, view=view, types=types), dated, draw, view)
    answer, words = _asked_of(dated, asked, types, kept)
    return answer | {"types": types.title}, "\n".join([words, f"Types: {types.title}."])


def _dated(site: SiteChronology, kept: KeptDates, how: str = "") -> DatedSite:
    """Return the dates, and tell whether they are worked out now or kept, and of which revision."""
    events, found = f"the dates of {len(site.chronology.events)} events{how}", kept.get(site)
    if found is None:
        step(f"Working out {events}")
    else:
        step(f"Taking {events} as they were worked out of revision {found.revision}; nothing that dates has changed since")
    return dated_site(site, kept)


def _asked_of(dated: DatedSite, asked: ModelAsked, types: TypeTable, kept: KeptDates) -> tuple[dict[str, Any], str]:
    """Answer all that is asked, in one and the same order, with what it rests on once at the end."""
    told: list[tuple[dict[str, Any], str]] = []
    if asked.model:
        told.append(_whole(dated))
    if asked.before:
        told.append(_before(dated, *asked.before))
    if asked.within:
        told.append(within_answer(dated, *asked.within))
    if asked.spans:
        told.append(spans_answer(dated, *asked.spans))
    if asked.absence:
        told.append(_absence(dated, types, kept))
    if asked.best_sample:
        told.append(best_answer(dated, asked.best_sample))
    if asked.sensitivity:
        told.append(sensitivity_answer(dated, kept))
    answer = {key: held for one, _ in told for key, held in one.items()}
    return answer | how_told(dated), "\n".join([*(words for _, words in told), *rests_in_words(dated)])


def _before(dated: DatedSite, one: str, other: str) -> tuple[dict[str, Any], str]:
    told = before_told(dated, one, other)
    answer = {
        "first": told.one, "second": told.other, "first_earlier": told.chance.value,
        "standard_error": told.chance.standard_error, "years_between": [round(year, 1) for year in told.apart], "says": told.says,
    }  # fmt: skip
    return answer, told.says


def _absence(dated: DatedSite, types: TypeTable, kept: KeptDates) -> tuple[dict[str, Any], str]:
    again = _again(dated.site, dated.site.settings.without_absence(), types)
    without = _dated(again, kept, " without the absence of later finds")
    told = absence_told(dated, without)
    lines = [
        {
            "event": one.event,
            "absent": one.absent,
            "with": pieces_told(one.with_it),
            "without": pieces_told(one.without_it),
            "says": one.says,
        }
        for one in told
    ]
    words = [one.says for one in told] or ["Nothing that is common later is absent from a deposit here, so absence says nothing."]
    return {"absences": lines}, "\n".join(words)


def _again(site: SiteChronology, settings: ChronologySettings, types: TypeTable) -> SiteChronology:
    return site_chronology(site.record, site.order, settings, types=types)


def _whole(dated: DatedSite) -> tuple[dict[str, Any], str]:
    dates = dated.dates
    answer = {
        "contexts": list(_contexts(dated)),
        "site": _phase(dates.site),
        "phases": [_phase(one) for one in dates.phases],
        "out_of_place": [
            {
                "what": one.what, "find": one.name, "context": dated.site.chronology.events[one.event],
                "intrusive": round(one.intrusive, 4), "residual": round(one.residual, 4), "says": one.says,
            }
            for one in out_of_place(dated)
        ],
        "left_out": list(dated.site.left_out),
        "evidence": [
            {"event": dated.site.chronology.events[one.event], "is": one.name} for one in dated.site.chronology.evidence
        ],
    }  # fmt: skip
    return answer, "\n".join(_whole_words(dated))


def _contexts(dated: DatedSite) -> Iterator[Mapping[str, Any]]:
    undated = set(dated.site.undated)
    for identity in dated.site.order.latest_first:
        date, context = dated.of(identity), dated.site.record.get(Context, identity)
        if date is not None and context is not None:
            yield {
                "context": context.number, "event": date.name, "range_68": pieces_told(date, INNER), "range_95": pieces_told(date),
                "before_95": piece_told(prior_range(date)), "by_order_alone": date.name in undated,
            }  # fmt: skip


def _phase(one: PhaseDate) -> dict[str, Any]:
    return {
        "name": one.name, "begins_95": pieces_told(one.start), "ends_95": pieces_told(one.end),
        "lasts": [round(years, 1) for years in one.length],
    }  # fmt: skip


def _whole_words(dated: DatedSite) -> Iterator[str]:
    dates, undated = dated.dates, set(dated.site.undated)
    for identity in dated.site.order.latest_first:
        date, context = dated.of(identity), dated.site.record.get(Context, identity)
        if date is not None and context is not None:
            alone = "; by the order alone" if date.name in undated else ""
            before = prior_in_words(date)
            told = f"{ranges_in_words(date)} (95 %), {ranges_in_words(date, INNER)} (68 %)"
            yield f"{context.number}: {told}; by order and span alone {before}{alone}"
    for phase in (dates.site, *dates.phases):
        yield (
            f"{phase.name}: begins {ranges_in_words(phase.start)}, ends {ranges_in_words(phase.end)}, lasts "
            f"{phase.length[0]:.0f} to {phase.length[4]:.0f} years"
        )
    yield from (one.says for one in out_of_place(dated))
    if dated.site.left_out:
        yield f"not in the chronology ({len(dated.site.left_out)}):"
        yield from (f"  {one}" for one in dated.site.left_out)
