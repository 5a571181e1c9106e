"""Weights of evidence and information: published or recomputed figures, with where each comes from."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.reading.next_test import entropy, expected_information
from baulk.reading.prior import equal_prior
from baulk.reading.question import Evidence, Reading, question_of
from baulk.reading.scale import expectation_of
from baulk.reading.weigh import Weighed, decibans, weigh, weights_between

# Recomputed from 10·log10 of the ratio.
LADDER = [
    (1, 0),
    (1.2589, 1),
    (2, 3.010),
    (3, 4.771),
    (5, 6.990),
    (10, 10),
    (20, 13.010),
    (100, 20),
    (1000, 30),
    (1e4, 40),
    (1e6, 60),
]


@pytest.mark.parametrize(("ratio", "weight"), LADDER)
def test_decibans_of_a_ratio(ratio: float, weight: float) -> None:
    """Ten times the common logarithm of a ratio of chances (recomputed from the formula)."""
    assert decibans(ratio) == pytest.approx(weight, abs=6e-4)


def coins(heads: bool) -> Weighed:
    """Return one throw weighed for three coins that show heads with chance 0.95, 0.5 and 0.99."""
    chances = {"loaded": 0.95, "fair": 0.5, "other": 0.99}
    throw = Evidence("throw", "heads", {coin: expectation_of(chance) for coin, chance in chances.items()}, seen=heads)
    return weigh(question_of("Which coin?", [Reading(coin, coin) for coin in chances], [throw]))


@pytest.mark.parametrize(
    ("heads", "rival", "exact", "printed"),
    [(True, 1, 2.788, 2.8), (False, 1, -10.0, -10.0), (True, 2, -0.179, -0.18), (False, 2, 6.990, 7.0)],
)
def test_the_sign_of_a_weight_depends_on_the_rival(heads: bool, rival: int, exact: float, printed: float) -> None:
    """A coin example (de Blanc, comment on lesswrong.com, read): the same throw speaks for or against as the rival changes."""
    between = float(weights_between(coins(heads), 0, rival).sum())
    assert between == pytest.approx(exact, abs=6e-4)
    assert between == pytest.approx(printed, abs=0.05)


def test_entering_one_sighting_twice_adds_nothing() -> None:
    """The dependence test: one observation entered twice under one cause weighs what it weighs once."""
    once = Evidence("a", "on edge", {"x": expectation_of(0.8), "y": expectation_of(0.2)}, cause="laying")
    twice = Evidence("b", "on edge again", dict(once.expected), cause="laying")
    readings = [Reading("x", "x"), Reading("y", "y")]
    one, two = (weigh(question_of("?", readings, pieces)) for pieces in ([once], [once, twice]))
    assert np.array_equal(one.posterior, two.posterior)
    apart = weigh(question_of("?", readings, [once, Evidence("b", "again", dict(once.expected))]))
    assert apart.posterior[0] > two.posterior[0] + 0.05


def test_posterior_odds_are_prior_odds_times_the_ratio() -> None:
    """Prior odds 1:3 and a ratio of 6 give odds of 2:1 (by hand from the formula)."""
    piece = Evidence("a", "seen", {"x": expectation_of(0.6), "y": expectation_of(0.1)})
    held = weigh(question_of("?", [Reading("x", "x", 0.225), Reading("y", "y", 0.675)], [piece]))
    assert held.posterior[0] / held.posterior[1] == pytest.approx(2)
    level = weigh(held.question, prior=equal_prior(3)).posterior
    assert level == pytest.approx(np.array([0.6, 0.1, 0.5]) / 1.2)


# Recomputed from Lindley's formula for a yes/no observation: prior of the first of two readings, chances of yes, bits.
INFORMATION = [
    (0.5, 0.8, 0.2, 0.278072), (0.5, 0.9, 0.2, 0.397313), (0.5, 0.9, 0.5, 0.146793), (0.2, 0.9, 0.2, 0.253477),
    (0.5, 0.5, 0.5, 0.0), (0.5, 1.0, 0.0, 1.0),
]  # fmt: skip


@pytest.mark.parametrize(("prior", "one", "other", "bits"), INFORMATION)
def test_expected_information_of_a_yes_no_observation(prior: float, one: float, other: float, bits: float) -> None:
    """Expected information (Lindley 1956, formula from memory), never below 0 and never above the doubt there is."""
    shares, table = np.array([prior, 1 - prior]), np.array([[one, other], [1 - one, 1 - other]])
    assert expected_information(shares, table) == pytest.approx(bits, abs=6e-7)
    assert 0 <= expected_information(shares, table) <= entropy(shares) + 1e-12
