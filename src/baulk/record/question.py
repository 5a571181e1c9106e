"""Questions, competing readings, evidence, how expected each piece is under each reading, and tests."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Day, Measure, Share

__all__ = ["Evidence", "Expectation", "Question", "Reading", "Test"]

_M, _E = Need.MANDATORY, Need.EXPECTED


class Question(Entity):
    """One question that the ground is asked, such as what a structure was."""

    KIND: ClassVar[str] = "question"
    TITLE: ClassVar[str] = "question"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Question", "Its number.", _M)] = None
    asks: Annotated[str | None, facts("Asks", "The question in words.", _M)] = None
    about: Annotated[tuple[str, ...] | None, facts("About", "Contexts it is about.", _E, Quantity.REFERENCE, refers="context")] = (
        None
    )
    pattern: Annotated[str | None, facts("Pattern", "Name of the pattern it was begun from.", _E)] = None
    treatment: Annotated[
        str | None,
        facts(
            "Treatment of common causes",
            "How pieces of evidence with one cause count together; the words are those of the printed list.",
            source="common practice, no source",
        ),
    ] = None
    conclusion: Annotated[
        str | None,
        facts("Conclusion", "What the director concluded, whatever the weights say.", source="common practice, no source"),
    ] = None


class Reading(Entity):
    """One competing explanation of a question."""

    KIND: ClassVar[str] = "reading"
    TITLE: ClassVar[str] = "reading"

    question: Annotated[str, facts("Question", "What it answers.", _M, Quantity.REFERENCE, refers="question")]
    number: Annotated[str | None, facts("Mark", "A short mark by which a table names it, as in 1A.")] = None
    name: Annotated[str | None, facts("Reading", "In a few words.", _M)] = None
    prior: Annotated[Share | None, facts("Prior", "How likely before the evidence, 0 to 1.", _E, Quantity.NUMBER)] = None
    prior_reason: Annotated[str | None, facts("Why that prior", "In words.", _E)] = None
    proposed_by: Annotated[str | None, facts("Proposed by", "Whose it is.", _E)] = None
    source: Annotated[
        str | None,
        facts(
            "Source", "Where the reading comes from: a pattern, a paper, or common practice.", source="common practice, no source"
        ),
    ] = None
    line: Annotated[
        str | None, facts("Reading of the pattern", "Which reading of a pattern it is.", source="common practice, no source")
    ] = None
    remains: Annotated[
        bool | None,
        facts(
            "Possible human remains",
            "True when it means a grave or other human remains, whatever it is called.",
            quantity=Quantity.YES_NO,
            sensitivity=Sensitivity.RESTRICTED,
            source="published state statutes and federal guidance",
        ),
    ] = None


class Evidence(Entity):
    """One piece of evidence: what was seen or measured, and what it rests on."""

    KIND: ClassVar[str] = "evidence"
    TITLE: ClassVar[str] = "evidence"

    question: Annotated[str, facts("Question", "What it bears on.", _M, Quantity.REFERENCE, refers="question")]
    number: Annotated[str | None, facts("Mark", "A short mark by which a table names it, as in 1.3.")] = None
    saw: Annotated[str | None, facts("Seen", "What was seen.", _M)] = None
    seen: Annotated[
        bool | None,
        facts(
            "It was there",
            "False when it was looked for and was not there; blank counts as seen.",
            quantity=Quantity.YES_NO,
            source="common practice, no source",
        ),
    ] = None
    records: Annotated[
        tuple[str, ...] | None, facts("Rests on", "Contexts it was seen in.", _E, Quantity.REFERENCE, refers="context")
    ] = None
    expected: Annotated[
        Mapping[str, str] | None,
        facts(
            "How expected",
            "A word of the printed scale for each reading, by the reading's id; an expectation of its own goes before it.",
            quantity=Quantity.DATA,
        ),
    ] = None
    cause: Annotated[str | None, facts("Common cause", "Pieces with the same cause are not counted twice.", _E)] = None
    measured: Annotated[
        Measure | None,
        facts(
            "Measured", "The value, of evidence that is measured.", quantity=Quantity.NUMBER, source="common practice, no source"
        ),
    ] = None
    grain: Annotated[
        Measure | None,
        facts(
            "Grain",
            "By how much two careful measurements of one thing may differ, to either side.",
            quantity=Quantity.NUMBER,
            source="common practice, no source",
        ),
    ] = None
    measures: Annotated[
        str | None,
        facts("Measures", "What is measured and in what, as in: spread of the axes, degrees.", source="common practice, no source"),
    ] = None
    set_aside: Annotated[
        str | None,
        facts("Set aside because", "Why it is not counted for now; it stays in the table.", source="common practice, no source"),
    ] = None
    line: Annotated[
        str | None, facts("Line of the pattern", "Which line of a pattern it answers.", source="common practice, no source")
    ] = None
    source: Annotated[str | None, facts("Source", "Where the expectation comes from, or common practice.", _E)] = None


class Expectation(Entity):
    """How expected one piece of evidence is under one reading: a word of the printed scale, a chance, or where a measure lies.

    Each cell of the table is a record of its own, so that two people who fill in different cells do not meet, and every change
    of mind stays in the log.
    """

    KIND: ClassVar[str] = "expectation"
    TITLE: ClassVar[str] = "expectation"

    evidence: Annotated[str, facts("Evidence", "The piece of evidence.", _M, Quantity.REFERENCE, refers="evidence")]
    reading: Annotated[
        str, facts("Reading", "The reading under which it is expected or not.", _M, Quantity.REFERENCE, refers="reading")
    ]
    word: Annotated[
        str | None,
        facts(
            "How expected",
            "A word of the printed scale; or a chance, as in 0.3 or 0.2 to 0.4; or of a measure where it lies, as in: about 12 to "
            "15, give or take 4.",
            _E,
        ),
    ] = None
    why: Annotated[str | None, facts("Why", "Why it is so expected, in words.", _E)] = None
    source: Annotated[str | None, facts("Source", "Where the expectation comes from, or common practice.", _E)] = None


class Test(Entity):
    """An observation not yet made that would separate readings."""

    __test__: ClassVar[bool] = False  # not a test class for pytest

    KIND: ClassVar[str] = "test"
    TITLE: ClassVar[str] = "test"

    question: Annotated[str, facts("Question", "What it would help to answer.", _M, Quantity.REFERENCE, refers="question")]
    number: Annotated[str | None, facts("Mark", "A short mark by which a table names it, as in 1-T2.")] = None
    does: Annotated[str | None, facts("Do", "What is to be done.", _M)] = None
    hours: Annotated[Measure | None, facts("Hours", "What it costs.", _E, Quantity.HOURS)] = None
    only_open: Annotated[
        str | None,
        facts("Only while open", "Lost for good, recoverable or good practice.", _M, Quantity.WORD, "severity"),
    ] = None
    outcomes: Annotated[
        Mapping[str, Mapping[str, float]] | None,
        facts("Outcomes", "Chance of each outcome under each reading, by the reading's id or mark.", _E, Quantity.DATA),
    ] = None
    line: Annotated[
        str | None, facts("Line of the pattern", "Which line of a pattern it answers.", source="common practice, no source")
    ] = None
    cause: Annotated[
        str | None,
        facts("Common cause", "Evidence with the same cause tells the same thing.", source="common practice, no source"),
    ] = None
    result: Annotated[
        str | None, facts("Result", "What came out, once it was done: one of its outcomes counts as evidence from then on.", _E)
    ] = None
    result_on: Annotated[
        Day | None, facts("Done on", "Day on which it was done.", quantity=Quantity.DAY, source="common practice, no source")
    ] = None
    source: Annotated[str | None, facts("Source", "Where the chances come from, or common practice.", _E)] = None
