"""What a question is about, as the record holds it: its structures, cuts, fills and deposits, and what lies about them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from baulk.reading.finding import Finding, cannot_tell
from baulk.record import Context, Element, Find, Relation, SiteRecord
from baulk.record.relation import ORDERING

__all__ = ["Subject", "mentions", "numbers", "share_rule", "subject_of"]

MOST, FEW = 0.75, 0.25
"""Shares of pieces at and above which "most", and at and below which "few" of them show a thing (house values)."""


def mentions(text: str | None, words: Sequence[str]) -> str | None:
    """Return the first of `words` that a text holds at the beginning of a word, or None.

    Examples
    --------
    >>> mentions("Silt and loam in lumps", ["mixed", "lump"]), mentions("unmixed sand", ["mixed"]) is None
    ('lump', True)
    """
    lowered = (text or "").lower()
    return next((word for word in words if re.search(rf"\b{re.escape(word)}", lowered)), None)


@dataclass(frozen=True)
class Subject:
    """The contexts that a question is about, with the record they stand in.

    Parameters
    ----------
    record : SiteRecord
        The site.
    contexts : tuple of Context
        In the order given; fills of the cuts among them are found by themselves.
    """

    record: SiteRecord
    contexts: tuple[Context, ...]

    def of_kind(self, *kinds: str) -> tuple[Context, ...]:
        """Return the contexts of some kinds."""
        return tuple(context for context in self.contexts if context.kind in kinds)

    @cached_property
    def structures(self) -> tuple[Context, ...]:
        """Structures and surfaces."""
        return self.of_kind("structure", "surface")

    @cached_property
    def cuts(self) -> tuple[Context, ...]:
        """Cuts."""
        return self.of_kind("cut")

    @cached_property
    def fills(self) -> tuple[Context, ...]:
        """Fills asked about, and the fills of the cuts."""
        held = {fill.id: fill for fill in self.of_kind("fill")}
        for cut in self.cuts:
            for fill in self.record.pointing_at(Context, "fill_of", cut.id):
                held.setdefault(fill.id, fill)
        return tuple(held.values())

    @cached_property
    def deposits(self) -> tuple[Context, ...]:
        """Deposits."""
        return self.of_kind("deposit")

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Laid pieces of the structures."""
        return tuple(piece for held in self.structures for piece in self.record.pointing_at(Element, "context", held.id))

    @cached_property
    def finds(self) -> tuple[Find, ...]:
        """Finds from the fills and deposits."""
        return tuple(find for held in (*self.fills, *self.deposits) for find in self.record.pointing_at(Find, "context", held.id))

    @cached_property
    def fill_pairs(self) -> tuple[tuple[Context, Context], ...]:
        """Each fill with each context that its cut goes through."""
        found = []
        for fill in self.fills:
            cut = self.record.get(Context, fill.fill_of)
            if cut is not None:
                found += [(fill, other) for relation, other in self.beneath(cut) if relation.how == "cuts"]
        return tuple(found)

    def beneath(self, context: Context) -> tuple[tuple[Relation, Context], ...]:
        """Return what a context lies over, fills, cuts or abuts, each with its relation."""
        return self._related(context, "later", "earlier")

    def above(self, context: Context) -> tuple[tuple[Relation, Context], ...]:
        """Return what lies over, fills, cuts or abuts a context, each with its relation."""
        return self._related(context, "earlier", "later")

    def _related(self, context: Context, here: str, there: str) -> tuple[tuple[Relation, Context], ...]:
        found = []
        for relation in self.record.pointing_at(Relation, here, context.id):
            other = self.record.get(Context, getattr(relation, there))
            if relation.how in ORDERING and other is not None and other.void is None:
                found.append((relation, other))
        return tuple(found)


def subject_of(record: SiteRecord, about: Iterable[str]) -> Subject:
    """Return the subject of a question from the ids of its contexts; ids that the record does not have are left out."""
    held = (record.get(Context, identity) for identity in about)
    return Subject(record, tuple(context for context in held if context is not None and context.void is None))


def numbers(contexts: Iterable[Context]) -> str:
    """Return the numbers of contexts as a list."""
    return ", ".join(context.number or "without number" for context in contexts)


def share_rule(
    rule: str, pieces: Sequence[tuple[str, bool | None]], what: str, test: str, *, one_is_enough: bool = False
) -> Finding:  # fmt: skip
    """Return whether most pieces show a thing; a share between a quarter and three quarters tells nothing.

    Parameters
    ----------
    rule, what, test : str
        The rule's name, what the pieces show ("lie on edge or on end"), and what to do when the record cannot tell.
    pieces : sequence of (str, bool or None)
        Id of each piece, and whether it shows it; None where that is not recorded.
    one_is_enough : bool
        True when more than a quarter settles it, as for remnants of old mortar.
    """
    known = [(identity, shows) for identity, shows in pieces if shows is not None]
    if not known:
        return cannot_tell(rule, f"It is not recorded whether pieces {what}.", test)
    count = sum(shows for _, shows in known)
    says = f"{count} of {len(known)} recorded pieces {what}."
    records = tuple(identity for identity, _ in known)
    share = count / len(known)
    if share >= MOST or (one_is_enough and share > FEW):
        return Finding(rule, True, says, records)
    if share <= FEW:
        return Finding(rule, False, says, records)
    return cannot_tell(rule, f"{says} That is neither most nor few.", test, records)
