"""What a chronology answers: a range for each context, which came first, and what the absence of later finds did."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from baulk.dating.calibration import Piece
from baulk.dating.discard import Discard
from baulk.dating.evidence import NoneLater
from baulk.dating.posterior import Chance, Dates, EventDate
from baulk.dating.years import counted, named, year_in_words
from baulk.drawing.dates import OUTER, DateLine, told_pieces
from baulk.errors import InputError
from baulk.record import Context
from baulk.work.chronology import SiteChronology
from baulk.work.dates import SiteDates

__all__ = [
    "AbsenceTold", "BeforeTold", "DatedSite", "WithinTold", "absence_told", "before_told", "date_lines", "prior_in_words",
    "prior_range", "range_ends", "ranges_in_words", "within_told",
]  # fmt: skip

_CHANGED = 5
"""Years by which an end of a range has to move before the change is told."""


@dataclass(frozen=True, eq=False)
class DatedSite:
    """A chronology with the dates that were worked out of it."""

    site: SiteChronology
    dates: Dates

    def of(self, context: str) -> EventDate | None:
        """Return the date of a context by its id; None when it is not in the chronology."""
        event = self.site.event_of.get(context)
        return None if event is None else self.dates.events[event]

    @property
    def settings_in_words(self) -> tuple[str, ...]:
        """Every setting in a sentence."""
        return self.site.settings.words(self.site.chronology.window)

    @cached_property
    def curves(self) -> tuple[str, ...]:
        """Name, version and source of each radiocarbon curve that was used."""
        from baulk.dating.curve import intcal20  # noqa: PLC0415 - half a second that few questions need
        from baulk.dating.evidence import CarbonDate, CarbonLimit  # noqa: PLC0415 - it loads with the curve

        carbon = [one for one in self.site.chronology.evidence if isinstance(one, CarbonDate | CarbonLimit)]
        return tuple(dict.fromkeys((one.curve or intcal20()).title for one in carbon))


@dataclass(frozen=True, slots=True)
class BeforeTold:
    """Which of two contexts is earlier.

    Parameters
    ----------
    one, other : str
        Their names in the chronology.
    chance : Chance
        That the first is the earlier.
    apart : tuple of float
        Years from the first to the second at 2.5, 16, 50, 84 and 97.5 per cent; below 0 the other way round.
    says : str
        Both in a sentence.
    """

    one: str
    other: str
    chance: Chance
    apart: tuple[float, float, float, float, float]
    says: str


@dataclass(frozen=True, slots=True)
class WithinTold:
    """How likely a context is of some years.

    Parameters
    ----------
    event : str
        Its name in the chronology.
    begin, end : int
        First and last of these years.
    chance, earlier, later : Chance
        That it is of these years, of earlier ones, of later ones.
    before : float
        The chance of these years by order and span alone.
    says : str
        All in a sentence.
    """

    event: str
    begin: int
    end: int
    chance: Chance
    earlier: Chance
    later: Chance
    before: float
    says: str


@dataclass(frozen=True, slots=True)
class AbsenceTold:
    """What the absence of later finds does to the date of one deposit.

    Parameters
    ----------
    event : str
        The deposit.
    absent : str
        What is absent.
    with_it, without_it : EventDate
        Its date with the absence counted, and without.
    says : str
        The difference explained.
    """

    event: str
    absent: str
    with_it: EventDate
    without_it: EventDate
    says: str


def date_lines(bounds: SiteDates, dated: DatedSite | None = None) -> tuple[DateLine, ...]:
    """Return the lane of every context that the viewer may see, latest first."""
    found = []
    for identity in bounds.order.latest_first:
        if bounds.record.get(Context, identity) is not None:
            one = bounds.of(identity)
            date = None if dated is None else dated.of(identity)
            found.append(DateLine(identity, one.tpq, one.taq, one.tpq_by, one.taq_by, date))
    return tuple(found)


def ranges_in_words(date: EventDate, level: float = OUTER) -> str:
    """Return the range at a level in words: "1799 to 1838", or several with their shares."""
    pieces = told_pieces(date, level)
    several = len(pieces) > 1
    return " or ".join(f"{_span(one)} ({100 * one.share:.0f} %)" if several else _span(one) for one in pieces)


def range_ends(pieces: tuple[Piece, ...]) -> tuple[int, int]:
    """Return the ends of the pieces that hold a fortieth or more, on the scale without a gap: smaller ones come with the draws."""
    main = [one for one in pieces if one.share >= 0.025] or list(pieces)
    return min(counted(one.begin) for one in main), max(counted(one.end) for one in main)


def prior_range(date: EventDate) -> Piece:
    """Return the range at 95 per cent by order and span alone, with as much left out on either side."""
    return Piece(date.quantile(0.025, prior=True), date.quantile(0.975, prior=True), OUTER)


def prior_in_words(date: EventDate) -> str:
    """Return the range by order and span alone in words."""
    return _span(prior_range(date))


def _span(one: Piece) -> str:
    return year_in_words(one.begin) if one.begin == one.end else f"{year_in_words(one.begin)} to {year_in_words(one.end)}"


def before_told(dated: DatedSite, one: str, other: str) -> BeforeTold:
    """Return which of two contexts is earlier, by their numbers or ids.

    Raises
    ------
    UnknownRecord, InputError
        When one is not on record or not in the chronology, or both are one.
    """
    first, second = dated.site.event(one), dated.site.event(other)
    if first == second:
        raise InputError(f"{one} and {other} are one in the order. Ask for two contexts that are not recorded as the same.")
    chance = dated.dates.before(first, second)
    apart = dated.dates.apart(second, first)
    low, left, _, right, high = (round(years) for years in apart)
    says = (
        f"{first} is earlier than {second}: {chance.words} (standard error {100 * chance.standard_error:.1f}). From {first} to "
        f"{second} are {left} to {right} years at 68 per cent, {low} to {high} at 95; below 0 the other way round."
    )
    return BeforeTold(first, second, chance, apart, says)


def within_told(dated: DatedSite, named: str, begin: int, end: int) -> WithinTold:
    """Return how likely a context, by its number or id, is of the years from one to another, both included.

    Raises
    ------
    UnknownRecord, InputError
        When it is not on record or not in the chronology, a year 0 is asked for, or the years run backwards.
    """
    event = dated.site.event(named)
    if 0 in (begin, end) or begin > end:
        raise InputError(
            f"The years {begin} to {end} are asked for. Give the earlier first; years before Christ are negative, and there is no "
            "year 0."
        )
    date, dates = dated.dates.of(event), dated.dates
    chance, before = dates.within(event, begin, end), date.within(begin, end, prior=True)
    years = (date.years + 0.5 * date.step) < counted(begin)
    earlier = dates.chance_of(min(float(date.probability[years].sum()), 1 - chance.value))
    later = dates.chance_of(max(1 - chance.value - earlier.value, 0.0))
    span = year_in_words(begin) if begin == end else f"{year_in_words(begin)} to {year_in_words(end)}"
    says = (
        f"{event} is of {span}: {chance.words} (standard error {100 * chance.standard_error:.1f}); earlier: {earlier.words}; "
        f"later: {later.words}. By order and span alone it would be {dates.chance_of(before).words}."
    )
    return WithinTold(event, begin, end, chance, earlier, later, before, says)


def absence_told(with_it: DatedSite, without_it: DatedSite) -> tuple[AbsenceTold, ...]:
    """Return for each deposit in which a later type is absent what that does to its date, the largest change first."""
    found = list(_told(with_it, without_it))
    return tuple(sorted(found, key=lambda one: -_moved(one)))


def _moved(one: AbsenceTold) -> int:
    return max(map(abs, _ends_moved(one)))


def _ends_moved(one: AbsenceTold) -> tuple[int, int]:
    """Return by how many years the absence moves the beginning and the end of the range at 95 per cent; below 0 earlier."""
    ends = [range_ends(told_pieces(date, OUTER)) for date in (one.with_it, one.without_it)]
    return ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]


def _told(with_it: DatedSite, without_it: DatedSite) -> Iterator[AbsenceTold]:
    for absent in with_it.site.absences:
        name = with_it.site.chronology.events[absent.event]
        one, other = with_it.dates.events[absent.event], without_it.dates.events[absent.event]
        told = AbsenceTold(name, absent.name, one, other, "")
        says = f"{name}: {absent.name}. {_difference(told)} {_why(absent, with_it.site.settings.suppositions.discard)}"
        yield AbsenceTold(name, absent.name, one, other, says)


def _difference(told: AbsenceTold) -> str:
    ranges = f"With this counted {ranges_in_words(told.with_it)}, without it {ranges_in_words(told.without_it)} (95 per cent)"
    moved = [
        f"{what} comes {abs(years)} years {'earlier' if years < 0 else 'later'}"
        for what, years in zip(("its beginning", "its end"), _ends_moved(told), strict=True)
        if abs(years) >= _CHANGED
    ]
    return f"{ranges}: {' and '.join(moved) or 'it changes little, something else bounds this deposit'}."


def _why(absent: NoneLater, discard: Discard) -> str:
    """Return how likely it would be to find nothing later, had the deposit formed 20 or 50 years on."""
    chances = {
        years: float(discard.none_later(float(years), finds=absent.finds, recognised=absent.recognised)) for years in (20, 50)
    }
    said = " and ".join(
        f"{100 * chance:.0f} per cent had it formed in {year_in_words(named(counted(absent.after) + years))}"
        for years, chance in chances.items()
    )
    sherds = "1 sherd" if absent.finds == 1 else f"{absent.finds} sherds"
    return (
        f"Why: the longer after {year_in_words(absent.after)} it formed, the odder that nothing made since then was thrown into "
        f"it. The chance of finding nothing later among {sherds} is {said}, by the discard curve. It never falls below "
        f"{100 * discard.redeposited:.0f} per cent, the chance that the whole deposit is older soil moved, so absence is never "
        "proof."
    )
