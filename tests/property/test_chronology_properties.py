"""Properties of the chronology's parts for any input: likelihoods, discard, constraints, first dates."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as some

from baulk.dating.discard import Discard
from baulk.dating.evidence import Evidence, FindMade, NoneLater
from baulk.dating.intrusion import Disturbance
from baulk.dating.likelihood import likelihood_of
from baulk.dating.model import Suppositions, chronology_of
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import nodes_of
from baulk.dating.sweeps import any_start, run_sweeps
from baulk.dating.tables import tables_of
from baulk.dating.window import Window

WINDOW = Window(1600, 1899)
HOUSE = Suppositions()
shares = some.floats(0.0, 0.95)
lags = some.floats(0.5, 300.0)


@given(lags, shares, lags, shares, some.floats(1.0, 20.0), some.integers(1, 200), some.floats(0.05, 1.0))
def test_absence_never_rises_with_the_years_and_never_rules_out_a_moved_deposit(
    lag: float, residual: float, residual_lag: float, moved: float, together: float, finds: int, recognised: float
) -> None:
    """The likelihood of absence falls from 1 to no less than the chance of moved soil; the chance of it rises from that to 1."""
    curve = Discard(lag, residual, residual_lag, moved, together)
    years = np.linspace(-50, 1000, 400)
    found = curve.none_later(years, finds=finds, recognised=recognised)
    assert (np.diff(found) <= 1e-12).all()
    assert found[0] == 1 and found.min() >= moved - 1e-12
    after = curve.moved(years, finds=finds, recognised=recognised)
    assert ((after >= moved - 1e-12) & (after <= 1 + 1e-12)).all()


@given(some.integers(1601, 1890), some.integers(0, 200), some.sampled_from(Disturbance))
def test_a_find_never_speaks_against_a_later_year(begin: int, more: int, disturbance: Disturbance) -> None:
    """The likelihood of a find never falls as its deposit gets later, and lies between the chance of intrusion and 1."""
    found = likelihood_of(FindMade(0, "find", begin, begin + more, disturbance), WINDOW, HOUSE).yearly
    assert (np.diff(found) >= 0).all()
    assert found[0] >= HOUSE.intrusion.chance(disturbance) and found[-1] <= 1


@settings(deadline=None, max_examples=40)
@given(some.integers(2, 25), some.integers(0, 10_000), some.floats(0.0, 0.5))
def test_starts_and_sweeps_keep_any_order(count: int, seed: int, share: float) -> None:
    """For any order and some finds, first dates and dates after sweeps keep every relation, the ends of the site and the window."""
    rng = np.random.default_rng(seed)
    names = rng.permutation(count)
    later, earlier = np.nonzero(np.tril(rng.random((count, count)) < share, -1))
    evidence: list[Evidence] = [
        FindMade(int(rng.integers(count)), "find", 1700, 1750),
        NoneLater(int(rng.integers(count)), "none", 20, 1760),
    ]
    made = chronology_of([str(one) for one in range(count)], names[later], names[earlier], evidence, WINDOW)
    tables = tables_of(made, HOUSE)
    nodes = nodes_of(made, tables, HOUSE)
    setting = setting_of(nodes, tables, 1)
    times = any_start(rng, setting, nodes.rising, nodes.high)
    for sweeps in (0, 30):
        run_sweeps(rng, setting, times, 1, sweeps, np.empty((0, 0), np.float32), np.empty((0, 0), np.float32))
        assert (times[names[later]] >= times[names[earlier]] - 1e-9).all()
        assert times[count] <= times[:count].min() + 1e-9 and times[count + 1] >= times[:count].max() - 1e-9
        assert times.min() >= 0 and times.max() <= WINDOW.length
