"""What would date this best: candidates for the next piece of work, and the question whose date they are to narrow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from baulk.dating.intrusion import Disturbance

__all__ = ["Candidate", "CarbonSample", "MoreFinds", "NextUnit", "Question", "SherdsLookedAt", "Worth"]


@dataclass(frozen=True, slots=True)
class Question:
    """The date that is to be narrowed.

    Parameters
    ----------
    event : str
        The event.
    other : str or None
        When given, the question is how long the event is after this one (and so which is earlier); otherwise when it was.
    """

    event: str
    other: str | None = None


@dataclass(frozen=True, slots=True)
class CarbonSample:
    """A radiocarbon date of a sample from one deposit.

    Parameters
    ----------
    name : str
        As in "hazelnut from 104".
    event : str
        The deposit.
    cost : float
        In any unit, the same for all candidates.
    error : float
        Standard deviation that the laboratory is expected to give.
    lag : float or None
        As in `CarbonDate`: None for a short-lived sample in its place.
    doubt : float
        Chance that the sample has nothing to do with the deposit.
    """

    name: str
    event: str
    cost: float
    error: float = 25.0
    lag: float | None = None
    doubt: float = 0.05


@dataclass(frozen=True, slots=True)
class MoreFinds:
    """More finds of one deposit, as by sieving what is left of it.

    Parameters
    ----------
    name : str
        As in "sieve the rest of 104".
    event : str
        The deposit.
    cost : float
        In any unit.
    finds : int
        Datable finds expected.
    makings : float
        Years that the making of a find can be told to, such as 40 for common sherds.
    disturbance : Disturbance
        Of the deposit.
    """

    name: str
    event: str
    cost: float
    finds: int
    makings: float = 40.0
    disturbance: Disturbance = Disturbance.NONE


@dataclass(frozen=True, slots=True)
class SherdsLookedAt:
    """A specialist's look at finds that are held already: their years of making become narrower.

    Parameters
    ----------
    name : str
        As in "glass specialist, 12 sherds".
    finds : tuple of str
        Names of the finds, as in the evidence.
    cost : float
        In any unit.
    makings : float
        Years to which a specialist can tell the making.
    """

    name: str
    finds: tuple[str, ...]
    cost: float
    makings: float = 15.0


@dataclass(frozen=True, slots=True)
class NextUnit:
    """An adjacent unit, in which a deposit may go on and give more finds.

    Parameters
    ----------
    name : str
        As in "1 m to the north".
    event : str
        The deposit.
    cost : float
        In any unit.
    goes_on : float
        Chance that the deposit is met there.
    finds : int
        Datable finds expected if it is.
    makings : float
        Years that the making of a find can be told to.
    """

    name: str
    event: str
    cost: float
    goes_on: float
    finds: int
    makings: float = 40.0


Candidate: TypeAlias = CarbonSample | MoreFinds | SherdsLookedAt | NextUnit
"""A piece of work that could date something."""


@dataclass(frozen=True, slots=True)
class Worth:
    """What a candidate is expected to do for the question.

    Parameters
    ----------
    candidate : Candidate
        The piece of work.
    now : float
        Years between the 2.5 and 97.5 per cent points of the question's date as it stands.
    expected : float
        The same, averaged over the outcomes that the candidate may have.
    standard_error : float
        Of that average, from the number of outcomes simulated.
    least, most : float
        The narrowest and the widest tenth of outcomes: it may turn out to say nothing.
    draws : float
        Draws in effect behind an outcome, typically; below 50 the figures are rough.
    """

    candidate: Candidate
    now: float
    expected: float
    standard_error: float
    least: float
    most: float
    draws: float

    @property
    def narrowing(self) -> float:
        """Years by which the range is expected to become shorter; below 0 only by chance."""
        return self.now - self.expected

    @property
    def each(self) -> float:
        """Years narrowed for one unit of cost."""
        return self.narrowing / self.candidate.cost

    @property
    def tells(self) -> bool:
        """Whether it narrows the range by more than half a year, and by more than two standard errors: else it may be chance."""
        return self.narrowing > max(2 * self.standard_error, 0.5)

    @property
    def words(self) -> str:
        """The worth in a sentence, with how rough it is."""
        return self.said("one of cost")

    def said(self, unit: str) -> str:
        """Return the same with the unit of cost in words, as "an hour"."""
        if not self.tells:
            return (
                f"{self.candidate.name}: would hardly narrow the range of {self.now:.0f} years: by {max(self.narrowing, 0):.1f}, "
                f"standard error {self.standard_error:.1f}, which is under half a year or no more than chance."
            )
        rough = " Rough: few draws stand behind an outcome." if self.draws < 50 else ""
        return (
            f"{self.candidate.name}: the range of {self.now:.0f} years would become {self.expected:.0f} on average (standard error "
            f"{self.standard_error:.1f}; {self.least:.0f} to {self.most:.0f} in eight outcomes of ten), {self.each:.2g} years for "
            f"{unit}.{rough}"
        )
