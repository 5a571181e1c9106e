"""Likely order: how often one context is earlier than another, over all orders that the relations allow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError
from baulk.sequence.count_orders import count_orders
from baulk.sequence.loops import refuse_loops
from baulk.sequence.paths import reaches
from baulk.sequence.relations import Relations
from baulk.sequence.sample_orders import OrderState, start_order, steps_to_forget, swap_rules, swap_steps

__all__ = ["LikelyOrder", "likely_order"]

ALWAYS_COUNTED = 20
"""Contexts up to which all orders are counted however wide the site."""

HEAP_LIMIT = 200_000
"""Heaps looked at before a larger site counts as too wide to be counted."""

LARGEST_SAMPLED = 2_000
"""Contexts up to which orders are drawn: the table of pairs and the time grow too fast beyond."""

CHAINS, BATCHES = 4, 32


@dataclass(frozen=True, slots=True, eq=False)
class LikelyOrder:
    """How often each context is earlier than each other one.

    Parameters
    ----------
    earlier : float64 array, shape (count, count)
        P(context of the row earlier than that of the column); exactly 0 or 1 where the relations decide it.
    standard_error : float64 array, shape (count, count)
        Of each of these; 0 where it was counted or decided.
    effective_size : float64 array, shape (count, count)
        How many orders drawn independently would be as good; infinite where counted or decided.
    exact : bool
        Whether all orders were counted.
    orders : float
        How many orders there are when counted; NaN when drawn.
    r_hat : float
        Largest ratio over all pairs of the spread expected from all chains to that within each; near 1 when the chains
        agree; 1 when counted.
    """

    earlier: NDArray[np.float64]
    standard_error: NDArray[np.float64]
    effective_size: NDArray[np.float64]
    exact: bool
    orders: float
    r_hat: float

    @property
    def settled(self) -> bool:
        """Whether the figures may be used: counted, or chains that agree (ratio up to 1.2, 100 orders in effect)."""
        return self.exact or bool(self.r_hat <= 1.2 and self.effective_size.min(initial=np.inf) >= 100)


def likely_order(relations: Relations, rng: np.random.Generator, *, per_batch: int = 16, thin: int | None = None) -> LikelyOrder:
    """Return for every pair the probability that one context is earlier, every allowed order being equally likely.

    Parameters
    ----------
    relations : Relations
        Relations without a loop; contexts that are one must have been joined.
    rng : numpy.random.Generator
        The source of chance; not used when the orders can be counted.
    per_batch : int, optional
        Orders drawn in each of 4 x 32 batches.
    thin : int, optional
        Steps of the chain between two orders drawn; (n³ - n) / 24 when left out.

    Returns
    -------
    LikelyOrder
        Counted for up to 20 contexts and for narrow sites, drawn otherwise.

    Raises
    ------
    OrderError
        If the relations hold a loop.
    InputError
        If the site is too wide to be counted and has more than 2,000 contexts.

    Notes
    -----
    "Equally likely" is an assumption about ignorance, not about the site: dates and finds belong to the chronology
    model. Drawn figures come from four chains that begin from different orders, each cut into 32 batches; the
    standard error is that of the mean of all batch means, the effective size is p (1 - p) / (standard error)². For
    a pair that never once came the other way round the standard error would be 0; it is given as 1 / (orders in
    effect of the least certain pair) instead.

    Examples
    --------
    >>> from baulk.sequence.relations import relations_of
    >>> found = likely_order(relations_of(3, [0], [1]), np.random.default_rng(1))
    >>> found.exact, round(float(found.earlier[1, 2]), 3)
    (True, 0.667)
    """
    refuse_loops(relations, "The likely order")
    count = relations.count
    limit = 2**ALWAYS_COUNTED if count <= ALWAYS_COUNTED else HEAP_LIMIT
    counted = count_orders(relations, limit=limit) if count <= LARGEST_SAMPLED else None
    if counted is not None:
        none, sure = np.zeros((count, count)), np.full((count, count), np.inf)
        return LikelyOrder(_with_decided(counted.earlier, _decided(relations)), none, sure, True, counted.orders, 1.0)
    if count > LARGEST_SAMPLED:
        raise InputError(
            f"The likely order is asked for {count} contexts at once. Its table holds every pair, so at most "
            f"{LARGEST_SAMPLED} contexts are taken: ask for one unit, or for the contexts in question."
        )
    spread = _run_chains(relations, rng, per_batch, thin or max(steps_to_forget(count) // 4, 1))
    return _summary(relations, spread, CHAINS * BATCHES * per_batch)


def _run_chains(relations: Relations, rng: np.random.Generator, per_batch: int, thin: int) -> _Spread:
    """Run the chains and gather what is needed of their batch means."""
    rules = swap_rules(relations)
    spread = _Spread(relations.count)
    for _ in range(CHAINS):
        state, _info = swap_steps(rng, rules, start_order(rng, rules), 4 * thin)
        for _batch in range(BATCHES):
            inside = np.zeros((relations.count, relations.count))
            for _draw in range(per_batch):
                state, _info = swap_steps(rng, rules, state, thin)
                inside += _earlier_in(state)
            spread.add_batch(inside / per_batch)
        spread.end_chain()
    return spread


class _Spread:
    """Running sums of batch means, within chains and between them; no batch is kept."""

    def __init__(self, count: int) -> None:
        shape = (count, count)
        self.chain_sum, self.chain_squares = np.zeros(shape), np.zeros(shape)
        self.total, self.within, self.squares_of_means = np.zeros(shape), np.zeros(shape), np.zeros(shape)

    def add_batch(self, mean: NDArray[np.float64]) -> None:
        self.chain_sum += mean
        self.chain_squares += mean**2

    def end_chain(self) -> None:
        mean = self.chain_sum / BATCHES
        self.within += np.maximum(self.chain_squares - BATCHES * mean**2, 0.0) / (BATCHES - 1) / CHAINS
        self.total += mean / CHAINS
        self.squares_of_means += mean**2
        self.chain_sum[:], self.chain_squares[:] = 0.0, 0.0

    def between(self) -> NDArray[np.float64]:
        """Return the variance of a batch mean as the chains' own means show it."""
        spread = np.maximum(self.squares_of_means - CHAINS * self.total**2, 0.0)
        return BATCHES * spread / (CHAINS - 1)


