"""Mean ceramic date: the mean of the middles of the types' years of making, weighted by how many there are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from baulk.dating.aid import DateAid
from baulk.dating.types import DatedType, TypeTable
from baulk.dating.years import counted
from baulk.errors import InputError

__all__ = [
    "LatestDates",
    "MeanCeramicDate",
    "ResampledInterval",
    "Weighting",
    "latest_dates",
    "mean_ceramic_date",
    "resampled_interval",
]

Floats = NDArray[np.float64]
_VALID = "18th and early 19th century sites, most useful about 1765 to 1840; after the American Civil War it offers little (read)"
_LIMITS = (
    "It takes the middle of making for the time of most use, and counts sherds rather than vessels.",
    "Making leads throwing away by fifteen years and more, and supply to a region may lag further.",
    "It is the middle of a spread of use, no date of a layer: the latest find dates that.",
)
_SOURCE = "S. South 1972, 1977; validity in pages on historic ceramics and of the US National Park Service"


class Weighting(StrEnum):
    """How a type counts."""

    COUNT = "count"
    """By its number of pieces."""
    PRESENCE = "presence"
    """Once, however many there are."""
    INVERSE_SPAN = "inverse span"
    """By its number over the square of its years of making, so that short-lived types count more (from memory)."""


@dataclass(frozen=True, slots=True, eq=False)
class MeanCeramicDate:
    """A mean ceramic date.

    Parameters
    ----------
    year : float
        The mean.
    deviation : float
        Weighted standard deviation of the middles about it, in years: an indicator of how long the ground was in use.
    weighting : Weighting
        How types counted.
    types : tuple of DatedType
        The types used.
    counts, weights : float64 array
        Pieces and weight of each.
    left_out : tuple of str
        Types that have no date to use, each with its number and why; none of them is in any sum.
    table : str
        Name and version of the table.
    """

    year: float
    deviation: float
    weighting: Weighting
    types: tuple[DatedType, ...]
    counts: Floats
    weights: Floats
    left_out: tuple[str, ...]
    table: str

    def aid(self, interval: ResampledInterval | None = None) -> DateAid:
        """Return the date with its validity and limits."""
        pieces = f"{self.counts.sum():g} pieces of {len(self.types)} types, weighted by {self.weighting}"
        one = ("With one type the interval has no width, which is no sign of certainty.",) if len(self.types) == 1 else ()
        spread = f"The middles spread by {self.deviation:.1f} years (standard deviation; {pieces}; {self.table})."
        begin, end = (None, None) if interval is None else (interval.begin, interval.end)
        drawn = () if interval is None else ("The interval tells of sampling alone, not of wrong years, lag or residual sherds.",)
        return DateAid(
            "mean ceramic date", begin, end, self.year, _VALID, (spread, *drawn, *_LIMITS, *one), _SOURCE,
            "formula and limits read; spread from memory", 1700 <= self.year <= 1865, self.left_out,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class ResampledInterval:
    """How far a mean would move if as many pieces were drawn again from the same mixture: mean ± 1.96 standard deviations."""

    begin: float
    end: float
    deviation: float
    replicates: int


@dataclass(frozen=True, slots=True)
class LatestDates:
    """The latest first years among the pieces: the latest of all, and those that 95 and 90 per cent do not pass."""

    all: int
    most: int
    nine_in_ten: int


def mean_ceramic_date(counts: Mapping[str, float], table: TypeTable, *, weighting: Weighting = Weighting.COUNT) -> MeanCeramicDate:
    """Return the mean ceramic date of an assemblage.

    Parameters
    ----------
    counts : mapping of str to float
        Pieces (or vessels) of each type, by name; 0 is passed over.
    table : TypeTable
        Where the types' years stand.
    weighting : Weighting
        How a type counts.

    Returns
    -------
    MeanCeramicDate
        The date, with every type that could not be used named.

    Raises
    ------
    InputError
        When a count is below 0 or no number, or no type has a date to use.

    Notes
    -----
    Y = Σ x f w / Σ f w, with x the middle (begin + end)/2 with halves kept, f the count, and w = 1; for presence f = 1; for inverse
    span w = 1/s², s the years of making (a type made in one year counts as made in two).

    References
    ----------
    South 1972, 1977, formula as read in two places. Checked against 49 printed dates (R. Z. Selden 2020, MIT licence), one of
    which is a slip of print: a type that was not found in the table of dates had been summed all the same.

    Examples
    --------
    >>> from baulk.dating.types import DatedType, TypeTable
    >>> hood, poynor = (DatedType(name, begin, end, "s", "high", "read") for name, begin, end in
    ...     (("hood", 1400, 1680), ("poynor", 1400, 1650)))
    >>> mean_ceramic_date({"hood": 3, "poynor": 5}, TypeTable("t", "1", (hood, poynor))).year
    1530.625
    """
    wrong = [name for name, count in counts.items() if not np.isfinite(count) or count < 0]
    if wrong:
        raise InputError(f"The count of “{wrong[0]}” is given as {counts[wrong[0]]:g}. Pieces are counted from 0 up: count again.")
    held = {name: count for name, count in counts.items() if count > 0}
    dated = {name: found for name in held if (found := table.dated(name)) is not None}
    left_out = tuple(f"{held[name]:g} of {table.why_not(name)}" for name in held if name not in dated)
    if not dated:
        said = "; ".join(left_out) or "no piece is counted"
        raise InputError(
            f"No mean ceramic date can be worked out: {said}. A type without a date never enters the sum: "
            "give a table that dates these types."
        )
    number = np.array([held[name] for name in dated], np.float64)
    middle = np.array([found.middle for found in dated.values()], np.float64)
    weights = _weights(number, tuple(dated.values()), weighting)
    year = float((middle * weights).sum() / weights.sum())
    deviation = float(np.sqrt((weights * (middle - year) ** 2).sum() / weights.sum()))
    return MeanCeramicDate(year, deviation, weighting, tuple(dated.values()), number, weights, left_out, table.title)


def resampled_interval(found: MeanCeramicDate, rng: np.random.Generator, *, replicates: int = 1000) -> ResampledInterval:
    """Return how far the mean moves when as many pieces are drawn again from the same mixture.

    Parameters
    ----------
    found : MeanCeramicDate
        The date; with its own weighting each replicate is weighed anew.
    rng : numpy.random.Generator
        Where the draws come from.
    replicates : int
        How many assemblages are drawn.

    Returns
    -------
    ResampledInterval
        The interval. It tells of sampling alone: not of wrong dates of types, of lag, nor of residual pieces. One type gives no
        width.

    Raises
    ------
    InputError
        When fewer than two replicates are asked for, or a count is no whole number.
    """
    if replicates < 2 or (found.counts % 1 != 0).any():
        raise InputError(
            f"{replicates} replicates of counts {', '.join(f'{count:g}' for count in found.counts[:5])} are asked for. "
            "Resampling draws "
            "whole pieces at least twice: give whole counts and two replicates or more."
        )
    drawn = rng.multinomial(int(found.counts.sum()), found.counts / found.counts.sum(), size=replicates).astype(np.float64)
    weights = _weights(drawn, found.types, found.weighting)
    middle = np.array([one.middle for one in found.types], np.float64)
    deviation = float(((weights * middle).sum(axis=1) / weights.sum(axis=1)).std(ddof=1))
    return ResampledInterval(found.year - 1.96 * deviation, found.year + 1.96 * deviation, deviation, replicates)


def latest_dates(found: MeanCeramicDate) -> LatestDates:
    """Return the latest first years of making among the pieces.

    Notes
    -----
    The least first year that at least 95 (90) per cent of the pieces do not pass, always a year of some type; the first field is
    the TPQ. The shares are meant to pass over a few late strays (read, middling).
    """
    begins = np.array([counted(one.begin or 1) for one in found.types])
    rising = np.argsort(begins)
    share = np.cumsum(found.counts[rising]) / found.counts.sum()
    years = [found.types[int(rising[int(np.searchsorted(share, part - 1e-12))])].begin or 0 for part in (1.0, 0.95, 0.9)]
    return LatestDates(*years)


def _weights(number: Floats, types: tuple[DatedType, ...], weighting: Weighting) -> Floats:
    if weighting is Weighting.PRESENCE:
        return (number > 0).astype(np.float64)
    if weighting is Weighting.INVERSE_SPAN:
        span = np.array([max(one.span or 0, 1) for one in types], np.float64)
        return np.asarray(number / span**2, np.float64)
    return number
