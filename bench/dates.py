"""Dates: draws in effect a second beside two general-purpose engines on the same model, and what large sites cost."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
sys.path.insert(0, str(HERE.parent))
sys.path.append(str(HERE.parent / "src"))  # for another interpreter, that has the engines and not this project

from apart import forget_peak, run_apart, serve  # noqa: E402  (found beside this file)
from sheet import Measure, Row, Section, Sheet  # noqa: E402

ENGINE_PYTHON = os.environ.get("BAULK_ENGINE_PYTHON", sys.executable)
"""An interpreter that has jax, numpyro and blackjax beside numpy, scipy and numba; this one when it is not given."""
TEXT = (
    "Sites of events between 1650 and 1830 in a local order (three relations for two events), half of them with years of ± 20, "
    "from fixed seeds; span prior uniform. “Draws in effect” is the least bulk figure of any event or boundary, by the same "
    "function for all engines. All times are of the processor, all its threads together, of sampling with warming up; compilation "
    "is apart, for all. Engines run NUTS at their usual target of 0.8 on a density written down a second time, in a form that "
    "suits them (tools/chronology_engine.py), four chains, in the interpreter that BAULK_ENGINE_PYTHON names; an R̂ above 1.01 "
    "beside them would mean that their draws in effect are a guess. The last rows are the first call of an installation: three "
    "events are dated in a fresh process with no compiled loops kept, and in another with those of the first."
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
    start = time.process_time()

    def chain(one: int) -> None:
        run_sweeps(rngs[one], setting, times[one], 1, warm, nothing, nothing)
        run_sweeps(rngs[one], setting, times[one], kept, each, draws[one], chances)

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(chain, range(4)))
    seconds = time.process_time() - start
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
    found = getattr(tool, f"with_{engine}")(density, seed=1, chains=4, warmup=warmup, draws=draws, target=0.8)
    r_hat, bulk, _ = mixing_of(found.times.astype(np.float32))
    return {
        "seconds": found.seconds, "compiling": found.compiling, "steps": found.steps,
        "bulk": float(bulk.min()), "r_hat": float(r_hat.max()),
    }  # fmt: skip


def whole(count: int) -> dict[str, Any]:
    """Date a site by the one call, prior included, until it settles or refuses."""
    from tests.reference.chronology_models import deep_site

    from baulk.dating.chronology import date_events
    from baulk.dating.sampling import Sampling
    from baulk.errors import NotSettled

    made = deep_site(count, 10)
    forget_peak()
    start, begun = time.process_time(), time.perf_counter()
    try:
        words = date_events(made, seed=1, sampling=Sampling()).diagnosis.words
    except NotSettled as error:
        words = f"refused: {error.figures}"
    elapsed = time.perf_counter() - begun
    return {"seconds": time.process_time() - start, "words": f"{elapsed:,.0f} s by the clock on two processors. {words}"}


def first() -> dict[str, Any]:
    """Date three events in a process that has not done so, and once more."""
    from tests.reference.chronology_models import MODELS

    from baulk.dating.chronology import date_events

    made, supposed = MODELS["three in a row"]()
    seconds = []
    for seed in (1, 2):
        start = time.process_time()
        date_events(made, seed=seed, suppositions=supposed)
        seconds.append(time.process_time() - start)
    return {"seconds": seconds[0], "again": seconds[1]}


JOBS = {f.__name__: f for f in (ours, theirs, whole, first)}


def row(name: str, mine: dict[str, Any], other: dict[str, Any] | None = None, them: str = "") -> Row:
    """Return a row whose times are those of one thousand draws in effect."""
    note = f"{mine['bulk'] / mine['seconds']:,.0f} draws in effect a second, R̂ {mine['r_hat']:.3f}"
    ours_each = Measure(1000 * mine["seconds"] / mine["bulk"], mine["megabytes"])
    if other is None:
        return Row(name, ours_each, None, them, note)
    note += (
        f"; {them} {other['bulk'] / other['seconds']:,.0f} a second, R̂ {other['r_hat']:.3f}, {other['steps']:.0f} steps a draw, "
        f"and {other['compiling']:.0f} s compiling"
    )
    return Row(name, ours_each, Measure(1000 * other["seconds"] / other["bulk"], other["megabytes"]), them, note)


def importable(engine: str) -> bool:
    """Return whether the interpreter of the engines has one."""
    asked = f"import importlib.util, sys; sys.exit(importlib.util.find_spec({engine!r}) is None)"
    return subprocess.run([ENGINE_PYTHON, "-c", asked], check=False).returncode == 0


def run(sheet: Sheet) -> None:
    """Add the section on dates."""
    section = sheet.section("Dates", TEXT, libraries=("jax", "numpyro", "blackjax"))
    name = "a thousand draws in effect of the worst of 200 events"
    mine = run_apart(__file__, "ours", count=200, kept=2000, each=2, warm=500)
    for engine in ("numpyro", "blackjax"):
        if importable(engine):
            other = run_apart(
                __file__, "theirs", timeout=3600, python=ENGINE_PYTHON, engine=engine, count=200, warmup=500, draws=1000
            )  # fmt: skip
            section.add(row(name, mine, other, engine))
        else:
            section.add(row(name, mine, None, f"{engine} is not installed"))
    section.add(row("the same of 1,000 events", run_apart(__file__, "ours", count=1000, kept=2000, each=2, warm=500)))
    for count in (1_000, 10_000):
        answer = run_apart(__file__, "whole", timeout=3600, count=count)
        measure = Measure(answer["seconds"], answer["megabytes"])
        section.add(Row(f"the one call, {count:,} events, prior and answers included", measure, note=answer["words"]))
    first_calls(section)


def first_calls(section: Section) -> None:
    """Add what a first call costs when the loops have to be compiled, and when they are kept."""
    before = os.environ.get("NUMBA_CACHE_DIR")
    with TemporaryDirectory() as folder:
        os.environ["NUMBA_CACHE_DIR"] = folder
        try:
            for name in ("first call ever, three events, loops compiled", "first call of a process, three events, loops kept"):
                answer = run_apart(__file__, "first")
                note = f"{answer['again'] * 1000:,.0f} ms when called once more"
                section.add(Row(name, Measure(answer["seconds"], answer["megabytes"]), note=note))
        finally:
            os.environ.pop("NUMBA_CACHE_DIR")
            if before is not None:
                os.environ["NUMBA_CACHE_DIR"] = before


if __name__ == "__main__":
    serve(JOBS)
