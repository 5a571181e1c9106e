"""The questions of a site, the patterns they may be begun from, the scale; what a pattern proposes; and states of a question."""

from __future__ import annotations

from itertools import count
from typing import Any, Literal

from pydantic import BaseModel, Field

from baulk.errors import InputError
from baulk.reading.grouping import Treatment
from baulk.reading.pattern import Pattern
from baulk.reading.scale import CANNOT_SAY, SCALE, Word
from baulk.record import KINDS, Context, Entity, SiteRecord, build, natural_number, record_for
from baulk.record.withholding import View
from baulk.server.record_view import RecordLink, Shown
from baulk.server.weigh_view import WeighView, weigh_view
from baulk.work.asked import questions_of
from baulk.work.begin import NewRecord, Proposal, accepted, begun, known_patterns, next_question_number
from baulk.work.weigh import questions_withheld, weighed_question
from baulk.work.weigh_past import changes_of_mind, record_then, records_of_question

__all__ = [
    "BegunView", "ChangeLine", "ChangesView", "NewItem", "PatternLineView", "PostedQuestion", "PostedRecord", "ProposalLine",
    "ProposalsView", "QuestionLine", "ReadingsView", "ScaleWord", "TreatmentLine", "begin_view", "changes_view", "posted_record",
    "proposals_view", "readings_view", "then_view", "weighed_view",
]  # fmt: skip

_OWN = ("question", "reading", "evidence", "expectation", "test")
_MOST = 5_000


class ScaleWord(BaseModel):
    """One word of the printed scale."""

    word: str
    low: float
    middle: float
    high: float
    meaning: str


class TreatmentLine(BaseModel):
    """One treatment of common causes."""

    name: str
    meaning: str


class QuestionLine(BaseModel):
    """A question in the list."""

    id: str
    number: str
    asks: str
    leader: str = Field(description="Name of the reading that leads; empty when it cannot be weighed yet.")
    share: float
    caution: bool = Field(description="Whether possible human remains call for care.")
    problem: str = Field(description="Why it cannot be weighed yet; empty when it can.")


class PatternLineView(BaseModel):
    """A pattern in the list."""

    name: str
    title: str
    asks: str
    readings: list[str]
    lines: int
    own: bool
    withheld: bool = Field(description="Whether its question would be withheld from who looks, since it weighs a possible grave.")


class ReadingsView(BaseModel):
    """What stands in the place of readings before a question is chosen."""

    questions: list[QuestionLine]
    withheld: int = Field(description="Questions that are not shown here.")
    patterns: list[PatternLineView]
    scale: list[ScaleWord]
    treatments: list[TreatmentLine]
    contexts: list[RecordLink] = Field(description="What a question may be about.")


class NewItem(BaseModel):
    """A record for the device to create; ids that begin with “new:” are the device's to give."""

    kind: str
    id: str
    values: dict[str, Any]


class BegunView(BaseModel):
    """The records of a question begun from a pattern, or of a line that is accepted."""

    items: list[NewItem]


class ProposalLine(BaseModel):
    """A line of the pattern that nobody answered yet."""

    line: str
    saw: str
    seen: bool | None
    value: float | None
    says: str
    contexts: list[RecordLink]
    cause: str
    measures: str
    does: str
    hours: float
    lost_at_backfill: bool
    source: str
    expected: dict[str, str] = Field(description="By reading's id.")
    items: list[NewItem] = Field(
        description="What to create when it is accepted as seen; as said by the record when that can tell."
    )


class ProposalsView(BaseModel):
    """What the record says to a question's pattern."""

    proposals: list[ProposalLine]


class PostedRecord(BaseModel):
    """One record of a question as a device has it."""

    kind: Literal["question", "reading", "evidence", "expectation", "test"]
    id: str = Field(max_length=64)
    values: dict[str, Any]


class PostedQuestion(BaseModel):
    """A question with all that belongs to it as a device has it; it is weighed and not kept."""

    question: str = Field(max_length=64)
    treatment: str = Field("", max_length=40)
    records: list[PostedRecord] = Field(max_length=_MOST)


class ChangeLine(BaseModel):
    """One change of a question."""

    time: str
    milliseconds: int
    person: str
    kind: str
    new: bool
    says: str
    why: str


class ChangesView(BaseModel):
    """What was changed, earliest first."""

    changes: list[ChangeLine]


def readings_view(shown: Shown) -> ReadingsView:
    """Return questions, patterns and scale."""
    contexts = sorted(shown.record.all(Context), key=lambda one: natural_number(one.number or ""))
    return ReadingsView(
        questions=[_question_line(shown, one.id) for one in questions_of(shown.record)],
        withheld=questions_withheld(shown.study.record, shown.viewer),
        patterns=[_pattern_line(shown, one) for one in known_patterns().values()],
        scale=[_word(one) for one in (*SCALE, CANNOT_SAY)],
        treatments=[TreatmentLine(name=str(one), meaning=one.meaning) for one in Treatment],
        contexts=[link for one in contexts[:2_000] if not shown.is_bare(one.id) and (link := shown.link(one.id)) is not None],
    )  # fmt: skip


