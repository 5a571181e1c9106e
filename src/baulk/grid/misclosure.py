"""The misclosure of a level run: how large, how large it may be, how it is shared out, and what may have caused it.

References
----------
Equal share for each set-up: "Collimation method explained", issuu.com/landsurveyor/docs/collimationmethodeexplained
(read as an excerpt). The limit 5 mm·√(number of set-ups): from memory; common practice, no source. It is a
house setting.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from baulk.errors import MeasureError, shorten
from baulk.grid.levels import Booking, ReducedRun
from baulk.grid.points import FARTHEST, Floats, Level, read_only

__all__ = [
    "HOUSE_LIMIT",
    "Closure",
    "MisclosureLimit",
    "Suspect",
    "close_run",
    "share_out",
    "suspect_readings",
]


@dataclass(frozen=True, slots=True)
class MisclosureLimit:
    """How large a misclosure may be: `fixed` + `per_root_set_up`·√(number of set-ups).

    Parameters
    ----------
    fixed, per_root_set_up : float
        Metres, not negative, not both 0.
    source : str
        Where the limit comes from; printed beside it.
    """

    fixed: float = 0.0
    per_root_set_up: float = 0.0
    source: str = "set by the site"

    def __post_init__(self) -> None:
        """Refuse a limit that nothing or everything would pass."""
        good = all(math.isfinite(part) and part >= 0 for part in (self.fixed, self.per_root_set_up))
        if not good or self.fixed + self.per_root_set_up == 0:
            raise MeasureError(
                f"The misclosure limit is given as {self.fixed} m + {self.per_root_set_up} m·√(set-ups). "
                "A limit is a length above zero: give a fixed one, one for each root of set-ups, or both."
            )

    def allowed(self, set_ups: int) -> float:
        """Return the limit in metres for a run with so many set-ups."""
        return self.fixed + self.per_root_set_up * math.sqrt(set_ups)

    def __str__(self) -> str:
        """Return the limit in words."""
        parts = [f"{self.fixed * 1000:g} mm"] if self.fixed else []
        if self.per_root_set_up:
            parts.append(f"{self.per_root_set_up * 1000:g} mm·√(number of set-ups)")
        return f"{' + '.join(parts)} ({self.source})"


HOUSE_LIMIT = MisclosureLimit(per_root_set_up=0.005, source="house setting; from memory, common practice, no source")
"""The limit used when a site sets none."""


@dataclass(frozen=True, slots=True)
class Closure:
    """How a run closes.

    Parameters
    ----------
    misclosure : float
        Level reached − level known at the last point, in metres; NaN when that level is not known.
    allowed : float
        The limit for this run, in metres.
    set_ups : int
    within : bool or None
        None means "cannot tell": the last point has no known level.
    statement : str
        One sentence for the report.
    """

    misclosure: float
    allowed: float
    set_ups: int
    within: bool | None
    statement: str


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading whose slip would explain the misclosure.

    Parameters
    ----------
    line : int
    point, column : str
    given, would_close : float
        Metres: the reading as booked, and the reading that would close the run.
    reason : str
    """

    line: int
    point: str
    column: str
    given: float
    would_close: float
    reason: str


def close_run(run: ReducedRun, *, closing: Level | None, limit: MisclosureLimit = HOUSE_LIMIT) -> Closure:
    """Hold the last level of a run beside the level that is known there.

    Parameters
    ----------
    run : ReducedRun
    closing : Level or None
        Known level of the last point (for a loop, that of the benchmark it began on); None or NaN when not known.
    limit : MisclosureLimit

    Returns
    -------
    Closure
        `within` is None, "cannot tell", when `closing` is not known.

    Examples
    --------
    >>> from baulk.grid.levels import reduce_by_rise_and_fall
    >>> out, back = Booking("BM", backsight=1.5), Booking("BM", foresight=1.604)
    >>> loop = [out, Booking("A", foresight=1.2, backsight=1.3), back]
    >>> close_run(reduce_by_rise_and_fall(loop, benchmark=Level(10.0)), closing=Level(10.0)).within
    True
    """
    allowed = limit.allowed(run.set_ups)
    count = "1 set-up" if run.set_ups == 1 else f"{run.set_ups} set-ups"
    if closing is None or math.isnan(closing):
        statement = (
            f"Cannot tell whether the run of {count} closes: the last point, {run.bookings[-1].point}, has "
            "no known level. "
            "Close on the benchmark, or on a second one."
        )
        return Closure(math.nan, allowed, run.set_ups, None, statement)
    if abs(closing) > FARTHEST:
        raise MeasureError(
            f"The level of {shorten(run.bookings[-1].point, 30)} is given as {closing:g} m, which is no level on the earth. "
            "Give its level above the datum, or leave it out."
        )
    misclosure = float(run.level[-1]) - float(closing)
    within = abs(misclosure) <= allowed + 1e-9
    verdict = "within" if within else "outside"
    point = run.bookings[-1].point
    came = (
        f"misses the known level of {point} by {misclosure * 1000:+.1f} mm"
        if abs(misclosure) >= _NO_MISS
        else f"reaches the known level of {point} to a tenth of a millimetre"
    )
    statement = f"The run of {count} {came}, {verdict} the limit of {_limit_in_words(limit, allowed)}."
    return Closure(misclosure, allowed, run.set_ups, within, statement)


