"""The chronology of a site: from the record to events, order and evidence, and what it answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from baulk.dating.calibration import calibrate
from baulk.dating.evidence import CarbonDate, CarbonLimit, Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.model import Chronology, Phase, PhaseLink, chronology_of
from baulk.dating.types import TypeTable
from baulk.dating.window import Window
from baulk.dating.years import counted, named, year_in_words
from baulk.errors import InputError
from baulk.record import Context, SiteRecord
from baulk.sequence.loops import loop_groups
from baulk.work.chronology_evidence import Gathered, gathered_from
from baulk.work.chronology_settings import ChronologySettings, PhaseUse
from baulk.work.date_evidence import NO_TABLE, left_out_of
from baulk.work.order import SiteOrder

__all__ = ["SiteChronology", "site_chronology"]

_BEFORE = 100
"""Years before the first dated thing at which the window begins: a house setting."""
_HARDLY = 0.0003
"""Share of a radiocarbon date that may lie before the window."""
_DUG = 1950
"""Year that stands for that of digging where no day is recorded: that from which radiocarbon is counted back. House setting."""
_MOST_YEARS = 20_000


@dataclass(frozen=True, eq=False)
class SiteChronology:
    """What is to be dated, by what, and what of the record is not in it.

    Parameters
    ----------
    order : SiteOrder
        The order.
    record : SiteRecord
        The record as the viewer has it.
    settings : ChronologySettings
        What is supposed.
    chronology : Chronology
        Events, order, evidence, phases and window.
    contexts : tuple of tuple of str
        Ids of the contexts of each event; contexts that are one share it.
    left_out : tuple of str
        What of the record is not in it, and why: contexts, results, finds whose type has no date.
    notes : tuple of str
        What is to be known of it.
    rests_on : tuple of tuple of str
        Ids of the finds, document or result that each piece of the chronology's evidence is of.
    """

    order: SiteOrder
    record: SiteRecord
    settings: ChronologySettings
    chronology: Chronology
    contexts: tuple[tuple[str, ...], ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]
    rests_on: tuple[tuple[str, ...], ...] = ()

    @cached_property
    def event_of(self) -> Mapping[str, int]:
        """The event of each context by its id; contexts that are left out are not in it."""
        return {identity: event for event, members in enumerate(self.contexts) for identity in members}

    def event(self, number: str) -> str:
        """Return the name of the event of a context, by the context's number or id.

        Raises
        ------
        UnknownRecord
            When there is no such context.
        InputError
            When it is void, or not in the chronology.
        """
        context = self.record.get(Context, number) or self.record.numbered(Context, number)
        if context.id not in self.event_of:
            raise InputError(
                f"Context {context.number} is not in the chronology: it is void, natural, or nothing dates it and nothing lies "
                "above or below it. Ask for one that is, or relate it."
            )
        return self.chronology.events[self.event_of[context.id]]

    @property
    def undated(self) -> tuple[str, ...]:
        """Names of the events that have no evidence of their own: the order alone dates them."""
        dated = {one.event for one in self.chronology.evidence if not isinstance(one, NoneLater)}
        return tuple(name for event, name in enumerate(self.chronology.events) if event not in dated)

    @property
    def absences(self) -> tuple[NoneLater, ...]:
        """What is absent, by deposit."""
        return tuple(one for one in self.chronology.evidence if isinstance(one, NoneLater))


def site_chronology(
    record: SiteRecord, order: SiteOrder, settings: ChronologySettings, *, types: TypeTable = NO_TABLE
) -> SiteChronology:
    """Turn a record into a chronology.

    Parameters
    ----------
    record : SiteRecord
        The record as the viewer may have it.
    order : SiteOrder
        Its order.
    settings : ChronologySettings
        What is supposed.
    types : TypeTable
        Stands in where a find has a type but no years of its own.

    Returns
    -------
    SiteChronology
        One event for each context, or for contexts that are one. Natural ground at the bottom that nothing dates is left out, as
        are contexts that nothing relates and nothing dates; relations inside a loop are left out too.

    Raises
    ------
    InputError
        When no context has anything to date it by.
    """
    groups = _groups(record, order)
    events = {identity: event for event, members in enumerate(groups.values()) for identity in members}
    gathered = gathered_from(record, events, types, settings.counting)
    kept, left = _kept(record, order, groups, gathered)
    if not gathered.evidence:
        raise InputError(
            "Nothing in this record dates a context: no find has years of making, no document says what was there when, and no "
            "result is recorded. Record what dates the contexts, or give a table of types with --types."
        )
    place = {old: new for new, old in enumerate(kept)}
    used = [row for row, one in enumerate(gathered.evidence) if one.event in place]
    evidence = [replace(gathered.evidence[row], event=place[gathered.evidence[row].event]) for row in used]
    members = list(groups.values())
    later, earlier, loose = _relations(order, {group: place[old] for old, group in enumerate(groups) if old in place})
    window = _window(record, evidence, settings)
    contexts = tuple(members[old] for old in kept)
    phases, links = _phases(record, contexts, settings.phases)
    made = chronology_of(_names(record, contexts), later, earlier, evidence, window, phases=phases, links=links)
    undated = left_out_of(record, order.known.index, types)
    notes = (*_notes(order, made, loose, phases), *_open_end(record, settings, window))
    rests_on = tuple(gathered.records[row] for row in used)
    return SiteChronology(order, record, settings, made, contexts, (*left, *gathered.left_out, *undated), tuple(notes), rests_on)


def _groups(record: SiteRecord, order: SiteOrder) -> dict[int, tuple[str, ...]]:
    """Return the contexts of this record by group of the order."""
    found: dict[int, list[str]] = {}
    for identity, place in order.known.index.items():
        if record.get(Context, identity) is not None:
            found.setdefault(int(order.order.merging.group[place]), []).append(identity)
    return {group: tuple(members) for group, members in sorted(found.items())}


def _names(record: SiteRecord, contexts: Sequence[tuple[str, ...]]) -> list[str]:
    """Return what each event is called: the numbers of its contexts; an id is added where two are called alike."""
    names: list[str] = []
    taken: set[str] = set()
    for members in contexts:
        name = " = ".join(record.label(identity) for identity in members)
        names.append(name if name not in taken else f"{name} ({members[0][-6:]})")
        taken.add(names[-1])
    return names


def _kept(
    record: SiteRecord, order: SiteOrder, groups: Mapping[int, tuple[str, ...]], gathered: Gathered
) -> tuple[list[int], list[str]]:
    """Return the events that stay, and words on those that do not."""
    dated = {one.event for one in gathered.evidence}
    below = set(order.order.relations.later.tolist())
    related = below | set(order.order.relations.earlier.tolist())
    kept: list[int] = []
    left: list[str] = []
    for event, (group, members) in enumerate(groups.items()):
        context = record.get(Context, members[0])
        if event not in dated and group not in related:
            left.append(f"{record.label(members[0])}: nothing dates it and nothing lies above or below it")
        elif event not in dated and group not in below and context is not None and context.natural:
            left.append(f"{record.label(members[0])}: natural ground, older than the site by nobody knows how much")
        else:
            kept.append(event)
    return kept, left


def _relations(order: SiteOrder, place: Mapping[int, int]) -> tuple[list[int], list[int], int]:
    """Return the needed relations between events, and how many stand in loops and are left out."""
    relations, reduction = order.order.relations, order.order.reduction
    rows: NDArray[np.int64] = np.arange(len(relations.later))
    loose = 0
    if reduction is not None:
        rows = np.flatnonzero(reduction.kept)
    else:
        _, ring = loop_groups(relations)
        inside = ring[relations.later] == ring[relations.earlier]
        rows, loose = np.flatnonzero(~inside), int(inside.sum())
    pairs = [
        (place[later], place[earlier])
        for later, earlier in zip(relations.later[rows].tolist(), relations.earlier[rows].tolist(), strict=True)
        if later in place and earlier in place
    ]
    return [later for later, _ in pairs], [earlier for _, earlier in pairs], loose


def _phases(record: SiteRecord, contexts: Sequence[tuple[str, ...]], use: PhaseUse) -> tuple[list[Phase], list[PhaseLink]]:
    """Return the phases on the contexts' sheets; an event whose contexts differ in phase has none."""
    if use is PhaseUse.NONE:
        return [], []
    members: dict[int, list[int]] = {}
    for event, identities in enumerate(contexts):
        given = {context.phase for identity in identities if (context := record.get(Context, identity)) and context.phase}
        if len(given) == 1:
            members.setdefault(given.pop(), []).append(event)
    phases = [Phase(f"phase {number}", tuple(events)) for number, events in sorted(members.items())]
    links = [PhaseLink(place + 1, place) for place in range(len(phases) - 1)] if use is PhaseUse.IN_TURN else []
    return phases, links


