"""What would date a context best, and how its date moves when what is supposed is varied."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from baulk.dating.candidates import Question, Worth
from baulk.dating.chronology import sensitivity, usual_variations
from baulk.dating.posterior import EventDate
from baulk.dating.worth import rank_candidates
from baulk.drawing.dates import OUTER, told_pieces
from baulk.work.chronology_answers import DatedSite, range_ends, ranges_in_words
from baulk.work.date_candidates import Hours, candidates_for
from baulk.work.kept_dates import KeptDates

__all__ = ["BestTold", "VariedTold", "best_told", "usual_variations", "varied_comes_to", "varied_says", "varied_told"]

_LEAST = 3
"""Years of a move that is told: less may be the draws alone."""
_FIRM = 10
"""Years below which a date is said to hold whatever is varied: a house setting."""


@dataclass(frozen=True, slots=True)
class BestTold:
    """What would date a context best.

    Parameters
    ----------
    event : str
        The context's name in the chronology.
    worths : tuple of Worth
        The candidates, the one that narrows most for an hour first; empty when nothing that could be done is on record.
    lines : tuple of str
        Each candidate in a sentence, in the same order.
    records : tuple of tuple of str
        Ids of the context and of the sample or finds that each candidate is of, in the same order.
    says : str
        What that comes to: the best one, or that nothing would narrow the date by more than chance, or that nothing is on record.
    hours : str
        What work costs, in a sentence.
    """

    event: str
    worths: tuple[Worth, ...]
    lines: tuple[str, ...]
    records: tuple[tuple[str, ...], ...]
    says: str
    hours: str


@dataclass(frozen=True, slots=True)
class VariedTold:
    """The dates under another supposition.

    Parameters
    ----------
    name : str
        What was varied.
    dates : tuple of EventDate
        By event.
    moved : tuple of int
        By event, years by which the nearer or the farther end of the range at 95 per cent moved, the larger of the two.
    """

    name: str
    dates: tuple[EventDate, ...]
    moved: tuple[int, ...]


def best_told(dated: DatedSite, named: str, hours: Hours | None = None) -> BestTold:
    """Return what would date a context best, by its number or id.

    Raises
    ------
    UnknownRecord, InputError
        When it is not on record or not in the chronology.
    """
    event = dated.site.event(named)
    cost = hours or Hours()
    offers = candidates_for(dated.site, event, cost)
    candidates = [one.candidate for one in offers]
    worths = rank_candidates(dated.dates, Question(event), candidates, seed=dated.dates.seed) if candidates else ()
    records = {one.candidate.name: one.records for one in offers}
    return BestTold(
        event, worths, tuple(one.said("an hour") for one in worths), tuple(records[one.candidate.name] for one in worths),
        _comes_to(event, worths), cost.words,
    )  # fmt: skip


def _comes_to(event: str, worths: Sequence[Worth]) -> str:
    if not worths:
        return f"Nothing that could be done for {event} is on record: no sample, no soil left, no loosely dated find."
    telling = [one for one in worths if one.tells]
    if not telling:
        return f"None of this would narrow the date of {event} by half a year and more than chance: look for other evidence."
    best, most = telling[0], max(telling, key=lambda one: one.narrowing)
    more = "" if most is best else f"; most of all would {most.candidate.name}, by {most.narrowing:.0f} years"
    narrowing = f"would narrow the date of {event} most, by {best.narrowing:.0f} years on average"
    return f"For its hours {best.candidate.name} {narrowing}{more}."


def varied_told(dated: DatedSite, kept: KeptDates | None = None) -> Iterator[VariedTold]:
    """Yield the dates with one supposition varied at a time: intrusion, discard, moved soil, and the absence of later finds.

    Notes
    -----
    Seed and settings are those of the dates, so that nothing but the supposition differs; each is yielded once it is worked out.
    """
    for name, other in usual_variations(dated.site.settings.suppositions).items():
        site = replace(dated.site, settings=replace(dated.site.settings, suppositions=other))
        found = None if kept is None else kept.get(site)
        if found is None:
            (one,) = sensitivity(dated.dates, {name: other}, sampling=dated.site.settings.sampling)
            if kept is not None:
                kept.put(site, one.dates)
            dates = one.dates
        else:
            dates = found.dates
        yield VariedTold(name, dates.events, tuple(map(_moved, dated.dates.events, dates.events)))


def varied_says(dated: DatedSite, one: VariedTold, *, most: int = 5) -> str:
    """Return in a sentence which dates a variation moves most, from what to what, and by how much."""
    names = dated.site.chronology.events
    places = [
        place for place in sorted(range(len(names)), key=lambda place: -one.moved[place])[:most] if one.moved[place] >= _LEAST
    ]
    if not places:
        return f"{one.name}: no date moves by {_LEAST} years or more"
    said = "; ".join(
        f"{names[place]} {ranges_in_words(dated.dates.events[place])} becomes {ranges_in_words(one.dates[place])}, by "
        f"{one.moved[place]} years"
        for place in places
    )
    return f"{one.name}: {said}"


def varied_comes_to(dated: DatedSite, varied: Sequence[VariedTold]) -> str:
    """Return how far the answer hangs on what is supposed, in a sentence: the date that moves most, and under what."""
    names = dated.site.chronology.events
    worst = max(varied, key=lambda one: max(one.moved))
    place = max(range(len(names)), key=lambda one: worst.moved[one])
    firm = sum(all(one.moved[event] < _FIRM for one in varied) for event in range(len(names)))
    return (
        f"Of {len(names)} dates {firm} move by less than {_FIRM} years whatever is varied. Most moves {names[place]}, by "
        f"{worst.moved[place]} years, under “{worst.name}”. Seed and all else are the same each time; an end moves by a few "
        "years by the draws alone."
    )


def _moved(before: EventDate, after: EventDate) -> int:
    (first, last), (begin, end) = range_ends(told_pieces(before, OUTER)), range_ends(told_pieces(after, OUTER))
    return max(abs(begin - first), abs(end - last))
