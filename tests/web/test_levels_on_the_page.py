"""The page reduces a run of levels as the site server does, to the last digit, and names the same faults."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.levels import Booking, reduce_by_instrument_height
from baulk.grid.misclosure import MisclosureLimit, close_run
from baulk.grid.points import Level
from tests.web.answers import answers_of

FOOT = 0.3048
RUN = [
    {"backsight": 1.855},
    {"intermediate": 2.410},
    {"foresight": 1.280, "backsight": 0.945},
    {"intermediate": 1.75},
    {"foresight": 2.105, "backsight": 1.5},
    {"foresight": 0.915},
]


def booked(lines: list[dict[str, float]], metres: float = 1.0) -> list[Booking]:
    """Return the lines as the site server books them, in metres."""
    return [Booking(f"line {at}", **_scaled(line, metres)) for at, line in enumerate(lines, 1)]


def _scaled(line: dict[str, float], metres: float) -> dict[str, Any]:
    return {name: value * metres for name, value in line.items()}


def random_run(rng: np.random.Generator) -> list[dict[str, float]]:
    """Return a run that can be reduced."""

    def reading() -> float:
        return round(float(rng.uniform(0.1, 4.0)), 3)

    middle: list[dict[str, float]] = [
        {"intermediate": reading()} if rng.random() < 0.6 else {"foresight": reading(), "backsight": reading()}
        for _ in range(int(rng.integers(0, 25)))
    ]
    return [{"backsight": reading()}, *middle, {"foresight": reading()}]


@pytest.mark.parametrize("metres", [1.0, FOOT])
def test_levels_and_heights_of_instrument_agree(metres: float) -> None:
    """Levels, lines of sight, set-ups and sums of 60 runs are the server's, in metres and in feet."""
    rng = np.random.default_rng(7)
    runs = [RUN, *(random_run(rng) for _ in range(60))]
    asked = [{"bookings": run, "benchmark": 31.245, "metres": metres, "known": 31.25} for run in runs]
    for run, answer in zip(runs, answers_of("levels", asked), strict=True):
        reduced = reduce_by_instrument_height(booked(run, metres), benchmark=Level(31.245 * metres))
        assert answer["whole"] is True
        assert [line["level"] for line in answer["lines"]] == pytest.approx((reduced.level / metres).tolist(), abs=1e-9)
        assert [line["setUp"] for line in answer["lines"]] == reduced.set_up.tolist()
        sights = [line.get("instrument", math.nan) for line in answer["lines"]]
        assert sights == pytest.approx((reduced.instrument / metres).tolist(), abs=1e-9, nan_ok=True)
        assert answer["sumBacksights"] - answer["sumForesights"] == pytest.approx(
            (reduced.check.sum_backsights - reduced.check.sum_foresights) / metres, abs=1e-9
        )
        closure = close_run(reduced, closing=Level(31.25 * metres))
        assert answer["closure"]["misclosure"] * metres == pytest.approx(closure.misclosure, abs=1e-9)
        assert answer["closure"]["allowed"] * metres == pytest.approx(closure.allowed, abs=1e-12)
        assert answer["closure"]["within"] is closure.within


def test_a_sites_own_limit_decides() -> None:
    """A run that misses by 4 mm is within the house limit and outside one of 3 mm; nothing is decided without a known level."""
    loop = [{"backsight": 1.5}, {"foresight": 1.2, "backsight": 1.3}, {"foresight": 1.604}]
    asked: dict[str, Any] = {"bookings": loop, "benchmark": 10.0, "known": 10.0, "metres": 1}
    unknown = {name: value for name, value in asked.items() if name != "known"}
    house, own, open_end = answers_of("levels", [asked, {**asked, "limit": 0.003}, unknown])
    assert house["closure"]["within"] is True
    assert own["closure"]["within"] is False
    assert open_end["closure"] is None
    reduced = reduce_by_instrument_height(booked(loop), benchmark=Level(10.0))
    assert close_run(reduced, closing=Level(10.0), limit=MisclosureLimit(fixed=0.003)).within is False


@pytest.mark.parametrize(
    "lines",
    [
        [{"intermediate": 1.2}, {"foresight": 1.0}],
        [{"backsight": 1.2}, {}, {"foresight": 1.0}],
        [{"backsight": 1.2}, {"backsight": 1.1}, {"foresight": 1.0}],
        [{"backsight": 1.2}, {"foresight": 1.1}, {"foresight": 1.0}],
        [{"backsight": 1.2}, {"intermediate": 1.1, "foresight": 1.3}, {"foresight": 1.0}],
        [{"backsight": 120.5}, {"foresight": 1.0}],
    ],
)
def test_the_same_faults_in_the_same_words(lines: list[dict[str, float]]) -> None:
    """A line that cannot be right is told in the server's sentence, and no level rests on it."""
    (answer,) = answers_of("levels", [{"bookings": lines, "benchmark": 10.0, "metres": 1}])
    with pytest.raises(MeasureError) as caught:
        reduce_by_instrument_height(booked(lines), benchmark=Level(10.0))
    faults = [line["fault"] for line in answer["lines"] if line["fault"]]
    assert faults
    assert all(fault in str(caught.value) for fault in faults)
    assert answer["whole"] is False


def test_a_run_that_ends_without_a_foresight_is_not_whole() -> None:
    """A run still being read has its levels, is no fault, and the words for its end are the server's."""
    lines = [{"backsight": 1.855}, {"intermediate": 2.410}]
    (answer,) = answers_of("levels", [{"bookings": lines, "benchmark": 100.0, "metres": 1}])
    assert answer["lines"][1]["level"] == pytest.approx(99.445)
    assert answer["instrument"] == pytest.approx(101.855)
    assert [line["fault"] for line in answer["lines"]] == ["", ""]
    assert answer["whole"] is False
    with pytest.raises(MeasureError) as caught:
        reduce_by_instrument_height(booked(lines), benchmark=Level(100.0))
    assert answer["end"] in str(caught.value)


def test_a_run_that_stands_at_a_turning_point_is_not_whole() -> None:
    """After a turning point the run goes on: it is not held beside a known level, which the server would refuse too."""
    lines = [{"backsight": 1.855}, {"foresight": 1.2, "backsight": 0.9}]
    (answer,) = answers_of("levels", [{"bookings": lines, "benchmark": 100.0, "known": 100.0, "metres": 1}])
    assert (answer["whole"], answer["closure"]) == (False, None)
    with pytest.raises(MeasureError) as caught:
        reduce_by_instrument_height(booked(lines), benchmark=Level(100.0))
    assert answer["end"] in str(caught.value)


def test_a_reading_longer_than_a_staff_is_doubted() -> None:
    """18.55 for 1.855 is kept and doubted."""
    (answer,) = answers_of("levels", [{"bookings": [{"backsight": 18.55}, {"foresight": 1.0}], "benchmark": 0, "metres": 1}])
    assert answer["lines"][0]["doubt"] == "backsight 18.550 is longer than a staff of 5 m: is the decimal point in its place?"
    assert answer["whole"] is True
