"""The points in time of a chronology, events and boundaries of phases, with every constraint between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.dating.model import Chronology, SpanPrior, Suppositions
from baulk.dating.tables import Tables
from baulk.dating.years import named, year_in_words
from baulk.errors import InputError
from baulk.sequence.graph import Neighbours, layering, neighbours_above, neighbours_below
from baulk.sequence.loops import refuse_loops
from baulk.sequence.reduction import reduce_relations
from baulk.sequence.relations import Relations, relations_of

__all__ = ["Nodes", "nodes_of"]

Floats = NDArray[np.float64]
Places = NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Nodes:
    """Everything that has a place in time, and what holds it there.

    Parameters
    ----------
    names : tuple of str
        Events first, then boundaries: "start of the site", "end of the site", then those of the phases.
    events : int
        How many of them are events.
    below, above : Neighbours
        The nodes that each is later and earlier than, in the reduced order, boundaries included.
    start, end : int32 array, shape (phases + 1,)
        Boundary nodes of the site (place 0) and of each phase; abutting phases share one.
    weight : float64 array, shape (phases + 1,)
        Power of the length by which the density is divided: the number of nodes directly inside.
    low, high : float64 array, shape (nodes,)
        Hard bounds carried through the order, in years from the beginning of the window.
    rising : int32 array, shape (nodes,)
        The nodes, each after everything earlier.
    length : float
        Years of the window.
    corrected : bool
        Whether the span is corrected to be uniform.
    """

    names: tuple[str, ...]
    events: int
    below: Neighbours
    above: Neighbours
    start: Places
    end: Places
    weight: Floats
    low: Floats
    high: Floats
    rising: Places
    length: float
    corrected: bool

    @property
    def count(self) -> int:
        """Number of nodes."""
        return len(self.names)


def nodes_of(chronology: Chronology, tables: Tables, suppositions: Suppositions) -> Nodes:
    """Return the nodes of a chronology.

    Parameters
    ----------
    chronology : Chronology
        Events, order and phases.
    tables : Tables
        For the hard bounds of documents.
    suppositions : Suppositions
        For the span.

    Returns
    -------
    Nodes
        The constraints, reduced, with hard bounds carried through them.

    Raises
    ------
    OrderError
        When the relations, or these with the phases, hold a loop.
    InputError
        When hard bounds leave an event no year.
    """
    names, start, end = _boundaries(chronology)
    relations = _relations(chronology, names, start, end)
    below, above = neighbours_below(relations), neighbours_above(relations)
    rising = np.ascontiguousarray(layering(below).taken[::-1])
    low, high = _carried(chronology, tables, below, above, rising, len(names))
    corrected = suppositions.span is SpanPrior.UNIFORM
    weight = _weights(chronology, start, end) if corrected else np.zeros(len(start))
    return Nodes(
        names, len(chronology.events), below, above, start, end, weight, low, high, rising,
        chronology.window.length, corrected,
    )  # fmt: skip


def _boundaries(chronology: Chronology) -> tuple[tuple[str, ...], Places, Places]:
    """Return the names of all nodes, and the boundary nodes of the site and its phases."""
    names = [*chronology.events, "start of the site", "end of the site"]
    count = len(chronology.events)
    shared = {link.later: link.earlier for link in chronology.links if link.abutting}
    if len(set(shared.values())) < len([link for link in chronology.links if link.abutting]):
        raise InputError(
            "A phase abuts two others on the same side. A boundary has one phase before it and one after it: let one of the links "
            "leave a gap, or join the phases."
        )
    start, end = np.full(len(chronology.phases) + 1, -1, np.int32), np.full(len(chronology.phases) + 1, -1, np.int32)
    start[0], end[0] = count, count + 1
    for place, phase in enumerate(chronology.phases, 1):
        end[place] = len(names)
        names.append(f"end of {phase.name}")
    for place, phase in enumerate(chronology.phases, 1):
        if place - 1 in shared:
            start[place] = end[shared[place - 1] + 1]
        else:
            start[place] = len(names)
            names.append(f"start of {phase.name}")
    return tuple(names), start, end


def _phase_of(chronology: Chronology) -> NDArray[np.int64]:
    """Return the phase of each event, counted from 1; 0 for the site itself."""
    phase = np.zeros(len(chronology.events), np.int64)
    for place, one in enumerate(chronology.phases, 1):
        phase[list(one.events)] = place
    return phase


def _relations(chronology: Chronology, names: tuple[str, ...], start: Places, end: Places) -> Relations:
    """Return the reduced relations between all nodes."""
    phase, events = _phase_of(chronology), np.arange(len(chronology.events), dtype=np.int32)
    inner = np.arange(1, len(start), dtype=np.int32)
    linked = np.array([(start[one.later + 1], end[one.earlier + 1]) for one in chronology.links if not one.abutting], np.int32)
    linked = linked.reshape(-1, 2)
    later: list[Places] = [
        chronology.later,
        events,
        end[phase],
        end,
        np.full(len(inner), end[0], np.int32),
        start[inner],
        linked[:, 0],
    ]
    earlier: list[Places] = [
        chronology.earlier,
        start[phase],
        events,
        start,
        end[inner],
        np.full(len(inner), start[0], np.int32),
        linked[:, 1],
    ]
    pairs = np.unique(np.column_stack([np.concatenate(later), np.concatenate(earlier)]).astype(np.int32), axis=0)
    whole = relations_of(len(names), pairs[:, 0], pairs[:, 1], names=names)
    refuse_loops(whole, "A chronology")
    kept = reduce_relations(whole).kept
    return relations_of(len(names), whole.later[kept], whole.earlier[kept], names=names)


def _weights(chronology: Chronology, start: Places, end: Places) -> Floats:
    """Return the number of nodes directly inside the site and each phase."""
    phase = _phase_of(chronology)
    weight = np.bincount(phase, minlength=len(start)).astype(np.float64)
    weight[0] += len(np.unique(np.concatenate([start[1:], end[1:]])))
    return weight


def _carried(
    chronology: Chronology, tables: Tables, below: Neighbours, above: Neighbours, rising: Places, count: int
) -> tuple[Floats, Floats]:
    """Carry hard bounds through the order; refuse an event that they leave no year."""
    low, high = np.zeros(count), np.full(count, chronology.window.length)
    low[: len(tables.low)], high[: len(tables.high)] = tables.low, tables.high
    low_by, high_by = np.arange(count), np.arange(count)
    for node in rising.tolist():
        for other in below.contexts[below.starts[node] : below.starts[node + 1]].tolist():
            if low[other] > low[node]:
                low[node], low_by[node] = low[other], low_by[other]
    for node in rising[::-1].tolist():
        for other in above.contexts[above.starts[node] : above.starts[node + 1]].tolist():
            if high[other] < high[node]:
                high[node], high_by[node] = high[other], high_by[other]
    for node in np.flatnonzero(low >= high)[:1].tolist():
        first = chronology.window.first
        after, before = int(low_by[node]), int(high_by[node])
        raise InputError(
            f"Nothing is left for {_name(chronology, node)}: it is of {_year(first + low[node])} or later by "
            f"{tables.low_by[after]} ({_name(chronology, after)}), and of {_year(first + high[node] - 1)} or earlier by "
            f"{tables.high_by[before]} ({_name(chronology, before)}). Both are given as certain: see which speaks of something "
            "else, or which relation between them is wrong; see the ways out of the contradiction."
        )
    return low, high


def _name(chronology: Chronology, node: int) -> str:
    return chronology.events[node] if node < len(chronology.events) else "a phase"


def _year(count: float) -> str:
    return year_in_words(named(int(count)))
