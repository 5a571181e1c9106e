"""The days, the open questions, the visits and the sign-offs."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Count, Day, Measure

__all__ = ["DayEntry", "FollowUp", "NumberBlock", "TermList", "Visit", "Waiver"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_DIARY = "published field guides"
_AGENCY = Sensitivity.AGENCY


class DayEntry(Entity):
    """One day of the site diary."""

    KIND: ClassVar[str] = "day_entry"
    TITLE: ClassVar[str] = "diary day"

    day: Annotated[Day | None, facts("Date", "Day.", _M, Quantity.DAY, source=_DIARY)] = None
    unit: Annotated[str | None, facts("Unit", "Unit worked on.", _E, Quantity.REFERENCE, refers="unit")] = None
    crew: Annotated[str | None, facts("Crew", "Who was there.", _M, sensitivity=_AGENCY, source=_DIARY)] = None
    hours: Annotated[Measure | None, facts("Person-hours", "Sum over the crew.", _M, Quantity.HOURS, source=_DIARY)] = None
    weather: Annotated[str | None, facts("Weather and ground", "Wet, dry, light.", _M, source=_DIARY)] = None
    goals: Annotated[str | None, facts("Goals", "What the day was for.", _M, source=_DIARY)] = None
    done: Annotated[str | None, facts("Done", "What was done, contexts opened and closed.", _M, source=_DIARY)] = None
    decisions: Annotated[
        str | None,
        facts(
            "Decisions and reasons",
            "Who decided what, and why; changes of method and who approved them.",
            _M,
            source=_DIARY,
        ),
    ] = None
    doubts: Annotated[str | None, facts("First thoughts and doubts", "Dated, nothing deleted.", _E, source=_DIARY)] = None
    incidents: Annotated[
        str | None, facts("Incidents and safety", "Incidents, inspections, calls made.", _M, sensitivity=_AGENCY)
    ] = None
    depth: Annotated[Measure | None, facts("Depth at end of day", "Greatest depth of the unit.", _E, Quantity.LENGTH)] = None
    copied: Annotated[
        str | None, facts("Copies", "Where the day's record was copied to.", _E, source="published archive guidance")
    ] = None


class FollowUp(Entity):
    """An open question, with what would settle it and whether it can wait until after backfilling."""

    KIND: ClassVar[str] = "follow_up"
    TITLE: ClassVar[str] = "follow-up"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Follow-up", "Number.", _M)] = None
    unit: Annotated[str | None, facts("Unit", "Unit it belongs to.", _E, Quantity.REFERENCE, refers="unit")] = None
    contexts: Annotated[
        tuple[str, ...] | None, facts("Contexts", "Contexts it is about.", _E, Quantity.REFERENCE, refers="context")
    ] = None
    asks: Annotated[str | None, facts("Question", "What is not known.", _M)] = None
    settled_by: Annotated[str | None, facts("Would be settled by", "What would settle it.", _M)] = None
    lost: Annotated[
        str | None,
        facts(
            "At backfill",
            "Whether the answer is lost for good once the unit is filled in.",
            _M,
            Quantity.WORD,
            "severity",
        ),
    ] = None
    state: Annotated[str | None, facts("State", "Open, answered, given up.", _M, Quantity.WORD, "follow_up_state")] = "open"
    answer: Annotated[str | None, facts("Answer", "What was found.", _E)] = None


class Visit(Entity):
    """A curator, agency or owner who saw the open unit, or declined to."""

    KIND: ClassVar[str] = "visit"
    TITLE: ClassVar[str] = "visit"

    unit: Annotated[str | None, facts("Unit", "Unit seen.", _E, Quantity.REFERENCE, refers="unit")] = None
    who: Annotated[str | None, facts("Who", "Name and office.", _M, sensitivity=_AGENCY, source="published state guidance")] = None
    day: Annotated[Day | None, facts("Date", "Day.", _M, Quantity.DAY, source="published state guidance")] = None
    answer: Annotated[
        str | None,
        facts(
            "Answer",
            "Viewed, declined, no answer.",
            _M,
            Quantity.WORD,
            "visit_answer",
            source="published state guidance",
        ),
    ] = None
    said: Annotated[str | None, facts("Said", "What was agreed.", _E)] = None


class Waiver(Entity):
    """A rule of the closing check set aside, with who and why; it is printed in the report."""

    KIND: ClassVar[str] = "waiver"
    TITLE: ClassVar[str] = "waiver"

    unit: Annotated[str | None, facts("Unit", "Unit it is for; blank for the site.", _E, Quantity.REFERENCE, refers="unit")] = None
    rule: Annotated[str | None, facts("Rule", "The rule's number.", _M)] = None
    records: Annotated[tuple[str, ...] | None, facts("Records", "Record ids it covers; blank for all.", _E)] = None
    who: Annotated[str | None, facts("Who", "Name of the one who decided.", _M)] = None
    day: Annotated[Day | None, facts("Date", "Day.", _M, Quantity.DAY)] = None
    why: Annotated[str | None, facts("Why", "The reason.", _M)] = None


class NumberBlock(Entity):
    """A run of numbers handed to one recorder, so that two recorders offline never use the same."""

    KIND: ClassVar[str] = "number_block"
    TITLE: ClassVar[str] = "block of numbers"

    series: Annotated[str | None, facts("Series", "Kind of record the numbers are for.", _M)] = "context"
    first: Annotated[Count | None, facts("First", "First number.", _M, Quantity.COUNT)] = None
    last: Annotated[Count | None, facts("Last", "Last number.", _M, Quantity.COUNT)] = None
    person: Annotated[str | None, facts("Recorder", "Whose block it is.", _M, sensitivity=_AGENCY)] = None


class TermList(Entity):
    """A site's own list of terms, in place of the house list of that name."""

    KIND: ClassVar[str] = "term_list"
    TITLE: ClassVar[str] = "list of terms"

    vocabulary: Annotated[str | None, facts("Replaces", "Name of the list it replaces.", _M)] = None
    name: Annotated[str | None, facts("Name and version", "What records will keep as their list.", _M)] = None
    terms: Annotated[tuple[str, ...] | None, facts("Terms", "The words, in order.", _M)] = None
    source: Annotated[str | None, facts("Source", "Where the list comes from.", _M)] = None
