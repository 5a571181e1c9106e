"""Bounds of 100,000 contexts, once each way through 300,000 relations, beside networkx's walk over the same graph."""

from __future__ import annotations

import time

import networkx as nx
import numpy as np

from baulk.dating.bounds import bounds_of
from baulk.dating.termini import Termini
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of

CONTEXTS, FINDS = 100_000, 300_000


def make() -> tuple[object, Termini]:
    """Return an order and its finds, from a fixed seed."""
    rng = np.random.default_rng(20261)
    later = rng.integers(0, CONTEXTS - 1, 3 * CONTEXTS)
    earlier = np.minimum(later + 1 + rng.integers(0, 200, 3 * CONTEXTS), CONTEXTS - 1)
    context = rng.integers(0, CONTEXTS, FINDS)
    year = 1700 + (CONTEXTS - context) * 200 // CONTEXTS - rng.integers(0, 60, FINDS)
    return order_of(relations_of(CONTEXTS, later, earlier)), Termini.of(context, year, np.zeros(FINDS, np.uint8))


def theirs(order: object, termini: Termini) -> np.ndarray:
    """Return the TPQ of each context by networkx's topological order."""
    relations = order.relations
    graph = nx.DiGraph()
    graph.add_nodes_from(range(relations.count))
    graph.add_edges_from(zip(relations.later.tolist(), relations.earlier.tolist(), strict=True))
    tpq = np.full(relations.count, -np.inf)
    np.maximum.at(tpq, termini.context, termini.year)
    for context in reversed(list(nx.topological_sort(graph))):
        for below in graph.successors(context):
            tpq[context] = max(tpq[context], tpq[below])
    return tpq


if __name__ == "__main__":
    order, termini = make()
    bounds_of(order, termini)  # loads the compiled loops
    times = []
    for _ in range(5):
        start = time.perf_counter()
        found = bounds_of(order, termini)
        times.append(time.perf_counter() - start)
    start = time.perf_counter()
    expected = theirs(order, termini)
    walked = time.perf_counter() - start
    assert np.array_equal(np.nan_to_num(found.tpq, nan=-np.inf), expected)
    size = f"{CONTEXTS:,} contexts, {len(order.relations):,} relations, {FINDS:,} finds"
    print(f"{size}: best of 5 {min(times):.3f} s (both bounds, paths)")
    longer = walked / min(times)
    print(f"networkx, TPQ alone, its graph built, no paths: {walked:.2f} s, {longer:.0f} times as long; the same TPQs")
