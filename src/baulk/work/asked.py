"""A question of the record, made ready to be weighed: what counts, what is set aside, and what could not be used."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from baulk.errors import InputError
from baulk.reading import question as weighing
from baulk.reading.grouping import Treatment
from baulk.reading.scale import CANNOT_SAY, HIGHEST, LOWEST, expectation_of
from baulk.reading.scale import Expectation as Expected
from baulk.reading.spread import Spread, expectations_of, spread_of
from baulk.record import Evidence, Expectation, Question, Reading, SiteRecord, Test, by_natural_number
from baulk.record.withholding import reads_as_remains

__all__ = ["AskedQuestion", "asked_question", "is_none_of_these", "questions_of", "treatment_of"]


@dataclass(frozen=True, eq=False)
class AskedQuestion:
    """One question of the record with all that belongs to it.

    Parameters
    ----------
    record : SiteRecord
        The record as the viewer has it.
    held : Question
        The question's own record.
    readings : tuple of Reading
        Its readings, *none of these* last.
    evidence : tuple of Evidence
        What counts.
    set_aside : tuple of Evidence
        What stands in the table without counting.
    waiting : tuple of Evidence
        What does not count yet, since nobody said how expected it is under some reading: a cell left blank would speak for those
        that were filled in first. A blank of *none of these* needs no word.
    unsaid : mapping of str to tuple of str
        By evidence id, the ids of the readings under which nobody said a word; without those that have all.
    tests : tuple of Test
        What was not done yet, then what was.
    cells : mapping of (evidence id, reading id) to Expectation
        The record behind each cell that has one.
    notes : tuple of str
        What could not be used as it stands, in words.
    """

    record: SiteRecord
    held: Question
    readings: tuple[Reading, ...]
    evidence: tuple[Evidence, ...]
    set_aside: tuple[Evidence, ...]
    waiting: tuple[Evidence, ...]
    unsaid: Mapping[str, tuple[str, ...]]
    tests: tuple[Test, ...]
    cells: Mapping[tuple[str, str], Expectation]
    notes: tuple[str, ...]
    question: weighing.Question
    expected: Mapping[tuple[str, str], Expected] = field(default_factory=dict)

    @property
    def treatment(self) -> Treatment:
        """How pieces of one cause count, as the question says."""
        return treatment_of(self.held.treatment)

    @property
    def number(self) -> str:
        """Its number, else its id."""
        return self.held.number or self.held.id


def treatment_of(words: str | None) -> Treatment:
    """Return the treatment of that name; the first of the list when the words are blank.

    Raises
    ------
    InputError
        When there is none of that name.
    """
    if not words:
        return Treatment.LEAST
    for treatment in Treatment:
        if words.strip().casefold() == treatment.value:
            return treatment
    known = ", ".join(treatment.value for treatment in Treatment)
    raise InputError(f"The treatment of common causes is given as “{words}”. It is one of: {known}.")


def is_none_of_these(reading: Reading) -> bool:
    """Tell whether a reading is the one that is always there."""
    return (reading.name or "").strip().rstrip(".").casefold() == weighing.NONE_OF_THESE


def questions_of(record: SiteRecord) -> tuple[Question, ...]:
    """Return the questions of a record that count, in natural order of number."""
    return tuple(sorted(record.all(Question), key=by_natural_number))


def asked_question(record: SiteRecord, number: str) -> AskedQuestion:
    """Return a question of the record, made ready to be weighed.

    Parameters
    ----------
    record : SiteRecord
        The record as the viewer has it; what is not in it does not count.
    number : str
        Number or id of the question.

    Returns
    -------
    AskedQuestion

    Raises
    ------
    UnknownRecord
        When there is no such question.
    InputError
        When it is void, or has no reading that could be weighed.
    """
    held = record.get(Question, number) or record.numbered(Question, number)
    if held.void is not None:
        raise InputError(f"Question {held.number} is void, so it is not weighed. Ask for one that counts.")
    readings = sorted(
        record.pointing_at(Reading, "question", held.id), key=lambda one: (is_none_of_these(one), by_natural_number(one))
    )
    pieces = sorted(record.pointing_at(Evidence, "question", held.id), key=by_natural_number)
    notes: list[str] = []
    cells = _cells(record, pieces, notes)
    unsaid = dict(_unsaid(readings, [piece for piece in pieces if not piece.set_aside], cells))
    counting = tuple(piece for piece in pieces if not piece.set_aside and piece.id not in unsaid)
    waiting = tuple(piece for piece in pieces if piece.id in unsaid)
    notes += [_waits(record, piece, unsaid[piece.id]) for piece in waiting]
    expected = dict(_expected(record, readings, pieces, cells, notes))
    tests = sorted(record.pointing_at(Test, "question", held.id), key=lambda one: (one.result is not None, by_natural_number(one)))
    counted = [
        _piece(one, {reading: cell for (piece, reading), cell in expected.items() if piece == one.id}, cells) for one in counting
    ]
    question = weighing.question_of(
        held.asks or f"Question {held.number}",
        (_reading(one) for one in readings),
        (*counted, *_of_tests(record, tests, readings, notes)),
        number=held.number or "",
        about=held.about or (),
    )
    set_aside = tuple(piece for piece in pieces if piece.set_aside)
    return AskedQuestion(
        record, held, tuple(readings), counting, set_aside, waiting, unsaid, tuple(tests), cells, tuple(notes), question, expected
    )  # fmt: skip


def _unsaid(
    readings: list[Reading], pieces: list[Evidence], cells: Mapping[tuple[str, str], Expectation]
) -> Iterator[tuple[str, tuple[str, ...]]]:  # fmt: skip
    """Yield each piece that somebody has still to speak of, with the readings under which nobody did."""
    named = [one for one in readings if not is_none_of_these(one)]
    for piece in pieces:
        left = tuple(one.id for one in named if not _words(piece, one, cells.get((piece.id, one.id))))
        if left:
            yield piece.id, left


def _waits(record: SiteRecord, piece: Evidence, left: tuple[str, ...]) -> str:
    under = ", ".join(record.label(reading) for reading in left)
    return (
        f"{record.label(piece.id)} does not count yet: nobody said how expected it is under {under}. Give each a word of the "
        f"scale, or “{CANNOT_SAY.word}”."
    )


def _reading(one: Reading) -> weighing.Reading:
    burial = bool(one.remains) or reads_as_remains(one.name or "")
    return weighing.Reading(
        one.id, one.name or "a reading without a name", one.prior, one.prior_reason or "", burial, is_none_of_these(one)
    )  # fmt: skip


def _piece(
    one: Evidence, expected: Mapping[str, Expected], cells: Mapping[tuple[str, str], Expectation]
) -> weighing.Evidence:  # fmt: skip
    notes = {reading: cell.why for (piece, reading), cell in cells.items() if piece == one.id and cell.why}
    return weighing.Evidence(
        one.id, one.saw or "evidence without words", dict(expected), one.seen is not False, one.cause, one.records or (),
        one.source or "", notes,
    )  # fmt: skip


def _cells(record: SiteRecord, pieces: list[Evidence], notes: list[str]) -> dict[tuple[str, str], Expectation]:
    """Return the record behind each cell; of two for one cell the later counts, since ids are ordered by time."""
    found: dict[tuple[str, str], Expectation] = {}
    for piece in pieces:
        for cell in sorted(record.pointing_at(Expectation, "evidence", piece.id), key=lambda one: one.id):
            if (piece.id, cell.reading) in found:
                where = f"{record.label(piece.id)} under {record.label(cell.reading)}"
                notes.append(f"Two people filled in the cell {where}: the later one counts. Make the other void.")
            found[piece.id, cell.reading] = cell
    return found


def _expected(
    record: SiteRecord,
    readings: list[Reading],
    pieces: list[Evidence],
    cells: Mapping[tuple[str, str], Expectation],
    notes: list[str],
) -> Iterator[tuple[tuple[str, str], Expected]]:
    """Yield how expected each piece is under each reading, where somebody said it; what cannot be read is noted and left blank."""
    for piece in pieces:
        words = {one.id: words for one in readings if (words := _words(piece, one, cells.get((piece.id, one.id))))}
        if piece.measured is not None:
            yield from _measured(record, piece, words, [one.id for one in readings], notes)
            continue
        for reading, said in words.items():
            try:
                yield (piece.id, reading), expectation_of(said)
            except InputError as fault:
                notes.append(_unread(record, piece, reading, fault))


def _words(piece: Evidence, reading: Reading, cell: Expectation | None) -> str:
    """Return the words of one cell: its own record goes before what the evidence says."""
    if cell is not None and cell.word:
        return cell.word
    held = piece.expected or {}
    return held.get(reading.id) or held.get(reading.number or "") or ""


def _measured(
    record: SiteRecord, piece: Evidence, words: Mapping[str, str], readings: list[str], notes: list[str]
) -> Iterator[tuple[tuple[str, str], Expected]]:  # fmt: skip
    """Yield how expected a measured value is under each reading; *none of these* and blank cells take any value alike."""
    spreads: dict[str, Spread] = {}
    for reading, said in words.items():
        if said.strip().casefold() == CANNOT_SAY.word:
            continue
        try:
            spread = spread_of(said)
        except InputError as fault:
            notes.append(_unread(record, piece, reading, fault))
            continue
        if spread is None:
            notes.append(_unread(record, piece, reading, _NO_SPREAD))
        else:
            spreads[reading] = spread
    if not spreads:
        notes.append(
            f"{record.label(piece.id)} is measured, and nobody says where the value lies under any reading: it counts nothing."
        )
        return
    try:
        found = expectations_of(piece.measured or 0.0, piece.grain or 0.0, spreads, readings)
    except InputError as fault:
        notes.append(f"{record.label(piece.id)} counts nothing. {fault}")
        return
    for reading, expected in found.items():
        yield (piece.id, reading), expected


_NO_SPREAD = "It is measured: write where the value lies, as in “about 12 to 15, give or take 4”."


def _unread(record: SiteRecord, piece: Evidence, reading: str, fault: InputError | str) -> str:
    return f"{record.label(piece.id)} under {record.label(reading)} counts as “{CANNOT_SAY.word}”. {fault}"


def _of_tests(record: SiteRecord, tests: list[Test], readings: list[Reading], notes: list[str]) -> Iterator[weighing.Evidence]:
    """Yield the tests that were made as evidence, by the chance of what came out."""
    for test in tests:
        if test.result is None:
            continue
        row = (test.outcomes or {}).get(test.result.strip())
        if row is None:
            known = ", ".join(f"“{name}”" for name in test.outcomes or {})
            notes.append(
                f"{record.label(test.id)} came out as “{test.result}”, which is none of its outcomes ({known or 'none is given'}): "
                "it counts nothing."
            )
            continue
        chances = {one.id: chance for one in readings if (chance := _chance(row, one)) is not None}
        expected = {reading: expectation_of(min(max(chance, LOWEST), HIGHEST)) for reading, chance in chances.items()}
        saw = f"{(test.does or 'a test').rstrip('.')}: {test.result}"
        yield weighing.Evidence(test.id, saw, expected, True, test.cause, (test.id,), test.source or "")


def _chance(row: Mapping[str, float], reading: Reading) -> float | None:
    """Return the chance of an outcome under a reading, named by its id or its mark."""
    return row.get(reading.id, row.get(reading.number or ""))
