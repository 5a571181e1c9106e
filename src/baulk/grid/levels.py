"""The levels book: a run of staff readings reduced to levels, by rise and fall and by height of instrument.

References
----------
Checks ΣBS − ΣFS = Σrise − Σfall = last − first, and that the height-of-instrument method leaves intermediate sights
unchecked: expertsmind.com/topic/methods-of-levelling/the-rise-and-fall-method-915973.aspx (read).
A run starts with a backsight and ends with a foresight: the same page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from baulk.errors import MeasureError, shorten
from baulk.grid.points import FARTHEST, Floats, Level, read_only

__all__ = [
    "STAFF_LENGTH",
    "ArithmeticCheck",
    "Booking",
    "Method",
    "ReducedRun",
    "awaits_closing_sight",
    "reduce_by_instrument_height",
    "reduce_by_rise_and_fall",
    "reduce_open_run",
]

STAFF_LENGTH = 5.0
"""Metres; a longer reading is doubted, not refused. Common practice, no source."""

_ROUNDING = 1e-6  # metres; sums of millimetre readings in floats stay far below this
_NO_STAFF = 100.0  # metres; beyond this a reading is no reading
_NAN = math.nan
_CLOSE_IT = (
    "Read the staff on the benchmark again and book that foresight on a line of its own; "
    "only if this line is that sight does it belong in the foresight column."
)


class Method(StrEnum):
    """How the readings were reduced."""

    RISE_AND_FALL = "rise and fall"
    INSTRUMENT_HEIGHT = "height of instrument"


@dataclass(frozen=True, slots=True)
class Booking:
    """One line of the levels book: one position of the staff.

    Parameters
    ----------
    point : str
        What the staff stood on.
    backsight, intermediate, foresight : float
        Staff readings in metres; NaN where not read. An inverted staff is booked negative. A turning point has a
        foresight (from the old set-up) and a backsight (from the new one).
    rise, fall, level : float
        What the book itself says for this line, in metres; NaN where it says nothing. Used only for checking.
    line : int
        The line in the book as a person counts it; 0 means "count from 1".
    """

    point: str
    backsight: float = _NAN
    intermediate: float = _NAN
    foresight: float = _NAN
    rise: float = _NAN
    fall: float = _NAN
    level: float = _NAN
    line: int = 0

    @property
    def arriving(self) -> float:
        """The reading that closes the step to this point: intermediate or foresight; NaN on the first line."""
        return self.intermediate if not math.isnan(self.intermediate) else self.foresight

    @property
    def leaving(self) -> float:
        """The reading that opens the step to the next point: backsight, else intermediate; NaN on the last line."""
        return self.backsight if not math.isnan(self.backsight) else self.intermediate


@dataclass(frozen=True, slots=True)
class ArithmeticCheck:
    """The sums at the foot of the page.

    Parameters
    ----------
    sum_backsights, sum_foresights, sum_rises, sum_falls : float
        Metres; the last two are NaN for the height-of-instrument method, which has no such columns.
    first, last : Level
        Level of the first and of the last point.
    """

    sum_backsights: float
    sum_foresights: float
    sum_rises: float
    sum_falls: float
    first: Level
    last: Level

    @property
    def agrees(self) -> bool:
        """Whether ΣBS − ΣFS, Σrise − Σfall (where there is one) and last − first are the same."""
        sights = self.sum_backsights - self.sum_foresights
        parts = [self.last - self.first]
        if not math.isnan(self.sum_rises):
            parts.append(self.sum_rises - self.sum_falls)
        return all(abs(part - sights) < _ROUNDING for part in parts)


@dataclass(frozen=True, slots=True, eq=False)
class ReducedRun:
    """A reduced run; arrays have one entry for each line.

    Parameters
    ----------
    bookings : tuple of Booking
        The lines, each with its line number filled in.
    method : Method
    level : numpy.ndarray
        Level of each point in metres.
    rise, fall : numpy.ndarray
        Metres, 0 where the step goes the other way; NaN on the first line and for the height-of-instrument method.
    instrument : numpy.ndarray
        Level of the line of sight from which the point was read; NaN on the first line.
    set_up : numpy.ndarray of int
        The set-up (1, 2, …) from which the point was read; the first line, the benchmark, has 0.
    check : ArithmeticCheck
    notes : tuple of str
        What a reader must know: what is unchecked, which readings are doubtful.
    """

    bookings: tuple[Booking, ...]
    method: Method
    level: Floats
    rise: Floats
    fall: Floats
    instrument: Floats
    set_up: NDArray[np.int64]
    check: ArithmeticCheck
    notes: tuple[str, ...] = field(default=())

    @property
    def set_ups(self) -> int:
        """How often the instrument was set up."""
        return int(self.set_up[-1])


def reduce_by_rise_and_fall(bookings: Sequence[Booking], *, benchmark: Level | None) -> ReducedRun:
    """Reduce a run step by step: each reading less than the one before is a rise, each greater a fall.

    Parameters
    ----------
    bookings : sequence of Booking
        One run, in the order of reading.
    benchmark : Level or None
        Level of the first point. None means that nobody knows it, and the run is refused.

    Returns
    -------
    ReducedRun

    Raises
    ------
    MeasureError
        No benchmark, fewer than two lines, a run that does not start with a backsight or end with a foresight, or a
        line whose readings cannot be right (every such line is named).

    Notes
    -----
    Step from line i−1 to i = leaving reading (backsight or intermediate) of i−1 − arriving reading of i.

    Examples
    --------
    >>> run = reduce_by_rise_and_fall(
    ...     [Booking("BM", backsight=1.855), Booking("A", intermediate=2.410), Booking("B", foresight=1.280)],
    ...     benchmark=Level(100.0),
    ... )
    >>> run.level.round(3).tolist()
    [100.0, 99.445, 100.575]
    """
    lines, start = _accepted(bookings, benchmark)
    leaving = np.array([line.leaving for line in lines[:-1]])
    step = leaving - np.array([line.arriving for line in lines[1:]])
    level = start + np.concatenate(([0.0], np.cumsum(step)))
    rise = np.concatenate(([_NAN], np.maximum(step, 0.0)))
    fall = np.concatenate(([_NAN], np.maximum(-step, 0.0)))
    _, instrument, set_up = _set_ups(lines, start)
    return _run(lines, Method.RISE_AND_FALL, level, (rise, fall), instrument, set_up)


def reduce_by_instrument_height(bookings: Sequence[Booking], *, benchmark: Level | None) -> ReducedRun:
    """Reduce a run set-up by set-up: height of instrument = level + backsight; level = height − reading.

    Parameters, Returns and Raises are those of `reduce_by_rise_and_fall`.

    Notes
    -----
    The sums prove only the turning points: an intermediate sight enters no sum, and the run's notes say so.
    """
    lines, start = _accepted(bookings, benchmark)
    level, instrument, set_up = _set_ups(lines, start)
    none = np.full(len(lines), _NAN)
    return _run(lines, Method.INSTRUMENT_HEIGHT, level, (none, none), instrument, set_up)


def awaits_closing_sight(bookings: Sequence[Booking]) -> bool:
    """Return whether a run has not come back to a mark yet: its last line holds another sight than a foresight alone.

    Examples
    --------
    >>> awaits_closing_sight([Booking("BM", backsight=1.855), Booking("A", intermediate=2.410)])
    True
    """
    if not bookings:
        return False
    held = [name for name, _ in _readings(bookings[-1])]
    return held == ["backsight"] if len(bookings) == 1 else held in (["intermediate sight"], ["backsight", "foresight"])


def reduce_open_run(bookings: Sequence[Booking], *, benchmark: Level | None) -> ReducedRun:
    """Reduce a run that awaits its closing sight, as far as it goes: its last line is taken as its end.

    Parameters, Returns and Raises are those of `reduce_by_rise_and_fall`.

    Notes
    -----
    The levels stand as those of a closed run do, but nothing checks them: such a run has no closure.

    Examples
    --------
    >>> run = reduce_open_run([Booking("BM", backsight=1.855), Booking("A", intermediate=2.410)], benchmark=Level(100.0))
    >>> run.level.round(3).tolist()
    [100.0, 99.445]
    """
    if len(bookings) > 1 and awaits_closing_sight(bookings):
        end = bookings[-1]
        bookings = [*bookings[:-1], replace(end, backsight=_NAN, intermediate=_NAN, foresight=end.arriving)]
    return reduce_by_rise_and_fall(bookings, benchmark=benchmark)


def _set_ups(lines: Sequence[Booking], start: float) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Return level, height of instrument and set-up of each line, from the turning points' sums."""
    backsight = np.array([line.backsight for line in lines])
    foresight = np.array([line.foresight for line in lines])
    opens = ~np.isnan(backsight)
    # The set-up a point was read from is the one opened before it, hence the shift by one line.
    set_up = np.concatenate(([0], np.cumsum(opens)[:-1])).astype(np.int64)
    turned = np.cumsum(np.where(opens, backsight, 0.0))[:-1] - np.cumsum(np.nan_to_num(foresight))[:-1]
    instrument = np.concatenate(([_NAN], start + turned))
    level = instrument - np.array([line.arriving for line in lines])
    level[0] = start
    return level, instrument, set_up