_NO_MISS = 0.000_05


def _limit_in_words(limit: MisclosureLimit, allowed: float) -> str:
    """Return a limit with its source, its length said once."""
    return f"{allowed * 1000:.1f} mm" + (f": {limit}" if limit.per_root_set_up else f" ({limit.source})")


def share_out(run: ReducedRun, closure: Closure) -> Floats:
    """Return the levels with the misclosure shared out equally among the set-ups.

    Parameters
    ----------
    run : ReducedRun
    closure : Closure
        From `close_run` on the same run.

    Returns
    -------
    numpy.ndarray
        Corrected levels in metres; the first point keeps its level, the last takes its known one.

    Raises
    ------
    MeasureError
        The misclosure is not known, or is outside the limit.

    Notes
    -----
    Correction of a point read from set-up k of n: −misclosure·k/n. It makes the book consistent, not more true.
    """
    if closure.within is None:
        raise MeasureError("The misclosure cannot be shared out: the last point has no known level. Close the run first.")
    if not closure.within:
        raise MeasureError(
            f"The misclosure of {closure.misclosure * 1000:+.1f} mm is outside the limit of "
            f"{closure.allowed * 1000:.1f} mm. "
            "A misclosure this large is a mistake, not chance, and is not shared out: find the reading, or level again."
        )
    return read_only(run.level - closure.misclosure * run.set_up / run.set_ups)


def suspect_readings(run: ReducedRun, closure: Closure) -> tuple[Suspect, ...]:
    """Return the readings where one common slip would explain a misclosure outside the limit.

    Parameters
    ----------
    run : ReducedRun
    closure : Closure

    Returns
    -------
    tuple of Suspect
        In the order of the book; empty when the run closes, when nobody can tell, or when no single slip explains it.

    Notes
    -----
    Looked for: two neighbouring digits exchanged, and a whole metre or decimetre misread on any one sight (then every
    sight is as likely, and only the first line is given, saying so). Intermediate sights do not enter the closure and
    are never named. These are places to look first, not proofs; common practice, no source.
    """
    if closure.within is not False:
        return ()
    found = [
        suspect
        for line in run.bookings
        for column, given, sign in (("backsight", line.backsight, 1.0), ("foresight", line.foresight, -1.0))
        if not math.isnan(given)
        for suspect in _exchanged(line, column, given, sign, closure)
    ]
    if found:
        return tuple(found)
    for size, word in ((1.0, "metre"), (0.1, "decimetre")):
        if abs(abs(closure.misclosure) - size) <= closure.allowed:
            first = run.bookings[0]
            right = first.backsight - math.copysign(size, closure.misclosure)
            reason = (
                f"the misclosure is close to one whole {word}: one {word} of the staff was misread on "
                "some sight, on which one the book cannot say."
            )
            return (Suspect(first.line, first.point, "any backsight or foresight", first.backsight, right, reason),)
    return ()


def _exchanged(line: Booking, column: str, given: float, sign: float, closure: Closure) -> list[Suspect]:
    """Return the exchanges of two neighbouring digits of one reading that would close the run."""
    digits = f"{abs(given):.3f}"
    places = [place for place, mark in enumerate(digits) if mark != "."]
    suspects = []
    for left, right in pairwise(places):
        if digits[left] == digits[right]:
            continue
        marks = list(digits)
        marks[left], marks[right] = marks[right], marks[left]
        other = math.copysign(float("".join(marks)), given)
        if abs(closure.misclosure + sign * (other - given)) <= closure.allowed:
            reason = f"the {column} {given:.3f} with two digits exchanged, {other:.3f}, would close the run."
            suspects.append(Suspect(line.line, line.point, column, given, other, reason))
    return suspects
