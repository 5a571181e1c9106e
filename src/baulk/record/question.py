"""Questions, competing readings, evidence and tests."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Measure, Share

__all__ = ["Evidence", "Question", "Reading", "Test"]

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


class Reading(Entity):
    """One competing explanation of a question."""

    KIND: ClassVar[str] = "reading"
    TITLE: ClassVar[str] = "reading"

    question: Annotated[str, facts("Question", "What it answers.", _M, Quantity.REFERENCE, refers="question")]
    name: Annotated[str | None, facts("Reading", "In a few words.", _M)] = None
    prior: Annotated[Share | None, facts("Prior", "How likely before the evidence, 0 to 1.", _E, Quantity.NUMBER)] = None
    prior_reason: Annotated[str | None, facts("Why that prior", "In words.", _E)] = None
    proposed_by: Annotated[str | None, facts("Proposed by", "Whose it is.", _E)] = None


class Evidence(Entity):
    """One piece of evidence, with how expected it is under each reading."""

    KIND: ClassVar[str] = "evidence"
    TITLE: ClassVar[str] = "evidence"

    question: Annotated[str, facts("Question", "What it bears on.", _M, Quantity.REFERENCE, refers="question")]
    saw: Annotated[str | None, facts("Seen", "What was seen.", _M)] = None
    records: Annotated[
        tuple[str, ...] | None, facts("Rests on", "Contexts it was seen in.", _E, Quantity.REFERENCE, refers="context")
    ] = None
    expected: Annotated[
        Mapping[str, str] | None,
        facts("How expected", "A word of the printed scale for each reading, by the reading's id.", _M, Quantity.DATA),
    ] = None
    cause: Annotated[str | None, facts("Common cause", "Pieces with the same cause are not counted twice.", _E)] = None
    source: Annotated[str | None, facts("Source", "Where the expectation comes from, or common practice.", _E)] = None


class Test(Entity):
    """An observation not yet made that would separate readings."""

    __test__: ClassVar[bool] = False  # not a test class for pytest

    KIND: ClassVar[str] = "test"
    TITLE: ClassVar[str] = "test"

    question: Annotated[str, facts("Question", "What it would help to answer.", _M, Quantity.REFERENCE, refers="question")]
    does: Annotated[str | None, facts("Do", "What is to be done.", _M)] = None
    hours: Annotated[Measure | None, facts("Hours", "What it costs.", _E, Quantity.HOURS)] = None
    only_open: Annotated[
        str | None,
        facts("Only while open", "Lost for good, recoverable or good practice.", _M, Quantity.WORD, "severity"),
    ] = None
    outcomes: Annotated[
        Mapping[str, Mapping[str, float]] | None,
        facts("Outcomes", "Chance of each outcome under each reading.", _E, Quantity.DATA),
    ] = None
    result: Annotated[str | None, facts("Result", "What came out, once it was done.", _E)] = None
