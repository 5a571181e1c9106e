"""What to doubt: for every loop the relations to look at again, with the records behind each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from baulk.sequence.doubt import Doubt, doubt_weights
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.graph import Neighbours, neighbours_below, shortest_chain
from baulk.sequence.loops import Cycle, Loop, cycle_in_words
from baulk.sequence.merging import contradiction_in_words
from baulk.sequence.order import Order

__all__ = ["Clash", "LoopDoubt", "Suspect", "clashes", "loop_doubts"]


@dataclass(frozen=True, slots=True)
class Suspect:
    """A relation to look at again.

    Parameters
    ----------
    later, earlier : str
        Its contexts by number; of contexts that are one, all of them.
    relations : tuple of str
        Ids of the relations on record that say it.
    weight : float
        What it costs to doubt it: certainty × places where it was seen.
    cycle : str
        The shortest loop through it, in words.
    """

    later: str
    earlier: str
    relations: tuple[str, ...]
    weight: float
    cycle: str


@dataclass(frozen=True, slots=True)
class LoopDoubt:
    """One loop, and the lightest set of relations whose doubt opens it.

    Parameters
    ----------
    contexts : tuple of str
        Ids of all contexts of the loop.
    shortest : str
        A shortest cycle, in words.
    suspects : tuple of Suspect
        The set.
    exact : bool
        Whether no lighter set opens the loop; False when the search was cut short.
    weight, at_least : float
        Weight of the set; no set weighs less than the second.
    """

    contexts: tuple[str, ...]
    shortest: str
    suspects: tuple[Suspect, ...]
    exact: bool
    weight: float
    at_least: float


@dataclass(frozen=True, slots=True)
class Clash:
    """A relation between contexts that are recorded as one: ids of the relation and of the equations against it, and a sentence."""

    relation: str
    same: tuple[str, ...]
    says: str


def loop_doubts(known: ContextRelations, order: Order, doubts: tuple[Doubt, ...]) -> tuple[LoopDoubt, ...]:
    """Return for each loop what to doubt, from the sets found for the loops of the order."""
    below = neighbours_below(order.relations)
    return tuple(_loop_doubt(known, order, below, loop, doubt) for loop, doubt in zip(order.loops, doubts, strict=True))


def clashes(known: ContextRelations, order: Order) -> tuple[Clash, ...]:
    """Return the relations between contexts that are recorded as one."""
    return tuple(
        Clash(
            known.rows[clash.row],
            tuple(known.same_rows[row] for row in clash.same_rows),
            contradiction_in_words(order.given, clash),
        )
        for clash in order.merging.contradictions
    )


def _loop_doubt(known: ContextRelations, order: Order, below: Neighbours, loop: Loop, doubt: Doubt) -> LoopDoubt:
    contexts = tuple(known.contexts[int(place)] for group in loop.contexts for place in order.merging.members(int(group)))
    shortest = cycle_in_words(order.relations, loop.shortest)
    return LoopDoubt(contexts, shortest, tuple(_suspects(known, order, below, doubt)), doubt.exact, doubt.weight, doubt.at_least)


def _suspects(known: ContextRelations, order: Order, below: Neighbours, doubt: Doubt) -> Iterator[Suspect]:
    relations, weights = order.relations, doubt_weights(order.relations)
    for one in doubt.relations.tolist():
        later, earlier = int(relations.later[one]), int(relations.earlier[one])
        back = shortest_chain(below, earlier, later) or ()
        cycle = Cycle((later, *(int(relations.later[step]) for step in back)), (one, *back))
        yield Suspect(
            relations.name(later),
            relations.name(earlier),
            tuple(known.rows[int(row)] for row in order.rows(one)),
            float(weights[one]),
            cycle_in_words(relations, cycle),
        )
