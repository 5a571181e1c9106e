"""The general-purpose engine itself, when it is installed: its figures drawn anew, beside those of the sampler."""

from __future__ import annotations

import importlib.util

import numpy as np
import pytest

from tests.reference.chronology_figures import Figures
from tests.reference.test_chronology_engine import ALLOWED, HERE, distances, ours


@pytest.mark.slow
@pytest.mark.skipif(
    not (importlib.util.find_spec("numpyro") and importlib.util.find_spec("jax")),
    reason="numpyro is not installed: the figures kept in tests/reference stand in for it; install it to draw them anew",
)
def test_the_engine_itself_agrees_when_it_is_here() -> None:
    """Drawn anew with another seed, the three-event model has the same means and deviations."""
    where = importlib.util.spec_from_file_location("chronology_engine", HERE.parents[1] / "tools" / "chronology_engine.py")
    assert where is not None and where.loader is not None
    engine = importlib.util.module_from_spec(where)
    where.loader.exec_module(engine)
    found = engine.figures("three in a row", 7)
    assert distances(ours("three in a row"), Figures(*(np.array(found[column]) for column in Figures._fields))).max() < ALLOWED
