"""Contexts that touch along a section of the modelled ground, for the check of the relations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from baulk.ground.section import Section

__all__ = ["SectionContact", "contacts_along"]


@dataclass(frozen=True, slots=True)
class SectionContact:
    """Two contexts that touch along a section: a suggestion that the upper is the later, never a relation.

    Parameters
    ----------
    later, earlier : str
        Ids; the base of the first lies on the top of the second.
    metres : float
        Length of section along which they touch.
    gap : float
        Mean height from the top of the lower to the base of the upper, metres; negative where they overlap.
    """

    later: str
    earlier: str
    metres: float
    gap: float


def contacts_along(section: Section, tolerance: float = 0.02, *, sure: float = np.inf) -> tuple[SectionContact, ...]:
    """Return which contexts touch along a section, the longest contact first.

    Parameters
    ----------
    section : Section
        The modelled ground.
    tolerance : float
        Metres by which base and top may miss each other; twice their standard deviation is allowed where that is more.
    sure : float
        Largest standard deviation, metres, of the height between base and top at which a contact is told at all.

    Notes
    -----
    At each distance the contexts are sorted by the middle of their heights; neighbours touch when base and top meet. What lies
    inside another (a fill beside what its cut went through) is not a neighbour in height and is left to the drawn wall; so is a
    context where the model has its base above its top.
    """
    if len(section.distance) < 2:
        return ()
    step = np.gradient(section.distance)
    step[[0, -1]] /= 2  # the ends stand for half a step each, so that all of them make the length of the section
    lengths: dict[tuple[int, int], list[tuple[float, float]]] = {}
    middle = np.where(section.top - section.base >= -tolerance, (section.top + section.base) / 2, np.nan)
    for at in range(len(section.distance)):
        there = np.flatnonzero(np.isfinite(middle[:, at]))
        order = there[np.argsort(-middle[there, at], kind="stable")]
        for upper, lower in zip(order[:-1].tolist(), order[1:].tolist(), strict=True):
            gap = float(section.base[upper, at] - section.top[lower, at])
            deviation = float(np.hypot(section.base_deviation[upper, at], section.top_deviation[lower, at]))
            if abs(gap) <= max(tolerance, 2 * deviation) and deviation <= sure:
                lengths.setdefault((upper, lower), []).append((float(step[at]), gap))
    found = [
        SectionContact(
            section.contexts[upper], section.contexts[lower], sum(run for run, _ in rows), float(np.mean([gap for _, gap in rows]))
        )
        for (upper, lower), rows in lengths.items()
    ]
    return tuple(sorted(found, key=lambda one: -one.metres))
