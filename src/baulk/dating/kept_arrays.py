"""Dates as plain arrays and back, so that what was worked out once can be kept outside of memory."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from baulk.dating.diagnosis import Diagnosis
from baulk.dating.doubts import find_doubts, moved_deposits, sample_doubts
from baulk.dating.model import Chronology, Suppositions
from baulk.dating.posterior import Dates, EventDate, PhaseDate

__all__ = ["arrays_of", "dates_from"]

Arrays = Mapping[str, NDArray[Any]]


def arrays_of(dates: Dates) -> dict[str, NDArray[Any]]:
    """Return all of some dates that is not in their chronology and cannot be worked out of it at once.

    Parameters
    ----------
    dates : Dates
        The dates.

    Returns
    -------
    dict of arrays
        Events first and then start and end of the site and of each phase, row by row; none holds objects.
    """
    phases = (dates.site, *dates.phases)
    rows = (*dates.events, *(one for phase in phases for one in (phase.start, phase.end)))
    held = dates.diagnosis
    return {
        "names": np.array([one.name for one in rows]), "phases": np.array([one.name for one in phases]),
        "probability": np.array([one.probability for one in rows]), "prior": np.array([one.prior for one in rows]),
        "lengths": np.array([one.length for one in phases]), "draws": dates.draws, "notes": np.array(dates.notes, str),
        "diagnosed": np.array(held.names), "r_hat": held.r_hat, "bulk": held.bulk, "tail": held.tail,
        "counts": np.array([held.chains, held.kept, held.sweeps]),
        "asked": np.array([held.r_hat_most, held.least_draws, dates.in_effect]),
    }  # fmt: skip


def dates_from(chronology: Chronology, supposed: Suppositions, seed: int, held: Arrays) -> Dates | None:
    """Return the dates of a chronology from the arrays of `arrays_of`.

    Parameters
    ----------
    chronology, supposed, seed
        What the dates were worked out of.
    held : mapping of str to array
        The arrays.

    Returns
    -------
    Dates or None
        None when the arrays are of another chronology.

    Raises
    ------
    KeyError
        When an array is missing.
    """
    count, years, step = len(chronology.events), chronology.window.years, chronology.window.step
    names = held["names"].tolist()
    rows = [EventDate(names[row], years, step, held["probability"][row], held["prior"][row]) for row in range(len(names))]
    phases = [
        PhaseDate(name, rows[count + 2 * place], rows[count + 2 * place + 1], tuple(held["lengths"][place].tolist()))
        for place, name in enumerate(held["phases"].tolist())
    ]
    same = tuple(names[:count]) == chronology.events and len(phases) == 1 + len(chronology.phases)
    if not same or held["draws"].shape[1:] != (count,) or held["prior"].shape[1:] != years.shape:
        return None
    chains, kept, sweeps = held["counts"].tolist()
    most, least, effect = held["asked"].tolist()
    diagnosis = Diagnosis(
        tuple(held["diagnosed"].tolist()), held["r_hat"], held["bulk"], held["tail"], chains, kept, sweeps, most, least
    )  # fmt: skip
    events = tuple(rows[:count])
    return Dates(
        chronology, supposed, seed, events, phases[0], tuple(phases[1:]), find_doubts(chronology, supposed, events),
        moved_deposits(chronology, supposed, events), diagnosis, held["draws"], effect, tuple(held["notes"].tolist()),
        sample_doubts(chronology, supposed, events),
    )  # fmt: skip