def _pattern_line(shown: Shown, one: Pattern) -> PatternLineView:
    burial = any(reading.burial for reading in one.readings)
    return PatternLineView(
        name=one.name,
        title=one.title,
        asks=one.asks,
        readings=[reading.name for reading in one.readings],
        lines=len(one.lines),
        own=one.from_user,
        withheld=burial and shown.viewer is not View.RESTRICTED,
    )


def _word(one: Word) -> ScaleWord:
    return ScaleWord(word=one.word, low=one.low, middle=one.middle, high=one.high, meaning=one.meaning)


def _question_line(shown: Shown, identity: str) -> QuestionLine:
    held = next(one for one in questions_of(shown.record) if one.id == identity)
    line = QuestionLine(id=held.id, number=held.number or "", asks=held.asks or "", leader="", share=0.0, caution=False, problem="")
    try:
        found = weighed_question(shown.study.record, shown.record, held.id)
    except InputError as fault:
        return line.model_copy(update={"problem": str(fault)})
    weighed = found.argument.weighed
    told = {"leader": weighed.question.readings[weighed.leader].name, "share": float(weighed.posterior[weighed.leader])}
    return line.model_copy(update={**told, "caution": found.caution is not None})


def weighed_view(shown: Shown, number: str, *, treatment: str = "", instead: SiteRecord | None = None) -> WeighView:
    """Return a question weighed as it stands, or as a device has it."""
    return weigh_view(
        shown, weighed_question(shown.study.record, shown.record, number, treatment=treatment, instead=instead)
    )  # fmt: skip


def posted_record(shown: Shown, posted: PostedQuestion) -> SiteRecord:
    """Return the record as shown with a question's records as a device has them.

    Raises
    ------
    FieldError
        When a value breaks the rule of its field.
    """
    ours: list[Entity] = [build(KINDS[one.kind], {**one.values, "id": one.id}) for one in posted.records]
    others = [one for kind, held in shown.record.entities.items() if kind not in _OWN for one in held]
    return SiteRecord.of([*others, *ours], revision=shown.record.revision)


def begin_view(shown: Shown, pattern: str, about: list[str]) -> BegunView:
    """Return the records of a question begun from a pattern.

    Raises
    ------
    InputError
        When there is no such pattern, nothing says what it is about, or the question would be withheld from who begins it.
    """
    known = known_patterns()
    if pattern not in known:
        raise InputError(f"No pattern is called “{pattern}”. There are {', '.join(known)}.")
    if shown.viewer is not View.RESTRICTED and any(reading.burial for reading in known[pattern].readings):
        raise InputError(
            "This pattern weighs a possible grave, so its question is withheld here. Open the site with --restricted to weigh it. "
            "If a grave is possible now: stop, cover, notify, leave in place."
        )
    contexts = [identity for identity in about if shown.record.get(Context, identity)]
    if not contexts:
        raise InputError("Nothing says what the question is about. Choose at least one context.")
    numbers = count(1)
    made = begun(known[pattern], contexts, next_question_number(shown.study.record), lambda: f"new:{next(numbers)}")
    return BegunView(items=[_item(one) for one in made])


def _item(made: NewRecord) -> NewItem:
    return NewItem(kind=made.kind, id=made.id, values=made.values)


def proposals_view(shown: Shown, number: str, instead: SiteRecord | None = None) -> ProposalsView:
    """Return what the record says to a question's pattern, each line with what accepting it would create."""
    found = weighed_question(shown.study.record, shown.record, number, instead=instead)
    return ProposalsView(proposals=[_proposal(shown, found.asked.record, found.asked.held.id, one) for one in found.proposals])


def _proposal(shown: Shown, record: SiteRecord, question: str, one: Proposal) -> ProposalLine:
    line, numbers = one.line, count(1)
    held = next(held for held in questions_of(record) if held.id == question)
    given: bool | float | None = None if one.told else (line.grain if line.spreads is not None else True)
    made = accepted(record, held, one, lambda: f"new:{line.id}:{next(numbers)}", given)
    return ProposalLine(
        line=line.id, saw=line.saw, seen=one.seen, value=one.value, says=one.says, contexts=shown.links(one.contexts),
        cause=line.cause or "", measures=line.measures, does=line.does, hours=line.hours, lost_at_backfill=line.lost_at_backfill,
        source=line.source, expected=dict(one.expected), items=[_item(each) for each in made],
    )  # fmt: skip


def changes_view(shown: Shown, number: str) -> ChangesView:
    """Return the changes of a question and of what belongs to it."""
    held = weighed_question(shown.study.record, shown.record, number).asked.held
    told = changes_of_mind(shown.record, shown.study.histories(_records(shown, held.id)))
    return ChangesView(
        changes=[
            ChangeLine(
                time=one.time, milliseconds=one.milliseconds, person=one.person, kind=one.kind, new=not one.field, says=one.says,
                why=one.why,
            )
            for one in told
        ]
    )  # fmt: skip


def then_view(shown: Shown, number: str, time: str) -> WeighView:
    """Return a question as it stood at a time of the log."""
    held = weighed_question(shown.study.record, shown.record, number).asked.held
    early = record_then(shown.record, shown.study.histories(_records(shown, held.id)), time)
    return weighed_view(shown, held.id, instead=record_for(early, shown.viewer))


def _records(shown: Shown, question: str) -> tuple[str, ...]:
    """Return the ids of what belongs to a question and is shown here."""
    return records_of_question(shown.record, question)
