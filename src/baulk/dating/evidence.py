"""What is put into a chronology: finds, the absence of later ones, documents, radiocarbon, years with an error."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from baulk.dating.curve import Curve
from baulk.dating.intrusion import Disturbance

__all__ = ["CarbonDate", "CarbonLimit", "Documented", "Evidence", "FindMade", "NoneLater", "YearWithError"]


@dataclass(frozen=True, slots=True)
class FindMade:
    """A find with the years in which it can have been made: its deposit is later than its making, unless it is intrusive.

    Parameters
    ----------
    event : int
        The deposit it lay in.
    name : str
        As in "find 12, creamware plate".
    begin : int
        First calendar year in which it can have been made.
    end : int or None
        Last calendar year; None when only the first is known. It is no limit for the deposit: things are kept and lost later.
    disturbance : Disturbance
        How disturbed the place was, as recorded: it sets the chance that the find is intrusive.

    Notes
    -----
    The making lies anywhere in its years with equal chance: L(t) = ι + (1 - ι) P(made by t).
    """

    event: int
    name: str
    begin: int
    end: int | None = None
    disturbance: Disturbance = Disturbance.NONE


@dataclass(frozen=True, slots=True)
class NoneLater:
    """What is absent: among the finds of a deposit, none was made after some year.

    Parameters
    ----------
    event : int
        The deposit.
    name : str
        As in "none of 40 sherds later than 1790".
    finds : int
        Datable things that would have shown it.
    after : int
        The calendar year than which none is later: the latest year of making of the latest find.
    recognised : float
        Chance that a thing made later would be known as later.

    Notes
    -----
    L(t) = `Discard.none_later` of t less the end of that year. It is left out as a whole by ``Suppositions(absence=False)``.
    """

    event: int
    name: str
    finds: int
    after: int
    recognised: float = 1.0


@dataclass(frozen=True, slots=True)
class Documented:
    """A document, map or other firm record that says between which years an event took place.

    Parameters
    ----------
    event : int
        The event it speaks of.
    name : str
        As in "document 3, survey of 1812".
    begin, end : int or None
        First and last calendar year that it leaves; None on a side where it says nothing. "There by 1812" is an end of 1812.
    doubt : float
        Chance that it speaks of something else; with 0 it is a hard bound.
    """

    event: int
    name: str
    begin: int | None = None
    end: int | None = None
    doubt: float = 0.0


@dataclass(frozen=True, slots=True)
class CarbonDate:
    """A radiocarbon age of a sample from a deposit.

    Parameters
    ----------
    event : int
        The deposit.
    name : str
        As in "sample 4, hazelnut".
    age, error : float
        Conventional age and one standard deviation.
    lag : float or None
        None when the sample died as the deposit formed (short-lived, articulated, in its place); otherwise the mean years by which
        the sample can be older (old wood, residual charcoal): the age is an exponential time before the event.
    doubt : float
        Chance that the sample has nothing to do with the event: any year of the window is then as likely for it.
    curve : Curve or None
        IntCal20 when None.
    """

    event: int
    name: str
    age: float
    error: float
    lag: float | None = None
    doubt: float = 0.05
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class CarbonLimit:
    """A radiocarbon age given only as "younger than": weak, since the laboratory gave no error.

    Parameters
    ----------
    event : int
        The deposit.
    name : str
        As in "sample 7".
    younger_than : float
        The limit in years before 1950.
    doubt : float
        Chance that the sample has nothing to do with the event.
    curve : Curve or None
        IntCal20 when None.

    Notes
    -----
    L(t) is the chance, by the curve's own error alone, that the curve lies below the limit in year t.
    """

    event: int
    name: str
    younger_than: float
    doubt: float = 0.05
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class YearWithError:
    """A calendar year with a normal error, such as a luminescence date.

    Parameters
    ----------
    event : int
        The event it dates.
    name : str
        What it is.
    year : float
        On the scale without a gap: 1799.5 is the middle of 1799.
    error : float
        One standard deviation in years.
    doubt : float
        Chance that it has nothing to do with the event.
    """

    event: int
    name: str
    year: float
    error: float
    doubt: float = 0.0


Evidence: TypeAlias = FindMade | NoneLater | Documented | CarbonDate | CarbonLimit | YearWithError
"""One piece of evidence; it bears on one event."""
