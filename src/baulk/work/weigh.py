"""What was it: a question of the record weighed as one viewer may have it, and what stands beside the weights on a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from baulk.closing.cautions import Caution, remains_caution
from baulk.drawing.readings import Beside
from baulk.errors import InputError
from baulk.reading.argument import Argument, argue
from baulk.reading.grouping import Treatment
from baulk.reading.next_test import Observation, observation_of
from baulk.reading.pattern import Pattern
from baulk.reading.plan import DAY
from baulk.record import Evidence, Question, Reading, SiteRecord, Test, View
from baulk.record.withholding import withheld_from
from baulk.work.asked import AskedQuestion, asked_question, treatment_of
from baulk.work.begin import Proposal, known_patterns, line_tests, proposals

__all__ = ["WeighedQuestion", "beside_of", "mark_of", "observations_of", "questions_withheld", "weighed_question"]

_HOURS = 1.0
"""Hours of a test whose hours nobody gave."""
_UNSAID = "until each reading has a word or “cannot say”"


@dataclass(frozen=True, slots=True, eq=False)
class WeighedQuestion:
    """A question of the record with all that was worked out about it.

    Parameters
    ----------
    asked : AskedQuestion
        What was weighed, with its records.
    argument : Argument
        The answer, turned about.
    withheld : int
        Pieces of evidence and tests of this question that the viewer does not see; the weights leave them out.
    notes : tuple of str
        What could not be used, and what is withheld, in words.
    proposals : tuple of Proposal
        Lines of its pattern that nobody answered yet; those that the record answers wait to be accepted, the others are tests.
    """

    asked: AskedQuestion
    argument: Argument
    withheld: int
    notes: tuple[str, ...]
    proposals: tuple[Proposal, ...] = ()

    @property
    def caution(self) -> Caution | None:
        """What to do about possible remains, whatever else is likelier; None when no reading for them reaches the threshold."""
        if not self.argument.care.acts:
            return None
        return remains_caution(self.asked.record, (self.asked.held.id, *(self.asked.held.about or ())))

    @property
    def care_says(self) -> str:
        """What is said of a reading for remains, which is never a clearance; empty when there is no such reading."""
        return self.argument.care.says if self.argument.care.readings else ""

    def mark(self, identity: str) -> str:
        """Return the short mark of a reading, a piece or a test."""
        return mark_of(self.asked.record, identity)


def mark_of(record: SiteRecord, identity: str) -> str:
    """Return the mark of a record by which a table names it; empty when it has none."""
    return str(getattr(record.by_id.get(identity), "number", None) or "")


def weighed_question(
    whole: SiteRecord,
    seen: SiteRecord,
    number: str,
    *,
    treatment: str = "",
    hours: float = DAY,
    patterns: Mapping[str, Pattern] | None = None,
    instead: SiteRecord | None = None,
) -> WeighedQuestion:
    """Weigh a question of the record.

    Parameters
    ----------
    whole : SiteRecord
        The whole record, to say how much is withheld.
    seen : SiteRecord
        The record as the viewer has it; nothing else counts.
    number : str
        Number or id of the question.
    treatment : str
        How pieces of one cause count; as the question says when empty.
    hours : float
        What there is to spend on tests.
    patterns : mapping of str to Pattern, optional
        The patterns that are known; those that Baulk brings when None.
    instead : SiteRecord, optional
        Weighed in place of `seen`: the record as a device has it, with what it did not send yet, or as it stood before.

    Raises
    ------
    UnknownRecord
        When there is no such question, or the viewer may not know of it.
    InputError
        When it cannot be weighed, or the treatment is unknown.
    """
    asked = asked_question(instead or seen, number)
    notes = list(asked.notes)
    chosen: Treatment = treatment_of(treatment) if treatment else asked.treatment
    open_lines = _open_lines(asked, known_patterns() if patterns is None else patterns, notes)
    tests = (*observations_of(asked, notes), *line_tests(open_lines))
    argument = argue(asked.question, tests, treatment=chosen, hours=hours)
    withheld = sum(
        1
        for kind in (Evidence, Test)
        for one in whole.pointing_at(kind, "question", asked.held.id)
        if one.id not in seen.by_id
    )  # fmt: skip
    if withheld:
        what = "piece of evidence or test is" if withheld == 1 else "pieces of evidence or tests are"
        notes.append(f"{withheld} {what} withheld here and not counted: with --restricted the answer may be another.")
    return WeighedQuestion(asked, argument, withheld, tuple(notes), open_lines)


def _open_lines(asked: AskedQuestion, known: Mapping[str, Pattern], notes: list[str]) -> tuple[Proposal, ...]:
    """Return the lines of the question's pattern that nobody answered yet; none when it was not begun from one."""
    name = asked.held.pattern
    if not name:
        return ()
    if name not in known:
        notes.append(
            f"The pattern “{name}” is not known here, so nothing of it is proposed: put its file into the folder of patterns."
        )
        return ()
    return proposals(asked.record, asked.held, known[name])


