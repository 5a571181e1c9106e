"""Measured evidence: where the values lie under a reading, and how expected a measured value is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import erf, isfinite, log, sqrt

from baulk.errors import InputError, shorten
from baulk.reading.next_test import Observation, observation_of
from baulk.reading.scale import HIGHEST, LOWEST, Expectation

__all__ = ["Spread", "expectations_of", "measure_test", "spread_of"]

_ABOUT = re.compile(r"about (-?[\d.]+)(?: to (-?[\d.]+))?,? give or take ([\d.]+)(?: to ([\d.]+))?")
_BETWEEN = re.compile(r"between (-?[\d.]+) and (-?[\d.]+)")


@dataclass(frozen=True, slots=True)
class Spread:
    """Where the values of one measure lie if a reading is true.

    Parameters
    ----------
    centre_low, centre_high : float
        Range of the mean of a normal spread; of an even spread its two ends.
    sd_low, sd_high : float
        Range of its standard deviation; 0 and 0 for an even spread.
    """

    centre_low: float
    centre_high: float
    sd_low: float = 0.0
    sd_high: float = 0.0

    @property
    def even(self) -> bool:
        """Whether every value between the ends is as likely as any other."""
        return self.sd_high == 0

    @property
    def centre(self) -> float:
        """Middle of the spread."""
        return (self.centre_low + self.centre_high) / 2

    @property
    def says(self) -> str:
        """The words that `spread_of` reads."""
        if self.even:
            return f"between {self.centre_low:g} and {self.centre_high:g}"
        centre = f"{self.centre_low:g}" + (f" to {self.centre_high:g}" if self.centre_high > self.centre_low else "")
        return f"about {centre}, give or take {self.sd_low:g}" + (f" to {self.sd_high:g}" if self.sd_high > self.sd_low else "")

    def within(self, low: float, high: float) -> Expectation:
        """Return the chance that a value falls between `low` and `high`, with its range over the spread's own ranges."""
        if self.even:
            width = self.centre_high - self.centre_low
            shares = [max(0.0, min(high, self.centre_high) - max(low, self.centre_low)) / width]
            middle = shares[0]
        else:
            shares = self._corners(low, high)
            middle = _normal_between(low, high, self.centre, sqrt(self.sd_low * self.sd_high))
        return Expectation(_kept(min(shares)), _kept(middle), _kept(max(shares)))

    def _corners(self, low: float, high: float) -> list[float]:
        """Return the chances among which the least and the most lie.

        The chance falls as the mean moves off the middle of the interval. In the standard deviation s it falls while the mean lies
        inside the interval; outside, at a distance d of the middle and with half-width h, it rises to s² = 2dh / ln((d+h)/(d−h))
        and falls from there.
        """
        middle, half = (low + high) / 2, (high - low) / 2
        nearest = min(max(middle, self.centre_low), self.centre_high)
        found = []
        for mean in (self.centre_low, self.centre_high, nearest):
            widths = [self.sd_low, self.sd_high]
            off = abs(mean - middle)
            if off > half > 0:
                top = sqrt(2 * off * half / log((off + half) / (off - half)))
                widths.append(min(max(top, self.sd_low), self.sd_high))
            found += [_normal_between(low, high, mean, width) for width in widths]
        return found


def spread_of(text: str) -> Spread | None:
    """Return the spread that words tell, or None when they tell none.

    Raises
    ------
    InputError
        When the words have the form of a spread but their numbers cannot be used.

    Examples
    --------
    >>> spread_of("about 10 to 14, give or take 3").centre, spread_of("between 0 and 90").even, spread_of("usually")
    (12.0, True, None)
    """
    tidy = " ".join(text.lower().split())
    if not tidy.startswith(("about", "between")):
        return None
    about, between = _ABOUT.fullmatch(tidy), _BETWEEN.fullmatch(tidy)
    try:
        if about:
            centre, wide = float(about[1]), float(about[3])
            held = Spread(centre, float(about[2] or centre), wide, float(about[4] or wide))
            usable = held.centre_low <= held.centre_high and 0 < held.sd_low <= held.sd_high
        else:
            held = Spread(float(between[1]), float(between[2])) if between else Spread(0, 0)
            usable = held.centre_low < held.centre_high
    except ValueError:
        usable = False
    if not usable:
        raise InputError(
            f"“{shorten(text)}” is given for where a measure lies. Write “about 12 to 15, give or take 4” (ranges low end first) "
            "or “between 0 and 90”."
        )
    return held


def expectations_of(value: float, grain: float, spreads: Mapping[str, Spread], blank: Iterable[str] = ()) -> dict[str, Expectation]:
    """Return how expected a measured value is under each reading: the chance of a value that could not be told from it.

    Parameters
    ----------
    value : float
        As measured, in the quantity of the spreads.
    grain : float
        By how much two careful measurements of one thing may differ to either side.
    spreads : mapping of str to Spread
        By reading's id.
    blank : iterable of str
        Ids of readings of which nobody can say where the values lie, such as *none of these*: any value that some spread reaches
        (centre and two standard deviations to either side) is as likely as any other.

    Raises
    ------
    InputError
        When the value is no number or the grain is not above 0.
    """
    if not isfinite(value) or not (isfinite(grain) and grain > 0):
        raise InputError(
            f"The value {value:g} with a grain of {grain:g} is given as measured. A value is a number, and its grain, by how much "
            "two measurements may differ, is above 0."
        )
    low = min(min(spread.centre_low - 2 * spread.sd_high, value) for spread in spreads.values())
    high = max(max(spread.centre_high + 2 * spread.sd_high, value) for spread in spreads.values())
    anywhere = Spread(low - grain, high + grain)
    held = {**dict.fromkeys(blank, anywhere), **spreads}
    return {reading: spread.within(value - grain, value + grain) for reading, spread in held.items()}


def measure_test(
    identity: str, does: str, spreads: Mapping[str, Spread], *, hours: float, lost_at_backfill: bool, cause: str | None, source: str
) -> Observation:
    """Return the test that takes a measure not yet taken; its outcomes are cut midway between the readings' centres."""
    centres = sorted({spread.centre for spread in spreads.values()})
    cuts = [(one + other) / 2 for one, other in pairwise(centres)] or [*centres]
    ends = [-1e9, *cuts, 1e9]
    names = [f"below {cuts[0]:.3g}", *(f"{one:.3g} to {other:.3g}" for one, other in pairwise(cuts))]
    names.append(f"{cuts[-1]:.3g} or above")
    chances = {}
    for reading, spread in spreads.items():
        shares = [spread.within(low, high).best for low, high in pairwise(ends)]
        chances[reading] = [share / sum(shares) for share in shares]
    return observation_of(
        identity, does, names, chances, hours=hours, lost_at_backfill=lost_at_backfill, cause=cause, source=source
    )  # fmt: skip


def _normal_between(low: float, high: float, mean: float, sd: float) -> float:
    return 0.5 * (erf((high - mean) / (sd * sqrt(2))) - erf((low - mean) / (sd * sqrt(2))))


def _kept(share: float) -> float:
    return min(max(share, LOWEST), HIGHEST)
