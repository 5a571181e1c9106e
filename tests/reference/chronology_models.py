"""Ten chronologies of 3 to 200 events, made from fixed seeds, for which another engine's figures are kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from baulk.dating.evidence import CarbonDate, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.intrusion import Disturbance
from baulk.dating.model import Chronology, Phase, PhaseLink, SpanPrior, Suppositions, chronology_of
from baulk.dating.window import Window

__all__ = ["MODELS", "Made", "deep_site"]

WINDOW = Window(1500, 1949)
Made = tuple[Chronology, Suppositions]


def deep_site(
    count: int, seed: int, *, dated: float = 0.5, error: float = 20.0, reach: int = 8, relations: float = 1.5
) -> Chronology:
    """Return a site of events between 1650 and 1830 in a local order, some of them with years of a stated error."""
    rng = np.random.default_rng(seed)
    true = np.sort(rng.uniform(1650, 1830, count))
    lower = rng.integers(0, count - 1, int(relations * count))
    upper = np.minimum(lower + 1 + rng.integers(0, reach, len(lower)), count - 1)
    chosen = rng.choice(count, int(dated * count), replace=False)
    evidence = [YearWithError(int(one), f"date {one}", float(true[one] + error * rng.normal()), error) for one in chosen]
    return chronology_of([str(one) for one in range(count)], upper, lower, evidence, WINDOW)


def _years(*rows: tuple[int, float, float]) -> list[Evidence]:
    return [YearWithError(event, f"year of {event}", year, error) for event, year, error in rows]


def _chain(count: int, evidence: list[Evidence], **more: Any) -> Chronology:
    steps = np.arange(count - 1)
    return chronology_of([str(one) for one in range(count)], steps + 1, steps, evidence, WINDOW, **more)


def _three() -> Made:
    return _chain(3, _years((0, 1750, 30), (1, 1740, 40), (2, 1760, 25))), Suppositions()


def _five_flat() -> Made:
    return _chain(5, _years((0, 1700, 25), (4, 1800, 25))), Suppositions(span=SpanPrior.FLAT)


def _two_branches() -> Made:
    evidence = [
        *_years((0, 1690, 20), (5, 1820, 20)),
        FindMade(1, "find 1", 1720, 1790), FindMade(2, "find 2", 1700, 1799), FindMade(4, "find 3", 1762, 1820, Disturbance.HEAVY),
    ]  # fmt: skip
    made = chronology_of([str(one) for one in range(6)], [1, 2, 3, 4, 5, 5], [0, 0, 1, 2, 3, 4], evidence, WINDOW)
    return made, Suppositions()


def _carbon() -> Made:
    evidence = [CarbonDate(1, "s1", 350, 25), CarbonDate(3, "s2", 300, 30, doubt=0.1), CarbonDate(6, "s3", 230, 30, lag=20.0)]
    made = chronology_of(
        [str(one) for one in range(8)], [1, 2, 3, 4, 5, 6, 7, 7], [0, 1, 2, 2, 3, 4, 5, 6], evidence, Window(1300, 1949, firm=True)
    )
    return made, Suppositions()


def _absence() -> Made:
    evidence = [
        *_years((0, 1700, 20)), FindMade(3, "find 1", 1740, 1780), FindMade(5, "find 2", 1762, 1800),
        NoneLater(5, "none later", 12, 1800), NoneLater(7, "none later still", 20, 1820, 0.7), FindMade(8, "find 3", 1800, 1860),
    ]  # fmt: skip
    return _chain(10, evidence), Suppositions()


def _abutting() -> Made:
    evidence = _years((0, 1680, 20), (3, 1710, 20), (5, 1740, 20), (6, 1755, 20), (9, 1790, 20), (11, 1800, 15))
    phases = (Phase("I", tuple(range(6))), Phase("II", tuple(range(6, 12))))
    made = chronology_of(
        [str(one) for one in range(12)], [1, 2, 4, 7, 8, 10], [0, 1, 3, 6, 7, 9], evidence, WINDOW, phases=phases,
        links=(PhaseLink(1, 0, abutting=True),),
    )  # fmt: skip
    return made, Suppositions()


def _tree() -> Made:
    evidence = [
        *_years((0, 1720, 30), (9, 1850, 30), (4, 1760, 25), (19, 1800, 40)), FindMade(3, "find", 1740, 1760),
        FindMade(12, "find 2", 1760, 1830, Disturbance.SLIGHT),
    ]  # fmt: skip
    steps = np.arange(19)
    made = chronology_of([str(one) for one in range(20)], steps + 1, steps // 2, evidence, WINDOW)
    return made, Suppositions()


def _apart() -> Made:
    base = deep_site(100, 9)
    phases = (Phase("I", tuple(range(50))), Phase("II", tuple(range(50, 100))))
    made = chronology_of(
        base.events, base.later, base.earlier, base.evidence, WINDOW, phases=phases, links=(PhaseLink(1, 0),)
    )  # fmt: skip
    return made, Suppositions()


MODELS: dict[str, Callable[[], Made]] = {
    "three in a row": _three,
    "five in a row, flat span": _five_flat,
    "two branches, finds": _two_branches,
    "radiocarbon": _carbon,
    "absence of later finds": _absence,
    "two abutting phases": _abutting,
    "a tree of 20 events": _tree,
    "50 events": lambda: (deep_site(50, 8), Suppositions()),
    "100 events, two phases apart": _apart,
    "200 events": lambda: (deep_site(200, 10), Suppositions()),
}
