"""The levels book as the closing rules ask it: each run reduced, closed and held beside what was booked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from baulk.errors import MeasureError
from baulk.grid.booking_check import HALF_MILLIMETRE, BookingFault, check_printed
from baulk.grid.levels import Booking, ReducedRun, awaits_closing_sight, reduce_by_rise_and_fall, reduce_open_run
from baulk.grid.misclosure import HOUSE_LIMIT, Closure, MisclosureLimit, close_run
from baulk.grid.points import Level
from baulk.record import LevelRun, Sight, SiteRecord, Station

__all__ = ["CheckedRun", "check_run", "reduced_levels"]

_STILL_OPEN = (
    "it is not closed yet: no foresight on a known mark ends it. Read the staff on the mark again and book that foresight on a "
    "line of its own; until then nothing checks its levels"
)


@dataclass(frozen=True, slots=True)
class CheckedRun:
    """One run of the levels book.

    Parameters
    ----------
    sights : tuple of Sight
        Its lines in order.
    reduced : ReducedRun or None
        Levels in metres; None when the run cannot be reduced, `refused` then says why.
    closure : Closure or None
        None also for a run that is still open, which is reduced as far as it goes.
    faults : tuple of BookingFault
        Levels as booked that the readings do not bear out.
    refused : str
        Why the run cannot be reduced.
    blank : str
        What is missing, so that nobody can tell.
    """

    sights: tuple[Sight, ...] = ()
    reduced: ReducedRun | None = None
    closure: Closure | None = None
    faults: tuple[BookingFault, ...] = ()
    refused: str = ""
    blank: str = ""


def check_run(record: SiteRecord, run: LevelRun) -> CheckedRun:
    """Reduce and close one run."""
    sights = tuple(sorted(record.pointing_at(Sight, "run", run.id), key=lambda sight: sight.place or 0))
    if not sights:
        return CheckedRun(blank="no readings are on record")
    start, end = record.get(Station, run.start), record.get(Station, run.end)
    if start is None or start.level is None:
        return CheckedRun(sights, blank="the level of the mark it starts on is not on record")
    metres = record.metres
    bookings = [_booking(sight, metres) for sight in sights]
    still_open = awaits_closing_sight(bookings)
    if still_open and len(bookings) == 1:
        return CheckedRun(sights, blank=_STILL_OPEN)
    reduce = reduce_open_run if still_open else reduce_by_rise_and_fall
    try:
        reduced = reduce(bookings, benchmark=Level(start.level * metres))
        limit = MisclosureLimit(fixed=run.limit * metres, source="set for the run") if run.limit else HOUSE_LIMIT
        closing = Level(end.level * metres) if end is not None and end.level is not None else None
        closure = None if still_open else close_run(reduced, closing=closing, limit=limit)
    except MeasureError as refusal:
        return CheckedRun(sights, refused=" ".join(str(refusal).split()))
    # A book in feet is written to the hundredth of a foot, one in metres to the millimetre: half of the last figure is rounding.
    faults = check_printed(reduced, tolerance=HALF_MILLIMETRE if metres == 1.0 else 0.005 * metres)
    return CheckedRun(sights, reduced, closure, faults, blank=_STILL_OPEN if still_open else "")


def reduced_levels(runs: Mapping[str, CheckedRun]) -> Mapping[str, float]:
    """Return the level in metres that each line of the book reduces to, by the line's id."""
    return {
        sight.id: float(level)
        for run in runs.values()
        if run.reduced is not None
        for sight, level in zip(run.sights, run.reduced.level, strict=True)
    }


def _booking(sight: Sight, metres: float) -> Booking:
    return Booking(
        sight.point or "",
        _metres(sight.backsight, metres),
        _metres(sight.intermediate, metres),
        _metres(sight.foresight, metres),
        level=_metres(sight.booked_level, metres),
        line=sight.place or 0,
    )


def _metres(value: float | None, metres: float) -> float:
    return math.nan if value is None else value * metres
