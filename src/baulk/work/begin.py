"""A question begun from a pattern, and what the record itself says to its lines: proposals, each for a person to accept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import ascii_uppercase
from typing import Any

from baulk.errors import InputError
from baulk.exchange.pattern_folder import patterns
from baulk.reading.finding import Finding
from baulk.reading.from_record import evidence_from_record
from baulk.reading.next_test import Observation, yes_no
from baulk.reading.pattern import Pattern, PatternLine
from baulk.reading.spread import measure_test
from baulk.record import Context, Element, Evidence, Find, Question, Reading, Relation, SiteRecord, Test, natural_number

__all__ = [
    "LINE", "NewRecord", "Proposal", "accepted", "begun", "known_patterns", "line_tests", "next_question_number", "proposals",
]  # fmt: skip

LINE = "line:"
"""What stands before a line's id where a line of a pattern, not answered yet, is ranked as a test."""


@dataclass(frozen=True, slots=True)
class NewRecord:
    """A record to be created: its kind, id and first values."""

    kind: str
    id: str
    values: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A line of a pattern that nobody answered yet.

    Parameters
    ----------
    line : PatternLine
        The line.
    seen : bool or None
        Whether the record says that it is there; None when the record cannot tell, or no rule reads it.
    value : float or None
        What the record measures, of a line that is measured.
    says : str
        What the record says, or why it cannot tell; empty when no rule reads it.
    contexts : tuple of str
        Ids of the contexts that it rests on.
    readings : mapping of str to str
        The question's own readings by those of the pattern.
    """

    line: PatternLine
    seen: bool | None
    value: float | None
    says: str
    contexts: tuple[str, ...]
    readings: Mapping[str, str]

    @property
    def expected(self) -> dict[str, str]:
        """How expected it is, in words, by the id of the question's own readings."""
        return {self.readings[one]: words for one, words in _says(self.line).items() if one in self.readings}

    @property
    def told(self) -> bool:
        """Whether the record answers it."""
        return self.seen is not None or self.value is not None


def known_patterns(folder: Path | None = None) -> dict[str, Pattern]:
    """Return the patterns by name: those that Baulk brings, and a user's own in `folder`, where there is such a folder."""
    if folder is None or not folder.is_dir():
        return dict(_shipped())
    return {pattern.name: pattern for pattern in patterns(folder)}


@cache
def _shipped() -> Mapping[str, Pattern]:
    return {pattern.name: pattern for pattern in patterns()}


def next_question_number(record: SiteRecord) -> str:
    """Return the number after the largest that any question has, void ones included."""
    numbers = (question.number or "" for question in record.all(Question, void=True))
    held = [int(number) for number in numbers if number.isdecimal()]
    return str(max(held, default=0) + 1)


def begun(pattern: Pattern, about: Iterable[str], number: str, new_id: Callable[[], str]) -> tuple[NewRecord, ...]:
    """Return the records of a question begun from a pattern: the question and its readings; nothing counts as seen yet.

    Parameters
    ----------
    pattern : Pattern
        The pattern.
    about : iterable of str
        Ids of the contexts.
    number : str
        The question's number.
    new_id : callable
        Gives the id of each record.
    """
    question = new_id()
    made = [
        NewRecord(
            Question.KIND,
            question,
            {"number": number, "asks": pattern.asks, "about": list(about), "pattern": pattern.name},
        )
    ]
    for place, reading in enumerate(pattern.readings):
        values: dict[str, Any] = {
            "question": question, "number": f"{number}{_letter(place)}",
            "name": "None of these" if reading.none_of_these else reading.name,
            "prior": round(reading.prior, 4) if reading.prior else None,
            "prior_reason": reading.prior_reason or None, "source": f"pattern {pattern.name}", "line": reading.id,
        }  # fmt: skip
        if reading.burial:
            values["remains"] = True
        made.append(NewRecord(Reading.KIND, new_id(), {name: value for name, value in values.items() if value is not None}))
    return tuple(made)


def _letter(place: int) -> str:
    return ascii_uppercase[place] if place < len(ascii_uppercase) else f"-{place + 1}"


def proposals(record: SiteRecord, question: Question, pattern: Pattern) -> tuple[Proposal, ...]:
    """Return the lines of a question's pattern that nobody answered yet, those that the record answers first.

    Parameters
    ----------
    record : SiteRecord
        The record as the viewer has it.
    question : Question
        Begun from the pattern.
    pattern : Pattern
        The pattern.
    """
    answered = {one.line for one in record.pointing_at(Evidence, "question", question.id) if one.line}
    answered |= {one.line for one in record.pointing_at(Test, "question", question.id) if one.line}
    rules = sorted({line.rule for line in pattern.lines if line.rule})
    findings = {found.rule: found for found in evidence_from_record(record, question.about or (), rules)} if rules else {}
    keys = _own_readings(record, question, pattern)
    found = [
        _proposal(record, line, findings.get(line.rule or ""), keys)
        for line in pattern.lines
        if line.id not in answered
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: not one.told))


