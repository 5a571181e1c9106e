"""What does not sit well with a chronology: finds intrusive or residual, samples of something else, soil that was moved."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.dating.evidence import Evidence, FindMade, NoneLater
from baulk.work.chronology_answers import DatedSite

__all__ = ["OutOfPlace", "out_of_place"]


@dataclass(frozen=True, slots=True)
class OutOfPlace:
    """A find, sample, document or deposit that does not sit well with the dates.

    Parameters
    ----------
    what : str
        find, sample (or document, or year), or deposit.
    name : str
        What it is called.
    event : int
        The event that it belongs to.
    intrusive, residual : float
        Chances after all evidence; of a sample the first is that it dates something else, of a deposit the second that it is older
        soil moved. 0 where there is none.
    says : str
        What to look at.
    records : tuple of str
        Ids of the finds, document or result.
    """

    what: str
    name: str
    event: int
    intrusive: float
    residual: float
    says: str
    records: tuple[str, ...]


def out_of_place(dated: DatedSite) -> tuple[OutOfPlace, ...]:
    """Return what does not sit well with the dates, finds first, then samples, then deposits; the most doubtful of each first."""
    dates, events = dated.dates, dated.site.chronology.events
    finds, others, absences = _by_kind(dated)
    told = [
        OutOfPlace("find", one.name, one.event, one.intrusive, one.residual, f"{one.words} In {events[one.event]}.", records)
        for one, records in sorted(zip(dates.finds, finds, strict=True), key=lambda pair: -max(pair[0].intrusive, pair[0].residual))
        if one.doubtful
    ]
    told += [
        OutOfPlace("sample", one.name, one.event, one.out, 0.0, f"{one.words} In {events[one.event]}.", records)
        for one, records in sorted(zip(dates.samples, others, strict=True), key=lambda pair: -pair[0].out)
        if one.doubtful
    ]
    moved = zip(dates.moved, absences, strict=False)  # none is told when absence does not count
    told += [
        OutOfPlace("deposit", one.name, one.event, 0.0, one.moved, one.words, records)
        for one, records in sorted(moved, key=lambda pair: -pair[0].moved)
        if one.doubtful
    ]
    return tuple(told)


def _by_kind(dated: DatedSite) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]], list[tuple[str, ...]]]:
    """Return the records of the evidence as the doubts of finds, of samples and of deposits stand: each in its order."""
    finds: list[tuple[str, ...]] = []
    others: list[tuple[str, ...]] = []
    absences: list[tuple[str, ...]] = []
    for one, records in zip(dated.site.chronology.evidence, dated.site.rests_on, strict=True):
        if isinstance(one, FindMade):
            finds.append(records)
        elif isinstance(one, NoneLater):
            absences.append(records)
        elif _doubted(one):
            others.append(records)
    return finds, others, absences


def _doubted(one: Evidence) -> bool:
    return not isinstance(one, FindMade | NoneLater) and one.doubt != 0
