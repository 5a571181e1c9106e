"""Whether chains agree and how many draws they are worth: rank-normalised split R̂, draws in effect of middle and tails."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from baulk.sequence.compiled import compiled

__all__ = ["bulk_draws", "mixing_of", "r_hat", "tail_draws"]

Floats = NDArray[np.float64]
TAILS = (0.05, 0.95)


def r_hat(draws: Floats) -> float:
    """Return the rank-normalised split R̂: the larger of that of the values and of their distances from the median.

    Parameters
    ----------
    draws : float64 array, shape (chains, kept)
        Draws of one quantity.

    Returns
    -------
    float
        Near 1 when the chains agree; infinite when all chains stand still in different places; 1 when nothing varies.

    References
    ----------
    Vehtari, Gelman, Simpson, Carpenter, Bürkner 2021, Bayesian Analysis 16(2): 667-718, doi 10.1214/20-BA1221.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> bool(r_hat(rng.normal(size=(4, 1000))) < 1.01), bool(r_hat(rng.normal(size=(4, 1000)) + np.arange(4)[:, None]) > 1.5)
    (True, True)
    """
    return _one(draws)[0]


def bulk_draws(draws: Floats) -> float:
    """Return how many independent draws the middle of a distribution is known as well as from; shape (chains, kept)."""
    return _one(draws)[1]


def tail_draws(draws: Floats) -> float:
    """Return the fewer of the draws in effect of the shares below the 5 and the 95 per cent points; shape (chains, kept)."""
    return _one(draws)[2]


def mixing_of(draws: NDArray[np.float32]) -> tuple[Floats, Floats, Floats]:
    """Return R̂, bulk and tail draws in effect of many quantities.

    Parameters
    ----------
    draws : float32 array, shape (chains, kept, quantities)
        Draws; one quantity is looked at after another, so that memory stays small.

    Returns
    -------
    tuple of three float64 arrays, shape (quantities,)
        R̂, bulk and tail.
    """
    found = np.empty((3, draws.shape[2]))
    _all_of(draws, _scores(draws.shape), found)
    return found[0], found[1], found[2]


def _one(draws: Floats) -> tuple[float, float, float]:
    held = np.asarray(draws, np.float64)
    found = np.empty(3)
    _figures(held, _scores(held.shape), found)
    return float(found[0]), float(found[1]), float(found[2])


def _scores(shape: tuple[int, ...]) -> Floats:
    """Return the normal scores of the ranks 1, 1.5, 2 … of all draws: ranks of ties are averaged, so halves occur."""
    size = shape[0] * 2 * (shape[1] // 2)
    return np.asarray(ndtri((np.arange(1, size + 0.75, 0.5) - 0.375) / (size + 0.25)))


@compiled
def _all_of(draws: NDArray[np.float32], scores: Floats, found: Floats) -> None:
    one = np.empty(draws.shape[:2])
    for place in range(draws.shape[2]):
        one[:] = draws[:, :, place]
        _figures(one, scores, found[:, place])


@compiled
def _figures(draws: Floats, scores: Floats, found: Floats) -> None:
    """Fill in R̂, bulk and tail of one quantity."""
    halves = _halves(draws)
    rising = np.sort(draws.ravel())
    middle = np.median(halves.ravel())
    plain, folded = _normal_scores(halves, scores), _normal_scores(np.abs(halves - middle), scores)
    found[0] = max(_plain_r_hat(plain), _plain_r_hat(folded))
    found[1] = _in_effect(plain)
    found[2] = np.inf
    for share in TAILS:
        place = share * (len(rising) - 1)
        at = int(place)
        point = rising[at] + (place - at) * (rising[min(at + 1, len(rising) - 1)] - rising[at])
        found[2] = min(found[2], _in_effect((halves <= point).astype(np.float64)))


@compiled
def _halves(draws: Floats) -> Floats:
    """Return each chain cut into two; of an odd number the middle draw is left out."""
    chains, kept = draws.shape
    half = kept // 2
    halves = np.empty((2 * chains, half))
    halves[:chains] = draws[:, :half]
    halves[chains:] = draws[:, kept - half :]
    return halves


@compiled
def _normal_scores(draws: Floats, scores: Floats) -> Floats:
    """Return normal scores of the ranks over all chains, ties averaged."""
    flat = draws.ravel()
    rising = np.argsort(flat)
    found = np.empty(len(flat))
    first = 0
    while first < len(flat):
        last = first
        while last + 1 < len(flat) and flat[rising[last + 1]] == flat[rising[first]]:
            last += 1
        for place in range(first, last + 1):
            found[rising[place]] = scores[first + last]
        first = last + 1
    return found.reshape(draws.shape)


@compiled
def _plain_r_hat(draws: Floats) -> float:
    chains, kept = draws.shape
    means = np.empty(chains)
    within = 0.0
    for chain in range(chains):
        means[chain] = draws[chain].mean()
        within += ((draws[chain] - means[chain]) ** 2).sum() / (kept - 1) / chains
    between = ((means - means.mean()) ** 2).sum() / (chains - 1)
    if within <= 1e-12 * between:  # stands still, but for rounding
        return np.inf if between > 0.0 else 1.0
    return float(np.sqrt((between * kept / within + kept - 1) / kept))


@compiled
def _covariance(draws: Floats, means: Floats, lag: int) -> float:
    """Return the mean over the chains of the autocovariance at a lag, divided by the number of draws."""
    chains, kept = draws.shape
    whole = 0.0
    for chain in range(chains):
        for place in range(kept - lag):
            whole += (draws[chain, place] - means[chain]) * (draws[chain, place + lag] - means[chain])
    return float(whole / (chains * kept))


@compiled
def _in_effect(draws: Floats) -> float:
    """Return draws in effect, by Geyer's initial monotone sequence of pairs of autocorrelations over all chains.

    Chains that stand still count as one draw each.
    """
    chains, kept = draws.shape
    means = np.empty(chains)
    for chain in range(chains):
        means[chain] = draws[chain].mean()
    within = _covariance(draws, means, 0) * kept / (kept - 1.0)
    whole = within * (kept - 1.0) / kept + ((means - means.mean()) ** 2).sum() / max(chains - 1, 1)
    if whole <= 0.0:
        return float(chains * kept)
    if within <= 0.0:
        return float(chains)
    even, odd = 1.0, 1.0 - (within - _covariance(draws, means, 1)) / whole
    last = even + odd
    total = last
    lag = 1
    while lag < kept - 3 and even + odd > 0.0:
        even = 1.0 - (within - _covariance(draws, means, lag + 1)) / whole
        odd = 1.0 - (within - _covariance(draws, means, lag + 2)) / whole
        lag += 2
        if even + odd < 0.0:
            break
        last = min(last, even + odd)
        if lag < kept - 3:  # a pair at the very end is left out, as in the reference
            total += last
    spread = -1.0 + 2.0 * total + max(even, 0.0)
    return float(chains * kept / max(spread, 1.0 / np.log10(chains * kept)))