def _own_readings(record: SiteRecord, question: Question, pattern: Pattern) -> dict[str, str]:
    """Return the ids of the question's readings by the pattern's: by the line they were made from, else by the same name."""
    readings = record.pointing_at(Reading, "question", question.id)
    by_line = {one.line: one.id for one in readings if one.line}
    by_name = {(one.name or "").strip().casefold(): one.id for one in readings}
    keys = {}
    for held in pattern.readings:
        own = by_line.get(held.id) or by_name.get(held.name.casefold())
        if own is not None:
            keys[held.id] = own
    return keys


def _proposal(record: SiteRecord, line: PatternLine, finding: Finding | None, keys: Mapping[str, str]) -> Proposal:
    if finding is None:
        return Proposal(line, None, None, "", (), keys)
    seen, value = (None, finding.value) if line.spreads is not None else (finding.seen, None)
    return Proposal(line, seen, value, finding.says, tuple(_contexts(record, finding.records)), keys)


def _says(line: PatternLine) -> dict[str, str]:
    if line.spreads is not None:
        return {reading: spread.says for reading, spread in line.spreads.items()}
    return {
        reading: cell.word or (f"{cell.best:g}" if cell.low == cell.high else f"{cell.low:g} to {cell.high:g}")
        for reading, cell in line.expected.items()
    }


def _contexts(record: SiteRecord, identities: Iterable[str]) -> Iterator[str]:
    """Yield the contexts that some records belong to, each once."""
    found: dict[str, None] = {}
    for identity in identities:
        entity = record.by_id.get(identity)
        if isinstance(entity, Context):
            found[identity] = None
        elif isinstance(entity, Relation):
            found.update(dict.fromkeys(one for one in (entity.later, entity.earlier) if one))
        elif isinstance(entity, Element | Find) and entity.context:
            found[entity.context] = None
    yield from sorted(found, key=lambda one: natural_number(record.label(one)))


def accepted(
    record: SiteRecord, question: Question, proposal: Proposal, new_id: Callable[[], str], given: bool | float | None = None
) -> tuple[NewRecord, ...]:  # fmt: skip
    """Return the records of a line that a person accepts as evidence: the piece and one cell for each reading.

    Parameters
    ----------
    record : SiteRecord
        The record as it stands, for the next number.
    question : Question
        The question.
    proposal : Proposal
        The line, with what the record says.
    new_id : callable
        Gives the id of each record.
    given : bool or float, optional
        What the person says: there, not there, or the value measured; what the record says when None.

    Raises
    ------
    InputError
        When neither the record nor the person says whether it is there, or a measure is answered with yes or no.
    """
    line = proposal.line
    values: dict[str, Any] = {
        "question": question.id, "number": _next_mark(record, question), "saw": line.saw[:1].upper() + line.saw[1:],
        "records": list(proposal.contexts or question.about or ()), "cause": line.cause, "line": line.id, "source": line.source,
        "notes": proposal.says or None,
    }  # fmt: skip
    if line.spreads is not None:
        value = proposal.value if given is None else given
        if value is None or isinstance(value, bool):
            raise InputError(f"“{line.saw}” is measured ({line.measures}): give the value.")
        values |= {"measured": float(value), "grain": line.grain, "measures": line.measures}
    else:
        seen = proposal.seen if given is None else bool(given)
        if seen is None:
            raise InputError(f"The record cannot tell whether “{line.saw}”: say yes or no.")
        values["seen"] = seen
    piece = NewRecord(Evidence.KIND, new_id(), {name: value for name, value in values.items() if value not in (None, [])})
    cells = [
        NewRecord("expectation", new_id(), {"evidence": piece.id, "reading": reading, "word": words, "source": line.source})
        for reading, words in proposal.expected.items()
    ]
    return (piece, *cells)


def _next_mark(record: SiteRecord, question: Question) -> str:
    taken = [one.number or "" for one in record.all(Evidence, void=True) if one.question == question.id]
    last = max((int(mark.rpartition(".")[2]) for mark in taken if mark.rpartition(".")[2].isdecimal()), default=0)
    return f"{question.number or '?'}.{last + 1:02d}"


def line_tests(found: Iterable[Proposal]) -> Iterator[Observation]:
    """Yield the lines that the record cannot answer as tests, so that they are ranked with those that somebody entered."""
    for proposal in found:
        line, keys = proposal.line, proposal.readings
        name = f"{LINE}{line.id}"
        facts: dict[str, Any] = {
            "hours": line.hours, "lost_at_backfill": line.lost_at_backfill, "cause": line.cause, "source": line.source,
        }  # fmt: skip
        if proposal.told or not keys or not line.sought:
            continue
        if line.spreads is None:
            yield yes_no(name, line.does, {keys[one]: cell for one, cell in line.expected.items() if one in keys}, **facts)
        elif spreads := {keys[one]: spread for one, spread in line.spreads.items() if one in keys}:
            yield measure_test(name, line.does, spreads, **facts)
