"""The drawings of a site's dates: all contexts on one sheet, and the aids of one context on another."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from baulk.dating.curve import intcal20
from baulk.drawing import Scene
from baulk.drawing.date_aids import AidsDrawn, aids_drawing
from baulk.drawing.dates import DateLine, dates_drawing
from baulk.record import Context
from baulk.work.chronology_answers import DatedSite, date_lines
from baulk.work.dates import SiteDates
from baulk.work.dating_results import carbon_drawn, results_of, stems_of

__all__ = ["aids_scene", "dates_scene"]


def dates_scene(
    bounds: SiteDates, dated: DatedSite | None = None, *, contexts: Collection[str] | None = None, name: str = "dates",
    withheld: Collection[str] = (), restricted: bool = False, notes: Sequence[str] = (),
) -> Scene:  # fmt: skip
    """Return the dates of a site as a drawing.

    Parameters
    ----------
    bounds : SiteDates
        As the viewer may have them.
    dated : DatedSite, optional
        Ranges beside the bounds.
    contexts : collection of str, optional
        Ids of the contexts to show; all when None.
    name : str
        Short name of the drawing.
    withheld : collection of str
        Ids of contexts of which only number and kind is shown.
    restricted : bool
        True when it shows records that are not for the public.
    notes : sequence of str
        What is to be known besides.
    """
    lines = [line for line in date_lines(bounds, dated) if contexts is None or line.context in contexts]
    return dates_drawing(
        bounds.record, lines, name=name, heading=_heading(dated), facts=_facts(bounds, dated), restricted=restricted,
        withheld=withheld, notes=[*notes, *bounds.notes, *((*dated.site.notes, *dated.settings_in_words) if dated else ())],
    )  # fmt: skip


def _heading(dated: DatedSite | None) -> str:
    if dated is None:
        return "Dates: bounds by the order, latest on top"
    counted = "absence of later finds counted" if dated.site.settings.suppositions.absence else "absence of later finds left out"
    return f"Dates by the chronology, {counted}"


def _facts(bounds: SiteDates, dated: DatedSite | None) -> list[tuple[str, str | None]]:
    facts: list[tuple[str, str | None]] = [
        ("Types", bounds.types.title), ("Record", f"revision {bounds.record.revision}"),
    ]  # fmt: skip
    if dated is not None:
        facts += [
            ("Window", dated.site.chronology.window.words),
            ("Seed", str(dated.dates.seed)),
            ("Curve", "; ".join(dated.curves) or "none used"),
        ]
    return facts


def aids_scene(bounds: SiteDates, named: str, *, dated: DatedSite | None = None, restricted: bool = False) -> Scene:
    """Return the aids to the date of one context, by number or id, as a drawing.

    Raises
    ------
    UnknownRecord
        When there is no such context.
    InputError
        When it is void.
    """
    context = bounds.context(named)
    given = AidsDrawn(
        _line(bounds, context, dated), bounds.aids(context.id), bounds.ceramics(context.id),
        stems_of(results_of(bounds.record, context)), carbon_drawn(bounds.record, context),
    )  # fmt: skip
    number = context.number or context.id
    facts = [("Types", bounds.types.title), ("Curve", intcal20().title if given.carbon else "none used")]
    return aids_drawing(bounds.record, number, given, name=f"aids-{number}", facts=facts, restricted=restricted)


def _line(bounds: SiteDates, context: Context, dated: DatedSite | None) -> DateLine:
    one = bounds.of(context.id)
    return DateLine(context.id, one.tpq, one.taq, one.tpq_by, one.taq_by, None if dated is None else dated.of(context.id))
