"""Draw from a chronology with a general-purpose engine (NumPyro's or blackjax's NUTS), for reference figures and for the bench.

Run with an interpreter that has jax, numpyro, scipy and numba: ``python tools/chronology_engine.py`` writes
tests/reference/chronology_engine.json, ``python tools/chronology_engine.py "200 events" …`` the figures of single models in it.
The density is written down here a second time, from docs/methods/chronology.md, with smooth likelihoods in place of tables:
nothing of the sampler is used.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

os.environ.setdefault("XLA_FLAGS", "--xla_cpu_multi_thread_eigen=false")  # arrays are small: threads would only wait in circles

import jax
import jax.numpy as jnp
import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
sys.path.append(str(ROOT / "src"))  # for an interpreter that has the engines and not this project
jax.config.update("jax_enable_x64", True)

from baulk.dating.evidence import CarbonDate, Documented, FindMade, NoneLater, YearWithError  # noqa: E402
from baulk.dating.likelihood import likelihood_of  # noqa: E402
from baulk.dating.model import Chronology, SpanPrior, Suppositions  # noqa: E402
from baulk.dating.years import counted  # noqa: E402

WARMUP, DRAWS, TARGET = 1_000, 2_000, 0.9
"""Settings of the figures that are kept."""


class Density:
    """The density of a chronology over unconstrained numbers.

    The nodes are placed one after another, the boundaries first and then the events from the middle of the order outwards by halves:
    each by its share of the time between the latest placed node that is earlier, by any path, and the earliest that is later.
    So a number moves its node by little more than its own room, which is what makes a site of 200 events easy for the engine. (Shares
    of all that is left above everything earlier, which is simpler, make hundreds of numbers hang together, and it does not settle.)
    """

    def __init__(self, chronology: Chronology, suppositions: Suppositions) -> None:
        self.chronology, self.suppositions = chronology, suppositions
        self.count, self.length = len(chronology.events), chronology.window.length
        self._nodes()
        self.terms = [self._term(one) for one in chronology.evidence if not isinstance(one, YearWithError)]
        plain = [one for one in chronology.evidence if isinstance(one, YearWithError)]
        self.event = jnp.array([one.event for one in plain], int)
        self.year = jnp.array([one.year for one in plain], float) - chronology.window.first
        self.error = jnp.array([one.error for one in plain], float)

    def _nodes(self) -> None:
        """Number the nodes: events, then start and end of the site and of each phase (abutting ones shared)."""
        made, count = self.chronology, self.count
        self.start, self.end, following = [count], [count + 1], count + 2
        shared = {link.later: link.earlier for link in made.links if link.abutting}
        for _ in made.phases:
            self.end.append(following)
            following += 1
        for place in range(len(made.phases)):
            if place in shared:
                self.start.append(self.end[shared[place] + 1])
            else:
                self.start.append(following)
                following += 1
        self.nodes = following
        phase = np.zeros(count, int)
        for place, one in enumerate(made.phases, 1):
            phase[list(one.events)] = place
        below = self._below(phase)
        self.weight = [float((phase == place).sum()) for place in range(len(self.start))]
        self.weight[0] += len({*self.start[1:], *self.end[1:]})
        self._rounds(before_of(below))

    def _below(self, phase: np.ndarray) -> list[set[int]]:
        """Return what each node is directly later than."""
        below: list[set[int]] = [set() for _ in range(self.nodes)]
        for later, earlier in zip(self.chronology.later.tolist(), self.chronology.earlier.tolist(), strict=True):
            below[later].add(earlier)
        for event in range(self.count):
            below[event].add(self.start[phase[event]])
            below[self.end[phase[event]]].add(event)
        for place in range(1, len(self.start)):
            below[self.start[place]].add(self.start[0])
            below[self.end[place]].add(self.start[place])
            below[self.end[0]].add(self.end[place])
        for link in self.chronology.links:
            if not link.abutting:
                below[self.start[link.later + 1]].add(self.end[link.earlier + 1])
        below[self.end[0]].add(self.start[0])
        for node in range(self.nodes):
            below[node].discard(node)
        return below

    def _rounds(self, before: np.ndarray) -> None:
        """Group the nodes into rounds: what is placed in a round depends on earlier rounds alone, so that it is placed at once."""
        limits: dict[int, tuple[list[int], list[int]]] = {}
        rounds = np.zeros(self.nodes, int)
        for node in self._sequence(before):
            lower = [one for one in limits if before[one, node]]
            upper = [one for one in limits if before[node, one]]
            lower = [one for one in lower if not before[one, lower].any()]  # the others are earlier than one of these
            upper = [one for one in upper if not before[upper, one].any()]
            rounds[node] = 1 + max((int(rounds[one]) for one in lower + upper), default=-1)
            limits[node] = lower, upper
        count, wide = int(rounds.max()) + 1, int(np.bincount(rounds).max())
        begin, end, spare = self.nodes, self.nodes + 1, self.nodes + 2  # edges of the window, and where padding is written
        placed = np.full((count, wide), spare)
        below = np.full((count, wide, max(len(lower) or 1 for lower, _ in limits.values())), begin)
        above = np.full((count, wide, max(len(upper) or 1 for _, upper in limits.values())), end)
        for step in range(count):
            for column, node in enumerate(np.flatnonzero(rounds == step).tolist()):
                lower, upper = limits[node]
                placed[step, column] = node
                below[step, column, : len(lower)] = lower
                above[step, column, : len(upper)] = upper
        self.rounds = jnp.array(placed), jnp.array(below), jnp.array(above)

    def _sequence(self, before: np.ndarray) -> list[int]:
        """Return all nodes in the sequence in which they are placed."""
        under, over = longest(before), longest(before.T)
        height = under / (under + over)  # 0 for the start of the site, 1 for its end
        inner = sorted({*self.start[1:], *self.end[1:]}, key=lambda node: (under[node], node))
        events = sorted(range(self.count), key=lambda event: (height[event], event))
        return [self.start[0], self.end[0], *inner, *(events[place] for place in by_halves(self.count))]

    def placed(self, free: jax.Array) -> tuple[jax.Array, jax.Array]:
        """Return the times of all nodes, in years from the beginning of the window, and the log of the change of volume."""
        share = jnp.append(jax.nn.sigmoid(free), jnp.full(3, 0.5))
        times = jnp.zeros(self.nodes + 3).at[self.nodes + 1].set(self.length)

        def step(times: jax.Array, one: tuple[jax.Array, jax.Array, jax.Array]) -> tuple[jax.Array, jax.Array]:
            nodes, below, above = one
            low = times[below].max(axis=1)
            room = times[above].min(axis=1) - low
            return times.at[nodes].set(low + room * share[nodes]), jnp.where(nodes < self.nodes, jnp.log(room), 0.0).sum()

        times, rooms = jax.lax.scan(step, times, self.rounds)
        return times[: self.nodes], rooms.sum() + (jax.nn.log_sigmoid(free) + jax.nn.log_sigmoid(-free)).sum()

    def times(self, free: jax.Array) -> jax.Array:
        """Return the times of all nodes."""
        return self.placed(free)[0]

    def __call__(self, free: jax.Array) -> jax.Array:
        """Return the log-density of the free numbers."""
        (times, log), first = self.placed(free), self.start[0]
        span = times[self.end[0]] - times[first]
        if self.suppositions.span is SpanPrior.UNIFORM:
            for start, end, weight in zip(self.start, self.end, self.weight, strict=True):
                log -= weight * jnp.log(times[end] - times[start])
            log -= jnp.log(self.length - span)
        log -= 0.5 * (((times[self.event] - self.year) / self.error) ** 2).sum()
        return log + sum(term(times) for term in self.terms)

    def _term(self, one: Any) -> Any:
        first, supposed = self.chronology.window.first, self.suppositions
        if isinstance(one, FindMade):
            chance = supposed.intrusion.chance(one.disturbance)
            begin, end = counted(one.begin) - first, counted(one.end or one.begin) + 1 - first
            return lambda t: jnp.log(chance + (1 - chance) * jnp.clip((t[one.event] - begin) / (end - begin), 0, 1))
        if isinstance(one, NoneLater):
            curve, after = supposed.discard, counted(one.after) + 1 - first

            def absent(t: jax.Array) -> jax.Array:
                past = jnp.maximum(t[one.event] - after, 0.0)
                share = (1 - curve.residual_share) * (1 - jnp.exp(-past / curve.lag))
                share += curve.residual_share * (1 - jnp.exp(-past / curve.residual_lag))
                return jnp.log(
                    curve.redeposited + (1 - curve.redeposited) * (1 - one.recognised * share) ** (one.finds / curve.together)
                )

            return absent
        if isinstance(one, Documented):
            end = counted(one.end or 0) + 1 - first
            return lambda t: jnp.where(t[one.event] < end, 0.0, jnp.log(one.doubt))
        assert isinstance(one, CarbonDate)
        yearly = likelihood_of(one, self.chronology.window, supposed).yearly  # checked by itself against published figures
        middle, log = jnp.arange(len(yearly)) + 0.5, jnp.log(jnp.array(yearly))
        return lambda t: jnp.interp(t[one.event], middle, log)

    def begin(self, rng: np.random.Generator) -> np.ndarray:
        """Return free numbers to begin from: shares about a half."""
        return rng.normal(0.0, 0.5, self.nodes)


def before_of(below: list[set[int]]) -> np.ndarray:
    """Return whether a node (row) is earlier than another (column) by any path, from what each node is directly later than."""
    before = np.zeros((len(below), len(below)), bool)
    for node, earlier in enumerate(below):
        before[list(earlier), node] = True
    for middle in range(len(below)):
        before |= before[:, middle, None] & before[middle]
    return before


def longest(before: np.ndarray) -> np.ndarray:
    """Return for each node the number of steps of the longest path to it."""
    steps = np.zeros(len(before), int)
    for node in np.argsort(before.sum(axis=0), kind="stable"):
        steps[node] = 1 + steps[before[:, node]].max(initial=-1)
    return steps


def by_halves(count: int) -> list[int]:
    """Return the places of a row: its middle, then the middles of both halves, and so on."""
    found, spans = [], [(0, count)]
    for first, last in spans:  # grows as it is read
        if first < last:
            middle = (first + last) // 2
            found.append(middle)
            spans += [(first, middle), (middle + 1, last)]
    return found


class Drawn(NamedTuple):
    """Draws of the times (chains, draws, nodes), mean steps and divergences after warming up, and processor seconds.

    Compilation is told apart.
    """

    times: np.ndarray
    steps: float
    divergent: int
    seconds: float
    compiling: float


Chains = Callable[[jax.Array, jax.Array], tuple[jax.Array, jax.Array, jax.Array]]


def drawn(density: Density, chains_of: Callable[[], Chains], *, seed: int, chains: int) -> Drawn:
    """Compile what draws the chains, run it from starts of its own for each, and take the times."""
    rng = np.random.default_rng(seed)
    free = jnp.array([density.begin(rng) for _ in range(chains)])
    keys = jax.random.split(jax.random.PRNGKey(seed), chains)
    start = time.process_time()
    made = jax.jit(chains_of()).lower(keys, free).compile()
    ready = time.process_time()
    found, steps, divergent = jax.block_until_ready(made(keys, free))
    return Drawn(np.asarray(found), float(steps.mean()), int(divergent.sum()), time.process_time() - ready, ready - start)


def with_numpyro(density: Density, *, seed: int, chains: int, warmup: int, draws: int, target: float = TARGET) -> Drawn:
    """Return what NumPyro's NUTS draws."""
    from numpyro.infer import NUTS

    def chains_of() -> Chains:
        kernel = NUTS(potential_fn=lambda free: -density(free), target_accept_prob=target)

        def each(state: Any, _: None) -> tuple[Any, Any]:
            state = kernel.sample(state, (), {})
            return state, (state.z, state.num_steps, state.diverging)

        def all_chains(keys: jax.Array, free: jax.Array) -> tuple[jax.Array, jax.Array, jax.Array]:
            state = kernel.init(keys, warmup, free, (), {})
            kept = jax.lax.scan(each, state, None, length=warmup + draws)[1]
            found, steps, divergent = (one[warmup:].swapaxes(0, 1) for one in kept)
            return jax.lax.map(jax.vmap(density.times), found), steps, divergent

        return all_chains

    return drawn(density, chains_of, seed=seed, chains=chains)


