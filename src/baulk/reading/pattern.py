"""A pattern: the readings that commonly compete for a kind of feature, and how expected each sighting is under each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from baulk.reading.finding import Finding
from baulk.reading.next_test import Observation, yes_no
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import Expectation
from baulk.reading.spread import Spread, expectations_of, measure_test

__all__ = ["COMMON_PRACTICE", "Begun", "Pattern", "PatternLine", "begin", "merged"]

COMMON_PRACTICE = "common practice, no source"
"""What stands in place of a source that nobody could name."""


@dataclass(frozen=True, slots=True)
class PatternLine:
    """One sighting of a pattern.

    Parameters
    ----------
    id : str
        Names it within the pattern.
    saw : str
        The sighting, in words.
    expected : mapping of str to Expectation
        By reading's id; of a line that is measured, empty.
    source : str
        Where the expectations come from, or `COMMON_PRACTICE`.
    does : str
        What to do to find out.
    hours : float
        What that costs.
    lost_at_backfill : bool
        Whether it can be found out only while the unit is open.
    cause : str or None
        Lines that name the same cause are not counted twice.
    rule : str or None
        The rule by which the record can tell.
    spreads : mapping of str to Spread
        By reading's id, of a line that is measured.
    grain : float
        By how much two measurements may differ; 0 for a line that is not measured.
    measures : str
        What is measured and in what, such as "spread of the axes, degrees".
    sought : bool
        False for what nobody goes looking for, such as human bone: unknown, it is no test.
    """

    id: str
    saw: str
    expected: Mapping[str, Expectation]
    source: str
    does: str
    hours: float
    lost_at_backfill: bool
    cause: str | None = None
    rule: str | None = None
    spreads: Mapping[str, Spread] | None = None
    grain: float = 0.0
    measures: str = ""
    sought: bool = True


@dataclass(frozen=True, slots=True)
class Pattern:
    """A question as it is commonly asked.

    Parameters
    ----------
    name : str
        Short name, by which a question names it.
    title : str
        What kind of feature it is for.
    asks : str
        The question.
    readings : tuple of Reading
        With priors; *none of these* included.
    lines : tuple of PatternLine
        At least eight.
    from_user : bool
        Whether any of it comes from the user's own folder.
    """

    name: str
    title: str
    asks: str
    readings: tuple[Reading, ...]
    lines: tuple[PatternLine, ...]
    from_user: bool = False


@dataclass(frozen=True, slots=True)
class Begun:
    """A question begun from a pattern.

    Parameters
    ----------
    question : Question
        With every line that is known as evidence.
    tests : tuple of Observation
        Every line that is not known yet.
    told : mapping of str to Finding
        By line's id, what the record said or why it cannot tell.
    """

    question: Question
    tests: tuple[Observation, ...]
    told: Mapping[str, Finding]


def begin(
    pattern: Pattern,
    findings: Iterable[Finding] = (),
    seen: Mapping[str, bool | float] | None = None,
    *,
    number: str = "",
    about: Iterable[str] = (),
) -> Begun:
    """Return a question begun from a pattern: what is known becomes evidence, what is not becomes a test.

    Parameters
    ----------
    pattern : Pattern
        The pattern.
    findings : iterable of Finding
        What the record says by rule.
    seen : mapping of str to bool or float, optional
        By line's id, what a person says was seen (True), was looked for and is not there (False), or was measured (a number). It
        stands before what the record says.
    number, about : str and iterable of str
        Of the question.
    """
    by_rule = {finding.rule: finding for finding in findings}
    known = dict(seen or {})
    evidence, tests, told = [], [], {}
    for line in pattern.lines:
        finding = by_rule.get(line.rule or "")
        if finding is not None:
            told[line.id] = finding
        piece = _piece(line, pattern.readings, finding, known.get(line.id))
        if piece is not None:
            evidence.append(piece)
        elif line.sought:
            tests.append(_test(line, finding))
    return Begun(question_of(pattern.asks, pattern.readings, evidence, number=number, about=about), tuple(tests), told)


def _piece(line: PatternLine, readings: Iterable[Reading], finding: Finding | None, given: bool | float | None) -> Evidence | None:
    records = finding.records if finding is not None else ()
    if line.spreads is not None:
        value = given if given is not None and not isinstance(given, bool) else (finding.value if finding is not None else None)
        if value is None:
            return None
        expected = expectations_of(value, line.grain, line.spreads, [reading.id for reading in readings])
        return Evidence(line.id, f"{line.measures}: {value:.3g}", expected, True, line.cause, records, line.source)
    seen = bool(given) if given is not None else (finding.seen if finding is not None else None)
    if seen is None:
        return None
    return Evidence(line.id, line.saw, line.expected, seen, line.cause, records, line.source)


def _test(line: PatternLine, finding: Finding | None) -> Observation:
    does = finding.test if finding is not None and finding.test else line.does
    hours, lost, cause = line.hours, line.lost_at_backfill, line.cause
    if line.spreads is not None:
        return measure_test(line.id, does, line.spreads, hours=hours, lost_at_backfill=lost, cause=cause, source=line.source)
    return yes_no(line.id, does, line.expected, hours=hours, lost_at_backfill=lost, cause=cause, source=line.source)


def merged(shipped: Iterable[Pattern], own: Iterable[Pattern]) -> tuple[Pattern, ...]:
    """Return the patterns by name, a user's own in place of a shipped one of the same name."""
    held = {pattern.name: pattern for pattern in shipped}
    for pattern in own:
        held[pattern.name] = replace(pattern, from_user=True)
    return tuple(held[name] for name in sorted(held))
