"""What a chronology answers: ranges, chances, phases, finds that look out of place; the prior beside the posterior."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from baulk.dating.calibration import Piece
from baulk.dating.diagnosis import Diagnosis
from baulk.dating.model import Chronology, Suppositions
from baulk.dating.years import counted, named, year_in_words
from baulk.errors import InputError

__all__ = ["Chance", "Dates", "EventDate", "FindDoubt", "MovedDeposit", "PhaseDate", "SampleDoubt"]

Floats = NDArray[np.float64]
SMALL = 0.01
"""Share of a piece that is noise rather than a date."""
_KERNEL = np.array([1.0, 2.0, 3.0, 2.0, 1.0]) / 9.0


@dataclass(frozen=True, slots=True)
class Chance:
    """A probability from draws, with its standard error; the error is never below that of one draw in effect."""

    value: float
    standard_error: float

    @property
    def words(self) -> str:
        """The chance in per cent; "above 99" or "below 1" where the draws say no more."""
        if self.value > 0.99:
            return "above 99 per cent"
        if self.value < 0.01:
            return "below 1 per cent"
        return f"{100 * self.value:.0f} per cent"


@dataclass(frozen=True, eq=False)
class EventDate:
    """When one event, or the start or end of a phase, can have been: a probability for each cell of years; never a mean.

    Parameters
    ----------
    name : str
        The event.
    years : int64 array, shape (cells,)
        First year of each cell on the scale without a gap (1 BC is 0), rising.
    step : int
        Years in a cell.
    probability : float64 array, shape (cells,)
        After all evidence; sums to 1.
    prior : float64 array, shape (cells,)
        By the order, the phases and the window alone; sums to 1. To be drawn light behind the other.
    """

    name: str
    years: NDArray[np.int64]
    step: int
    probability: Floats
    prior: Floats

    def pieces(self, level: float = 0.95, *, prior: bool = False) -> tuple[Piece, ...]:
        """Return the highest-density range that holds at least `level`, in as many pieces as it takes, oldest first.

        Raises
        ------
        InputError
            When the level does not lie between 0 and 1.

        Notes
        -----
        Cells are taken by falling probability, smoothed over a few cells against the noise of draws; gaps of up to a fiftieth of
        the window are joined, and pieces of less than a hundredth are left out while the others hold the level without them.
        """
        if not 0 < level < 1:
            raise InputError(f"A level of {level:g} is asked for. It is a share between 0 and 1, such as 0.95: give one.")
        held = self.prior if prior else self.probability
        smooth = np.where(held > 0, np.convolve(held, _KERNEL, mode="same"), 0.0)
        falling = np.argsort(-smooth, kind="stable")
        enough = int(np.searchsorted(np.cumsum(held[falling]), level)) + 1
        taken = np.sort(falling[:enough])
        runs = np.split(taken, np.flatnonzero(np.diff(taken) > max(3, len(held) // 50)) + 1)
        pieces = [Piece(self._named(run[0]), self._named(run[-1], last=True), self._held(held, run)) for run in runs]
        for small in sorted(pieces, key=lambda one: one.share):
            if small.share < SMALL and sum(one.share for one in pieces) - small.share >= level:
                pieces.remove(small)
        return tuple(pieces)

    def _named(self, cell: int, *, last: bool = False) -> int:
        """Return the first or the last calendar year of a cell."""
        return named(int(self.years[cell]) + (self.step - 1 if last else 0))

    @staticmethod
    def _held(held: Floats, run: NDArray[np.int64]) -> float:
        return float(held[run[0] : run[-1] + 1].sum())

    def within(self, begin: int, end: int, *, prior: bool = False) -> float:
        """Return the chance that it lies from one calendar year to another, both included; cells that are cut count in part."""
        low, high = counted(begin), counted(end) + 1
        covered = np.clip(np.minimum(self.years + self.step, high) - np.maximum(self.years, low), 0, self.step) / self.step
        return float(((self.prior if prior else self.probability) * covered).sum())

    def quantile(self, share: float, *, prior: bool = False) -> int:
        """Return the calendar year by which it has happened with some chance; for drawing, and for ranges with equal tails."""
        total = np.cumsum(self.prior if prior else self.probability)
        cell = min(int(np.searchsorted(total, share)), len(self.years) - 1)
        return named(int(self.years[cell]))

    @property
    def words(self) -> str:
        """The pieces at 95 and 68 per cent."""
        return f"{self.name}: 95 % {self._said(0.95)}; 68 % {self._said(0.68)}"

    def _said(self, level: float) -> str:
        pieces = self.pieces(level)
        shares = len(pieces) > 1
        told = (
            f"{year_in_words(one.begin)}-{year_in_words(one.end)}" + (f" ({100 * one.share:.0f} %)" if shares else "")
            for one in pieces
        )
        return " or ".join(told)


@dataclass(frozen=True, slots=True, eq=False)
class PhaseDate:
    """When a phase, or the whole site, began and ended, and how long it was.

    Parameters
    ----------
    name : str
        The phase.
    start, end : EventDate
        Its boundaries: no event of it lies outside.
    length : tuple of float
        Years that it lasted, at 2.5, 16, 50, 84 and 97.5 per cent.
    """

    name: str
    start: EventDate
    end: EventDate
    length: tuple[float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class FindDoubt:
    """How a find sits with the date of its deposit.

    Parameters
    ----------
    name : str
        The find.
    event : int
        Its deposit.
    supposed : float
        Chance that it is intrusive before its date is looked at, from recorded disturbance.
    intrusive : float
        The same after all evidence.
    residual : float
        Chance that it is residual, by the discard curve, if it is not intrusive.
    """

    name: str
    event: int
    supposed: float
    intrusive: float
    residual: float

    @property
    def doubtful(self) -> bool:
        """Whether it looks intrusive or residual, or more likely intrusive than before its date was looked at."""
        return self.intrusive >= 0.5 or self.intrusive > 2 * self.supposed + 0.01 or self.residual >= 0.5

    @property
    def words(self) -> str:
        """What to look at, or that it sits well."""
        after = f"{100 * self.intrusive:.0f} %"
        if self.intrusive >= 0.5:
            return f"{self.name} looks intrusive ({after}): see how it lay, its bag, and the disturbance recorded."
        if self.intrusive > 2 * self.supposed + 0.01:
            return f"{self.name} may be intrusive ({after}; {100 * self.supposed:.0f} % before its date was looked at)."
        if self.residual >= 0.5:
            return f"{self.name} looks residual ({100 * self.residual:.0f} %): older than its deposit by more than use explains."
        return f"{self.name} sits well with its deposit."


@dataclass(frozen=True, slots=True)
class SampleDoubt:
    """The chance that a sample, a year or a document has nothing to do with its event: before and after all evidence."""

    name: str
    event: int
    supposed: float
    out: float

    @property
    def doubtful(self) -> bool:
        """Whether it looks as if it dated something else."""
        return self.out >= 0.5 or self.out > 2 * self.supposed + 0.01

    @property
    def words(self) -> str:
        """What to look at, or that it sits well."""
        if self.out >= 0.5:
            return f"{self.name} does not go with its event ({100 * self.out:.0f} %): see what it really dates, and whence it came."
        if self.out > 2 * self.supposed + 0.01:
            return (
                f"{self.name} may not go with its event ({100 * self.out:.0f} %; {100 * self.supposed:.0f} % before all was seen)."
            )
        return f"{self.name} goes with its event ({100 * self.out:.0f} % that it does not)."


@dataclass(frozen=True, slots=True)
class MovedDeposit:
    """The chance that a deposit whose finds are all early is older soil moved: before and after all evidence."""

    name: str
    event: int
    supposed: float
    moved: float

    @property
    def doubtful(self) -> bool:
        """Whether it looks like older soil moved."""
        return self.moved >= 0.5 or self.moved > 2 * self.supposed + 0.01

    @property
    def words(self) -> str:
        """What to look at, or that nothing speaks for it."""
        after = f"{100 * self.moved:.0f} %; {100 * self.supposed:.0f} % before all was seen"
        if self.doubtful:
            return (
                f"{self.name} {'looks like' if self.moved >= 0.5 else 'may be'} older soil moved ({after}): it is "
                "later than its finds explain. See where they came from."
            )
        return f"{self.name} need not be older soil moved ({after})."


@dataclass(frozen=True, eq=False)
class Dates:
    """All that was worked out of one chronology under one set of suppositions.

    Parameters
    ----------
    chronology, suppositions
        What was put in.
    seed : int
        With it and the settings the same figures come again.
    events : tuple of EventDate
        In the order of the chronology.
    site : PhaseDate
        First and last of everything.
    phases : tuple of PhaseDate
        In the order of the chronology.
    finds : tuple of FindDoubt
        In the order of the evidence.
    moved : tuple of MovedDeposit
        One for each absence that counted.
    diagnosis : Diagnosis
        Passed: a result whose chains disagree is never made.
    draws : float32 array, shape (kept, events)
        Joint draws, in years from the beginning of the window; for pairs of events and for `candidates`.
    in_effect : float
        The least number of draws in effect of any event, for the error of chances.
    notes : tuple of str
        What is to be known of these dates.
    samples : tuple of SampleDoubt
        One for each sample, year or document that was doubted, in the order of the evidence.
    """

    chronology: Chronology
    suppositions: Suppositions
    seed: int
    events: tuple[EventDate, ...]
    site: PhaseDate
    phases: tuple[PhaseDate, ...]
    finds: tuple[FindDoubt, ...]
    moved: tuple[MovedDeposit, ...]
    diagnosis: Diagnosis
    draws: NDArray[np.float32]
    in_effect: float
    notes: tuple[str, ...] = ()
    samples: tuple[SampleDoubt, ...] = ()

    def of(self, name: str) -> EventDate:
        """Return the date of an event by its name."""
        return self.events[self.chronology.place(name)]

    def before(self, first: str, second: str) -> Chance:
        """Return the chance that the first event is earlier than the second.

        Raises
        ------
        InputError
            When one is not in the chronology.
        """
        one, other = (self.draws[:, self.chronology.place(name)] for name in (first, second))
        return self.chance_of(float((one < other).mean() + 0.5 * (one == other).mean()))

    def within(self, name: str, begin: int, end: int) -> Chance:
        """Return the chance that an event lies from one calendar year to another, both included."""
        return self.chance_of(self.of(name).within(begin, end))

    def apart(self, later: str, earlier: str) -> tuple[float, float, float, float, float]:
        """Return the years from one event to another at 2.5, 16, 50, 84 and 97.5 per cent; below 0 the other way round."""
        gap = self.draws[:, self.chronology.place(later)] - self.draws[:, self.chronology.place(earlier)]
        low, left, middle, right, high = np.quantile(gap.astype(np.float64), (0.025, 0.16, 0.5, 0.84, 0.975)).tolist()
        return low, left, middle, right, high

    @cached_property
    def out_of_place(self) -> tuple[FindDoubt, ...]:
        """Finds that look intrusive or residual, the most doubtful first."""
        doubtful = (one for one in self.finds if one.doubtful)
        return tuple(sorted(doubtful, key=lambda one: -max(one.intrusive, one.residual)))

    def chance_of(self, value: float) -> Chance:
        """Return a share of the draws as a chance with its standard error."""
        error = np.sqrt(max(value * (1 - value), 1 / self.in_effect) / self.in_effect)
        return Chance(value, float(error))
