"""One change of a site of 100,000 contexts: the live order beside working the whole order out again."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from order import make
from sheet import Measure, Row, Sheet

CHANGES = 1_000
TEXT = (
    "The graphs are those of the section on order. A thousand changes one after another on one site: relations between any two "
    "near contexts (or any two at all, on the uniform graph; one in ten turned round) added, doubted, trusted again and taken "
    "out in turn, those that close a loop included. Ours is the median time of one change, with loops and ranks up to date after "
    "it; theirs is working loops and ranks out from the start with our own compiled loops, and with rustworkx."
)


def changes(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Change one relation at a time."""
    from baulk.sequence.live import RelationState, live_order
    from baulk.sequence.relations import relations_of

    later, earlier = make(count, rows, kind)
    rng = np.random.default_rng(7)
    relations = relations_of(count, later, earlier)
    live_order(relations_of(4, [0, 1, 2], [1, 2, 0])).doubt(0)
    live_order(relations_of(4, [0, 1], [1, 2])).add(3, 0)
    forget_peak()
    start = time.perf_counter()
    live = live_order(relations)
    made = time.perf_counter() - start
    near = live.latest_first if kind == "local" else rng.permutation(count)
    spent, closed, most = [], 0, 0
    added: list[int] = []
    for number in range(CHANGES):
        at = int(rng.integers(0, count - 101))
        one, other = int(near[at]), int(near[at + int(rng.integers(1, 101))])
        if rng.random() < 0.1:
            one, other = other, one
        row = added[int(rng.integers(0, len(added)))] if added and rng.random() < 0.5 else int(rng.integers(0, rows))
        start = time.perf_counter()
        if number % 2 == 0:
            told = live.add(one, other)
        elif live.state(row) is RelationState.DOUBTED:
            told = live.trust(row)
        elif live.state(row) is RelationState.TAKEN_OUT:
            continue
        else:
            told = live.doubt(row) if number % 4 == 1 else live.remove(row)
        spent.append(time.perf_counter() - start)
        added += [told.relation] if number % 2 == 0 else []
        closed += told.closed is not None
        most = max(most, told.ranks_changed)
    slow, slowest = np.quantile(spent, 0.95), max(spent)
    note = (
        f"95 % below {slow * 1000:.2g} ms, slowest {slowest * 1000:.3g} ms; made in {made:.2g} s; {closed} changes closed a loop; "
        f"at most {most:,} ranks changed at once"
    )
    return {"seconds": float(np.median(spent)), "note": note}


def anew(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Work loops and ranks out from the start."""
    from baulk.sequence.loops import loops_of
    from baulk.sequence.phases import ranks_of
    from baulk.sequence.relations import relations_of

    relations = relations_of(count, *make(count, rows, kind))
    ranks_of(relations)
    forget_peak()
    seconds, _ = best_of(3, lambda: (loops_of(relations), ranks_of(relations)))
    return {"seconds": seconds}


def with_rustworkx(count: int, rows: int, kind: str) -> dict[str, Any]:
    """Find loops and a topological order with rustworkx, the graph already made; ranks are not included."""
    import rustworkx

    later, earlier = make(count, rows, kind)
    graph = rustworkx.PyDiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from_no_data(list(zip(later.tolist(), earlier.tolist(), strict=True)))
    forget_peak()
    seconds, _ = best_of(3, lambda: rustworkx.topological_sort(graph))
    return {"seconds": seconds}


JOBS = {f.__name__: f for f in (changes, anew, with_rustworkx)}


def run(sheet: Sheet) -> None:
    """Add the section on the live order."""
    section = sheet.section("Live order", TEXT, libraries=("rustworkx",))
    for rows, kind in ((300_000, "local"), (500_000, "uniform")):
        settings = {"count": 100_000, "rows": rows, "kind": kind}
        mine = run_apart(__file__, "changes", **settings)
        for job, them in (("anew", "worked out anew"), ("with_rustworkx", "rustworkx, topological order")):
            other = run_apart(__file__, job, **settings)
            section.add(
                Row(
                    f"one change, 100,000 / {rows:,} {kind}",
                    Measure(mine["seconds"], mine["megabytes"]),
                    Measure(other["seconds"], other["megabytes"]),
                    them,
                    mine["note"],
                )
            )


if __name__ == "__main__":
    serve(JOBS)
