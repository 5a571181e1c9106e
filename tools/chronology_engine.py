"""Draw from a chronology with a general-purpose engine (NumPyro's or blackjax's NUTS), for reference figures and for the bench.

Run with an interpreter that has jax, numpyro and this project: ``python tools/chronology_engine.py`` writes
tests/reference/chronology_engine.json. The density is written down here a second time, from docs/methods/chronology.md, with smooth
likelihoods in place of tables: nothing of the sampler is used.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
jax.config.update("jax_enable_x64", True)

from baulk.dating.evidence import CarbonDate, Documented, FindMade, NoneLater, YearWithError  # noqa: E402
from baulk.dating.likelihood import likelihood_of  # noqa: E402
from baulk.dating.model import Chronology, SpanPrior, Suppositions  # noqa: E402
from baulk.dating.years import counted  # noqa: E402


class Density:
    """The density of a chronology over unconstrained numbers: for each node, the share of what is left above everything earlier."""

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
        self._levels(below)

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

    def _levels(self, below: list[set[int]]) -> None:
        """Group nodes by steps from the start, so that a level can be worked out at once."""
        depth = np.full(self.nodes, -1)
        depth[self.start[0]] = 0
        while (depth < 0).any():
            for node in range(self.nodes):
                if depth[node] < 0 and below[node] and all(depth[one] >= 0 for one in below[node]):
                    depth[node] = 1 + max(depth[one] for one in below[node])
        self.levels = []
        for step in range(1, depth.max() + 1):
            nodes = np.flatnonzero(depth == step)
            widest = max(len(below[one]) for one in nodes)
            padded = [sorted(below[one]) + [min(below[one])] * (widest - len(below[one])) for one in nodes]
            self.levels.append((jnp.array(nodes), jnp.array(padded)))

    def placed(self, free: jax.Array) -> tuple[jax.Array, jax.Array]:
        """Return the times of all nodes, in years from the beginning of the window, and the log of the change of volume."""
        share = jax.nn.sigmoid(free)
        times = jnp.zeros(self.nodes).at[self.start[0]].set(self.length * share[self.start[0]])
        log = (jax.nn.log_sigmoid(free) + jax.nn.log_sigmoid(-free)).sum()
        for nodes, below in self.levels:
            low = times[below].max(axis=1)
            times = times.at[nodes].set(low + (self.length - low) * share[nodes])
            log += jnp.log(self.length - low).sum()
        return times, log

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
        """Return free numbers to begin from: small shares from an early start."""
        free = rng.normal(np.log(0.5 / len(self.levels)), 0.3, self.nodes)
        free[self.start[0]] = -0.7 + 0.1 * rng.normal()
        return free


def with_numpyro(density: Density, *, seed: int, chains: int, warmup: int, draws: int) -> tuple[np.ndarray, float]:
    """Return draws (chains, draws, nodes) of the times and the seconds that took, compilation included."""
    from numpyro.infer import MCMC, NUTS

    rng = np.random.default_rng(seed)
    start = time.perf_counter()
    kernel = NUTS(potential_fn=lambda free: -density(free), target_accept_prob=0.9)
    run = MCMC(kernel, num_warmup=warmup, num_samples=draws, num_chains=chains, chain_method="vectorized", progress_bar=False)
    free = jnp.array([density.begin(rng) for _ in range(chains)])
    run.run(jax.random.PRNGKey(seed), init_params=free)
    found = jax.vmap(jax.vmap(density.times))(run.get_samples(group_by_chain=True))
    return np.asarray(found), time.perf_counter() - start


def with_blackjax(density: Density, *, seed: int, chains: int, warmup: int, draws: int) -> tuple[np.ndarray, float]:
    """Return draws (chains, draws, nodes) of the times and the seconds that took, compilation included."""
    import blackjax

    rng = np.random.default_rng(seed)
    start = time.perf_counter()

    def one(key: jax.Array, free: jax.Array) -> jax.Array:
        warm_key, key = jax.random.split(key)
        (state, settings), _ = blackjax.window_adaptation(blackjax.nuts, density, target_acceptance_rate=0.9).run(
            warm_key, free, num_steps=warmup
        )
        step = blackjax.nuts(density, **settings).step

        def each(state: Any, key: jax.Array) -> tuple[Any, jax.Array]:
            state, _ = step(key, state)
            return state, density.times(state.position)

        return jax.lax.scan(each, state, jax.random.split(key, draws))[1]

    free = jnp.array([density.begin(rng) for _ in range(chains)])
    found = jax.jit(jax.vmap(one))(jax.random.split(jax.random.PRNGKey(seed), chains), free)
    return np.asarray(found.block_until_ready()), time.perf_counter() - start


def figures(name: str, seed: int) -> dict[str, Any]:
    """Return mean, standard deviation and their error for every node of a model."""
    import numpyro
    from tests.reference.chronology_models import MODELS

    from baulk.dating.mixing import mixing_of

    density = Density(*MODELS[name]())
    warmup, kept = (1000, 2000) if density.count < 100 else (500, 500)
    draws, seconds = with_numpyro(density, seed=seed, chains=4, warmup=warmup, draws=kept)
    r_hat, bulk, _tail = mixing_of(draws.astype(np.float32))
    flat = draws.reshape(-1, density.nodes)
    print(f"{name}: {seconds:.0f} s, R̂ {r_hat.max():.3f}, least bulk {bulk.min():.0f}", flush=True)
    return {
        "engine": f"numpyro {numpyro.__version__}, jax {jax.__version__}, NUTS, 4 chains of {warmup} + {kept}, target 0.9",
        "seed": seed, "r_hat": round(float(r_hat.max()), 4), "least_bulk": round(float(bulk.min())),
        "mean": flat.mean(axis=0).round(3).tolist(), "sd": flat.std(axis=0).round(3).tolist(), "bulk": bulk.round().tolist(),
    }  # fmt: skip


def main(wanted: list[str]) -> None:
    """Write the figures of all models, or of those named, beside those already there."""
    from tests.reference.chronology_models import MODELS

    target = ROOT / "tests" / "reference" / "chronology_engine.json"
    held = json.loads(target.read_text(encoding="utf-8")) if target.exists() else {}
    for place, name in enumerate(MODELS):
        if not wanted or name in wanted:
            held[name] = figures(name, 100 + place)
            target.write_text(json.dumps(held, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
