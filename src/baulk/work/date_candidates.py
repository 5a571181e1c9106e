"""What could be done to date a context better: samples, soil not dug yet, loosely dated finds, the ground beside the unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from baulk.dating.candidates import Candidate, CarbonSample, MoreFinds, NextUnit, SherdsLookedAt
from baulk.dating.evidence import FindMade
from baulk.dating.years import counted
from baulk.record import Context, DatingResult, Find, Sample, SiteRecord
from baulk.work.chronology import SiteChronology
from baulk.work.chronology_evidence import disturbance_of
from baulk.work.date_evidence import NO_TABLE, years_of_making

__all__ = ["Hours", "Offer", "candidates_for"]

_MOST = 16
"""Candidates weighed for one question: a house setting."""
_LOOSE = 20
"""Years of making beyond which a find is called loosely dated."""
_OPEN = 100
"""Years that the making of a find without a last year is taken to span."""


@dataclass(frozen=True, slots=True)
class Hours:
    """What work costs, in hours: house figures, no source; money is turned into hours at the rate of one who digs.

    Parameters
    ----------
    carbon : float
        One radiocarbon date, sample preparation and laboratory.
    litres : float
        Litres dug and sieved in an hour.
    look : float
        A specialist's look, without the sherds.
    sherds : float
        Sherds looked at in an hour.
    unit : float
        One more unit beside this one.
    """

    carbon: float = 40.0
    litres: float = 50.0
    look: float = 2.0
    sherds: float = 10.0
    unit: float = 60.0

    @property
    def words(self) -> str:
        """The figures in a sentence."""
        return (
            f"Cost is counted in hours, house figures without a source: {self.carbon:g} for a radiocarbon date, one for "
            f"{self.litres:g} litres dug and sieved, {self.look:g} and one for {self.sherds:g} sherds for a specialist's look, "
            f"{self.unit:g} for one more unit."
        )


@dataclass(frozen=True, slots=True)
class Offer:
    """A piece of work that could be done, with the ids of the context and of the sample or finds that it is of."""

    candidate: Candidate
    records: tuple[str, ...]


def candidates_for(site: SiteChronology, event: str, hours: Hours | None = None) -> tuple[Offer, ...]:
    """Return the pieces of work that could date an event better.

    Parameters
    ----------
    site : SiteChronology
        The chronology.
    event : str
        The event whose date is asked for.
    hours : Hours, optional
        What work costs.

    Returns
    -------
    tuple of Offer
        For the event itself and those directly above and below it: samples on record without a result, charcoal that could be
        dated, soil of it that is not dug or not sieved, finds dated loosely, and the ground beside the unit where it goes on.
    """
    cost, record = hours or Hours(), site.record
    place = site.chronology.place(event)
    found: list[Offer] = []
    for near in _near(site, place):
        name = site.chronology.events[near]
        for identity in site.contexts[near]:
            context = record.get(Context, identity)
            if context is not None:
                found += _samples(record, context, name, cost)
                found += _soil(record, context, name, cost)
        found += _look(site, near, name, cost)
    own = [context for identity in site.contexts[place] if (context := record.get(Context, identity)) is not None]
    found += [one for context in own for one in _beside(record, context, event, cost)]
    return tuple(found[:_MOST])


def _near(site: SiteChronology, place: int) -> Iterator[int]:
    """Yield an event, then those directly above and below it."""
    yield place
    made = site.chronology
    pairs = list(zip(made.later.tolist(), made.earlier.tolist(), strict=True))
    yield from dict.fromkeys(
        [other for later, other in pairs if later == place] + [other for other, earlier in pairs if earlier == place]
    )


def _samples(record: SiteRecord, context: Context, event: str, cost: Hours) -> Iterator[Offer]:
    """Yield a radiocarbon date of each sample that has no result yet, else of charcoal that the sheet tells of."""
    measured = {result.sample for result in record.all(DatingResult)}
    samples = [one for one in record.pointing_at(Sample, "context", context.id) if one.id not in measured]
    for sample in samples:
        if sample.type in ("radiocarbon", "timber", "bulk"):
            lag = None if sample.type == "radiocarbon" else 50.0
            name = f"radiocarbon of sample {sample.number}, {sample.type}, from {event}"
            yield Offer(CarbonSample(name, event, cost.carbon, lag=lag), (context.id, sample.id))
    if not samples and "charcoal" in f"{context.inclusions or ''} {context.texture or ''}".casefold():
        yield Offer(CarbonSample(f"radiocarbon of charcoal from {event}", event, cost.carbon, lag=50.0), (context.id,))


def _soil(record: SiteRecord, context: Context, event: str, cost: Hours) -> Iterator[Offer]:
    """Yield more finds from what is not dug or not sieved yet, at the rate at which they came so far."""
    done = (100.0 if context.dug is None else context.dug) / 100 * (100.0 if context.sieved is None else context.sieved) / 100
    if context.litres is None or not 0.05 <= done < 1:
        return
    pieces = sum(find.count or 0 for find in record.pointing_at(Find, "context", context.id) if find.begin is not None)
    more, litres = round(pieces * (1 - done) / done), context.litres * (1 - done) / done
    if more:
        name = f"dig and sieve the rest of {event}, {litres:.0f} litres"
        found = MoreFinds(name, event, max(1.0, litres / cost.litres), more, disturbance=disturbance_of(context))
        yield Offer(found, (context.id,))


def _look(site: SiteChronology, near: int, event: str, cost: Hours) -> Iterator[Offer]:
    """Yield a specialist's look at the loosely dated finds of an event, all together."""
    loose = [
        (one, records) for one, records in zip(site.chronology.evidence, site.rests_on, strict=True)
        if isinstance(one, FindMade) and one.event == near and _span(one.begin, one.end) > _LOOSE and not _coins(site, records)
    ]  # fmt: skip
    finds = [find for _, records in loose for identity in records if (find := site.record.get(Find, identity)) is not None]
    pieces = sum(find.count or 1 for find in finds)
    if pieces:
        name = f"a specialist's look at {pieces} loosely dated {'piece' if pieces == 1 else 'pieces'} from {event}"
        look = SherdsLookedAt(name, tuple(one.name for one, _ in loose), cost.look + pieces / cost.sherds)
        yield Offer(look, tuple(find.id for find in finds))


def _coins(site: SiteChronology, records: Sequence[str]) -> bool:
    """Tell whether a find is a coin: the year stands on it, so a look adds nothing."""
    finds = (site.record.get(Find, identity) for identity in records)
    return any("coin" in f"{find.type or ''} {find.object or ''}".casefold() for find in finds if find is not None)


def _span(begin: int, end: int | None) -> int:
    return _OPEN if end is None else counted(end) - counted(begin)


def _beside(record: SiteRecord, context: Context, event: str, cost: Hours) -> Iterator[Offer]:
    """Yield one more unit where a deposit runs on under the edge of this one."""
    edges = (context.edge_north, context.edge_east, context.edge_south, context.edge_west)
    beyond = sum(edge == "beyond limit" for edge in edges)
    dated = [find for find in record.pointing_at(Find, "context", context.id) if years_of_making(find, NO_TABLE)[0] is not None]
    pieces = sum(find.count or 1 for find in dated)
    if beyond and pieces:
        unit = NextUnit(f"one more unit beside {event}", event, cost.unit, min(0.95, 0.5 + 0.1 * beyond), pieces)
        yield Offer(unit, (context.id,))