def _window(record: SiteRecord, evidence: Sequence[Evidence], settings: ChronologySettings) -> Window:
    """Return the window: as given, and then firm; else from a century before the first dated thing to the last day of the record.

    Years that a person gives are known from elsewhere, so what they cut off a radiocarbon date is told and not refused.
    """
    begin, end = settings.window
    years = [year for one in evidence for year in _years_of(one)]
    digging = [int(day[:4]) for context in record.all(Context) if (day := context.recorded_on)] or [_DUG]
    first = min(counted(year) for year in years) - _BEFORE
    last = max(*(counted(year) for year in years), *digging, first + _BEFORE)
    first = counted(begin) if begin is not None else first - first % 10
    last = counted(end) if end is not None else last
    step = max(1, -(-(last + 1 - first) // _MOST_YEARS))
    return Window(named(first), named(last), step, firm=settings.window != (None, None))


def _years_of(one: Evidence) -> Iterator[int]:
    """Yield the years that a window has to hold for one piece of evidence."""
    match one:
        case FindMade():
            yield one.begin
        case Documented():
            yield from (year for year in (one.begin, one.end) if year is not None)
        case NoneLater():
            yield one.after
        case CarbonDate():
            date = calibrate(one.age, one.error, curve=one.curve)
            yield named(int(date.years[int(np.searchsorted(np.cumsum(date.probability), _HARDLY))]))
            yield named(int(date.years[int(np.searchsorted(np.cumsum(date.probability), 1 - _HARDLY))]))
        case CarbonLimit():
            yield named(1950)
        case YearWithError():
            yield from (named(int(one.year - 4 * one.error)), named(int(one.year + 4 * one.error)))


def _open_end(record: SiteRecord, settings: ChronologySettings, window: Window) -> Iterator[str]:
    if settings.window[1] is None and not any(context.recorded_on for context in record.all(Context)):
        yield (
            f"No day of digging is recorded, so nothing is taken to be later than {year_in_words(window.end)}: record the days, or "
            "give the latest year that anything can be of."
        )


def _notes(order: SiteOrder, made: Chronology, loose: int, phases: Sequence[Phase]) -> Iterator[str]:
    if loose:
        yield f"{loose} relations stand in a loop and are not used, since one of each loop is wrong: open the loops first."
    doubtful = int((order.order.relations.certainty < 0.6).sum())
    if doubtful:
        yield f"{doubtful} relations are recorded as doubtful and used like firm ones: see whether a date hangs on one of them."
    if phases:
        yield f"{len(phases)} phases have a start and an end of their own."
    unphased = len(made.events) - sum(len(phase.events) for phase in phases)
    if phases and unphased:
        yield f"{unphased} events are in no phase."
