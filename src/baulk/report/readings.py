"""Readings: what was it, what speaks for it, what would overturn it, question by question with the whole table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from baulk.drawing.readings_answer import percent
from baulk.reading.scale import SCALE
from baulk.report.readings_given import QuestionFacts
from baulk.report.shown import NOT_RECORDED, counted, sentence
from baulk.report.tree import Caution, Chapter, Figure, Heading, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["readings_chapter", "readings_key"]

_TITLE = "Readings"
_NONE = "No question is recorded that was weighed for this unit."


def readings_key(question: str) -> str:
    """Return the name under which the figure of a question is given."""
    return f"readings:{question}"


def readings_chapter(
    scope: UnitScope, given: Sequence[QuestionFacts] | None, figures: Mapping[str, Sequence[Figure]]
) -> Chapter:  # fmt: skip
    """Return the chapter on readings.

    Parameters
    ----------
    scope : UnitScope
        The unit as the reader may see it.
    given : sequence of QuestionFacts or None
        Weighed as the reader may have them; None when nothing was weighed. Questions that the reader may not know of are left out
        again here, and so are those of other units.
    figures : mapping of question id to figures
        The sheet of each question.
    """
    if given is None:
        return Chapter(_TITLE, (Paragraph("Readings were not weighed for this report."),))
    kept = [one for one in given if one.question in scope.record.by_id and _of_unit(scope, one)]
    if not kept:
        return Chapter(_TITLE, (Paragraph(_NONE),))
    parts: list[Node] = [Paragraph(_rule())]
    for one in kept:
        parts += _question(scope, one, figures.get(one.question, ()))
    return Chapter(_TITLE, tuple(parts))


def _of_unit(scope: UnitScope, one: QuestionFacts) -> bool:
    return not one.about or not scope.ids.isdisjoint(one.about)


def _rule() -> str:
    words = "; ".join(f"{word.word} {100 * word.low:.0f} to {100 * word.high:.0f}" for word in SCALE)
    return (
        "For each sighting and each reading a word says at how many of a hundred features that truly were this it would be seen "
        f"({words}). Weights of evidence are in decibans, ten times the logarithm of the ratio of chances; pieces with one cause "
        "are not counted twice. The range is all that the answer can be while every word stays within its limits."
    )


def _question(scope: UnitScope, one: QuestionFacts, figures: Sequence[Figure]) -> Iterator[Node]:
    masked = scope.shown.masked
    yield Heading(masked(f"Question {one.number}: {one.asks}" if one.number else one.asks))
    if one.caution:
        yield Caution("Human remains", masked(one.caution), "published state statutes and federal guidance")
    about = [context for context in one.about if context in scope.record.by_id]
    yield Paragraph(f"{scope.shown.labels(about)}.", lead="About.")
    if one.why_not:
        yield Paragraph(masked(sentence(one.why_not)), lead="Not weighed.")
        return
    yield _answers(scope, one)
    yield Paragraph(masked(one.says), lead="Answer.")
    if one.care:
        yield Paragraph(masked(one.care), lead="Care.")
    yield Paragraph(masked(sentence(one.conclusion)) or f"{NOT_RECORDED}.", lead="What the director concluded.")
    yield from figures
    yield _evidence(scope, one)
    yield from _said(scope, one)
    yield from _looks(scope, one)
    yield from (Paragraph(masked(sentence(note))) for note in one.notes)


def _answers(scope: UnitScope, one: QuestionFacts) -> Table:
    masked = scope.shown.masked
    rows = tuple(
        (masked(f"{held.mark} {held.name}".strip()), percent(held.prior), percent(held.share),
         f"{percent(held.low)} to {percent(held.high)}", masked(held.prior_reason) or NOT_RECORDED)
        for held in one.readings
    )  # fmt: skip
    head = ("Reading", "Before", "After", "Range", "Why that prior")
    return Table(masked(f"Readings of question {one.number or one.asks}"), head, rows, weights=(2, 0, 0, 0, 3), numbers=(1, 2))


def _evidence(scope: UnitScope, one: QuestionFacts) -> Table:
    masked, known = scope.shown.masked, scope.record.by_id
    rows = tuple(
        (
            masked(f"{piece.mark} {piece.told}".strip()),
            masked(piece.cause) or "–",
            "; ".join(f"{mark} {said or 'not said'} ({weight:+.1f})".replace("-", "−") for mark, said, weight, _ in piece.cells),
            scope.shown.labels(record for record in piece.records if record in known) if piece.records else "–",
            masked(piece.source) or NOT_RECORDED,
        )
        for piece in one.pieces
    )
    head = ("Seen", "Common cause", "How expected (decibans alone)", "Rests on", "Source")
    note = f"Common causes: {one.treatment}"
    return Table(f"Evidence ({counted(len(rows), 'piece')})", head, rows, weights=(3, 1.4, 4, 0, 1.6), note=note)


def _said(scope: UnitScope, one: QuestionFacts) -> Iterator[Node]:
    masked = scope.shown.masked
    reasons = tuple(
        masked(f"{piece.mark} under {mark}: {why}") for piece in one.pieces for mark, _, _, why in piece.cells if why
    )  # fmt: skip
    for lead, items in (
        ("Why it is so expected", reasons),
        ("Without each group", tuple(map(masked, one.groups))),
        ("What would have to fall", tuple(map(masked, one.overturning))),
        ("Counted in other ways, and with other priors", tuple(map(masked, one.others))),
        ("In the table without counting", tuple(map(masked, one.set_aside))),
    ):
        if items:
            yield Paragraph(f"{counted(len(items), 'line')}:", lead=f"{lead}.")
            yield Listing(items)


def _looks(scope: UnitScope, one: QuestionFacts) -> Iterator[Node]:
    if not one.looks:
        yield Paragraph("None is listed.", lead="Tests not made.")
        return
    masked = scope.shown.masked
    rows = tuple(
        (masked(look.does), f"{look.hours:g}", "lost" if look.lost else "still possible", f"{look.bits:.2f}",
         masked(look.source) or NOT_RECORDED)
        for look in one.looks
    )  # fmt: skip
    head = ("Test not made", "Hours", "At backfill", "Bits an hour", "Source")
    yield Table(f"Tests not made ({len(rows)})", head, rows, weights=(4, 0, 0, 0, 2), numbers=(1, 3))
