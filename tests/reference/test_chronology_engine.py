"""The sampler against an independent general-purpose engine on ten chronologies of 3 to 200 events.

The engine's figures (mean and deviation of every event and boundary, with the errors of both) are kept in chronology_engine.json
with engine, version, settings and seed; tools/chronology_engine.py wrote them, with a density written down a second time.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from baulk.dating.chains import run_chains
from baulk.dating.model import SpanPrior
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import nodes_of
from baulk.dating.sampling import Sampling
from baulk.dating.tables import tables_of

from .chronology_figures import Figures, figures_of
from .chronology_models import MODELS, Made

HERE = Path(__file__).resolve().parent
HELD: dict[str, dict[str, Any]] = json.loads((HERE / "chronology_engine.json").read_text(encoding="utf-8"))
COMPARISONS = 2 * sum(len(one["mean"]) for one in HELD.values())
"""A mean and a deviation for each event and boundary of all models."""
ALLOWED = float(norm.isf(0.01 / COMPARISONS / 2))
"""Joint standard errors that two figures may lie apart: if all is right, one run in a hundred has a comparison beyond it."""
LOOSENED = {
    "three in a row": (1, 0),
    "five in a row, flat span": (2, 1),
    "two branches, finds": (3, 1),
    "radiocarbon": (4, 2),
    "absence of later finds": (4, 3),
    "two abutting phases": (1, 0),
    "a tree of 20 events": (9, 4),
    "50 events": (19, 13),
    "100 events, two phases apart": (75, 71),
    "200 events": (61, 60),
}
"""One relation of each model, later and earlier, that is left out to see whether it is missed."""


def sampled(made: Made, sweeps_each: int = 1) -> Figures:
    """Return the figures of a run of the sampler that settled."""
    chronology, supposed = made
    tables = tables_of(chronology, supposed)
    nodes = nodes_of(chronology, tables, supposed)
    setting = setting_of(nodes, tables, chronology.window.step)
    run = run_chains(setting, nodes, Sampling(sweeps_each=sweeps_each), np.random.default_rng(5), cells=chronology.window.cells)
    return figures_of(run.draws)


@cache
def ours(name: str) -> Figures:
    """Return our figures of one model."""
    return sampled(MODELS[name](), sweeps_each=4)


def kept(name: str) -> Figures:
    """Return the engine's figures of one model."""
    return Figures(*(np.array(HELD[name][column]) for column in Figures._fields))


def distances(one: Figures, other: Figures) -> NDArray[np.float64]:
    """Return by how many joint standard errors means and deviations lie apart, shape (2, nodes)."""
    means = np.abs(one.mean - other.mean) / np.hypot(one.mean_error, other.mean_error)
    return np.array([means, np.abs(one.sd - other.sd) / np.hypot(one.sd_error, other.sd_error)])


@pytest.mark.parametrize("name", HELD)
def test_means_and_deviations_agree(name: str) -> None:
    """Every event and boundary has the engine's mean and deviation within the Monte Carlo errors of both."""
    assert distances(ours(name), kept(name)).max() < ALLOWED


def test_distances_are_as_large_as_chance_makes_them() -> None:
    """Over all models the distances scatter like one standard error: the errors are neither too wide nor too narrow.

    The distances of one model hang together, so their root mean square is known to about a tenth.
    """
    every = np.concatenate([distances(ours(name), kept(name)).ravel() for name in HELD])
    assert len(every) == COMPARISONS
    assert 0.7 < np.sqrt((every**2).mean()) < 1.3


@pytest.mark.parametrize("name", HELD)
def test_another_span_prior_is_caught(name: str) -> None:
    """Negative control: sampled under the other prior of the span, a model does not pass."""
    chronology, supposed = MODELS[name]()
    other = SpanPrior.FLAT if supposed.span is SpanPrior.UNIFORM else SpanPrior.UNIFORM
    assert distances(sampled((chronology, replace(supposed, span=other))), kept(name)).max() > ALLOWED


@pytest.mark.parametrize("name", HELD)
def test_a_relation_left_out_is_caught(name: str) -> None:
    """Negative control: sampled without one of its relations, a model does not pass."""
    chronology, supposed = MODELS[name]()
    later, earlier = LOOSENED[name]
    rest = (chronology.later != later) | (chronology.earlier != earlier)
    assert not rest.all(), "the relation is in the model"
    loosened = replace(chronology, later=chronology.later[rest], earlier=chronology.earlier[rest])
    assert distances(sampled((loosened, supposed)), kept(name)).max() > ALLOWED


def test_the_engine_had_settled() -> None:
    """Each of ten models has engine, version, settings and seed beside its figures, and they come from chains that agree."""
    assert set(HELD) == set(MODELS)
    assert len(HELD) == 10
    for held in HELD.values():
        assert "NUTS" in held["engine"] and held["seed"] >= 100
        assert held["r_hat"] <= 1.01 and min(held["least_bulk"], held["least_tail"]) >= 400
        assert held["divergent"] <= 8, "one draw in a thousand at most"
    sizes = [len(MODELS[name]()[0].events) for name in HELD]
    assert min(sizes) == 3 and max(sizes) == 200
