"""The chronology model against closed forms and exact integration: reference figures for ordered events.

Closed forms as derived and checked by Monte Carlo for this project (order statistics of uniform dates; two ordered normals); source
of the forms from memory. The uniform span is that of Nicholls and Jones 2001 (abstract read: "a prior which has a uniform marginal
date range"; formula derived).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import beta, kstest, norm

from baulk.dating.chains import Run, run_chains
from baulk.dating.chronology import date_events
from baulk.dating.evidence import CarbonDate, Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.likelihood import likelihood_of
from baulk.dating.model import Chronology, SpanPrior, Suppositions, chronology_of
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import Nodes, nodes_of
from baulk.dating.sampling import Sampling
from baulk.dating.tables import tables_of
from baulk.dating.window import Window

WINDOW = Window(1601, 1700, firm=True)
LONG = Sampling(kept=1000, sweeps_each=10, least_draws=1500)
FLAT, UNIFORM = Suppositions(span=SpanPrior.FLAT), Suppositions()


def sampled(made: Chronology, supposed: Suppositions, *, seed: int = 1, how: Sampling = LONG) -> tuple[np.ndarray, Nodes, Run]:
    """Return draws of all nodes, chains one after another, with the nodes and the run."""
    tables = tables_of(made, supposed)
    nodes = nodes_of(made, tables, supposed)
    setting = setting_of(nodes, tables, made.window.step)
    run = run_chains(setting, nodes, how, np.random.default_rng(seed), cells=made.window.cells)
    return run.draws.reshape(-1, nodes.count).astype(np.float64), nodes, run


def chain(count: int, evidence: tuple[Evidence, ...] = (), window: Window = WINDOW) -> Chronology:
    """Return events in a row, the first the earliest."""
    return chronology_of([str(one) for one in range(count)], range(1, count), range(count - 1), evidence, window)


def agrees(found: np.ndarray, expected: float, draws: float, times: float = 4.5) -> bool:
    """Return whether a mean of draws lies within some standard errors of what it should be."""
    return bool(abs(found.mean() - expected) < times * found.std() / np.sqrt(draws) + 1e-3)


def test_ordered_uniform_dates_are_the_order_statistics() -> None:
    """Five events under the flat order prior, with the site's ends two more, no evidence: the k-th of seven is Beta(k, 8 - k)."""
    draws, nodes, run = sampled(chain(5), FLAT)
    effective = float(run.diagnosis.bulk.min())
    for place, node in enumerate([5, 0, 1, 2, 3, 4, 6], 1):  # start of the site, events, end of the site
        share = draws[:, node] / 100
        exact = beta(place, 8 - place)
        assert agrees(share, float(exact.mean()), effective), nodes.names[node]
        assert share.std() == pytest.approx(exact.std(), rel=0.05)
        assert np.quantile(share, [0.025, 0.975]) == pytest.approx(exact.ppf([0.025, 0.975]), abs=0.02)


@pytest.mark.parametrize("count", [1, 3, 10, 25])
def test_the_span_is_uniform_whatever_the_number_of_events(count: int) -> None:
    """The site's span is uniform on the window's length; inside it the k-th of n events stands at k / (n + 1) on average."""
    draws, _, run = sampled(chain(count), UNIFORM)
    span = (draws[:, count + 1] - draws[:, count]) / 100
    thin = max(1, int(np.ceil(len(span) / run.diagnosis.bulk.min())))
    assert kstest(span[::thin], "uniform").pvalue > 1e-3
    inside = (draws[:, :count] - draws[:, [count]]) / (draws[:, [count + 1]] - draws[:, [count]])
    assert inside.mean(axis=0) == pytest.approx(np.arange(1, count + 1) / (count + 1), abs=0.02)


def test_the_flat_prior_favours_wide_spans_and_the_check_sees_it() -> None:
    """Negative control: without the correction the span of n events and both ends has mean (n + 1) / (n + 3), not a half."""
    draws, _, run = sampled(chain(8), FLAT)
    span = (draws[:, 9] - draws[:, 8]) / 100
    assert agrees(span, 9 / 11, float(run.diagnosis.bulk.min()))
    assert kstest(span[::8], "uniform").pvalue < 1e-6


def test_the_span_is_uniform_for_a_partial_order_too() -> None:
    """Two rows of three events side by side: the span stays uniform, as the order's volume grows with span^n all the same."""
    made = chronology_of([str(one) for one in range(6)], [1, 2, 4, 5], [0, 1, 3, 4], [], WINDOW)
    draws, _, run = sampled(made, UNIFORM)
    span = (draws[:, 7] - draws[:, 6]) / 100
    thin = max(1, int(np.ceil(len(span) / run.diagnosis.bulk.min())))
    assert kstest(span[::thin], "uniform").pvalue > 1e-3


def test_two_ordered_normals() -> None:
    """X 1750 ± 30 before Y 1740 ± 40, flat otherwise: means 1733.2705 and 1769.7413, deviations 26.0835 and 30.0965 (closed form).

    The site's ends are integrated over too: under the flat prior they weigh the dates by (X - A)(B - Y), which a window of 20,000
    years makes flat.
    """
    evidence = (YearWithError(0, "x", 1750, 30), YearWithError(1, "y", 1740, 40))
    window = Window(-8000, 12000, 2)
    draws, _, run = sampled(chain(2, evidence, window), FLAT)
    draws = draws + window.first
    delta = (1740 - 1750) / 50
    inverse = norm.pdf(delta) / norm.cdf(delta)
    assert (1750 - 900 * inverse / 50, 1740 + 1600 * inverse / 50) == pytest.approx((1733.2705, 1769.7413), abs=1e-3)
    effective = float(min(run.diagnosis.bulk[:2]))
    assert agrees(draws[:, 0], 1733.2705, effective)
    assert agrees(draws[:, 1], 1769.7413, effective)
    assert draws[:, :2].std(axis=0) == pytest.approx([26.0835, 30.0965], rel=0.04)


