"""The unit report from a study: its drawings, its figures, and what is worked out for it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from baulk.errors import InputError, MeasureError
from baulk.record import Context, Drawing, Question, Unit, View, Wall
from baulk.report import DatingFacts, DrawnFigure, Report, VolumeFacts, unit_report
from baulk.report.readings import readings_key
from baulk.work.asked import questions_of
from baulk.work.block import BLOCK_SCALE
from baulk.work.dating_facts import dates_figure, dating_facts
from baulk.work.readings_facts import questions_facts
from baulk.work.volume_facts import volume_facts

if TYPE_CHECKING:
    from baulk.work.study import Study

__all__ = ["PLAN_SCALE", "drawings_wanted", "report_of", "scale_of"]

PLAN_SCALE = 20.0
"""1:20: the scale of a plan whose sheet does not say."""


def scale_of(sheet: Drawing | None) -> float:
    """Return the scale of a sheet, 10 for 1:10; 20 where it is blank and for the plan of a whole unit."""
    return sheet.scale if sheet is not None and sheet.scale else PLAN_SCALE


def report_of(study: Study, unit_id: str, *, public: bool = False, written: str | None = None) -> Report:
    """Return the report of a unit; the chronology stands in it when it has been worked out for that viewer."""
    unit = study.record.get(Unit, unit_id)
    if unit is None:
        return unit_report(study.record, unit_id, study.sequence, None, {}, public=public, written=written)
    view = View.PUBLIC if public else View.RESTRICTED
    return unit_report(
        study.record, unit_id, study.sequence, study.closing(unit_id), _figures(study, unit, view), public=public, written=written,
        volumes=_volumes(study, unit, public=public), dating=_dating(study, view),
        questions=questions_facts(study.record, study.seen_by(view), public=public),
    )  # fmt: skip


def _dating(study: Study, view: View) -> DatingFacts | None:
    with suppress(InputError):
        return dating_facts(study.dating, view)
    return None


def _volumes(study: Study, unit: Unit, *, public: bool) -> VolumeFacts | None:
    """Return the volumes of the unit's report; None when outlines or levels cannot be used, and it says so."""
    with suppress(MeasureError, InputError):
        return volume_facts(study.ground.shape(unit.id, restricted=not public))
    return None


def _figures(study: Study, unit: Unit, view: View) -> dict[str, DrawnFigure | str]:
    """Return the drawings of the unit's report; one that the record cannot give yet is left out, and the report says so."""
    figures: dict[str, DrawnFigure | str] = {}
    for key, name, caption, scale in drawings_wanted(study, unit):
        with suppress(MeasureError, InputError):
            figures[key] = DrawnFigure(study.svg(name, view), caption, f"Drawing: {caption}", scale)
    for question in _questions(study, unit, view):
        caption = f"Question {question.number or ''}: weights of evidence".replace(" :", ":")
        with suppress(InputError):
            svg = study.svg(f"readings-{question.number or question.id}", view)
            figures[readings_key(question.id)] = DrawnFigure(svg, caption, f"Drawing: {caption}", None)
    with suppress(InputError):
        figures["dates"] = dates_figure(study.dating, unit.id, view)
    return figures


def _questions(study: Study, unit: Unit, view: View) -> Iterator[Question]:
    """Yield the questions that a reader may see and that are about the unit, or about nothing in particular."""
    seen = study.seen_by(view)
    own = {context.id for context in seen.pointing_at(Context, "units", unit.id)}
    yield from (question for question in questions_of(seen) if not question.about or not own.isdisjoint(question.about))


def drawings_wanted(study: Study, unit: Unit) -> Iterator[tuple[str, str, str, int | None]]:
    """Yield the report's name, the drawing's name, the caption and the scale of each drawing of a unit."""
    number = unit.number or unit.id
    yield "plan", f"plan-{number}", f"Unit {number}, plan", 20
    own = next(iter(study.own_order(unit)), "order")
    caption = "Order of the contexts, latest on top" if own == "order" else f"Unit {number}, order of its contexts, latest on top"
    yield "order", own, caption, None
    for name, sheet in study.registered_plans(unit).items():
        yield f"sheet {sheet.number}", name, f"Unit {number}, {sheet.kind} {sheet.number}", int(scale_of(sheet))
    for wall in study.record.pointing_at(Wall, "unit", unit.id):
        caption = f"Unit {number}, {wall.face or 'a'} wall"
        yield f"wall:{wall.id}", f"wall-{wall.number or wall.id}", caption, int(wall.scale or 10)
    for wall in study.record.pointing_at(Wall, "unit", unit.id):
        name = f"modelled-{wall.number or wall.id}"
        if name in study.ground.names:
            yield name, name, f"Unit {number}, {wall.face or 'a'} wall as drawn, over the modelled ground", 10
    yield "block", f"block-{number}", f"Unit {number}, its contexts as solids, drawn apart by the order", int(BLOCK_SCALE)
