"""The order of a site: what follows from its relations, and what a person has to look at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from baulk.errors import InputError
from baulk.record import Context, Relation, SiteRecord, natural_number
from baulk.sequence.doubt import Doubt, doubts_of
from baulk.sequence.from_record import (
    CONTACT_COLUMNS,
    CONTEXT_COLUMNS,
    RELATION_COLUMNS,
    ContextRelations,
    WhyAside,
    relations_from,
    relations_from_columns,
)
from baulk.sequence.gaps import parts_of
from baulk.sequence.likely_pair import LikelyPair, likely_pair
from baulk.sequence.loops import cycle_in_words
from baulk.sequence.missed import missed_relations
from baulk.sequence.order import Order, order_of
from baulk.sequence.phase_table import PhaseLine
from baulk.sequence.phase_table import phase_table as phase_lines
from baulk.sequence.suspicion import Suspicion
from baulk.store import Store
from baulk.work.order_doubts import Clash, LoopDoubt, clashes, loop_doubts
from baulk.work.order_why import WhyStep, why_steps

__all__ = ["LIKELY_SEED", "Notice", "SiteOrder", "order_in", "phase_table", "site_order"]

LIKELY_SEED = 1
"""The seed of the draws behind a likely order when none is asked for, so that the same question has the same answer."""


@dataclass(frozen=True, slots=True)
class Notice:
    """Something in the relations to look at: its kind in a word or two, a sentence, and the ids of the contexts."""

    what: str
    says: str
    records: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class SiteOrder:
    """The order of a site.

    Parameters
    ----------
    known : ContextRelations
        Its relations as arrays.
    order : Order
        What follows from them.
    whole : callable
        Gives the whole record; asked only for what the arrays do not hold.
    phases : tuple of int or None
        The phase each context was put in.
    """

    known: ContextRelations
    order: Order
    whole: Callable[[], SiteRecord]
    phases: tuple[int | None, ...]

    @cached_property
    def record(self) -> SiteRecord:
        """The whole record."""
        return self.whole()

    def label(self, identity: str) -> str:
        """Return the number of a context."""
        return self.order.given.name(self.known.index[identity])

    @cached_property
    def latest_first(self) -> tuple[str, ...]:
        """Ids of the contexts, none before one that is later; contexts of a loop stand together."""
        ranks = self.order.ranks.from_top[self.order.merging.group]
        return tuple(self.known.contexts[int(place)] for place in np.argsort(ranks, kind="stable"))

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """What to look at, loops first."""
        return (
            *self._contradictions(), *self._loops(), *self._sides(), *self._sheets_blank(), *self._floating(), *self._apart(),
            *self._phases(), *self._set_aside(),
        )  # fmt: skip

    @property
    def sound(self) -> bool:
        """Whether the relations hold neither a loop nor a contradiction."""
        return not self.order.in_words

    @cached_property
    def doubts(self) -> tuple[LoopDoubt, ...]:
        """For each loop the lightest set of relations to look at again."""
        return loop_doubts(self.known, self.order, self._lightest)

    @cached_property
    def _lightest(self) -> tuple[Doubt, ...]:
        return doubts_of(self.order.relations, self.order.loops)

    @cached_property
    def clashes(self) -> tuple[Clash, ...]:
        """Relations between contexts that are recorded as one."""
        return clashes(self.known, self.order)

    @cached_property
    def missed(self) -> tuple[Suspicion, ...]:
        """Relations that seem to be missed or wrong, from outlines, levels, walls, kinds and the modelled ground."""
        from baulk.work.modelled_contacts import missed_in_the_model  # noqa: PLC0415 - 1 s that few questions need

        found = missed_relations(self.record, self.order, known=self.known)
        return (*found, *missed_in_the_model(self, found))

    @cached_property
    def phase_table(self) -> tuple[PhaseLine, ...]:
        """Each context with its phase, those that the order leaves open to it, and conflicts."""
        return phase_lines(self.order, self.phases)

    def likely(self, one: str, other: str, *, seed: int = LIKELY_SEED) -> LikelyPair:
        """Return how often one context is earlier than another over the orders that the relations allow, by numbers or ids.

        Raises
        ------
        UnknownRecord
            When a number is not on record.
        InputError
            When one is void, or the two are recorded as one.
        OrderError
            While a loop stands.
        """
        return likely_pair(self.order, self._place(one), self._place(other), np.random.default_rng(seed))

    def _place(self, named: str) -> int:
        """Return the index of a context by its number or its id."""
        context = self.record.get(Context, named) or self.record.numbered(Context, named)
        if context.id not in self.known.index:
            raise InputError(f"Context {context.number} is void, so it has no place in the order. Ask for one that counts.")
        return self.known.index[context.id]

    def ids(self, groups: list[int]) -> tuple[str, ...]:
        """Return the ids of all contexts of some groups."""
        return tuple(self.known.contexts[int(place)] for group in groups for place in self.order.merging.members(group))

    def why(self, later: str, earlier: str) -> str:
        """Return why one context is later than another, by numbers or ids, as a chain with where each step was seen.

        Raises
        ------
        UnknownRecord
            When a number is not on record.
        InputError
            When one is void.
        """
        first, second = self._place(later), self._place(earlier)
        said = self.order.why_in_words(first, second)
        chain, back = self.order.why(first, second), self.order.why(second, first)
        if chain is None:
            return said if back is None else f"{said} The other way round there is one: {earlier} is later than {later}."
        if not chain or back is None:
            return "\n".join([said, *self._steps(chain)])
        return "\n".join([
            f"There is a loop: {later} is recorded as later than {earlier}, and {earlier} as later than {later}. One is wrong.",
            said, *self._steps(chain), self.order.why_in_words(second, first), *self._steps(back),
        ])  # fmt: skip

    def why_steps(self, later: str, earlier: str) -> tuple[WhyStep, ...] | None:
        """Return the same chain as data; None when there is none, or the two are recorded as one.

        Raises
        ------
        UnknownRecord
            When a number is not on record.
        InputError
            When one is void.
        """
        return why_steps(self.known, self.order, self._place(later), self._place(earlier))

    def same(self, one: str, other: str) -> bool:
        """Return whether two contexts, by numbers or ids, are one in the order."""
        group = self.order.merging.group
        return bool(group[self._place(one)] == group[self._place(other)])

    def _steps(self, chain: tuple[int, ...]) -> Iterator[str]:
        by_id = self.record.by_id
        for step in chain:
            for row in self.order.rows(step):
                relation = by_id[self.known.rows[int(row)]]
                assert isinstance(relation, Relation)  # the rows of the order are relations
                where = relation.where_seen or "where: not recorded"
                certainty = relation.certainty or "certainty not recorded"
                names = self.record.label(relation.later), self.record.label(relation.earlier)
                yield f"  {names[0]} {relation.how} {names[1]} ({where}; {certainty})"

    def _contradictions(self) -> Iterator[Notice]:
        words = self.order.in_words[: len(self.order.merging.contradictions)]
        for clash, says in zip(self.order.merging.contradictions, words, strict=True):
            yield Notice("contradiction", says, tuple(self.known.contexts[place] for place in clash.contexts))

    def _loops(self) -> Iterator[Notice]:
        relations = self.order.relations
        for loop, doubt in zip(self.order.loops, self._lightest, strict=True):
            suspects = "; ".join(
                f"{relations.name(int(relations.later[one]))} later than {relations.name(int(relations.earlier[one]))}"
                for one in doubt.relations
            )
            fewest = "The fewest to doubt" if doubt.exact else "Enough to doubt, though fewer may do"
            says = (
                f"{cycle_in_words(relations, loop.shortest)}: a layer cannot be earlier than itself. "
                f"{fewest}, the least certain first to go: {suspects}."
            )
            yield Notice("loop", says, self.ids([int(group) for group in loop.shortest.contexts]))

    def _sides(self) -> Iterator[Notice]:
        relations = self.order.relations
        for one in self.order.one_sided.tolist():
            later, earlier = int(relations.later[one]), int(relations.earlier[one])
            missing = relations.name(earlier) if relations.sides[one] & 1 else relations.name(later)
            pair = f"{relations.name(later)} later than {relations.name(earlier)}"
            says = f"{pair} is entered on one sheet only: see the sheet of {missing}."
            yield Notice("one-sided", says, self.ids([later, earlier]))

    def _sheets_blank(self) -> Iterator[Notice]:
        blank = len(self.order.off_sheet)
        if blank:
            says = (
                f"{blank} of {_counted(len(self.order.relations), 'relation')} stand on neither sheet, or nobody says on which: "
                "whether both sheets agree cannot be told. Enter on which sheets each was found."
            )
            yield Notice("sheets not recorded", says, ())

    def _apart(self) -> Iterator[Notice]:
        parts = parts_of(self.order.relations)
        alone = np.zeros(self.order.relations.count, bool)
        alone[self.order.floating.alone] = True
        joined = len(np.unique(parts[~alone]))
        if joined > 1:
            says = (
                f"The contexts fall into {joined} groups without a relation between them: which context of one group is later than "
                "one of another cannot be told. Relate them where they meet, or by a layer that both have."
            )
            yield Notice("apart", says, ())

    def _floating(self) -> Iterator[Notice]:
        for group in self.order.floating.alone.tolist():
            says = f"{self.order.relations.name(group)} has no relation to any other context: nothing says when it was."
            yield Notice("floating", says, self.ids([group]))

    def _phases(self) -> Iterator[Notice]:
        if not any(self.phases):
            return
        for line in self.phase_table:
            if line.conflict:
                both = (line.context,) if line.against is None else (line.context, line.against)
                yield Notice("phase conflict", line.conflict, tuple(self.known.contexts[context] for context in both))

    def _set_aside(self) -> Iterator[Notice]:
        for identity, why in zip(self.known.set_aside, self.known.why_aside, strict=True):
            relation = self.record.get(Relation, identity)
            if relation is not None:
                names = self.record.label(relation.later), self.record.label(relation.earlier)
                says = f"The relation of {names[0]} to {names[1]} is not used: {self._reason(relation, why)}."
                yield Notice("set aside", says, ())

    def _reason(self, relation: Relation, why: WhyAside) -> str:
        """Return in words why a relation is set aside."""
        if why is WhyAside.ITSELF:
            return "a context cannot be later than itself, so see which of the two numbers is meant to be another"
        if why is WhyAside.HOW:
            return f"“{relation.how}” is no way in which one lies to the other" if relation.how else "“how” is blank"
        side = relation.later if why is WhyAside.LATER else relation.earlier
        context = self.record.get(Context, side)
        if context is None:
            return f"its {'later' if why is WhyAside.LATER else 'earlier'} context is not on record"
        return f"context {self.record.label(side)} is void"


def site_order(record: SiteRecord) -> SiteOrder:
    """Return the order of a record."""
    known = relations_from(record)
    phases = tuple(context.phase for context in record.all(Context))
    return SiteOrder(known, order_of(known.relations), lambda: record, phases)


def phase_table(record: SiteRecord) -> tuple[PhaseLine, ...]:
    """Return the phase table of a record."""
    return site_order(record).phase_table


def order_in(store: Store) -> SiteOrder:
    """Return the order of a store from whole columns: of a very large site nothing else is read; keep the store open."""
    relations = store.columns("relation", RELATION_COLUMNS)  # before the contexts, so that none is missing if someone writes now
    contexts = store.columns("context", (*CONTEXT_COLUMNS, "phase"))
    by_number = sorted(zip(contexts["number"], contexts["id"], contexts["phase"], strict=True), key=_natural)
    known = relations_from_columns(
        {"id": [identity for _, identity, _ in by_number], "number": [number for number, _, _ in by_number]},
        relations,
        store.columns("contact", CONTACT_COLUMNS),
    )
    return SiteOrder(known, order_of(known.relations), store.record, tuple(phase for _, _, phase in by_number))


def _natural(named: tuple[str | None, str, int | None]) -> tuple[object, ...]:
    number, identity, _ = named
    return (number is None, natural_number(number or ""), identity)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
