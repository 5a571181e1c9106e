"""Evidence into rows that may be added up: pieces of one cause become one voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from baulk.reading.question import Question
from baulk.reading.scale import CANNOT_SAY, Expectation

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
        Equal numbers in one row are the same word, whose true value moves together; -1 where a cell moves on its own.
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


def rows_of(question: Question, treatment: Treatment = Treatment.LEAST) -> Rows:
    """Return the rows of a question under one treatment of common causes.

    Parameters
    ----------
    question : Question
        With any number of pieces.
    treatment : Treatment
        How pieces of one cause are counted.

    Notes
    -----
    *Least expected* is the joint chance of events that come together or not at all, which is also the largest that any joint
    chance can be: P(A and B) ≤ min(P(A), P(B)). A piece that is entered twice under one cause adds nothing.
    """
    groups: dict[str, list[int]] = {}
    order: list[tuple[str | None, list[int]]] = []
    for place, piece in enumerate(question.evidence):
        if piece.cause is None or treatment is Treatment.FULL:
            order.append((piece.cause, [place]))
        elif piece.cause in groups:
            groups[piece.cause].append(place)
        else:
            groups[piece.cause] = [place]
            order.append((piece.cause, groups[piece.cause]))
    cells = [[piece.cell(reading.id) for reading in question.readings] for piece in question.evidence]
    if treatment is Treatment.SHARED:
        spread = [(cause, [place], 1 / len(places)) for cause, places in order for place in places]
    else:
        spread = [(cause, places, 1.0) for cause, places in order]
    rows = [_least([cells[place] for place in places]) for _, places, _ in spread]
    shape = (len(rows), len(question.readings))
    numbers = np.array([[(cell.low, cell.best, cell.high) for cell in row] for row in rows]).reshape(*shape, 3)
    return Rows(
        tuple(tuple(places) for _, places, _ in spread),
        tuple(cause for cause, _, _ in spread),
        numbers[..., 0],
        numbers[..., 1],
        numbers[..., 2],
        np.array([_word_numbers(row) for row in rows], dtype=np.int32).reshape(shape),
        np.array([share for _, _, share in spread], dtype=np.float64),
    )


def _least(cells: Sequence[Sequence[Expectation]]) -> list[Expectation]:
    """Return the least expected cell of each column; ends and middle are taken one by one, so that ranges may overlap."""
    if len(cells) == 1:
        return list(cells[0])
    found = []
    for column in zip(*cells, strict=True):
        low, best, high = (min(getattr(cell, part) for cell in column) for part in ("low", "best", "high"))
        same = [cell for cell in column if (cell.low, cell.best, cell.high) == (low, best, high)]
        found.append(same[0] if same else Expectation(low, best, high))
    return found


def _word_numbers(cells: Sequence[Expectation]) -> list[int]:
    known: dict[tuple[str, bool], int] = {}
    return [
        -1 if cell.word in (None, CANNOT_SAY.word) else known.setdefault((cell.word or "", cell.mirror), len(known))
        for cell in cells
    ]
