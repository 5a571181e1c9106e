"""How sure each line of the order is as it was written, NaN where nobody said it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from baulk.record import Relation, SiteRecord
from baulk.sequence.from_record import CERTAINTY, ContextRelations
from baulk.sequence.order import Order

__all__ = ["certainty_word", "chained", "least_sure", "said_certainty", "surest"]


def said_certainty(record: SiteRecord, known: ContextRelations, order: Order) -> NDArray[np.float64]:
    """Return how sure each relation of an order is said to be: the surest word of those it was written with.

    Returns
    -------
    numpy.ndarray
        One number for each of `order.relations`; NaN where the certainty is blank on every sheet.

    Notes
    -----
    To open a loop a blank counts as probable; that is a weight and nobody's word, so it is not drawn as one.
    """
    said = np.full(len(order.relations), np.nan)
    for row, relation in enumerate(order.merging.relation_of_row.tolist()):
        written = record.get(Relation, known.rows[row])
        worth = CERTAINTY.get(written.certainty or "") if written is not None else None
        if relation >= 0 and worth is not None:
            said[relation] = np.fmax(said[relation], worth)
    return said


def chained(first: float, second: float) -> float:
    """Return how sure a line is that stands for two in a row; NaN when either is not said."""
    return first * second


def surest(first: float, second: float) -> float:
    """Return the surer of two lines that say the same; one that is said before one that is not."""
    return second if math.isnan(first) else first if math.isnan(second) else max(first, second)


def least_sure(first: float, second: float) -> float:
    """Return the less sure of two lines drawn as one: a doubtful one, else one that is not said, else the lesser."""
    said = [one for one in (first, second) if not math.isnan(one)]
    doubtful = [one for one in said if certainty_word(one) == "doubtful"]
    return min(doubtful) if doubtful else min(said) if len(said) == 2 else math.nan


def certainty_word(certainty: float) -> str | None:
    """Return the word that a line of this certainty is drawn by; None when it is not said."""
    if math.isnan(certainty):
        return None
    return "firm" if certainty >= 0.9 else "probable" if certainty >= 0.6 else "doubtful"
