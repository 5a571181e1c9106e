"""A chronology: events, their order, phases, evidence and the window, with what is supposed beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.dating.discard import Discard
from baulk.dating.evidence import Evidence
from baulk.dating.intrusion import Intrusion
from baulk.dating.window import Window
from baulk.errors import InputError

__all__ = ["Chronology", "Phase", "PhaseLink", "SpanPrior", "Suppositions", "chronology_of"]

Places = NDArray[np.int32]


class SpanPrior(StrEnum):
    """What is thought of the time from the first to the last event before anything is dated."""

    UNIFORM = "any length is as likely as any other"
    """The density of dates is divided by span^n: many events do not make a site long."""
    FLAT = "every set of dates in order is as likely as any other"
    """No correction: n events favour long spans as span^n. Kept to show what it would do; not to be reported."""


@dataclass(frozen=True, slots=True)
class Phase:
    """A stretch of the site's time with a start and an end of its own, and the events inside it.

    Parameters
    ----------
    name : str
        As people call it.
    events : tuple of int
        Its events; an event belongs to one phase at most.
    """

    name: str
    events: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PhaseLink:
    """One phase is later than another.

    Parameters
    ----------
    later, earlier : int
        Places of the phases.
    abutting : bool
        True when the later begins as the earlier ends, so that they share one boundary; False when there may be a gap.
    """

    later: int
    earlier: int
    abutting: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Chronology:
    """What is to be dated, and by what.

    Parameters
    ----------
    events : tuple of str
        The events, one for each deposit, cut or structure, by the number that people know them by.
    later, earlier : int32 array, shape (m,)
        The order: event ``later[i]`` is later than ``earlier[i]``. Redundant relations do no harm; those of the reduced order are
        enough.
    evidence : tuple of Evidence
        All that bears on the date of one event.
    window : Window
        Hard bounds of everything.
    phases : tuple of Phase
        Phases, if any.
    links : tuple of PhaseLink
        The order of phases. Phases without a link may overlap.
    """

    events: tuple[str, ...]
    later: Places
    earlier: Places
    evidence: tuple[Evidence, ...]
    window: Window
    phases: tuple[Phase, ...] = ()
    links: tuple[PhaseLink, ...] = ()

    def place(self, name: str) -> int:
        """Return the place of an event.

        Raises
        ------
        InputError
            When there is no such event.
        """
        if name not in self.events:
            raise InputError(
                f"There is no event “{name}” in this chronology of {len(self.events)}. Give the number of a context in it."
            )
        return self.events.index(name)


@dataclass(frozen=True, slots=True)
class Suppositions:
    """What is supposed, not seen: every result names it, and `sensitivity` varies it.

    Parameters
    ----------
    intrusion : Intrusion
        Chance that a find is intrusive.
    discard : Discard
        The discard curve.
    absence : bool
        Whether the absence of later finds counts.
    span : SpanPrior
        What is thought of the span.
    """

    intrusion: Intrusion = field(default_factory=Intrusion)
    discard: Discard = field(default_factory=Discard)
    absence: bool = True
    span: SpanPrior = SpanPrior.UNIFORM

    @property
    def words(self) -> tuple[str, ...]:
        """Each supposition in a sentence."""
        absent = "counts" if self.absence else "is left out"
        return (
            self.intrusion.words,
            self.discard.words,
            f"The absence of later finds {absent}.",
            f"Before any date, of the span from first to last event: {self.span.value}.",
        )


def chronology_of(
    events: Sequence[str],
    later: ArrayLike,
    earlier: ArrayLike,
    evidence: Sequence[Evidence],
    window: Window,
    *,
    phases: Sequence[Phase] = (),
    links: Sequence[PhaseLink] = (),
) -> Chronology:
    """Return a chronology from columns, its places checked.

    Raises
    ------
    InputError
        When a relation, a piece of evidence, a phase or a link names an event or phase that is not there, two events share a name,
        or an event belongs to two phases.

    Examples
    --------
    >>> from baulk.dating.evidence import FindMade
    >>> made = chronology_of(["101", "102"], [0], [1], [FindMade(1, "coin", 1799)], Window(1650, 1899))
    >>> made.place("102")
    1
    """
    above, below = np.array(later, np.int32).reshape(-1), np.array(earlier, np.int32).reshape(-1)
    count = len(events)
    if len(above) != len(below):
        raise InputError(
            f"{len(above)} later and {len(below)} earlier events of relations are given. Each relation has one of each: give "
            "columns of equal length."
        )
    _refuse_twice(list(events), "Two events are called “{}”. Each event has a name of its own: join them, or name them apart.")
    members = [event for phase in phases for event in phase.events]
    named = [*above.tolist(), *below.tolist(), *(one.event for one in evidence), *members]
    outside = [place for place in named if not 0 <= place < count]
    if outside:
        raise InputError(
            f"Event {outside[0]} is named by a relation, a piece of evidence or a phase, but the events are counted from 0 to "
            f"{count - 1}. Give the event's place."
        )
    _refuse_twice(members, "Event {} belongs to two phases. An event has one phase at most: leave it out of the other.")
    if any(not 0 <= place < len(phases) for link in links for place in (link.later, link.earlier)):
        raise InputError(f"A link names a phase that is not there; there are {len(phases)}. Phases are counted from 0.")
    above.flags.writeable = below.flags.writeable = False
    return Chronology(tuple(events), above, below, tuple(evidence), window, tuple(phases), tuple(links))


def _refuse_twice(values: Sequence[object], says: str) -> None:
    seen: set[object] = set()
    for one in values:
        if one in seen:
            raise InputError(says.format(one))
        seen.add(one)
