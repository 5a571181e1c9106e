"""The moves of the sampler one by one: what each keeps, and where it leads."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import kstest

from baulk.dating.diagnosis import Diagnosis
from baulk.dating.event_moves import add_chances, draw_events, turn_events
from baulk.dating.evidence import YearWithError
from baulk.dating.model import Chronology, SpanPrior, Suppositions, chronology_of
from baulk.dating.moves_arrays import Setting, setting_of
from baulk.dating.nodes import Nodes, nodes_of
from baulk.dating.sweeps import any_start
from baulk.dating.tables import tables_of
from baulk.dating.whole_moves import redraw_span
from baulk.dating.window import Window
from tests.reference.chronology_models import deep_site

WINDOW = Window(1600, 1949)


def parts(made: Chronology, *, dated: bool = True, span: SpanPrior = SpanPrior.UNIFORM) -> tuple[Nodes, Setting]:
    """Return nodes and arrays of a chronology."""
    supposed = Suppositions(span=span)
    tables = tables_of(made, supposed)
    nodes = nodes_of(made, tables, supposed)
    return nodes, setting_of(nodes, tables, made.window.step, dated=dated)


def in_order(setting: Setting, times: np.ndarray) -> bool:
    """Return whether no node lies before one that it is later than."""
    later = np.repeat(np.arange(len(times)), np.diff(setting.below_starts))
    return bool((times[later] >= times[setting.below]).all())


def test_a_start_and_every_pass_keep_the_order() -> None:
    """Drawing anew and turning over, pass after pass, leave no event before one that it is later than."""
    nodes, setting = parts(deep_site(120, 3))
    rng = np.random.default_rng(4)
    times = any_start(rng, setting, nodes.rising, nodes.high)
    assert in_order(setting, times)
    for _ in range(50):
        before = times.copy()
        draw_events(rng, setting, times)
        turn_events(setting, times)
        assert in_order(setting, times)
        assert (times != before)[: nodes.events].all()
    assert not in_order(setting, -times)


def test_turned_over_twice_an_event_is_where_it_was() -> None:
    """Between neighbours that stay, turning over leads to the mirrored share of the event's own chance, and back."""
    made = chronology_of(["only"], [], [], [YearWithError(0, "year", 1730, 25)], WINDOW)
    nodes, setting = parts(made)
    times = np.array([128.0, 10.0, 330.0])
    turn_events(setting, times)
    total = setting.total[setting.row[0]]
    below, between, above = (np.interp(one, np.arange(len(total)), total) for one in (10.0, times[0], 330.0))
    at_first = np.interp(128.0, np.arange(len(total)), total)
    assert between - below == pytest.approx(above - at_first, rel=1e-9)
    assert times[0] == pytest.approx(132.0, abs=0.5)  # two years past 1730, after two years before it
    turn_events(setting, times)
    assert times[0] == pytest.approx(128.0, abs=1e-9)
    assert nodes.events == 1


def test_an_event_without_evidence_is_mirrored_between_its_neighbours() -> None:
    """Nothing but the order holds it: as far above the lower neighbour as it was below the upper one."""
    _, setting = parts(chronology_of(["a", "b", "c"], [1, 2], [0, 1], [], WINDOW))
    times = np.array([40.0, 50.0, 90.0, 30.0, 130.0])
    turn_events(setting, times)  # a between the start and b, then b between the new a and c, then c between b and the end
    assert times[:3] == pytest.approx([40.0, 80.0, 120.0])


def test_where_nearly_nothing_of_the_evidence_lies_an_event_is_drawn_cell_by_cell() -> None:
    """Held eight deviations from its year, an event is still drawn, nearest to the year, and not turned over."""
    made = chronology_of(["only"], [], [], [YearWithError(0, "year", 1600, 20)], Window(1400, 1949))
    _, setting = parts(made)
    rng = np.random.default_rng(1)
    times = np.array([370.0, 360.0, 400.0])
    turn_events(setting, times)
    assert times[0] == 370.0
    found = []
    for _ in range(400):
        draw_events(rng, setting, times)
        found.append(float(times[0]))
    assert min(found) >= 360.0
    assert np.mean(found) == pytest.approx(360.0 + 20**2 / 160, abs=0.5)  # falls off by one e-th in so many years


def test_chances_of_a_node_are_its_conditional_given_its_neighbours() -> None:
    """An event without evidence is even between its neighbours; a boundary counts where it is."""
    nodes, setting = parts(chronology_of(["a", "b"], [1], [0], [], WINDOW))
    chances = np.zeros((nodes.count, 350), np.float32)
    add_chances(setting, np.array([20.0, 30.0, 10.5, 40.0]), chances)
    assert chances[0, 10] == pytest.approx(0.5 / 19.5)
    assert chances[0, 11:30] == pytest.approx(1 / 19.5)
    assert chances[1, 20:40] == pytest.approx(1 / 20.0)
    assert np.flatnonzero(chances[2]).tolist() == [10]
    assert chances.sum(axis=1) == pytest.approx(1.0, abs=1e-6)


def test_a_bare_span_is_drawn_even_and_keeps_every_share() -> None:
    """Span and start are even by the test of Kolmogorov and Smirnov, shares of the span stay; spans squared are caught."""
    nodes, setting = parts(deep_site(30, 5), dated=False)
    rng = np.random.default_rng(8)
    times = any_start(rng, setting, nodes.rising, nodes.high)
    start, end = int(setting.start[0]), int(setting.end[0])
    shares = (times - times[start]) / (times[end] - times[start])
    spans, starts = [], []
    for _ in range(2000):
        redraw_span(rng, setting, times)
        span = times[end] - times[start]
        assert (times - times[start]) / span == pytest.approx(shares, abs=1e-6)
        spans.append(span / setting.length)
        starts.append(times[start] / (setting.length - span))
    assert kstest(spans, "uniform").pvalue > 0.001
    assert kstest(starts, "uniform").pvalue > 0.001
    assert kstest(np.square(spans), "uniform").pvalue < 1e-9


def test_only_a_bare_site_under_the_uniform_span_is_redrawn_whole() -> None:
    """With evidence, or with long spans likelier, the draw would be wrong, and is not made."""
    made = deep_site(5, 1)
    assert parts(made, dated=False)[1].bare
    assert not parts(made)[1].bare
    assert not parts(made, dated=False, span=SpanPrior.FLAT)[1].bare


def test_what_is_wanting_is_told_by_the_worse_of_the_two_figures() -> None:
    """A quarter of the draws wants four times the sweeps; an R̂ of 1.05 wants five times; what passes wants no more."""

    def judged(r_hat: float, bulk: float) -> Diagnosis:
        figures = np.array([1.0, r_hat]), np.array([900.0, bulk]), np.array([900.0, 800.0])
        return Diagnosis(("a", "b"), *figures, 4, 1000, 2000, 1.01, 400.0)

    assert judged(1.001, 100.0).wanting == pytest.approx(4.0)
    assert judged(1.05, 300.0).wanting == pytest.approx(5.0)
    assert judged(1.005, 800.0).wanting <= 1.0
    assert judged(1.005, 800.0).settled
