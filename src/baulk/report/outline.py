"""The unit report: which chapters, in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from baulk.closing.check import ClosingResult
from baulk.record import Outline, SiteRecord, Wall
from baulk.report.contexts import context_register, results
from baulk.report.cover import cover_page, notice, summary, unit_name
from baulk.report.dates import dating_chapter
from baulk.report.dates_given import DatingFacts
from baulk.report.figures import DATES, ORDER, PLAN, drawn_figure, public_figure, wall_key
from baulk.report.given import DrawnFigure, SequenceFacts
from baulk.report.levels import level_register, levels_chapter
from baulk.report.narrative import aims, background, introduction, methods
from baulk.report.readings import readings_chapter, readings_key
from baulk.report.readings_given import QuestionFacts
from baulk.report.redaction import PublicVersion, public_version
from baulk.report.registers import drawing_register, find_register, finds_and_samples, photo_register, sample_register
from baulk.report.sequence import order_of_contexts, relation_register
from baulk.report.shown import Shown
from baulk.report.standing import archive, cautions, closing_chapter, follow_ups, human_remains, references, withheld_list
from baulk.report.tree import Chapter, Figure, Heading, Node, Paragraph, Report
from baulk.report.unit_scope import UnitScope, unit_scope
from baulk.report.volumes import volumes_chapter
from baulk.report.volumes_given import VolumeFacts

__all__ = ["unit_report"]


def unit_report(
    record: SiteRecord,
    unit_id: str,
    order: SequenceFacts | None,
    closing: ClosingResult | None,
    figures: Mapping[str, DrawnFigure | str],
    *,
    public: bool,
    written: str | None = None,
    volumes: VolumeFacts | None = None,
    dating: DatingFacts | None = None,
    questions: Sequence[QuestionFacts] | None = None,
) -> Report:
    """Return the report of one unit as a tree; `to_html` and `to_pdf` set it.

    Parameters
    ----------
    record : SiteRecord
        The full record, also for the public version: what may not be printed is taken out here.
    unit_id : str
    order : SequenceFacts or None
        None when the order was not computed; the report says so.
    closing : closing result or None
        None when the check was not run; the report says so.
    figures : mapping of name to DrawnFigure or SVG text
        ``plan``, ``order``, ``wall:ID`` for the wall of that id; any other name follows after the walls. For the public version
        give drawings made without restricted records; groups and labels that give away what is withheld are taken out again.
    public : bool
        True for the public version.
    written : str or None
        Day of writing, ISO 8601, for the cover.
    volumes : VolumeFacts or None
        None when the volumes were not worked out; the report says so. For the public version give those made without restricted
        records; contexts that are withheld are left out again.
    dating : DatingFacts or None
        None when dates were not worked out; the report says so. For the public version give those worked out from the public
        record.
    questions : sequence of QuestionFacts or None
        None when no question was weighed; the report says so. For the public version give those weighed from the public record.

    Returns
    -------
    Report

    Raises
    ------
    UnknownRecord
        When the record has no unit of that id.
    FileError
        When a figure is no SVG drawing.
    """
    version = public_version(record) if public else None
    shown = Shown(version.record, public=True, masked=version.mask.text) if version else Shown(record)
    scope = unit_scope(shown, unit_id)
    kept = _in_view(order, version)
    drawn = _figures(scope, figures, version)
    sheets = {one.question: drawn.pop(readings_key(one.question), []) for one in questions or ()}
    chapters = (
        summary(scope, kept, closing),
        introduction(scope),
        background(scope),
        aims(scope),
        methods(scope),
        results(scope, kept),
        order_of_contexts(scope, kept, drawn.pop(ORDER, [])),
        levels_chapter(scope),
        volumes_chapter(scope, volumes),
        dating_chapter(scope, dating, drawn.pop(DATES, [])),
        readings_chapter(scope, questions, sheets),
        _drawings(scope, drawn),
        finds_and_samples(scope),
        follow_ups(scope),
        closing_chapter(scope, closing),
        human_remains(scope, version.withheld if version else ()),
        cautions(),
        archive(scope),
        references(scope),
        context_register(scope),
        relation_register(scope),
        level_register(scope),
        find_register(scope),
        sample_register(scope),
        photo_register(scope),
        drawing_register(scope),
        *((withheld_list(version.withheld),) if version else ()),
    )
    running = (shown.record.site.code or shown.record.site.name or "Site without a code", unit_name(scope.unit))
    return Report(cover_page(shown, scope.unit, written), chapters, running, notice(shown), written)


def _in_view(order: SequenceFacts | None, version: PublicVersion | None) -> SequenceFacts | None:
    """Return the order without anything of a withheld record."""
    if order is None or version is None:
        return order
    hidden = version.hidden
    return SequenceFacts(
        steps={context: steps for context, steps in order.steps.items() if context not in hidden},
        loops=tuple(loop for loop in order.loops if not hidden.intersection(loop)),
        one_sided=tuple(relation for relation in order.one_sided if relation not in hidden),
        implied=tuple(
            implied for implied in order.implied if implied.relation not in hidden and not hidden.intersection(implied.path)
        ),
        floating=tuple(context for context in order.floating if context not in hidden),
        set_aside=tuple(relation for relation in order.set_aside if relation not in hidden),
        contradictions=order.contradictions,
    )


def _figures(scope: UnitScope, figures: Mapping[str, DrawnFigure | str], version: PublicVersion | None) -> dict[str, list[Figure]]:
    found: dict[str, list[Figure]] = {}
    for name, given in figures.items():
        figure = drawn_figure(scope, name, given)
        found.setdefault(name, []).append(public_figure(figure, version) if version else figure)
    return found


def _no_plan(scope: UnitScope) -> str:
    said = "No plan was drawn for this report"
    if scope.unit.corners is None and not scope.of_contexts(Outline, "context"):
        return (
            f"{said}: neither a corner of the unit nor an outline of a context is on record, so where anything lies cannot be told."
        )
    return f"{said}."


def _drawings(scope: UnitScope, drawn: dict[str, list[Figure]]) -> Chapter:
    """Return the chapter of plan and walls."""
    shown, unit = scope.shown, scope.unit
    parts: list[Node] = []
    plans = drawn.pop(PLAN, [])
    parts += [Heading("Plan"), *(plans or (Paragraph(_no_plan(scope)),))]
    parts += [Heading("Walls of the unit"), Paragraph(f"{shown.field(unit, 'walls_with_layers')}.", lead="Faces that show layers.")]
    walls = scope.of_unit(Wall)
    for wall in walls:
        missing = Paragraph(f"The wall {wall.number or wall.face or ''} is on record; no drawing of it was made for this report.")
        parts += [*(drawn.pop(wall_key(wall.id), []) or (missing,))]
    if not walls:
        parts.append(Paragraph("No wall is recorded as drawn."))
    rest = [figure for several in drawn.values() for figure in several]
    parts += [Heading("Other drawings"), *rest] if rest else []
    return Chapter("Plan and walls", tuple(parts))
