"""What does not sit well with the dates: finds intrusive or residual, samples that date something else, deposits of moved soil."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from baulk.dating.evidence import CarbonLimit, Documented, FindMade, NoneLater
from baulk.dating.likelihood import cells_of, likelihood_of, made_by
from baulk.dating.model import Chronology, Suppositions
from baulk.dating.posterior import EventDate, FindDoubt, MovedDeposit, SampleDoubt
from baulk.dating.window import Window
from baulk.dating.years import counted

__all__ = ["find_doubts", "moved_deposits", "sample_doubts"]

Floats = NDArray[np.float64]


def _years(window: Window) -> Floats:
    """Return the middle of every year of a window."""
    return window.first + 0.5 + np.arange(window.cells * window.step, dtype=np.float64)


def find_doubts(chronology: Chronology, supposed: Suppositions, events: Sequence[EventDate]) -> tuple[FindDoubt, ...]:
    """Return for each find the chances that it is intrusive or residual, over the years that its deposit may be of.

    Notes
    -----
    Given the year t of the deposit, a find is intrusive with chance ι / (ι + (1 - ι) P(made by t)). If it is not, it is residual
    with the chance that the discard curve gives to its age. Both are averaged over the deposit's date, so nothing of it had to be
    drawn.
    """
    window, found = chronology.window, []
    years = _years(window)
    for one in chronology.evidence:
        if not isinstance(one, FindMade):
            continue
        chance = supposed.intrusion.chance(one.disturbance)
        made = made_by(years, one.begin, one.end)
        intrusive = cells_of(chance / (chance + (1 - chance) * made), window.step)
        last = counted(one.begin if one.end is None else one.end) + 1
        residual = cells_of(supposed.discard.residual(years - last, years - counted(one.begin)), window.step)
        weight = events[one.event].probability
        stays = weight * (1 - intrusive)
        share = float((residual * stays).sum() / stays.sum()) if stays.sum() > 0 else 0.0
        found.append(FindDoubt(one.name, one.event, chance, float((intrusive * weight).sum()), share))
    return tuple(found)


def sample_doubts(chronology: Chronology, supposed: Suppositions, events: Sequence[EventDate]) -> tuple[SampleDoubt, ...]:
    """Return for each sample, year or document that was doubted the chance that it has nothing to do with its event.

    Notes
    -----
    The likelihood is (1 - d) l(t) + d c; the part of the doubt in it, d c / L(t), is averaged over the event's date.
    """
    window, found = chronology.window, []
    for one in chronology.evidence:
        if isinstance(one, FindMade | NoneLater) or one.doubt == 0:
            continue
        yearly = likelihood_of(one, window, supposed).yearly
        floor = one.doubt if isinstance(one, CarbonLimit | Documented) else one.doubt / len(yearly)
        out = cells_of(floor / yearly, window.step)
        found.append(SampleDoubt(one.name, one.event, one.doubt, float((out * events[one.event].probability).sum())))
    return tuple(found)


def moved_deposits(chronology: Chronology, supposed: Suppositions, events: Sequence[EventDate]) -> tuple[MovedDeposit, ...]:
    """Return for each absence that counts the chance that the deposit is older soil moved."""
    window, found = chronology.window, []
    years = _years(window)
    for one in chronology.evidence:
        if isinstance(one, NoneLater) and supposed.absence:
            past = years - (counted(one.after) + 1)
            chance = cells_of(supposed.discard.moved(past, finds=one.finds, recognised=one.recognised), window.step)
            moved = float((chance * events[one.event].probability).sum())
            found.append(MovedDeposit(chronology.events[one.event], one.event, supposed.discard.redeposited, moved))
    return tuple(found)
