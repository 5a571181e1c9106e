"""A question as it is weighed: readings, of which one is always *none of these*, and evidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from baulk.errors import InputError
from baulk.reading.scale import Expectation, expectation_of

__all__ = ["NONE_OF_THESE", "Evidence", "Question", "Reading", "is_burial_name", "question_of"]

NONE_OF_THESE = "none of these"
"""Name, and id when nobody gave one, of the reading that is always there."""

_BURIAL = ("grave", "burial", "coffin", "inhumation", "cremation", "human remains")


def is_burial_name(name: str) -> bool:
    """Tell whether the name of a reading speaks of a burial; "gravel" does not.

    Examples
    --------
    >>> is_burial_name("Possible grave"), is_burial_name("Gravel path")
    (True, False)
    """
    words = name.lower().replace("gravel", "")
    return any(word in words for word in _BURIAL)


@dataclass(frozen=True, slots=True)
class Reading:
    """One competing explanation.

    Parameters
    ----------
    id : str
        By which evidence names it.
    name : str
        In a few words.
    prior : float or None
        How likely before the evidence, 0 to 1; None for an equal share of what the others leave.
    prior_reason : str
        Why that prior.
    burial : bool
        Whether it means that human remains may be there.
    none_of_these : bool
        Whether it is the reading that none of the named ones is right.
    """

    id: str
    name: str
    prior: float | None = None
    prior_reason: str = ""
    burial: bool = False
    none_of_these: bool = False


@dataclass(frozen=True, slots=True)
class Evidence:
    """One piece of evidence.

    Parameters
    ----------
    id : str
        Names it.
    saw : str
        What was seen, or looked for.
    expected : mapping of str to Expectation
        By reading's id, the chance that it **is seen** if that reading is true; a reading that is missing is a blank cell.
    seen : bool
        False when it was looked for and was not there: what counts then is the chance of not seeing it.
    cause : str or None
        Pieces that name the same cause are not counted twice.
    records : tuple of str
        Ids of the records it rests on.
    source : str
        Where the expectations come from, or "common practice, no source".
    notes : mapping of str to str
        Why a cell says what it says, by reading's id.
    """

    id: str
    saw: str
    expected: Mapping[str, Expectation]
    seen: bool = True
    cause: str | None = None
    records: tuple[str, ...] = ()
    source: str = ""
    notes: Mapping[str, str] = field(default_factory=dict)

    def cell(self, reading: str) -> Expectation:
        """Return how expected what happened is under a reading; a blank cell says "cannot say"."""
        held = self.expected.get(reading) or expectation_of(None)
        return held if self.seen else held.mirrored()

    @property
    def told(self) -> str:
        """What was seen, or that it was looked for and was not there."""
        return self.saw if self.seen else f"looked for and not there: {self.saw}"


@dataclass(frozen=True, slots=True)
class Question:
    """A question with its readings and evidence; make it with `question_of`, which checks it.

    Parameters
    ----------
    asks : str
        In words.
    readings : tuple of Reading
        At least one named reading, and *none of these*.
    evidence : tuple of Evidence
        In any order: the answer does not depend on it.
    number : str
        Its number in the record, if it has one.
    about : tuple of str
        Ids of the contexts it is about.
    """

    asks: str
    readings: tuple[Reading, ...]
    evidence: tuple[Evidence, ...] = ()
    number: str = ""
    about: tuple[str, ...] = ()

    def place(self, reading: str) -> int:
        """Return where a reading stands, by its id."""
        return next(place for place, held in enumerate(self.readings) if held.id == reading)

    @property
    def blanks(self) -> tuple[tuple[str, str], ...]:
        """Pairs of evidence id and reading id of the cells that nobody filled in; *none of these* needs no word."""
        return tuple(
            (piece.id, reading.id)
            for piece in self.evidence
            for reading in self.readings
            if not reading.none_of_these and reading.id not in piece.expected
        )


def question_of(
    asks: str, readings: Iterable[Reading], evidence: Iterable[Evidence] = (), *, number: str = "", about: Iterable[str] = ()
) -> Question:  # fmt: skip
    """Return a checked question; *none of these* is added when no reading is it.

    Raises
    ------
    InputError
        When there is no named reading, an id is given twice, two readings are *none of these*, a prior is not between 0 and 1, or
        evidence names a reading that the question does not have.

    Examples
    --------
    >>> held = question_of("What was it?", [Reading("path", "Path"), Reading("wall", "Wall")])
    >>> [reading.name for reading in held.readings]
    ['Path', 'Wall', 'none of these']
    """
    held, pieces = tuple(readings), tuple(evidence)
    if not any(reading.none_of_these for reading in held):
        held = (*held, Reading(NONE_OF_THESE, NONE_OF_THESE, none_of_these=True))
    where = f"Question {number}" if number else f"The question “{asks}”"
    _check_readings(held, where)
    _check_evidence(pieces, {reading.id for reading in held}, where)
    frozen = tuple(
        Evidence(
            piece.id, piece.saw, MappingProxyType(dict(piece.expected)), piece.seen, piece.cause or None, tuple(piece.records),
            piece.source, MappingProxyType(dict(piece.notes)),
        )
        for piece in pieces
    )  # fmt: skip
    return Question(asks, held, frozen, number, tuple(about))


def _check_readings(readings: tuple[Reading, ...], where: str) -> None:
    if sum(reading.none_of_these for reading in readings) > 1:
        raise InputError(f"{where} has two readings that are “none of these”. Keep one: it stands for all that nobody thought of.")
    if len(readings) < 2:
        raise InputError(f"{where} has no reading to weigh. Name at least one thing that it may have been.")
    for identity, count in Counter(reading.id for reading in readings).items():
        if count > 1:
            raise InputError(f"{where} has {count} readings with the id “{identity}”. Give each reading an id of its own.")
    for reading in readings:
        if reading.prior is not None and not 0 < reading.prior < 1:
            raise InputError(
                f"{where}: the prior of “{reading.name}” is given as {reading.prior:g}. A prior lies between 0 and 1: at 0 or 1 no "
                "evidence could ever change it."
            )


def _check_evidence(pieces: tuple[Evidence, ...], known: set[str], where: str) -> None:
    for identity, count in Counter(piece.id for piece in pieces).items():
        if count > 1:
            raise InputError(f"{where} has {count} pieces of evidence with the id “{identity}”. Give each piece an id of its own.")
    for piece in pieces:
        strange = sorted(set(piece.expected) - known)
        if strange:
            raise InputError(
                f"{where}: the evidence “{piece.saw}” speaks of the reading “{strange[0]}”, which the question does not have. "
                f"Its readings are {', '.join(sorted(known))}."
            )
