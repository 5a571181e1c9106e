"""The sampler against an independent general-purpose engine on chronologies of 3 to 50 events.

The engine's figures (mean, deviation and draws in effect of every event and boundary) are kept in chronology_engine.json with
engine, version, settings and seed; tools/chronology_engine.py wrote them, with a density written down a second time.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baulk.dating.chains import Run, run_chains
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import nodes_of
from baulk.dating.sampling import Sampling
from baulk.dating.tables import tables_of

from .chronology_models import MODELS

HERE = Path(__file__).resolve().parent
HELD: dict[str, dict[str, Any]] = json.loads((HERE / "chronology_engine.json").read_text(encoding="utf-8"))
UNSETTLED: dict[str, dict[str, Any]] = json.loads((HERE / "chronology_engine_unsettled.json").read_text(encoding="utf-8"))
"""Models on which the engine had not settled when its run was ended: figures kept with their R̂, and not a reference."""
ALLOWED = 5.0
"""Standard errors that may lie between two means; there are over a hundred of them."""


@cache
def ours(name: str) -> Run:
    """Return a run of the sampler on one model."""
    made, supposed = MODELS[name]()
    tables = tables_of(made, supposed)
    nodes = nodes_of(made, tables, supposed)
    setting = setting_of(nodes, tables, made.window.step)
    return run_chains(setting, nodes, Sampling(sweeps_each=4), np.random.default_rng(5), cells=made.window.cells)


def distances(name: str, mean: np.ndarray, sd: np.ndarray, bulk: np.ndarray) -> np.ndarray:
    """Return by how many joint standard errors, and a tenth of a year, our means lie from given ones."""
    run = ours(name)
    draws = run.draws.reshape(-1, run.draws.shape[2]).astype(np.float64)
    error = np.sqrt(draws.var(axis=0) / run.diagnosis.bulk + sd**2 / bulk)
    return np.asarray(np.maximum(np.abs(draws.mean(axis=0) - mean) - 0.1, 0.0) / error)


@pytest.mark.parametrize("name", HELD)
def test_means_and_deviations_agree(name: str) -> None:
    """Every event and boundary has the engine's mean within Monte Carlo error, and its deviation within some per cent."""
    held = HELD[name]
    assert held["r_hat"] < 1.02
    mean, sd, bulk = (np.array(held[column]) for column in ("mean", "sd", "bulk"))
    assert distances(name, mean, sd, bulk).max() < ALLOWED
    run = ours(name)
    found = run.draws.reshape(-1, len(mean)).astype(np.float64).std(axis=0)
    fewest = np.minimum(bulk, run.diagnosis.bulk)
    assert (np.abs(found / sd - 1) < 0.03 + 6 / np.sqrt(fewest)).all()


def test_figures_of_another_model_do_not_pass() -> None:
    """Negative control: shifting the engine's means by a fifth of their deviations is seen in every model."""
    for name, held in HELD.items():
        mean, sd, bulk = (np.array(held[column]) for column in ("mean", "sd", "bulk"))
        assert distances(name, mean + 0.2 * sd, sd, bulk).max() > ALLOWED, name


def test_figures_say_where_they_come_from() -> None:
    """Each model has engine, version, settings and seed beside its figures; the unsettled are kept apart and say so."""
    assert set(HELD) | set(UNSETTLED) == set(MODELS) and not set(HELD) & set(UNSETTLED)
    assert all(one["r_hat"] >= 1.02 and one["says"].startswith("Not settled") for one in UNSETTLED.values())
    assert all("NUTS" in held["engine"] and held["seed"] >= 100 for held in HELD.values())
    assert {len(MODELS[name]()[0].events) for name in HELD} >= {3, 5, 6, 8, 10, 12, 50}
