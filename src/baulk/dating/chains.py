"""Several chains of one chronology, run until they agree; what they kept, and how well they mixed."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.dating.diagnosis import Diagnosis
from baulk.dating.mixing import mixing_of
from baulk.dating.moves_arrays import Setting
from baulk.dating.nodes import Nodes
from baulk.dating.sampling import Sampling
from baulk.dating.sweeps import any_start, run_sweeps
from baulk.errors import InputError, NotSettled

__all__ = ["Run", "run_chains"]

Floats = NDArray[np.float64]
MOST_CHANCES = 60_000_000
"""Nodes times cells that are held at most: a house setting that bounds memory."""
MOST_DRAWS = 80_000_000
"""Chains times draws kept times nodes that are held at most, 320 MB: a house setting."""
WARMING = 4
"""Share of the first round's sweeps that is made before it and thrown away, as one in so many."""
MARGIN = 1.3
"""What is asked of the next round above what seems to be wanting, since that is a guess."""
MOST_TIMES = 8
"""Most times the sweeps of a round that the next one makes."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """What the chains brought home.

    Parameters
    ----------
    draws : float32 array, shape (chains, kept, nodes)
        Years from the beginning of the window.
    chances : float64 array, shape (nodes, cells)
        Chance of each cell, from the conditionals given the neighbours at every draw kept; rows sum to 1.
    diagnosis : Diagnosis
        How well they mixed.
    """

    draws: NDArray[np.float32]
    chances: Floats
    diagnosis: Diagnosis


def run_chains(setting: Setting, nodes: Nodes, sampling: Sampling, rng: np.random.Generator, *, cells: int) -> Run:
    """Run the chains until they settle.

    Parameters
    ----------
    setting : Setting
        The arrays of the chronology, with or without its evidence.
    nodes : Nodes
        For names and for starts that keep the order.
    sampling : Sampling
        Chains, draws and what is asked of them.
    rng : numpy.random.Generator
        Parent of the generators of the chains.
    cells : int
        Cells of the window.

    Returns
    -------
    Run
        Of the last round: each round that does not settle is thrown away as warming up, and the next makes twice the sweeps, or
        more by what is wanting.

    Raises
    ------
    NotSettled
        When the chains have not settled within the sweeps allowed.
    InputError
        When draws or chances would not fit.
    """
    _refuse_large(nodes.count, cells, sampling)
    generators = rng.spawn(sampling.chains)
    times = [any_start(one, setting, nodes.rising, nodes.high) for one in generators]
    draws = np.empty((sampling.chains, sampling.kept, nodes.count), np.float32)
    nothing = np.empty((0, 0), np.float32)
    each, made = sampling.sweeps_each, 0
    with ThreadPoolExecutor(sampling.chains) as pool:

        def sweep(chain: int, kept: int, apart: int, into: NDArray[np.float32], chances: NDArray[np.float32]) -> None:
            run_sweeps(generators[chain], setting, times[chain], kept, apart, into, chances)

        warming = max(sampling.kept * each // WARMING, 1)
        list(pool.map(lambda chain: sweep(chain, 1, warming, nothing, nothing), range(sampling.chains)))
        while True:
            chances = np.zeros((sampling.chains, nodes.count, cells), np.float32)
            work = [(chain, sampling.kept, each, draws[chain], chances[chain]) for chain in range(sampling.chains)]
            list(pool.map(lambda one: sweep(*one), work))
            made += sampling.kept * each
            found = _diagnosed(draws, nodes, sampling, sampling.kept * each)
            if found.settled:
                break
            if made + 2 * sampling.kept * each > sampling.most_sweeps:
                raise NotSettled(found.words)
            each *= min(_times_more(found), (sampling.most_sweeps - made) // (sampling.kept * each))
    whole = chances.sum(axis=0, dtype=np.float64)
    return Run(draws, whole / whole.sum(axis=1, keepdims=True), found)


def _times_more(found: Diagnosis) -> int:
    """Return how many times the sweeps of a round that has not settled the next one makes: twice, or more where much is wanting."""
    wanting = MARGIN * found.wanting
    return min(max(math.ceil(wanting), 2), MOST_TIMES) if math.isfinite(wanting) else MOST_TIMES


def _diagnosed(draws: NDArray[np.float32], nodes: Nodes, sampling: Sampling, sweeps: int) -> Diagnosis:
    r_hat, bulk, tail = mixing_of(draws)
    return Diagnosis(
        nodes.names, r_hat, bulk, tail, sampling.chains, sampling.kept, sweeps, sampling.r_hat_most, sampling.least_draws
    )  # fmt: skip


def _refuse_large(nodes: int, cells: int, sampling: Sampling) -> None:
    if nodes * cells > MOST_CHANCES or sampling.chains * sampling.kept * nodes > MOST_DRAWS:
        raise InputError(
            f"{nodes:,} events and boundaries over {cells:,} cells, with {sampling.chains * sampling.kept:,} draws kept of each, "
            f"are asked for; at most {MOST_CHANCES:,} chances and {MOST_DRAWS:,} draws are held. Give the window a larger step, or "
            "keep fewer draws."
        )
