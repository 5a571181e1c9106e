"""Evidence into rows that may be added up: pieces of one cause become one voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from baulk.reading.question import Question
from baulk.reading.scale import SCALE, Expectation

__all__ = ["Rows", "Treatment", "rows_of"]

Floats = NDArray[np.float64]
Words = NDArray[np.int32]


class Treatment(StrEnum):
    """How pieces of evidence that share a cause are counted."""

    LEAST = "least expected"
    """The pieces come together or not at all: under each reading the least expected one stands for the group."""
    SHARED = "shared"
    """Each of n pieces counts an nth."""
    FULL = "in full"
    """Each piece counts in full, as though the pieces had nothing to do with each other: this counts a cause more than once."""

    @property
    def meaning(self) -> str:
        """One sentence for the reader."""
        return _MEANING[self]


_PLACES = {word.word: place for place, word in enumerate(SCALE)}

_MEANING = {
    Treatment.LEAST: "Pieces of one cause come together or not at all: under each reading the least expected one stands for all.",
    Treatment.SHARED: "Each of the n pieces of one cause counts an nth.",
    Treatment.FULL: "Every piece counts in full, which counts a common cause more than once; shown for comparison only.",
}


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Rows whose logarithms add up.

    Parameters
    ----------
    pieces : tuple of tuple of int
        Places in the question's evidence of the pieces that each row stands for.
    causes : tuple of str or None
        The common cause of each row; None for a piece on its own.
    low, best, high : float64 array, shape (rows, readings)
        Chance of what happened.
    words : int32 array, shape (rows, readings)
        Equal numbers in one row are the same word, whose true value moves as one; -1 where a cell moves on its own.
    share : float64 array, shape (rows,)
        By how much each row counts: 1, or 1/n.
    """

    pieces: tuple[tuple[int, ...], ...]
    causes: tuple[str | None, ...]
    low: Floats
    best: Floats
    high: Floats
    words: Words
    share: Floats

    def __len__(self) -> int:
        """Return how many rows there are."""
        return len(self.pieces)


def rows_of(question: Question, treatment: Treatment = Treatment.LEAST, pieces: Rows | None = None) -> Rows:
    """Return the rows of a question under one treatment of common causes.

    Parameters
    ----------
    question : Question
        With any number of pieces.
    treatment : Treatment
        How pieces of one cause are counted.
    pieces : Rows, optional
        The rows of the single pieces, as this function returns them for `Treatment.FULL`, when they are known already.

    Notes
    -----
    *Least expected* is the joint chance of events that come together or not at all, which is also the largest that any joint
    chance can be: P(A and B) ≤ min(P(A), P(B)). A piece that is entered twice under one cause adds nothing.
    """
    alone = pieces or _single_rows(question)
    if treatment is Treatment.FULL:
        return alone
    groups: dict[object, list[int]] = {}
    for place, piece in enumerate(question.evidence):
        groups.setdefault(place if piece.cause is None else piece.cause, []).append(place)
    if treatment is Treatment.SHARED:
        share = np.array(
            [1 / len(groups[place if piece.cause is None else piece.cause]) for place, piece in enumerate(question.evidence)]
        )
        return replace(alone, share=share.reshape(-1))
    held = [_least(alone, places) for places in groups.values()]
    shape = (len(held), len(question.readings))
    low, best, high, words = (np.array([row[part] for row in held]).reshape(shape) for part in range(4))
    causes = tuple(question.evidence[places[0]].cause for places in groups.values())
    return Rows(tuple(map(tuple, groups.values())), causes, low, best, high, words, np.ones(len(held)))


def _single_rows(question: Question) -> Rows:
    cells = [[piece.cell(reading.id) for reading in question.readings] for piece in question.evidence]
    shape = (len(cells), len(question.readings))
    numbers = np.array([[(cell.low, cell.best, cell.high) for cell in row] for row in cells], dtype=np.float64).reshape(*shape, 3)
    return Rows(
        tuple((place,) for place in range(len(cells))),
        tuple(piece.cause for piece in question.evidence),
        numbers[..., 0],
        numbers[..., 1],
        numbers[..., 2],
        np.array([[_word_number(cell) for cell in row] for row in cells], dtype=np.int32).reshape(shape),
        np.ones(len(cells)),
    )


def _least(alone: Rows, places: Sequence[int]) -> tuple[Floats, Floats, Floats, Words]:
    """Return the least expected cell of each column; ends and middle are taken one by one, so that ranges may overlap."""
    ends = [part[list(places)] for part in (alone.low, alone.best, alone.high)]
    low, best, high = (part.min(axis=0) for part in ends)
    words = alone.words[list(places)]
    same = (ends[0] == low) & (ends[1] == best) & (ends[2] == high)
    return low, best, high, np.where(same.any(axis=0), words[same.argmax(axis=0), np.arange(words.shape[1])], -1).astype(np.int32)


def _word_number(cell: Expectation) -> int:
    place = _PLACES.get(cell.word or "")
    return -1 if place is None else 2 * place + cell.mirror
