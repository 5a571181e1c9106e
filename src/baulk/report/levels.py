"""Levels: the runs of the levels book reduced with their misclosure, and the levels on each context."""

from __future__ import annotations

import math
from collections.abc import Iterator

from baulk.errors import MeasureError
from baulk.grid.levels import Booking, ReducedRun, reduce_by_rise_and_fall
from baulk.grid.misclosure import HOUSE_LIMIT, MisclosureLimit, close_run
from baulk.grid.points import Level as Height
from baulk.quantities import half_up
from baulk.record import Level, LevelRun, Sight, Station, natural_number
from baulk.report.shown import NOT_RECORDED, WITHHELD, Shown
from baulk.report.tree import Chapter, Heading, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["level_register", "levels_chapter"]


def levels_chapter(scope: UnitScope) -> Chapter:
    """Return every run that the unit's levels rest on, reduced, with how it closes.

    When no level of the unit names a staff reading, every run of the site is printed and the gap is said.
    """
    runs = _runs(scope)
    parts: list[Node] = [Paragraph(f"{scope.shown.field(scope.record.site, 'vertical_datum')}.", lead="Vertical datum.")]
    if not runs:
        parts.append(Paragraph("No levels book is recorded: the levels cannot be checked against readings."))
    for run in runs:
        parts.extend(_run(scope, run))
    return Chapter("Levels", tuple(parts))


def _runs(scope: UnitScope) -> tuple[LevelRun, ...]:
    sights = (scope.record.get(Sight, level.sight) for level in scope.of_contexts(Level, "context") if level.sight)
    wanted = {sight.run for sight in sights if sight}
    runs = scope.record.all(LevelRun)
    return tuple(run for run in runs if run.id in wanted) if wanted else runs


def _run(scope: UnitScope, run: LevelRun) -> Iterator[Node]:
    shown, record = scope.shown, scope.record
    name = run.number or "without a number"
    yield Heading(f"Run {name}, {shown.field(run, 'day')}")
    sights = sorted(record.pointing_at(Sight, "run", run.id), key=lambda sight: sight.place or 0)
    if not sights:
        yield Paragraph("No readings are recorded for this run.")
        return
    try:
        reduced = _reduce(scope, run, sights)
    except MeasureError as refusal:
        yield Paragraph(shown.masked(str(refusal)), lead="Cannot tell.")
        return
    yield _closing(scope, run, reduced)
    yield _table(shown, name, reduced, sights)


def _reduce(scope: UnitScope, run: LevelRun, sights: list[Sight]) -> ReducedRun:
    metres = scope.record.metres
    start = scope.record.get(Station, run.start)
    known = Height(start.level * metres) if start and start.level is not None else None
    bookings = [
        Booking(
            sight.point or "point not recorded",
            backsight=_metres(sight.backsight, metres),
            intermediate=_metres(sight.intermediate, metres),
            foresight=_metres(sight.foresight, metres),
            level=_metres(sight.booked_level, metres),
            line=sight.place or 0,
        )
        for sight in sights
    ]
    return reduce_by_rise_and_fall(bookings, benchmark=known)


def _metres(value: float | None, metres: float) -> float:
    return math.nan if value is None else value * metres


def _closing(scope: UnitScope, run: LevelRun, reduced: ReducedRun) -> Paragraph:
    end = scope.record.get(Station, run.end)
    known = Height(end.level * scope.record.metres) if end and end.level is not None else None
    limit = MisclosureLimit(fixed=run.limit * scope.record.metres) if run.limit else HOUSE_LIMIT
    return Paragraph(scope.shown.masked(close_run(reduced, closing=known, limit=limit).statement), lead="Closure.")


def _table(shown: Shown, name: str, reduced: ReducedRun, sights: list[Sight]) -> Table:
    metres = shown.record.metres
    rows = []
    for place, sight in enumerate(sights):
        booked, level = sight.booked_level, reduced.level[place] / metres
        differs = booked is not None and abs(booked - level) * metres > 0.0006
        rows.append((
            str(reduced.bookings[place].line), sight.point or NOT_RECORDED,
            *(_reading(reading) for reading in (sight.backsight, sight.intermediate, sight.foresight)),
            _reading(reduced.rise[place] / metres), _reading(reduced.fall[place] / metres), _reading(level),
            f"{_reading(booked)} (differs)" if differs and booked is not None else _reading(booked),
        ))  # fmt: skip
    head = ("Line", "Point", "Back", "Inter", "Fore", "Rise", "Fall", "Level", "As booked")
    return Table(f"Levels run {name}, reduced by rise and fall, {shown.unit_sign}", head, tuple(rows),
                 weights=(0, 1, 0, 0, 0, 0, 0, 0, 0), numbers=(0, 2, 3, 4, 5, 6, 7, 8),
                 note="Intermediate readings do not enter the closure and are unchecked by it.")  # fmt: skip


def _reading(value: float | None) -> str:
    return "" if value is None or math.isnan(value) or value == 0 else half_up(value, 3).replace("-", "−")


def level_register(scope: UnitScope) -> Chapter:
    """Return the levels on the unit's contexts; in a public version their positions are withheld."""
    shown = scope.shown
    levels = sorted(
        scope.of_contexts(Level, "context"), key=lambda level: (natural_number(shown.label(level.context)), level.surface or "")
    )
    rows = tuple(
        (
            shown.label(level.context), shown.field(level, "surface"),
            *((shown.field(level, "easting"), shown.field(level, "northing")) if not shown.public else ()),
            shown.field(level, "level"), shown.field(level, "on_plan"), _from_reading(shown, level),
        )
        for level in levels
    )  # fmt: skip
    placed = () if shown.public else ("Easting", "Northing")
    head = ("Context", "Surface", *placed, "Level", "On the plan", "From reading")
    note = f"Positions: {WITHHELD}." if shown.public else ""
    table = Table(f"Levels on contexts ({len(rows)})", head, rows, weights=(*(1.0,) * (len(head) - 1), 2.0), note=note)
    return Chapter("Levels on contexts", (table,), appendix=True)


def _from_reading(shown: Shown, level: Level) -> str:
    sight = shown.record.get(Sight, level.sight)
    if sight is None:
        return NOT_RECORDED
    return f"{shown.label(sight.run)}, line {sight.place}" if sight.run else f"line {sight.place}"
