"""Drawing orders at random from all that the relations allow, by a chain of neighbours changing places."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.sequence.compiled import compiled
from baulk.sequence.graph import Neighbours, neighbours_above
from baulk.sequence.relations import Relations

__all__ = ["OrderState", "SwapInfo", "SwapRules", "start_order", "steps_to_forget", "swap_rules", "swap_steps"]


@dataclass(frozen=True, slots=True, eq=False)
class SwapRules:
    """What a chain of orders needs to know of the relations.

    Parameters
    ----------
    above : Neighbours
        The neighbours above each context.
    fixed : bool array, shape (count, count)
        Whether the context of the row is related to that of the column, in either direction.
    """

    above: Neighbours
    fixed: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class OrderState:
    """One order that the relations allow.

    Parameters
    ----------
    contexts : int32 array, shape (count,)
        The contexts, earliest first.
    """

    contexts: NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class SwapInfo:
    """What happened in some steps.

    Parameters
    ----------
    steps, swaps : int
        Steps made, and those in which two neighbours changed places.
    """

    steps: int
    swaps: int


def swap_rules(relations: Relations) -> SwapRules:
    """Prepare relations without a loop for drawing orders; memory grows with the square of the contexts.

    Parameters
    ----------
    relations : Relations
        Relations without a loop.

    Returns
    -------
    SwapRules
        The rules.
    """
    fixed = np.zeros((relations.count, relations.count), np.bool_)
    fixed[relations.later, relations.earlier] = True
    fixed[relations.earlier, relations.later] = True
    return SwapRules(neighbours_above(relations), fixed)


def start_order(rng: np.random.Generator, rules: SwapRules) -> OrderState:
    """Return a first order: from the bottom, always any one of the contexts that could come next.

    Parameters
    ----------
    rng : numpy.random.Generator
        The source of chance.
    rules : SwapRules
        The rules.

    Returns
    -------
    OrderState
        An allowed order; not every order is equally likely yet.
    """
    return OrderState(_any_order(rng, rules.above.starts, rules.above.contexts))


def swap_steps(rng: np.random.Generator, rules: SwapRules, state: OrderState, steps: int) -> tuple[OrderState, SwapInfo]:
    """Make some steps of the chain.

    Parameters
    ----------
    rng : numpy.random.Generator
        The source of chance.
    rules : SwapRules
        The rules.
    state : OrderState
        The order to begin from; it is not changed.
    steps : int
        Number of steps.

    Returns
    -------
    OrderState
        The order after the steps.
    SwapInfo
        How many of them changed it.

    Notes
    -----
    One step: choose a place i of 1 … n - 1 with probability proportional to i (n - i); with probability 1/2, let
    the contexts at i and i + 1 change places, unless they are related. Neighbours in an allowed order that are
    not directly related are not related at all, so the new order is allowed. The step and its reverse are equally
    likely, any allowed order can be reached from any other, and the chain rests with probability at least 1/2:
    so in the long run every allowed order is equally likely.

    References
    ----------
    A. Karzanov, L. Khachiyan, "On the conductance of order Markov chains", Order 8 (1991) 7-15: the chain.
    R. Bubley, M. Dyer, "Faster random generation of linear extensions", Discrete Mathematics 201 (1999) 81-88: the
    choice of place and the O(n³ log n) bound. (Both from memory.)
    """
    contexts = state.contexts.copy()
    swaps = _swap(rng, rules.fixed, contexts, steps)
    return OrderState(contexts), SwapInfo(steps, int(swaps))


def steps_to_forget(count: int) -> int:
    """Return the number of steps in which the chain loses most of its memory: (n³ - n) / 6, at least 1.

    Parameters
    ----------
    count : int
        Number of contexts.

    Returns
    -------
    int
        The scale K of the bound: after K ln(n² / e) steps the chain is within e of equally likely orders (constant
        from memory; the chain's own diagnostics do not rest on it).
    """
    return max((count**3 - count) // 6, 1)


@compiled
def _any_order(rng: np.random.Generator, starts: NDArray[np.int64], above: NDArray[np.int32]) -> NDArray[np.int32]:
    count = len(starts) - 1
    waits_for = np.zeros(count, np.int32)
    for context in range(count):
        for step in range(starts[context], starts[context + 1]):
            waits_for[above[step]] += 1
    order = np.empty(count, np.int32)
    free = 0
    for context in range(count):
        if waits_for[context] == 0:
            order[free] = context
            free += 1
    for place in range(count):
        chosen = place + int(rng.random() * (free - place))
        order[place], order[chosen] = order[chosen], order[place]
        context = order[place]
        for step in range(starts[context], starts[context + 1]):
            waits_for[above[step]] -= 1
            if waits_for[above[step]] == 0:
                order[free] = above[step]
                free += 1
    return order


@compiled
def _swap(rng: np.random.Generator, fixed: NDArray[np.bool_], contexts: NDArray[np.int32], steps: int) -> int:
    count = len(contexts)
    if count < 2:
        return 0
    swaps = 0
    for _ in range(steps):
        if rng.random() < 0.5:
            continue
        place = 1 + int(rng.random() * (count - 1))
        while rng.random() * count * count > 4.0 * place * (count - place):
            place = 1 + int(rng.random() * (count - 1))
        one, other = contexts[place - 1], contexts[place]
        if not fixed[one, other]:
            contexts[place - 1], contexts[place] = other, one
            swaps += 1
    return swaps
