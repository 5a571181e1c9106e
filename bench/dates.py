"""Dates: draws in effect a second beside two general-purpose engines on the same model, and what large sites cost."""

from __future__ import annotations

import importlib.util
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
sys.path.insert(0, str(HERE.parent))

from apart import forget_peak, run_apart, serve  # noqa: E402  (found beside this file)
from sheet import Measure, Row, Sheet  # noqa: E402

TEXT = (
    "Sites of events between 1650 and 1830 in a local order (three relations for two events), half of them with years of ± 20, "
    "from fixed seeds; span prior uniform. “Draws in effect” is the least bulk figure of any event or boundary, by the same "
    "function for all engines; times are of sampling with warming up, our compilation apart, theirs within (it cannot be kept). "
    "Engines run NUTS on a density written down a second time (tools/chronology_engine.py), four chains."
)


def ours(count: int, kept: int, each: int, warm: int) -> dict[str, Any]:
    """Sample a site with four chains on two threads and tell draws in effect."""
    from concurrent.futures import ThreadPoolExecutor

    from tests.reference.chronology_models import deep_site

    from baulk.dating.mixing import mixing_of
    from baulk.dating.model import Suppositions
    from baulk.dating.moves_arrays import setting_of
    from baulk.dating.nodes import nodes_of
    from baulk.dating.sweeps import any_start, run_sweeps
    from baulk.dating.tables import tables_of

    made, supposed = deep_site(count, 10), Suppositions()
    tables = tables_of(made, supposed)
    nodes = nodes_of(made, tables, supposed)
    setting = setting_of(nodes, tables, 1)
    draws = np.empty((4, kept, nodes.count), np.float32)
    nothing = np.empty((0, 0), np.float32)
    rngs = np.random.default_rng(1).spawn(4)
    times = [any_start(rng, setting, nodes.rising, nodes.high) for rng in rngs]
    chances = np.zeros((nodes.count, made.window.cells), np.float32)
    run_sweeps(rngs[0], setting, times[0].copy(), 1, 1, draws[0, :1], chances)
    forget_peak()
    start = time.perf_counter()

    def chain(one: int) -> None:
        run_sweeps(rngs[one], setting, times[one], 1, warm, nothing, nothing)
        run_sweeps(rngs[one], setting, times[one], kept, each, draws[one], chances)

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(chain, range(4)))
    seconds = time.perf_counter() - start
    r_hat, bulk, _ = mixing_of(draws)
    return {"seconds": seconds, "bulk": float(bulk.min()), "median": float(np.median(bulk)), "r_hat": float(r_hat.max())}


def theirs(engine: str, count: int, warmup: int, draws: int) -> dict[str, Any]:
    """Sample the same site with one engine."""
    from tests.reference.chronology_models import deep_site

    from baulk.dating.mixing import mixing_of
    from baulk.dating.model import Suppositions

    where = importlib.util.spec_from_file_location("chronology_engine", HERE.parent / "tools" / "chronology_engine.py")
    assert where is not None
    assert where.loader is not None
    tool = importlib.util.module_from_spec(where)
    where.loader.exec_module(tool)
    density = tool.Density(deep_site(count, 10), Suppositions())
    found, seconds = getattr(tool, f"with_{engine}")(density, seed=1, chains=4, warmup=warmup, draws=draws)
    r_hat, bulk, _ = mixing_of(found.astype(np.float32))
    return {"seconds": seconds, "bulk": float(bulk.min()), "r_hat": float(r_hat.max())}


def whole(count: int) -> dict[str, Any]:
    """Date a site by the one call, prior included, until it settles or refuses."""
    from tests.reference.chronology_models import deep_site

    from baulk.dating.chronology import date_events
    from baulk.dating.sampling import Sampling
    from baulk.errors import NotSettled

    made = deep_site(count, 10)
    forget_peak()
    start = time.perf_counter()
    try:
        words = date_events(made, seed=1, sampling=Sampling(kept=1000, sweeps_each=8)).diagnosis.words
    except NotSettled as error:
        words = f"refused: {error.figures}"
    return {"seconds": time.perf_counter() - start, "words": words}


JOBS = {f.__name__: f for f in (ours, theirs, whole)}


def row(name: str, mine: dict[str, Any], other: dict[str, Any] | None = None, them: str = "") -> Row:
    """Return a row whose times are those of one thousand draws in effect."""
    note = f"{mine['bulk'] / mine['seconds']:,.0f} draws in effect a second, R̂ {mine['r_hat']:.3f}"
    ours_each = Measure(1000 * mine["seconds"] / mine["bulk"], mine["megabytes"])
    if other is None:
        return Row(name, ours_each, None, them, note)
    note += f"; {them} {other['bulk'] / other['seconds']:.3g} a second, R̂ {other['r_hat']:.2f}"
    return Row(name, ours_each, Measure(1000 * other["seconds"] / other["bulk"], other["megabytes"]), them, note)


def run(sheet: Sheet) -> None:
    """Add the section on dates."""
    section = sheet.section("Dates", TEXT, libraries=("jax", "numpyro", "blackjax"))
    mine = run_apart(__file__, "ours", count=200, kept=1000, each=10, warm=2000)
    for engine in ("numpyro", "blackjax"):
        if importlib.util.find_spec(engine) is None:
            section.add(row("a thousand draws in effect of the worst of 200 events", mine, None, f"{engine} is not installed"))
            continue
        other = run_apart(__file__, "theirs", timeout=3600, engine=engine, count=200, warmup=300, draws=300)
        section.add(row("a thousand draws in effect of the worst of 200 events", mine, other, engine))
    mine = run_apart(__file__, "ours", count=1000, kept=1000, each=10, warm=2000)
    section.add(row("the same of 1,000 events", mine))
    for count in (1_000, 10_000):
        answer = run_apart(__file__, "whole", timeout=3600, count=count)
        section.add(
            Row(
                f"the one call, {count:,} events, prior and answers included",
                Measure(answer["seconds"], answer["megabytes"]),
                note=answer["words"],
            )
        )


if __name__ == "__main__":
    serve(JOBS)