def _run(
    lines: tuple[Booking, ...],
    method: Method,
    level: Floats,
    steps: tuple[Floats, Floats],
    instrument: Floats,
    set_up: NDArray[np.int64],
) -> ReducedRun:
    """Gather the frozen result with its sums and notes."""
    by_steps = method is Method.RISE_AND_FALL
    check = ArithmeticCheck(
        float(np.nansum([line.backsight for line in lines])),
        float(np.nansum([line.foresight for line in lines])),
        float(np.nansum(steps[0])) if by_steps else _NAN,
        float(np.nansum(steps[1])) if by_steps else _NAN,
        Level(float(level[0])),
        Level(float(level[-1])),
    )
    set_up.setflags(write=False)
    return ReducedRun(
        lines,
        method,
        read_only(level),
        read_only(steps[0]),
        read_only(steps[1]),
        read_only(instrument),
        set_up,
        check,
        _notes(lines, method),
    )


def _notes(lines: Sequence[Booking], method: Method) -> tuple[str, ...]:
    """Return what a reader of the reduced run must know."""
    notes = [
        f"line {line.line} ({shorten(line.point, 30)}): {name} {reading:.3f} is longer than a staff of "
        f"{STAFF_LENGTH:.0f} m: is the decimal point in its place?"
        for line in lines
        for name, reading in _readings(line)
        if abs(reading) > STAFF_LENGTH
    ]
    intermediate = sum(not math.isnan(line.intermediate) for line in lines)
    if intermediate:
        why = (
            "the sums prove the reduction, but nothing checks the reading"
            if method is Method.RISE_AND_FALL
            else "it enters no sum, so nothing checks its reading or its reduction"
        )
        notes.append(f"Intermediate sights: {intermediate}. Each is read once only: {why}.")
    return tuple(notes)