def test_a_hard_bound_leaves_an_even_rest() -> None:
    """One event under a lease of 1650 and no other evidence: its date is even from 1650 on but for the pull of the span's ends."""
    dates = date_events(chain(1, (Documented(0, "lease", 1650),)), seed=1, sampling=LONG)
    assert dates.of("0").within(1601, 1649) == 0.0
    assert dates.of("0").pieces(0.95)[0].begin == 1650


def exact_marginals(made: Chronology, supposed: Suppositions, weight: Callable[[np.ndarray, np.ndarray], np.ndarray]) -> np.ndarray:
    """Return the exact mean of each event of a row by nested sums over a fine grid of times, the site's ends integrated out."""
    fine, count = 400 // made.window.cells, len(made.events)
    times = (np.arange(made.window.cells * fine) + 0.5) / fine
    logs = np.zeros((count, len(times)))
    for one in made.evidence:
        logs[one.event] += np.log(np.maximum(likelihood_of(one, made.window, supposed).yearly, 1e-300)).repeat(fine)
    value = np.exp(logs - logs.max(axis=1, keepdims=True))
    first, last = np.meshgrid(times, times, indexing="ij")
    ends = np.where(first <= last, weight(first, last), 0.0)
    ends[np.diag_indices(len(times))] *= 0.5
    upper = np.triu(np.ones((len(times), len(times)))) - 0.5 * np.eye(len(times))
    found = np.empty(count)
    for asked in range(count):
        totals = []
        for factor in (np.ones(len(times)), times):
            table = [value[k] * (factor if k == asked else 1.0) for k in range(count)]
            link = np.diag(table[0])
            for k in range(1, count):
                link = (link @ upper) * table[k][None, :]
            totals.append(float((link * ends).sum()))
        found[asked] = totals[1] / totals[0]
    return found


def ends_weight(made: Chronology, supposed: Suppositions) -> Callable[[np.ndarray, np.ndarray], np.ndarray]:
    """Return the weight of first and last event with the site's start and end integrated out by quadrature over the span."""
    length, count = made.window.length, len(made.events)
    power = count if supposed.span is SpanPrior.UNIFORM else 0

    def weight(first: np.ndarray, last: np.ndarray) -> np.ndarray:
        step = length / 250
        total = np.zeros_like(first)
        for span in (np.arange(250) + 0.5) * step:
            density = span**-power / (length - span) if supposed.span is SpanPrior.UNIFORM else 1.0
            room = np.minimum(first, length - span) - np.maximum(0.0, last - span)  # where the start may lie
            total += density * np.maximum(room, 0.0) * step
        return total

    return weight


ROWS: dict[str, tuple[Chronology, Suppositions]] = {
    "one, uniform span": (chain(1, (YearWithError(0, "y", 1640, 12),)), UNIFORM),
    "two, finds": (
        chain(2, (FindMade(0, "f", 1640, 1660), FindMade(1, "g", 1625, 1640), YearWithError(1, "y", 1650, 15))), UNIFORM,
    ),
    "three, absence": (
        chain(3, (YearWithError(0, "y", 1620, 10), FindMade(1, "f", 1630, 1650), NoneLater(1, "n", 15, 1650))), UNIFORM,
    ),
    "four, flat": (chain(4, (YearWithError(1, "y", 1660, 15), YearWithError(2, "z", 1640, 15))), FLAT),
    "four, uniform, radiocarbon": (
        chain(4, (CarbonDate(1, "s", 350, 25), YearWithError(3, "y", 1650, 20)), Window(1501, 1700, firm=True)), UNIFORM,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_rows_of_up_to_four_events_agree_with_exact_integration(name: str) -> None:
    """Mean dates of one to four events lie within Monte Carlo error of nested sums over small parts of a year."""
    made, supposed = ROWS[name]
    exact = exact_marginals(made, supposed, ends_weight(made, supposed))
    draws, _, run = sampled(made, supposed)
    for event, expected in enumerate(exact):
        error = draws[:, event].std() / np.sqrt(run.diagnosis.bulk[event])
        assert abs(draws[:, event].mean() - expected) < 4.5 * error + 0.05, (event, expected)


def test_exact_integration_is_itself_right() -> None:
    """Of one event without evidence under the uniform span the mean is the middle; of a normal cut by nothing its own; by scipy."""
    made = chain(1, (YearWithError(0, "y", 1640, 5),))
    whole = exact_marginals(made, FLAT, ends_weight(made, FLAT))[0]
    top = quad(lambda t: t * t * (100 - t) * norm.pdf(t, 39, 5), 0, 100, points=[39])[0]
    bottom = quad(lambda t: t * (100 - t) * norm.pdf(t, 39, 5), 0, 100, points=[39])[0]
    assert whole == pytest.approx(top / bottom, abs=0.05)
    assert exact_marginals(chain(1), UNIFORM, ends_weight(chain(1), UNIFORM))[0] == pytest.approx(50, abs=0.1)


def test_a_wrong_density_is_caught_by_exact_integration() -> None:
    """Negative control: figures of the flat prior do not pass for those of the uniform one."""
    made, _ = ROWS["four, flat"]
    exact = exact_marginals(made, UNIFORM, ends_weight(made, UNIFORM))
    draws, _, run = sampled(made, FLAT)
    error = draws[:, 0].std() / np.sqrt(run.diagnosis.bulk[0])
    assert abs(draws[:, 0].mean() - exact[0]) > 10 * error
