"""The questions of a unit as the report prints them, weighed as its reader may have them."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.drawing.readings_answer import percent
from baulk.errors import InputError
from baulk.record import Question, SiteRecord
from baulk.report.readings_given import LookFacts, PieceFacts, QuestionFacts, ReadingFacts
from baulk.work.asked import questions_of
from baulk.work.weigh import WeighedQuestion, weighed_question

__all__ = ["questions_facts"]

_PRIORS = 2
"""Of the priors that are tried, those as given and all equal are printed."""


def questions_facts(whole: SiteRecord, seen: SiteRecord, *, public: bool) -> tuple[QuestionFacts, ...]:
    """Return every question that the reader may see, weighed.

    Parameters
    ----------
    whole, seen : SiteRecord
        The whole record, and the record as the reader has it.
    public : bool
        True for the public version, which does not tell how much is withheld.
    """
    return tuple(_facts(whole, seen, question, public=public) for question in questions_of(seen))


def _facts(whole: SiteRecord, seen: SiteRecord, question: Question, *, public: bool) -> QuestionFacts:
    named = (question.id, question.number or "", question.asks or "", question.about or ())
    try:
        found = weighed_question(seen if public else whole, seen, question.id)
    except InputError as fault:
        return QuestionFacts(*named, why_not=str(fault))
    argument, weighed = found.argument, found.argument.weighed
    return QuestionFacts(
        *named,
        readings=tuple(_readings(found)),
        pieces=tuple(_pieces(found)),
        groups=tuple(_groups(found)),
        set_aside=tuple(f"{one.number or ''} {one.saw or ''}: {one.set_aside}".strip() for one in found.asked.set_aside),
        says=argument.says,
        treatment=weighed.treatment.meaning,
        others=tuple(_others(found)),
        overturning=tuple(_overturning(found)),
        looks=tuple(
            LookFacts(held.does, held.hours, held.lost_at_backfill, ranked.bits_per_hour, held.source)
            for ranked in argument.tests
            for held in (ranked.observation,)
        ),
        conclusion=question.conclusion or "",
        caution=found.caution.says if found.caution else "",
        care=found.care_says,
        notes=(*weighed.prior.notes, *found.notes),
    )


def _readings(found: WeighedQuestion) -> Iterator[ReadingFacts]:
    weighed = found.argument.weighed
    for place in weighed.order:
        reading = weighed.question.readings[place]
        yield ReadingFacts(
            found.mark(reading.id), reading.name, float(weighed.prior.shares[place]), reading.prior_reason,
            float(weighed.posterior[place]), float(weighed.low[place]), float(weighed.high[place]),
        )  # fmt: skip


def _pieces(found: WeighedQuestion) -> Iterator[PieceFacts]:
    weighed = found.argument.weighed
    for place, piece in enumerate(weighed.question.evidence):
        cells = []
        for at, reading in enumerate(weighed.question.readings):
            held = piece.expected.get(reading.id)
            if held is not None or not reading.none_of_these:
                mark = found.mark(reading.id) or reading.name
                weight = float(weighed.piece_weights[place, at])
                cells.append((mark, held.says if held else "", weight, piece.notes.get(reading.id, "")))
        yield PieceFacts(found.mark(piece.id), piece.told, piece.cause or "", piece.records, tuple(cells), piece.source)


def _groups(found: WeighedQuestion) -> Iterator[str]:
    weighed = found.argument.weighed
    for one in found.argument.influences:
        if one.cause:
            marks = ", ".join(found.mark(weighed.question.evidence[piece].id) or "?" for piece in one.pieces)
            leader = weighed.question.readings[one.leader].name
            share = percent(float(one.posterior[one.leader]))
            yield f"“{one.cause}” ({marks}): “{leader}” {'keeps' if one.keeps_lead else 'takes'} the lead with {share}"


def _others(found: WeighedQuestion) -> Iterator[str]:
    readings = found.argument.weighed.question.readings
    for held in found.argument.treatments:
        if held.treatment is not found.argument.weighed.treatment:
            yield f"{held.treatment}: “{readings[held.leader].name}” leads with {percent(float(held.posterior[held.leader]))}"
    for case in found.argument.priors[:_PRIORS]:
        yield f"priors {case.name}: “{readings[case.leader].name}” leads with {percent(float(case.posterior[case.leader]))}"


def _overturning(found: WeighedQuestion) -> Iterator[str]:
    question = found.argument.weighed.question
    for one in found.argument.overturning:
        marks = ", ".join(found.mark(question.evidence[piece].id) or question.evidence[piece].saw for piece in one.pieces)
        yield f"for “{question.readings[one.rival].name}”: {marks or 'nothing, it is level as it is'}"
