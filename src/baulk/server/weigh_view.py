"""A weighed question as the page shows it: the table with its weights, the answer, and what could change it."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.closing.cautions import DEFER
from baulk.reading.plan import Step
from baulk.reading.scale import Expectation as Expected
from baulk.reading.scale import expectation_of
from baulk.record import Evidence, Expectation, View
from baulk.server.record_view import RecordLink, Shown
from baulk.work.begin import LINE
from baulk.work.weigh import WeighedQuestion

__all__ = [
    "CareLine", "CellLine", "EvidenceLine", "InfluenceLine", "LedLine", "LookLine", "OutcomeLine", "OverturnLine", "PlanStep",
    "ReadingLine", "VoiceLine", "WeighView", "weigh_view",
]  # fmt: skip


class ReadingLine(BaseModel):
    """One reading: before and after the evidence."""

    id: str
    mark: str
    name: str
    prior: float = Field(description="As it was used: filled in and scaled where need be.")
    prior_given: float | None = Field(description="As somebody gave it.")
    prior_reason: str
    proposed_by: str
    source: str
    share: float
    low: float
    high: float
    burial: bool
    none_of_these: bool


class CellLine(BaseModel):
    """How expected one piece is under one reading."""

    reading: str
    expectation: str = Field(description="Id of the cell's own record; empty when it has none.")
    expected: str = Field(description="The word, chance or spread as it was written; empty for a blank cell.")
    low: float
    best: float
    high: float
    decibans: float = Field(description="Of the piece alone, above 0 for the reading.")
    why: str
    source: str


class EvidenceLine(BaseModel):
    """One piece of evidence, or a test that was made."""

    id: str
    mark: str
    saw: str
    seen: bool
    cause: str
    records: list[RecordLink]
    source: str
    notes: str
    measures: str
    measured: float | None
    set_aside: str = Field(description="Why it was set aside; empty when it was not.")
    of_test: bool = Field(description="True for a test that was made: it is edited as a test.")
    unsaid: list[str] = Field(
        description="Ids of the readings under which nobody said a word. A piece with such a cell does not count yet; of a test "
        "that was made the cell counts as “cannot say”."
    )
    cells: list[CellLine] = Field(description="In the order of the readings; empty for what is set aside.")


class VoiceLine(BaseModel):
    """What counts as one: a piece, or all pieces of one cause."""

    pieces: list[str]
    cause: str
    decibans: list[float] = Field(description="In the order of the readings.")


class InfluenceLine(BaseModel):
    """The answer without a piece or a group."""

    pieces: list[str]
    cause: str
    share: float = Field(description="Of the reading that leads now.")
    keeps_lead: bool
    leader: str


class OverturnLine(BaseModel):
    """A smallest set of evidence without which a rival would draw level or lead."""

    rival: str
    pieces: list[str]


class LedLine(BaseModel):
    """Who leads under another treatment or prior."""

    name: str
    meaning: str
    leader: str
    share: float


class OutcomeLine(BaseModel):
    """What may come out of a test."""

    name: str
    chance: float
    changes_lead: bool


class LookLine(BaseModel):
    """A test not made yet, in the order in which to make them."""

    id: str
    mark: str
    does: str
    asks: str = Field(description="Of a line of a pattern: the sighting it would settle; else empty.")
    line: str = Field(description="Id of that line; empty for a test that somebody entered.")
    hours: float
    lost_at_backfill: bool
    bits: float
    bits_per_hour: float
    outcomes: list[OutcomeLine]
    cause_counted: bool
    source: str


class PlanStep(BaseModel):
    """One test of the plan, and what follows each outcome."""

    does: str
    outcomes: list[str]
    then: list[PlanStep | None]


class CareLine(BaseModel):
    """What is due where a reading means human remains."""

    acts: bool
    caution: str = Field(description="Stop, cover, notify; empty when the threshold is not reached.")
    says: str = Field(description="Never a clearance; empty when no reading means remains.")
    steps: list[str]
    source: str
    defer: str


class WeighView(BaseModel):
    """A question with all that was worked out about it."""

    id: str
    number: str
    asks: str
    about: list[RecordLink]
    pattern: str
    treatment: str
    conclusion: str
    readings: list[ReadingLine] = Field(description="Likeliest first.")
    pieces: list[EvidenceLine] = Field(description="As entered, set aside ones last.")
    voices: list[VoiceLine]
    says: str = Field(description="The answer in plain words, from the table alone.")
    influences: list[InfluenceLine]
    overturning: list[OverturnLine]
    rival: str
    ahead: float = Field(description="Decibans by which the leader is ahead of the closest rival.")
    holds_to: float
    treatments: list[LedLine]
    priors: list[LedLine]
    tests: list[LookLine]
    plan: PlanStep | None
    plan_says: str
    care: CareLine
    drawing: str
    withheld: int
    notes: list[str]


def weigh_view(shown: Shown, found: WeighedQuestion) -> WeighView:
    """Return a weighed question as the page shows it."""
    argument, weighed, held = found.argument, found.argument.weighed, found.asked.held
    readings = weighed.question.readings
    return WeighView(
        id=held.id, number=held.number or "", asks=held.asks or "", about=shown.links(held.about or ()), pattern=held.pattern or "",
        treatment=str(weighed.treatment), conclusion=held.conclusion or "", readings=_readings(found), pieces=_pieces(shown, found),
        voices=_voices(found), says=argument.says, influences=_influences(found), overturning=_overturning(found),
        rival=readings[argument.separation.other].id, ahead=argument.separation.total, holds_to=argument.holds_to,
        treatments=[
            LedLine(name=str(one.treatment), meaning=one.treatment.meaning, leader=readings[one.leader].id,
                    share=float(one.posterior[one.leader]))
            for one in argument.treatments
        ],
        priors=[
            LedLine(name=one.name, meaning="", leader=readings[one.leader].id, share=float(one.posterior[one.leader]))
            for one in argument.priors
        ],
        tests=_looks(found), plan=_step(argument.plan.first), plan_says=argument.plan.says, care=_care(found),
        drawing=f"readings-{held.number or held.id}", withheld=found.withheld,
        notes=[*weighed.prior.notes, *found.notes, *_withheld_soon(shown, found)],
    )  # fmt: skip


def _withheld_soon(shown: Shown, found: WeighedQuestion) -> list[str]:
    """Say that a question which a device has just given a reading for remains will be withheld from who asks."""
    if shown.viewer is View.RESTRICTED or not found.argument.care.readings:
        return []
    return [
        "This question weighs a possible grave: once it has been sent it is withheld here. Open the site with --restricted to go "
        "on with it."
    ]


def _voices(found: WeighedQuestion) -> list[VoiceLine]:
    weighed = found.argument.weighed
    return [
        VoiceLine(
            pieces=[weighed.question.evidence[piece].id for piece in weighed.rows.pieces[row]],
            cause=weighed.rows.causes[row] or "",
            decibans=[round(float(weighed.weights[row, place]), 3) for place in weighed.order],
        )
        for row in range(len(weighed.rows))
    ]


def _influences(found: WeighedQuestion) -> list[InfluenceLine]:
    weighed = found.argument.weighed
    return [
        InfluenceLine(
            pieces=[weighed.question.evidence[piece].id for piece in one.pieces],
            cause=one.cause or "",
            share=float(one.posterior[weighed.leader]),
            keeps_lead=one.keeps_lead,
            leader=weighed.question.readings[one.leader].id,
        )
        for one in found.argument.influences
    ]


def _overturning(found: WeighedQuestion) -> list[OverturnLine]:
    question = found.argument.weighed.question
    return [
        OverturnLine(rival=question.readings[one.rival].id, pieces=[question.evidence[piece].id for piece in one.pieces])
        for one in found.argument.overturning
    ]


def _care(found: WeighedQuestion) -> CareLine:
    care, caution = found.argument.care, found.caution
    return CareLine(
        acts=care.acts,
        caution=caution.says if caution else "",
        says=found.care_says,
        steps=list(care.steps),
        source=caution.source if caution else "",
        defer=DEFER,
    )


def _readings(found: WeighedQuestion) -> list[ReadingLine]:
    weighed = found.argument.weighed
    held = {one.id: one for one in found.asked.readings}
    lines = []
    for place in weighed.order:
        reading = weighed.question.readings[place]
        own = held.get(reading.id)
        lines.append(
            ReadingLine(
                id=reading.id, mark=(own.number if own else None) or "", name=reading.name,
                prior=float(weighed.prior.shares[place]), prior_given=reading.prior, prior_reason=reading.prior_reason,
                proposed_by=(own.proposed_by if own else None) or "", source=(own.source if own else None) or "",
                share=float(weighed.posterior[place]), low=float(weighed.low[place]), high=float(weighed.high[place]),
                burial=reading.burial, none_of_these=reading.none_of_these,
            )
        )  # fmt: skip
    return lines


def _pieces(shown: Shown, found: WeighedQuestion) -> list[EvidenceLine]:
    weighed, record = found.argument.weighed, found.asked.record
    lines, blanks = [], weighed.question.blanks
    for place, piece in enumerate(weighed.question.evidence):
        own = record.get(Evidence, piece.id)
        cells = [_cell(found, own, place, at) for at in weighed.order]
        line = _piece(shown, piece.id, own, piece.saw, piece.source, cells)
        unsaid = [reading for blank, reading in blanks if blank == piece.id] if own is None else []
        lines.append(line.model_copy(update={"cause": piece.cause or "", "seen": piece.seen, "unsaid": unsaid}))
    for one in found.asked.waiting:
        line = _piece(shown, one.id, one, one.saw or "", one.source or "", [_waiting_cell(found, one, at) for at in weighed.order])
        lines.append(line.model_copy(update={"unsaid": list(found.asked.unsaid[one.id])}))
    return [*lines, *(_piece(shown, one.id, one, one.saw or "", one.source or "", []) for one in found.asked.set_aside)]


def _piece(shown: Shown, identity: str, own: Evidence | None, saw: str, source: str, cells: list[CellLine]) -> EvidenceLine:
    return EvidenceLine(
        id=identity, mark=(own.number if own else None) or "", saw=saw, seen=own is None or own.seen is not False,
        cause=(own.cause if own else None) or "", records=shown.links((own.records if own else None) or ()), source=source,
        notes=(own.notes if own else None) or "", measures=(own.measures if own else None) or "",
        measured=own.measured if own else None, set_aside=(own.set_aside if own else None) or "", of_test=own is None, unsaid=[],
        cells=cells,
    )  # fmt: skip


def _cell(found: WeighedQuestion, own: Evidence | None, place: int, at: int) -> CellLine:
    weighed = found.argument.weighed
    piece, reading = weighed.question.evidence[place], weighed.question.readings[at]
    kept: Expectation | None = found.asked.cells.get((piece.id, reading.id))
    given = piece.expected.get(reading.id)
    written = (kept.word if kept else None) or (((own.expected if own else None) or {}).get(reading.id)) or ""
    return _line(
        reading.id, kept, written or (given.says if given else ""), piece.cell(reading.id), weighed.piece_weights[place, at]
    )


def _waiting_cell(found: WeighedQuestion, own: Evidence, at: int) -> CellLine:
    """Return a cell of a piece that does not count yet: its words without a weight."""
    reading = found.argument.weighed.question.readings[at]
    kept, given = found.asked.cells.get((own.id, reading.id)), found.asked.expected.get((own.id, reading.id))
    held, mark = own.expected or {}, found.mark(reading.id)
    written = (kept.word if kept else None) or held.get(reading.id) or held.get(mark) or ""
    return _line(reading.id, kept, written, given or expectation_of(None), 0.0)


def _line(reading: str, kept: Expectation | None, expected: str, chance: Expected, weight: float) -> CellLine:
    return CellLine(
        reading=reading, expectation=kept.id if kept else "", expected=expected, low=chance.low, best=chance.best, high=chance.high,
        decibans=round(float(weight), 3), why=(kept.why if kept else None) or "", source=(kept.source if kept else None) or "",
    )  # fmt: skip


def _looks(found: WeighedQuestion) -> list[LookLine]:
    lines = {f"{LINE}{one.line.id}": one.line for one in found.proposals}
    return [
        LookLine(
            id=held.id, mark=found.mark(held.id), does=held.does, asks=lines[held.id].saw if held.id in lines else "",
            line=lines[held.id].id if held.id in lines else "", hours=held.hours, lost_at_backfill=held.lost_at_backfill,
            bits=ranked.bits, bits_per_hour=ranked.bits_per_hour,
            outcomes=[
                OutcomeLine(name=name, chance=chance, changes_lead=changes)
                for name, chance, changes in zip(held.outcomes, ranked.likely, ranked.changes_lead, strict=True)
            ],
            cause_counted=ranked.cause_counted, source=held.source,
        )
        for ranked in found.argument.tests
        for held in (ranked.observation,)
    ]  # fmt: skip


def _step(step: Step | None) -> PlanStep | None:
    if step is None:
        return None
    return PlanStep(does=step.observation.does, outcomes=list(step.observation.outcomes), then=[_step(one) for one in step.then])