def _earlier_in(state: OrderState) -> NDArray[np.bool_]:
    place = np.empty(len(state.contexts), np.int32)
    place[state.contexts] = np.arange(len(state.contexts), dtype=np.int32)
    return place[:, None] < place[None, :]


def _decided(relations: Relations) -> NDArray[np.bool_]:
    """Return for every pair whether the relations make the context of the row earlier than that of the column."""
    earlier, later = np.divmod(np.arange(relations.count**2), max(relations.count, 1))
    return reaches(relations, later, earlier).reshape(relations.count, relations.count)


def _with_decided(earlier: NDArray[np.float64], decided: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return shares with exactly 0 and 1 where the relations decide."""
    return np.where(decided, 1.0, np.where(decided.T, 0.0, earlier))


def _summary(relations: Relations, spread: _Spread, drawn: int) -> LikelyOrder:
    count, decided = relations.count, _decided(relations)
    open_pairs = ~(decided | decided.T | np.eye(count, dtype=np.bool_))
    mean, within, between = _with_decided(spread.total, decided), spread.within, spread.between()
    batches = CHAINS * BATCHES
    pooled = ((BATCHES - 1) * CHAINS * within + (CHAINS - 1) * between) / (batches - 1)
    error = np.sqrt(pooled / batches)
    varied = open_pairs & (error > 0)
    size = np.full((count, count), np.inf)
    size[varied] = np.minimum(mean[varied] * (1 - mean[varied]) / error[varied] ** 2, drawn)
    constant = open_pairs & ~varied
    least = float(size.min(initial=np.inf)) if varied.any() else 1.0
    error[constant], size[constant] = 1.0 / least, least
    error[~open_pairs] = 0.0
    return LikelyOrder(mean, error, size, False, float("nan"), _worst_ratio(within[varied], between[varied]))


def _worst_ratio(within: NDArray[np.float64], between: NDArray[np.float64]) -> float:
    """Return the largest ratio of the spread seen across chains to that within them; infinite for chains that stand still."""
    if not len(within):
        return 1.0
    if (within <= 0).any():
        return float("inf")
    return float(np.sqrt((((BATCHES - 1) * within + between) / (BATCHES * within)).max()))
