"""All evidence of a chronology as tables over the window: one row for each event that has any."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from baulk.dating.evidence import Documented, Evidence
from baulk.dating.likelihood import cells_of, cut_in_words, likelihood_of
from baulk.dating.model import Chronology, Suppositions
from baulk.dating.window import Window
from baulk.dating.years import counted
from baulk.errors import InputError

__all__ = ["Tables", "tables_of"]

Floats = NDArray[np.float64]
FLOOR = -60.0
"""Log-likelihood below the best at which a cell is held to be all but ruled out: e^-60."""
MOST_VALUES = 60_000_000
"""Values that the tables may hold, half a gigabyte: a house setting."""


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """The evidence of each event over the cells of the window.

    Parameters
    ----------
    row : int32 array, shape (events,)
        Row of each event; -1 where nothing bears on it.
    log : float64 array, shape (rows, cells)
        Log-likelihood, 0 at its best.
    total : float64 array, shape (rows, cells + 1)
        Running sum of the likelihood over the cells, beginning with 0.
    low, high : float64 array, shape (events,)
        Hard bounds by documents without doubt, in years from the beginning of the window.
    low_by, high_by : tuple of str
        What set them; empty where the window does.
    notes : tuple of str
        What a firm window cuts off.
    """

    row: NDArray[np.int32]
    log: Floats
    total: Floats
    low: Floats
    high: Floats
    low_by: tuple[str, ...]
    high_by: tuple[str, ...]
    notes: tuple[str, ...]


def tables_of(chronology: Chronology, suppositions: Suppositions) -> Tables:
    """Return the tables of a chronology.

    Parameters
    ----------
    chronology : Chronology
        With its evidence and window.
    suppositions : Suppositions
        Settings of the likelihoods.

    Returns
    -------
    Tables
        Log-likelihoods of all evidence of an event are added: pieces of evidence are independent once the year is known.

    Raises
    ------
    InputError
        When a piece of evidence lies outside of the window, or the tables would not fit.
    """
    window, count = chronology.window, len(chronology.events)
    dated = sorted({one.event for one in chronology.evidence})
    if len(dated) * window.cells > MOST_VALUES:
        raise InputError(
            f"{len(dated):,} events with evidence over {window.cells:,} cells need {len(dated) * window.cells:,} values; at most "
            f"{MOST_VALUES:,} are held. Give the window a larger step."
        )
    row = np.full(count, -1, np.int32)
    row[dated] = np.arange(len(dated), dtype=np.int32)
    log, notes = np.zeros((len(dated), window.cells)), []
    known: dict[Evidence, Floats] = {}
    for one in chronology.evidence:
        alike = _nameless(one)
        if alike not in known:
            found = likelihood_of(one, window, suppositions)
            known[alike] = _log(cells_of(found.yearly, window.step))
            cut = cut_in_words(one, window, found)
            notes += [cut] if cut else []
        log[row[one.event]] += known[alike]
    log -= log.max(axis=1, keepdims=True, initial=-np.inf) if dated else 0.0
    log = np.maximum(log, FLOOR)
    total = np.zeros((len(dated), window.cells + 1))
    np.cumsum(np.exp(log), axis=1, out=total[:, 1:])
    low, high, low_by, high_by = _hard(chronology.evidence, window, count)
    return Tables(row, log, total, low, high, low_by, high_by, tuple(notes))


def _nameless(one: Evidence) -> Evidence:
    """Return the evidence without its event and name, to know what is alike."""
    return replace(one, event=0, name="")


def _log(cells: Floats) -> Floats:
    """Return logarithms; what is ruled out is held at twice the floor, so that a hard bound alone never empties a row."""
    with np.errstate(divide="ignore"):
        return np.asarray(np.maximum(np.log(cells), np.log(cells.max()) + 2 * FLOOR))


def _hard(evidence: Sequence[Evidence], window: Window, count: int) -> tuple[Floats, Floats, tuple[str, ...], tuple[str, ...]]:
    """Return the hard bounds of every event and what set them."""
    low, high = np.zeros(count), np.full(count, window.length)
    low_by, high_by = [""] * count, [""] * count
    for one in evidence:
        if not isinstance(one, Documented) or one.doubt > 0:
            continue
        begin = -np.inf if one.begin is None else counted(one.begin) - window.first
        end = np.inf if one.end is None else counted(one.end) + 1 - window.first
        if begin > low[one.event]:
            low[one.event], low_by[one.event] = begin, one.name
        if end < high[one.event]:
            high[one.event], high_by[one.event] = end, one.name
    return low, high, tuple(low_by), tuple(high_by)