def with_blackjax(density: Density, *, seed: int, chains: int, warmup: int, draws: int, target: float = TARGET) -> Drawn:
    """Return what blackjax's NUTS draws, warmed up by its window adaptation."""
    import blackjax

    def one_chain(key: jax.Array, free: jax.Array) -> tuple[jax.Array, jax.Array, jax.Array]:
        warm_key, key = jax.random.split(key)
        adaptation = blackjax.window_adaptation(blackjax.nuts, density, target_acceptance_rate=target)
        (state, settings), _ = adaptation.run(warm_key, free, num_steps=warmup)
        step = blackjax.nuts(density, **settings).step

        def each(state: Any, key: jax.Array) -> tuple[Any, Any]:
            state, told = step(key, state)
            return state, (state.position, told.num_integration_steps, told.is_divergent)

        found, steps, divergent = jax.lax.scan(each, state, jax.random.split(key, draws))[1]
        return jax.lax.map(density.times, found), steps, divergent

    return drawn(density, lambda: jax.vmap(one_chain), seed=seed, chains=chains)


def figures(name: str, seed: int) -> dict[str, Any]:
    """Return mean, standard deviation and the errors of both for every node of a model."""
    import numpyro
    from tests.reference.chronology_figures import figures_of
    from tests.reference.chronology_models import MODELS

    from baulk.dating.mixing import mixing_of

    density = Density(*MODELS[name]())
    found = with_numpyro(density, seed=seed, chains=4, warmup=WARMUP, draws=DRAWS)
    r_hat, bulk, tail = mixing_of(found.times.astype(np.float32))
    mean, mean_error, sd, sd_error = figures_of(found.times)
    print(
        f"{name}: {found.seconds:.0f} s and {found.compiling:.0f} s compiling, {found.steps:.0f} steps a draw, "
        f"R̂ {r_hat.max():.4f}, bulk {bulk.min():.0f}, tail {tail.min():.0f}, {found.divergent} divergent",
        flush=True,
    )
    return {
        "engine": f"numpyro {numpyro.__version__}, jax {jax.__version__}, NUTS, 4 chains of {WARMUP} + {DRAWS}, target {TARGET}",
        "seed": seed, "r_hat": round(float(r_hat.max()), 4), "least_bulk": round(float(bulk.min())),
        "least_tail": round(float(tail.min())), "divergent": found.divergent, "steps": round(found.steps, 1),
        "mean": mean.round(3).tolist(), "mean_error": mean_error.round(4).tolist(),
        "sd": sd.round(3).tolist(), "sd_error": sd_error.round(4).tolist(),
    }  # fmt: skip


def main(wanted: list[str]) -> None:
    """Write the figures of all models, or of those named, beside those already there."""
    from tests.reference.chronology_models import MODELS

    target = ROOT / "tests" / "reference" / "chronology_engine.json"
    held = json.loads(target.read_text(encoding="utf-8")) if target.exists() else {}
    for place, name in enumerate(MODELS):
        if not wanted or name in wanted:
            held[name] = figures(name, 100 + place)
            target.write_text(laid_out({one: held[one] for one in MODELS if one in held}), encoding="utf-8")


def laid_out(held: dict[str, dict[str, Any]]) -> str:
    """Return the figures as JSON, one line for each column."""
    models = []
    for name, one in held.items():
        columns = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in one.items()]
        models.append(f" {json.dumps(name)}: {{\n" + ",\n".join(columns) + "\n }")
    return "{\n" + ",\n".join(models) + "\n}\n"


if __name__ == "__main__":
    main(sys.argv[1:])
