"""Rows about a record that is known already: refused, skipped, or added to a draft of the same take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from baulk.errors import RowFault, shorten
from baulk.exchange.draft import Draft
from baulk.exchange.known import KnownNumbers
from baulk.exchange.mapping import Take
from baulk.record import Entity

__all__ = ["Completing", "Sorted"]

_SCOPE = {"element": "context"}
"""Kinds whose numbers run within another record, so that two of them may have one number."""

_NAMED = ("station", "level_run", "wall")
"""Kinds outside the numbered series whose number is still how other rows name them."""


@dataclass(frozen=True, slots=True)
class Sorted:
    """Rows by what becomes of them: those of an earlier draft, and those left out with the reason."""

    of_earlier: dict[int, Draft]
    left: dict[int, tuple[str, str]]


class Completing:
    """What becomes of the rows of one table whose record is known already.

    Parameters
    ----------
    kind : type of Entity
        Kind of record.
    take : Take
        Says under `known`, `new` and `key` what is to be done.
    known : KnownNumbers
        Numbers of the record and of earlier drafts.
    lines : sequence of int
        Line of each row.
    """

    def __init__(self, kind: type[Entity], take: Take, known: KnownNumbers, lines: Sequence[int]) -> None:
        self.kind, self.take, self.known, self.lines = kind, take, known, lines

    def sort(self, numbers: Sequence[Any], faults: list[RowFault]) -> Sorted:
        """Return the rows by what becomes of them; a number used twice is a fault unless the mapping says otherwise."""
        found = Sorted({}, {})
        if self.kind.KIND in _SCOPE or not (self.kind.NUMBERED or self.kind.KIND in _NAMED):
            return found
        held = self.known.held(self.kind.KIND)
        earlier = {draft.id: draft for draft in self.known.earlier(self.kind.KIND)}
        seen: dict[str, int] = {}
        for at, number in enumerate(numbers):
            if not isinstance(number, str):
                continue
            draft = earlier.get(held.get(number, ""))
            if self.take.known == "skip" and (number in held or number in seen):
                reason = "the number is known already" if number in held else "only the first row of a number is taken"
                found.left[at] = (reason, number)
            elif draft is not None and self.take.known == "complete" and number not in seen:
                found.of_earlier[at] = draft
            elif number in held or number in seen:
                faults.append(RowFault(self.lines[at], "number", number, self._twice(number, seen, draft)))
            elif self.take.new == "leave":
                found.left[at] = ("not among the numbers taken before", number)
            seen.setdefault(number, self.lines[at])
        return found

    def _twice(self, number: str, seen: Mapping[str, int], draft: Draft | None) -> str:
        if number in seen:
            return f"The number stands on line {seen[number]} already. A {self.kind.TITLE} has one number and one row."
        if draft is not None:
            return (
                f"The number was taken from {shorten(draft.source, 60)}, line {draft.line}, already. A number is never used again."
            )
        return "The record has this number already. A number is never used again, even when its record is void."

    def once(self, made: list[Draft], of_earlier: Mapping[str, Draft], repeated: list[int], faults: list[RowFault]) -> list[Draft]:
        """Return the drafts without those whose key fields repeat another's, whose lines are added to `repeated`."""
        if not self.take.key:
            return made
        seen = {
            self._key(draft.values): f"{shorten(draft.source, 60)}, line {draft.line}"
            for draft in self.known.earlier(self.kind.KIND)
        }
        for entity in self.known.entities(self.kind.KIND):
            seen.setdefault(self._key(entity.__dict__), "the record")
        kept: list[Draft] = []
        for draft in made:
            key = self._key(draft.values)
            if draft.id in of_earlier or key not in seen:
                kept.append(draft)
                seen.setdefault(key, f"line {draft.line}")
            elif self.take.known == "skip":
                repeated.append(draft.line)
            else:
                reason = f"The same {' and '.join(self.take.key)} stand in {seen[key]} already."
                faults.append(RowFault(draft.line, self.take.key[0], "", reason))
        return kept

    def _key(self, values: Mapping[str, Any]) -> tuple[str, ...]:
        return tuple(str(values.get(name)) for name in self.take.key)

    def completed(self, rows: list[Draft], of_earlier: Mapping[str, Draft], faults: list[RowFault]) -> tuple[Draft, ...]:
        """Return the earlier drafts with the fields of their rows added; another value in a field that is filled is a fault."""
        found: list[Draft] = []
        for row in rows:
            draft = of_earlier[row.id]
            for name, value in row.values.items():
                if name in draft.values and draft.values[name] != value:
                    where = f"{shorten(draft.source, 60)}, line {draft.line}"
                    reason = f"{name} of {draft.number} is “{shorten(draft.values[name], 40)}” from {where}. Settle which is right."
                    faults.append(RowFault(row.line, name, str(value), reason))
            entered = "; ".join(words for words in (draft.entered, row.entered) if words) or None
            found.append(replace(draft, values={**draft.values, **row.values}, entered=entered))
        return tuple(found)
