"""The dates of a site as its report prints them: bounds always, the chronology when it has been worked out."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.dating.posterior import PhaseDate
from baulk.dating.years import year_in_words
from baulk.drawing import to_svg
from baulk.drawing.dates import INNER
from baulk.record import Context, View
from baulk.report import ChronologyFacts, DateRow, DatingFacts, DrawnFigure, PhaseRow
from baulk.work.chronology_answers import DatedSite, absence_told, prior_in_words, ranges_in_words
from baulk.work.date_drawings import dates_scene
from baulk.work.dates import ContextBounds, SiteDates
from baulk.work.dating_oddities import against_in_words
from baulk.work.out_of_place import out_of_place
from baulk.work.site_dating import SiteDating, State

__all__ = ["dates_figure", "dating_facts"]

_CONTRADICTIONS = 25


def dating_facts(dating: SiteDating, view: View) -> DatingFacts:
    """Return the dates of a site for the report of a viewer.

    Parameters
    ----------
    dating : SiteDating
        The dates of the study.
    view : View
        Public for the public version, which is worked out from the public record alone.
    """
    bounds, run = dating.bounds(view), dating.state(view)
    dated, odd = run.dated, [one.says for one in bounds.oddities]
    return DatingFacts(
        rows=tuple(_rows(bounds, dated)),
        contradictions=tuple(
            (bounds.says(one), tuple(way.says for way in bounds.ways_out(one))) for one in bounds.contradictions[:_CONTRADICTIONS]
        ),
        left_out=bounds.left_out,
        aids=tuple(_aids(bounds)),
        types=bounds.types.title,
        notes=bounds.notes,
        chronology=None if dated is None else _chronology(dating, dated, view),
        refused=run.says if run.state is State.REFUSED else "",
        oddities=(*odd, *against_in_words(odd)),
    )


def dates_figure(dating: SiteDating, unit_id: str, view: View) -> DrawnFigure:
    """Return the drawing of the dates of a unit's contexts."""
    bounds, dated = dating.bounds(view), dating.state(view).dated
    own = {context.id for context in bounds.record.pointing_at(Context, "units", unit_id)}
    scene = dates_scene(bounds, dated, contexts=own, restricted=view is View.RESTRICTED)
    what = "bounds by the order" if dated is None else "bounds by the order and ranges by the chronology"
    caption = f"Dates of the contexts, latest on top: {what}"
    return DrawnFigure(to_svg(scene), caption, f"Drawing: {caption}")


def _rows(bounds: SiteDates, dated: DatedSite | None) -> Iterator[DateRow]:
    undated = frozenset() if dated is None else frozenset(dated.site.undated)
    for identity in bounds.order.latest_first:
        if bounds.record.get(Context, identity) is None:
            continue
        tpq, taq = _bound_words(bounds.of(identity))
        date = None if dated is None else dated.of(identity)
        if date is None:
            yield DateRow(identity, tpq, taq)
        else:
            yield DateRow(
                identity, tpq, taq, prior_in_words(date), ranges_in_words(date), ranges_in_words(date, INNER), date.name in undated
            )


def _bound_words(one: ContextBounds) -> tuple[str, str]:
    return _bound(one.tpq, one.tpq_by, one.tpq_path), _bound(one.taq, one.taq_by, one.taq_path)


def _bound(year: int | None, by: str, path: tuple[str, ...]) -> str:
    if year is None:
        return ""
    way = f" ({' > '.join(path)})" if len(path) > 1 else ""
    return f"{year_in_words(year)}: {by}{way}"


def _aids(bounds: SiteDates) -> Iterator[tuple[str, str]]:
    for identity in bounds.order.latest_first:
        if bounds.record.get(Context, identity) is not None:
            yield from ((identity, aid.words) for aid in bounds.aids(identity))


def _chronology(dating: SiteDating, dated: DatedSite, view: View) -> ChronologyFacts:
    site, dates = dated.site, dated.dates
    without = dating.state(view, site.settings.without_absence()).dated if site.settings.suppositions.absence else None
    return ChronologyFacts(
        settings=dated.settings_in_words,
        evidence=tuple((site.chronology.events[one.event], one.name) for one in site.chronology.evidence),
        left_out=site.left_out,
        curves=dated.curves,
        phases=tuple(_phase(one) for one in (dates.site, *dates.phases)),
        out_of_place=tuple(one.says for one in out_of_place(dated)),
        absence=() if without is None else tuple(one.says for one in absence_told(dated, without)),
        chains=dates.diagnosis.words,
        notes=(*site.notes, *dates.notes),
    )


def _phase(one: PhaseDate) -> PhaseRow:
    lasts = f"{one.length[0]:.0f} to {one.length[4]:.0f} years"
    return PhaseRow(one.name, ranges_in_words(one.start), ranges_in_words(one.end), lasts)
