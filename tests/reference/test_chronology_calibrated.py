"""Simulation-based calibration: over hundreds of made sites the true date's rank among the draws is uniform; a fault is caught.

Method: Talts, Betancourt, Simpson, Vehtari, Gelman 2018, "Validating Bayesian inference algorithms with simulation-based
calibration" (arXiv 1804.06788; from memory). Years with errors are simulated from the true dates. Finds, absence and doubted
documents are taken as given, and true dates are drawn from the prior until one is accepted with the chance that this evidence gives
it: such dates are draws from the posterior of that evidence.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.stats import chisquare

from baulk.dating.evidence import Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.intrusion import Disturbance
from baulk.dating.likelihood import likelihood_of
from baulk.dating.model import Chronology, SpanPrior, Suppositions, chronology_of
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import nodes_of
from baulk.dating.sweeps import any_start, run_sweeps
from baulk.dating.tables import tables_of
from baulk.dating.window import Window

WINDOW = Window(1601, 1800, firm=True)
SITES, KEPT, EACH, BINS = 320, 31, 8, 8
"""Draws 8 sweeps apart are all but independent on sites of three to six events; 31 of them give 32 ranks, four to a bin."""
HOUSE = Suppositions()


def any_order(rng: np.random.Generator, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return relations among events numbered by chance, each pair related with chance 0.4."""
    names = rng.permutation(count)
    later, earlier = np.nonzero(np.tril(rng.random((count, count)) < 0.4, -1))
    return names[later], names[earlier]


def true_dates(rng: np.random.Generator, count: int, later: np.ndarray, earlier: np.ndarray) -> np.ndarray:
    """Return dates from the prior: any span, any place for it, even dates inside until they keep the order."""
    span = rng.random() * WINDOW.length
    start = rng.random() * (WINDOW.length - span)
    while True:
        dates = start + span * rng.random(count)
        if (dates[later] > dates[earlier]).all():
            return dates


def given_evidence(rng: np.random.Generator, count: int) -> list[Evidence]:
    """Return finds, absence and a doubted document, made without a look at any date."""
    found: list[Evidence] = []
    for place in range(2):
        begin = int(rng.integers(1605, 1760))
        disturbance = Disturbance(int(rng.integers(4)))
        found.append(FindMade(int(rng.integers(count)), f"find {place}", begin, begin + int(rng.integers(1, 40)), disturbance))
    if rng.random() < 0.5:
        found.append(NoneLater(int(rng.integers(count)), "none", int(rng.integers(5, 25)), int(rng.integers(1650, 1780)), 0.8))
    if rng.random() < 0.5:
        found.append(Documented(int(rng.integers(count)), "map", None, int(rng.integers(1650, 1790)), 0.2))
    return found


def made_site(rng: np.random.Generator) -> tuple[Chronology, np.ndarray]:
    """Return a small site with its true dates."""
    count = int(rng.integers(3, 7))
    later, earlier = any_order(rng, count)
    given = given_evidence(rng, count)
    curves = [(one.event, likelihood_of(one, WINDOW, HOUSE).yearly) for one in given]
    while True:
        dates = true_dates(rng, count, later, earlier)
        if rng.random() < np.prod([curve[int(dates[event])] / curve.max() for event, curve in curves]):
            break
    years = [
        YearWithError(event, f"year {event}", float(WINDOW.first + dates[event] + error * rng.normal()), error)
        for event, error in ((int(rng.integers(count)), 10.0), (int(rng.integers(count)), 25.0))
    ]
    inside = [one for one in years if WINDOW.first + 25 < one.year < WINDOW.first + WINDOW.length - 25]
    if len(inside) < len(years):  # a measured year that a firm window would cut short belongs to another kind of site
        return made_site(rng)
    return chronology_of([str(one) for one in range(count)], later, earlier, [*given, *years], WINDOW), dates


@cache
def made_sites() -> tuple[tuple[Chronology, np.ndarray], ...]:
    """Return the made sites, the same for the check and its controls."""
    rng = np.random.default_rng(11)
    return tuple(made_site(rng) for _ in range(SITES))


def rank_of(rng: np.random.Generator, made: Chronology, dates: np.ndarray, supposed: Suppositions) -> list[int]:
    """Return the ranks of three true figures among the draws: one event's date, the first and the last of all events."""
    tables = tables_of(made, supposed)
    nodes = nodes_of(made, tables, supposed)
    setting = setting_of(nodes, tables, 1)
    times = any_start(rng, setting, nodes.rising, nodes.high)
    draws, chances = np.empty((KEPT, nodes.count), np.float32), np.zeros((nodes.count, WINDOW.cells), np.float32)
    run_sweeps(rng, setting, times, 1, 50, np.empty((0, 0), np.float32), chances)
    run_sweeps(rng, setting, times, KEPT, EACH, draws, chances)
    events = draws[:, : nodes.events]
    pairs = ((events[:, 0], dates[0]), (events.min(axis=1), dates.min()), (events.max(axis=1) - events.min(axis=1), np.ptp(dates)))
    return [int((drawn < true).sum()) for drawn, true in pairs]


def chances_of_uniform(supposed: Suppositions, *, believed: float = 1.0) -> list[float]:
    """Return for each figure the chance of ranks as uneven as those of the made sites, were they uniform."""
    rng, ranks = np.random.default_rng(12), []
    for made, dates in made_sites():
        evidence = tuple(
            replace(one, error=one.error * believed) if isinstance(one, YearWithError) else one for one in made.evidence
        )
        ranks.append(rank_of(rng, replace(made, evidence=evidence), dates, supposed))
    return [float(chisquare(np.histogram(column, BINS, (0, KEPT + 1))[0]).pvalue) for column in np.array(ranks).T]


def test_true_dates_rank_evenly_among_the_draws() -> None:
    """Over 320 made sites the ranks of an event, of the first date and of the spread of all are uniform."""
    assert min(chances_of_uniform(HOUSE)) > 1e-3


@pytest.mark.parametrize(
    ("wrong", "believed"),
    [(replace(HOUSE, span=SpanPrior.FLAT), 1.0), (HOUSE, 0.4)],
    ids=["flat span", "errors believed too small"],
)
def test_a_wrong_supposition_is_caught(wrong: Suppositions, believed: float) -> None:
    """Negative control: a model that supposes something else than what made the sites has uneven ranks."""
    assert min(chances_of_uniform(wrong, believed=believed)) < 1e-4
