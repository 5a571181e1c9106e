"""How likely each reading is before the evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.reading.question import Reading

__all__ = ["BLANK_PRIOR", "Prior", "equal_prior", "prior_of"]

Floats = NDArray[np.float64]

BLANK_PRIOR = 0.1
"""Prior of *none of these* where nobody gave one, and of any reading for which the given ones leave nothing (house value)."""


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Shares before the evidence.

    Parameters
    ----------
    shares : float64 array, shape (readings,)
        They add up to 1.
    notes : tuple of str
        What was filled in or scaled, in words.
    """

    shares: Floats
    notes: tuple[str, ...] = ()


def prior_of(readings: Sequence[Reading]) -> Prior:
    """Return the prior as given, with blanks filled in and the whole scaled to 1; each such step is noted.

    Examples
    --------
    >>> held = prior_of([Reading("a", "Path", 0.45), Reading("b", "Wall"), Reading("c", "None of these", none_of_these=True)])
    >>> held.shares.round(2).tolist()
    [0.45, 0.45, 0.1]
    """
    shares = np.array([np.nan if reading.prior is None else reading.prior for reading in readings], dtype=np.float64)
    notes = []
    for place, reading in enumerate(readings):
        if reading.none_of_these and np.isnan(shares[place]):
            shares[place] = BLANK_PRIOR
            notes.append(f"No prior is given for “{reading.name}”: {BLANK_PRIOR:g} is used.")
    blank = np.isnan(shares)
    if blank.any():
        left = 1 - float(np.nansum(shares))
        each = left / int(blank.sum()) if left > 0.01 else BLANK_PRIOR
        shares[blank] = each
        names = ", ".join(f"“{reading.name}”" for reading, missing in zip(readings, blank, strict=True) if missing)
        notes.append(f"No prior is given for {names}: {each:.3g} each is used.")
    total = float(shares.sum())
    if abs(total - 1) > 0.005:
        notes.append(f"The priors add up to {total:.3g}: they are scaled to 1.")
    return Prior(shares / total, tuple(notes))


def equal_prior(count: int) -> Prior:
    """Return the prior that holds every reading equally likely."""
    return Prior(np.full(count, 1 / count), ("Every reading is held equally likely before the evidence.",))
