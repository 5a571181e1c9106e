"""The levels book against itself: rises, falls and levels as printed, held beside what the readings give.

Worked by step from line to line, so that one slip is named once, at its own line, and not on every line after it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from baulk.errors import shorten
from baulk.grid.levels import Booking, ReducedRun
from baulk.grid.points import Floats

__all__ = ["HALF_MILLIMETRE", "BookingFault", "PrintedSums", "check_printed", "check_printed_sums"]

HALF_MILLIMETRE = 0.0005
"""Metres; figures printed to the millimetre that differ by more than this disagree."""


@dataclass(frozen=True, slots=True)
class BookingFault:
    """One figure of the book that does not agree with the others.

    Parameters
    ----------
    line : int
        The line of the book; 0 for the sums at its foot.
    point : str
        What the staff stood on; empty for the sums.
    column : str
        The column to look at first: reading, rise, fall, level, or the name of a sum.
    printed, computed : float
        Metres: what the book says, and what would agree.
    reason : str
        One sentence in trade words.
    """

    line: int
    point: str
    column: str
    printed: float
    computed: float
    reason: str

    def __str__(self) -> str:
        """Return the fault as one line of a report."""
        place = f"line {self.line} ({shorten(self.point, 30)})" if self.line else "foot of the page"
        return f"{place}: {self.reason}"


@dataclass(frozen=True, slots=True)
class PrintedSums:
    """The sums printed at the foot of the page, in metres; NaN where the book gives none."""

    backsights: float = math.nan
    foresights: float = math.nan
    rises: float = math.nan
    falls: float = math.nan


@dataclass(frozen=True, slots=True)
class _Step:
    """The step to one line: by the readings, by the rise or fall printed, by the levels printed (NaN = not printed)."""

    before: Booking
    line: Booking
    read: float
    printed: float
    by_level: float
    level: float


def check_printed(run: ReducedRun, *, tolerance: float = HALF_MILLIMETRE) -> tuple[BookingFault, ...]:
    """Return every printed rise, fall or level that the readings do not bear out, and the reading where both do not.

    Parameters
    ----------
    run : ReducedRun
        A reduced run whose bookings carry printed rises, falls or levels (NaN = not printed: nothing to check).
    tolerance : float
        Metres; figures that differ by less agree.

    Returns
    -------
    tuple of BookingFault
        In the order of the book; empty when all agree.

    Notes
    -----
    Where the printed rise or fall and the printed levels agree with each other but not with the readings, a reading
    was copied wrong. Which of the step's two readings it was, one step alone cannot tell; when the reading is an
    intermediate sight, the next step is off by as much the other way, and the sight itself is named.
    """
    steps = _steps(run)
    faults = _wrong_start(run, tolerance)
    skip_next = False
    for place, step in enumerate(steps):
        if skip_next:
            skip_next = False
            continue
        following = steps[place + 1] if place + 1 < len(steps) else None
        if sight := _wrong_sight(step, following, tolerance):
            faults.append(sight)
            skip_next = True
        elif _differs(step.printed, step.read, tolerance) and _agrees(step.printed, step.by_level, tolerance):
            faults.append(_wrong_step(step))
        else:
            faults.extend(_wrong_figures(step, following, tolerance))
            skip_next = bool(following) and _one_level_wrong(step, following, tolerance)
    return tuple(faults)


def check_printed_sums(run: ReducedRun, sums: PrintedSums, *, tolerance: float = HALF_MILLIMETRE) -> tuple[BookingFault, ...]:
    """Return every sum at the foot of the page that the lines above it do not give.

    Parameters
    ----------
    run : ReducedRun
        By rise and fall, when sums of rises and falls are to be checked.
    sums : PrintedSums
    tolerance : float
        Metres.

    Returns
    -------
    tuple of BookingFault
    """
    pairs = [
        ("ΣBS", sums.backsights, run.check.sum_backsights),
        ("ΣFS", sums.foresights, run.check.sum_foresights),
        ("Σrise", sums.rises, run.check.sum_rises),
        ("Σfall", sums.falls, run.check.sum_falls),
    ]
    return tuple(
        BookingFault(
            0,
            "",
            name,
            printed,
            computed,
            f"{name} is printed as {printed:.3f}, the lines above give {computed:.3f}, {abs(printed - computed):.3f} "
            "apart: add the column again, then look for a figure that is off by as much.",
        )
        for name, printed, computed in pairs
        if _differs(printed, computed, tolerance)
    )


def _wrong_start(run: ReducedRun, tolerance: float) -> list[BookingFault]:
    """Return the fault of a first line that prints another level than that of its benchmark."""
    first, known = run.bookings[0], float(run.level[0])
    if not _differs(first.level, known, tolerance):
        return []
    reason = (
        f"a level of {first.level:.3f} is printed for the first point, but its known level is given as {known:.3f}. "
        "See which benchmark the run began on; every level of the run is off by the difference."
    )
    return [BookingFault(first.line, first.point, "level", first.level, known, reason)]


def _steps(run: ReducedRun) -> list[_Step]:
    """Return the steps of a run; a step by levels reaches back to the last line with a printed level."""
    lines = run.bookings
    read = np.diff(run.level)
    known = float(run.level[0]) if math.isnan(lines[0].level) else lines[0].level
    reached = 0
    steps = []
    for place in range(1, len(lines)):
        line = lines[place]
        by_level = math.nan
        if not math.isnan(line.level):
            between = _sum(read[reached : place - 1])
            by_level = line.level - known - between
            known, reached = line.level, place
        steps.append(_Step(lines[place - 1], line, float(read[place - 1]), _printed(line), by_level, float(line.level)))
    return steps


def _sum(values: Floats) -> float:
    """Return the sum of an array that may be empty."""
    return float(values.sum()) if values.size else 0.0


def _printed(line: Booking) -> float:
    """Return the printed step, a rise positive; NaN when neither column holds a figure."""
    if math.isnan(line.rise) and math.isnan(line.fall):
        return math.nan
    return (0.0 if math.isnan(line.rise) else line.rise) - (0.0 if math.isnan(line.fall) else line.fall)


def _differs(one: float, other: float, tolerance: float) -> bool:
    """Whether two figures are both there and disagree."""
    return abs(one - other) > tolerance  # NaN compares false


def _agrees(one: float, other: float, tolerance: float) -> bool:
    """Whether two figures are both there and agree."""
    return abs(one - other) <= tolerance


def _wrong_sight(step: _Step, following: _Step | None, tolerance: float) -> BookingFault | None:
    """Return the fault of an intermediate sight when the steps to and from it are off by as much either way."""
    sight = step.line.intermediate
    if following is None or math.isnan(sight):
        return None
    off = step.printed - step.read
    agreed = _agrees(step.printed, step.by_level, tolerance) and _agrees(following.printed, following.by_level, tolerance)
    if not (_differs(off, 0.0, tolerance) and _agrees(following.printed - following.read, -off, tolerance) and agreed):
        return None
    right = sight - off
    return BookingFault(
        step.line.line,
        step.line.point,
        "intermediate sight",
        sight,
        right,
        f"the intermediate sight {sight:.3f} disagrees with the rise or fall and the levels printed to it and from it; "
        f"{right:.3f} would agree with both. Look at the book: was the sight copied wrong?",
    )


def _wrong_step(step: _Step) -> BookingFault:
    """Return the fault of a step whose printed figures agree with each other but not with the readings."""
    leaving, arriving = step.before.leaving, step.line.arriving
    line = step.line
    if abs(step.printed + step.read) <= HALF_MILLIMETRE:
        return _swapped(step, "and the level follows it")
    opened = "a backsight" if not math.isnan(step.before.backsight) else "an intermediate sight"
    closed, article = ("foresight", "a") if not math.isnan(line.foresight) else ("intermediate sight", "an")
    right = leaving - step.printed
    return BookingFault(
        line.line,
        line.point,
        closed,
        arriving,
        right,
        f"the readings {leaving:.3f} and {arriving:.3f} give a {_word(step.read)} of {abs(step.read):.3f}, but a "
        f"{_word(step.printed)} of {abs(step.printed):.3f} and a level that agrees with it are printed; {article} {closed} of "
        f"{right:.3f} here, or {opened} of {arriving + step.printed:.3f} at line {step.before.line}, would agree. "
        "Look at the book: which of the two was copied wrong?",
    )


def _wrong_figures(step: _Step, following: _Step | None, tolerance: float) -> list[BookingFault]:
    """Return the faults of a step whose printed rise or fall, or printed level, stands alone against the readings."""
    faults = []
    line = step.line
    if _differs(step.printed, step.read, tolerance):
        if abs(step.printed + step.read) <= tolerance:
            faults.append(_swapped(step, "though the level is right" if not math.isnan(step.by_level) else ""))
        else:
            faults.append(
                BookingFault(
                    line.line,
                    line.point,
                    _word(step.printed),
                    abs(step.printed),
                    abs(step.read),
                    f"the readings {step.before.leaving:.3f} and {line.arriving:.3f} give a {_word(step.read)} of "
                    f"{abs(step.read):.3f}, but a {_word(step.printed)} of {abs(step.printed):.3f} is "
                    "printed. Work the step again.",
                )
            )
    if _differs(step.by_level, step.read, tolerance):
        right = step.level + step.read - step.by_level
        alone = following is not None and _one_level_wrong(step, following, tolerance)
        tail = (
            "The lines after it go on from the right level: this one figure was copied wrong."
            if alone
            else ("The lines after it carry the slip on: work the levels again from here.")
        )
        faults.append(
            BookingFault(
                line.line,
                line.point,
                "level",
                step.level,
                right,
                f"a level of {step.level:.3f} is printed, but the line before and the readings give {right:.3f}. {tail}",
            )
        )
    return faults


def _one_level_wrong(step: _Step, following: _Step | None, tolerance: float) -> bool:
    """Whether the next step by levels is off by as much the other way, so that one level alone is wrong."""
    if following is None or not _differs(step.by_level, step.read, tolerance):
        return False
    off = step.by_level - step.read
    return _agrees(following.by_level - following.read, -off, tolerance) and not _differs(
        following.printed, following.read, tolerance
    )


def _swapped(step: _Step, tail: str) -> BookingFault:
    """Return the fault of a rise booked as a fall, or the other way."""
    line = step.line
    return BookingFault(
        line.line,
        line.point,
        _word(step.printed),
        abs(step.printed),
        abs(step.read),
        f"the readings {step.before.leaving:.3f} and {line.arriving:.3f} give a {_word(step.read)} of {abs(step.read):.3f}, "
        f"but it is printed as a {_word(step.printed)}{', ' + tail if tail else ''}. "
        "Move it to the other column and work the levels again.",
    )


def _word(step: float) -> str:
    """Return the column of a step."""
    return "rise" if step >= 0 else "fall"