def observations_of(asked: AskedQuestion, notes: list[str]) -> Iterator[Observation]:
    """Yield the tests not made yet as they are ranked; what cannot be ranked is noted."""
    for test in asked.tests:
        if test.result is not None:
            continue
        outcomes = dict(test.outcomes or {})
        name = mark_of(asked.record, test.id) or test.does or "a test"
        if len(outcomes) < 2:
            notes.append(f"Test {name} names fewer than two outcomes with their chances, so nobody can say what it would tell.")
            continue
        if test.hours is None:
            notes.append(f"Nobody says how long test {name} takes: {_HOURS:g} hour is taken.")
        try:
            yield observation_of(
                test.id, test.does or "a test without words", tuple(outcomes), dict(_chances(asked.readings, outcomes)),
                hours=_HOURS if test.hours is None else test.hours, lost_at_backfill=test.only_open == "lost for good",
                cause=test.cause, source=test.source or "",
            )  # fmt: skip
        except InputError as fault:
            notes.append(f"Test {name} is not ranked. {fault}")


def _chances(
    readings: tuple[Reading, ...], outcomes: Mapping[str, Mapping[str, float]]
) -> Iterator[tuple[str, tuple[float, ...]]]:  # fmt: skip
    """Yield the chances of all outcomes under each reading that has them all; readings are named by id or by mark."""
    for reading in readings:
        row = [held.get(reading.id, held.get(reading.number or "")) for held in outcomes.values()]
        known = [float(chance) for chance in row if chance is not None]
        if len(known) == len(row):
            yield reading.id, tuple(known)


def beside_of(found: WeighedQuestion) -> Beside:
    """Return what stands beside the weights on the sheet."""
    asked, record = found.asked, found.asked.record
    belongs: tuple[Reading | Evidence | Test, ...] = (
        *asked.readings, *asked.evidence, *asked.waiting, *asked.set_aside, *asked.tests,
    )  # fmt: skip
    marks = {one.id: one.number for one in belongs if one.number}
    set_aside = tuple((f"{marks.get(one.id, '')} {one.saw or ''}".strip(), one.set_aside or "") for one in asked.set_aside)
    set_aside += tuple((f"{marks.get(one.id, '')} {one.saw or ''}".strip(), _UNSAID) for one in asked.waiting)
    tests = tuple(
        (ranked.observation.does, ranked.observation.lost_at_backfill, ranked.observation.hours) for ranked in found.argument.tests
    )
    about = ", ".join(record.label(context) for context in asked.held.about or ())
    return Beside(
        marks, set_aside, tests, found.notes, found.caution.says if found.caution else "", about, asked.held.conclusion or ""
    )


def questions_withheld(record: SiteRecord, view: View) -> int:
    """Return how many questions a viewer does not see."""
    gone = withheld_from(record, view).why
    return sum(1 for question in record.all(Question) if question.id in gone)
