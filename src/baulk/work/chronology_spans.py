"""How two phases, or two lots of contexts, stand to each other in time, by the chronology."""

from __future__ import annotations

import re
from dataclasses import dataclass

from baulk.dating.posterior import Chance
from baulk.dating.spans import standings_between
from baulk.errors import InputError
from baulk.record import Context
from baulk.work.chronology import SiteChronology
from baulk.work.chronology_answers import DatedSite

__all__ = ["SpansTold", "StandingTold", "spans_told"]

_LEAST = 0.01
"""Chance from which a way is told in words; all that were drawn are kept."""
_PHASE = re.compile(r"\s*phase\s+(\d+)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class StandingTold:
    """One way in which two spans can stand to each other.

    Parameters
    ----------
    name : str
        In one word: precedes, meets, overlaps and so on.
    says : str
        In a sentence with the names of the two.
    chance : Chance
        How likely it is.
    """

    name: str
    says: str
    chance: Chance


@dataclass(frozen=True, slots=True)
class SpansTold:
    """How two spans stand to each other in time.

    Parameters
    ----------
    first, second : str
        What was asked for, in words.
    events : tuple of (tuple of str, tuple of str)
        The events of each.
    ways : tuple of StandingTold
        Those that were drawn at all, the likeliest first.
    shared : Chance
        That they share a year.
    between : tuple of float
        Years from the end of the first to the beginning of the second, at 2.5, 16, 50, 84 and 97.5 per cent.
    says : str
        The whole in sentences.
    """

    first: str
    second: str
    events: tuple[tuple[str, ...], tuple[str, ...]]
    ways: tuple[StandingTold, ...]
    shared: Chance
    between: tuple[float, float, float, float, float]
    says: str


def spans_told(dated: DatedSite, one: str, other: str) -> SpansTold:
    """Return how two phases or two lots of contexts stand to each other in time.

    Parameters
    ----------
    dated : DatedSite
        The dates.
    one, other : str
        "phase 2", or contexts by number, joined by commas.

    Raises
    ------
    UnknownRecord
        When a context is not on record.
    InputError
        When no context of a phase is dated, a context is not in the chronology, or the two have a context in common.
    """
    lots = _events(dated.site, one), _events(dated.site, other)
    common = [name for name in lots[0] if name in lots[1]]
    if common:
        raise InputError(
            f"{' and '.join(common)} would stand on both sides. Ask for two phases, or two lots of contexts, that have nothing in "
            "common."
        )
    found = standings_between(dated.dates, *lots)
    first, second = _named(one, lots[0]), _named(other, lots[1])
    ways = tuple(
        StandingTold(
            standing.name.lower().replace("_", " "), _sentence(standing.format(first=first, second=second)), chance
        )
        for standing, chance in found.chances
    )  # fmt: skip
    low, left, _, right, high = (round(years) for years in found.between)
    says = [
        *(
            f"{way.says}: {way.chance.words} (standard error {100 * way.chance.standard_error:.1f})."
            for way in ways if way.chance.value >= _LEAST
        ),
        f"They share a year: {found.shared.words}. From the last year of {first} to the first of {second} are {left} to {right} "
        f"years at 68 per cent, {low} to {high} at 95; below 0 the second begins before the first is over.",
        "Each runs from its earliest deposit to its latest, in whole years.",
    ]  # fmt: skip
    return SpansTold(first, second, lots, ways, found.shared, found.between, "\n".join(says))


def _events(site: SiteChronology, asked: str) -> tuple[str, ...]:
    """Return the events of a phase, or of contexts by number or id."""
    phase = _PHASE.fullmatch(asked)
    if phase is None:
        return tuple(dict.fromkeys(site.event(number.strip()) for number in asked.split(",")))
    number = int(phase[1])
    members = [context.id for context in site.record.all(Context) if context.phase == number]
    found = tuple(dict.fromkeys(site.chronology.events[site.event_of[one]] for one in members if one in site.event_of))
    if not found:
        given = sorted({context.phase for context in site.record.all(Context) if context.phase is not None})
        held = ", ".join(map(str, given)) or "none"
        raise InputError(
            f"No context of phase {number} is in the chronology. Phases on the sheets: {held}. Ask for one of them, or name the "
            "contexts: 104,107."
        )
    return found


def _named(asked: str, events: tuple[str, ...]) -> str:
    phase = _PHASE.fullmatch(asked)
    return f"phase {int(phase[1])}" if phase else ", ".join(events)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