def _readings(line: Booking) -> list[tuple[str, float]]:
    """Return the readings of a line with their names, without those not read."""
    named = [
        ("backsight", line.backsight),
        ("intermediate sight", line.intermediate),
        ("foresight", line.foresight),
    ]
    return [(name, reading) for name, reading in named if not math.isnan(reading)]


def _accepted(bookings: Sequence[Booking], benchmark: Level | None) -> tuple[tuple[Booking, ...], float]:
    """Return the numbered lines and the starting level, or raise MeasureError that names every bad line."""
    if benchmark is None or not abs(benchmark) <= FARTHEST:
        raise MeasureError(
            "The level run has no benchmark. Levels are heights above a known point: give the level of the "
            "first point, "
            "or an assumed one (such as 100.000) and say that it is assumed."
        )
    if len(bookings) < 2:
        count = "no line" if not bookings else "one line"
        raise MeasureError(f"The level run has {count}. A run needs a backsight and at least one foresight: book both.")
    lines = tuple(
        Booking(b.point, b.backsight, b.intermediate, b.foresight, b.rise, b.fall, b.level, b.line or place)
        for place, b in enumerate(bookings, start=1)
    )
    last = len(lines) - 1
    faults = [
        f"  line {line.line} ({shorten(line.point, 30)}): {fault}"
        for place, line in enumerate(lines)
        if (fault := _fault(line, first=place == 0, last=place == last))
    ]
    if faults:
        more = [f"  … and {len(faults) - 20} more"] if len(faults) > 20 else []
        raise MeasureError("The level run cannot be reduced:\n" + "\n".join(faults[:20] + more))
    return lines, float(benchmark)


def _fault(line: Booking, *, first: bool, last: bool) -> str:
    """Return why the readings of this line cannot be right, or an empty string."""
    readings = dict(_readings(line))
    for name, reading in readings.items():
        if abs(reading) > _NO_STAFF:
            return f"the {name} is given as {reading:g} m, which no staff shows; look up the figure in the book."
    given = frozenset(readings)
    if first:
        return "" if given == {"backsight"} else _wrong_end(given, "starts", "backsight", "on the benchmark")
    if last:
        return "" if given == {"foresight"} else _wrong_end(given, "ends", "foresight", "so that the run closes")
    if given in ({"intermediate sight"}, {"backsight", "foresight"}):
        return ""
    return {
        frozenset(): "no staff reading; book the reading, or take the line out.",
        frozenset({"backsight"}): "a backsight without a foresight; the instrument was moved without a turning point. "
        "Book the foresight to this point from the set-up before, or begin a new run here.",
        frozenset({"foresight"}): "a foresight without a backsight, but the run goes on; if this is a turning point book the "
        "backsight from the new set-up, if the set-up stayed book the reading as an intermediate sight.",
    }.get(
        given,
        "an intermediate sight beside a backsight or foresight; a point is either intermediate or a turning point.",
    )


def _wrong_end(given: frozenset[str], does: str, wanted: str, why: str) -> str:
    """Return the fault of a first or last line."""
    held = " and ".join(sorted(given)) if given else "no reading"
    mend = "Book it in the backsight column." if does == "starts" else _CLOSE_IT
    return f"the run {does} with {held}; it {does} with a {wanted} alone, {why}. {mend}"
