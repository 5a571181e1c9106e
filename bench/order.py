"""The order at scale: reduction beside general graph libraries, then alone where they cannot follow."""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from sheet import Measure, Row, Sheet

REACH = 100
TEXT = (
    "Graphs without loops, made from a fixed seed, contexts in shuffled order. *Local*: a relation spans at most 100 places, as "
    "in a deep site dug in order; *uniform*: any two contexts, the hard case. Ours is the best of three calls after one that "
    "loads the compiled loops; theirs one call, their graph already made. Edge sets are compared by a hash of all pairs kept."
)


def make(count: int, rows: int, kind: str) -> tuple[np.ndarray, np.ndarray]:
    """Return distinct relations without a loop among shuffled contexts."""
    rng = np.random.default_rng(count + rows)
    first = rng.integers(0, count - 1, 3 * rows)
    second = first + rng.integers(1, REACH + 1, 3 * rows) if kind == "local" else rng.integers(0, count, 3 * rows)
    low, high = np.minimum(first, second), np.maximum(first, second)
    inside = (low != high) & (high < count)
    key = rng.permutation(np.unique(low[inside] * count + high[inside]))[:rows]
    names = rng.permutation(count)
    return names[key // count].astype(np.int32), names[key % count].astype(np.int32)


def digest(count: int, later: np.ndarray, earlier: np.ndarray) -> str:
    """Return a hash of a set of pairs."""
    return hashlib.sha256(np.sort(later.astype(np.int64) * count + earlier).tobytes()).hexdigest()


def ours(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Reduce with our own loops."""
    from baulk.sequence.reduction import reduce_relations
    from baulk.sequence.relations import relations_of

    later, earlier = make(count, rows, kind)
    relations = relations_of(count, later, earlier)
    forget_peak()
    reduce_relations(relations)
    seconds, found = best_of(3, lambda: reduce_relations(relations))
    kept = found.kept
    return {"seconds": seconds, "kept": int(kept.sum()), "digest": digest(count, later[kept], earlier[kept])}


def with_rustworkx(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Reduce with rustworkx."""
    import rustworkx

    later, earlier = make(count, rows, kind)
    graph = rustworkx.PyDiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from_no_data(list(zip(later.tolist(), earlier.tolist(), strict=True)))
    forget_peak()
    seconds, (reduced, places) = best_of(1, lambda: rustworkx.transitive_reduction(graph))
    back = np.empty(count, np.int64)
    for old, new in dict(places).items():
        back[new] = old
    edges = np.array(reduced.edge_list())
    return {"seconds": seconds, "kept": len(edges), "digest": digest(count, back[edges[:, 0]], back[edges[:, 1]])}


def with_networkx(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Reduce with networkx."""
    import networkx

    later, earlier = make(count, rows, kind)
    graph = networkx.DiGraph(zip(later.tolist(), earlier.tolist(), strict=True))
    forget_peak()
    seconds, reduced = best_of(1, lambda: networkx.transitive_reduction(graph))
    edges = np.array(list(reduced.edges))
    return {"seconds": seconds, "kept": len(edges), "digest": digest(count, edges[:, 0], edges[:, 1])}


def whole(count: int, rows: int, kind: str, loops: int) -> dict[str, Any]:
    """Work out the whole order, with a number of relations turned round."""
    from baulk.sequence.doubt import doubts_of
    from baulk.sequence.order import order_of
    from baulk.sequence.relations import relations_of

    later, earlier = make(count, rows, kind)
    later[:loops], earlier[:loops] = earlier[:loops].copy(), later[:loops].copy()
    relations = relations_of(count, later, earlier)
    forget_peak()
    order_of(relations)
    seconds, order = best_of(3, lambda: order_of(relations))
    note = f"{len(order.redundant):,} redundant"
    if loops:
        doubting, doubts = best_of(1, lambda: doubts_of(order.relations, order.loops))
        named = sum(len(doubt.relations) for doubt in doubts)
        exact = sum(doubt.exact for doubt in doubts)
        note = (
            f"{len(order.loops)} loops; {named} relations to doubt, found in {doubting:.2g} s, {exact} of the sets proved lightest"
        )
    return {"seconds": seconds, "note": note}


def many_pairs(count: int, rows: int, kind: str, pairs: int) -> dict[str, Any]:
    """Ask of many pairs whether one is later."""
    from baulk.sequence.paths import reaches
    from baulk.sequence.relations import relations_of

    later, earlier = make(count, rows, kind)
    relations = relations_of(count, later, earlier)
    asked = np.random.default_rng(1).integers(0, count, (2, pairs))
    forget_peak()
    reaches(relations, *asked[:, :10])
    seconds, answer = best_of(1, lambda: reaches(relations, *asked))
    return {"seconds": seconds, "note": f"{answer.mean():.1%} of the pairs are ordered"}


def likely(count: int, rows: int) -> dict[str, Any]:
    """Work out the likely order of one unit."""
    from baulk.sequence.likely_order import likely_order
    from baulk.sequence.relations import relations_of

    later, earlier = make(count, rows, "local")
    relations = relations_of(count, later, earlier)
    likely_order(relations, np.random.default_rng(0), per_batch=1)
    seconds, found = best_of(1, lambda: likely_order(relations, np.random.default_rng(0)))
    how = (
        f"counted: {found.orders:.3g} orders"
        if found.exact
        else f"drawn: largest standard error {found.standard_error.max():.3f}, R̂ {found.r_hat:.2f}"
    )
    return {"seconds": seconds, "note": how}


JOBS = {f.__name__: f for f in (ours, with_rustworkx, with_networkx, whole, many_pairs, likely)}


def measured(job: str, **settings: Any) -> tuple[Measure, dict[str, Any]]:
    """Run a job apart; return its measure and its whole answer."""
    answer = run_apart(__file__, job, **settings)
    return Measure(answer["seconds"], answer["megabytes"]), answer


def run(sheet: Sheet) -> None:
    """Add the section on order."""
    section = sheet.section("Order", TEXT, libraries=("rustworkx", "networkx"))
    for them, count, rows in (("with_networkx", 4_000, 20_000), ("with_rustworkx", 20_000, 100_000)):
        mine, answer = measured("ours", count=count, rows=rows, kind="local")
        other, theirs = measured(them, count=count, rows=rows, kind="local")
        same = "edge sets equal" if answer["digest"] == theirs["digest"] else "EDGE SETS DIFFER"
        section.add(Row(f"reduction, {count:,} / {rows:,} local", mine, other, them.removeprefix("with_"), same))
    for count, rows, kind in (
        (100_000, 300_000, "local"),
        (100_000, 500_000, "local"),
        (100_000, 500_000, "uniform"),
        (1_000_000, 3_000_000, "local"),
    ):
        mine, answer = measured("ours", count=count, rows=rows, kind=kind)
        section.add(Row(f"reduction, {count:,} / {rows:,} {kind}", mine, None, "not run", f"{answer['kept']:,} kept"))
    for loops in (0, 100):
        mine, answer = measured("whole", count=100_000, rows=300_000, kind="local", loops=loops)
        name = "whole order, 100,000 / 300,000 local" + (f", {loops} relations turned round" if loops else "")
        section.add(Row(name, mine, note=answer["note"]))
    mine, answer = measured("many_pairs", count=100_000, rows=300_000, kind="local", pairs=10_000)
    section.add(Row("which of 10,000 pairs are ordered, 100,000 / 300,000 local", mine, note=answer["note"]))
    for count, rows in ((20, 24), (60, 80)):
        mine, answer = measured("likely", count=count, rows=rows)
        section.add(Row(f"likely order, {count} / {rows}", mine, note=answer["note"]))


if __name__ == "__main__":
    serve(JOBS)
