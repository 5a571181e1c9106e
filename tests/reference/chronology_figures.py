"""Mean and deviation of each quantity that chains drew, with the Monte Carlo errors of both."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from baulk.dating.mixing import mixing_of

__all__ = ["Figures", "figures_of"]

Floats = NDArray[np.float64]


class Figures(NamedTuple):
    """Mean and standard deviation of each quantity with their standard errors, each of shape (quantities,)."""

    mean: Floats
    mean_error: Floats
    sd: Floats
    sd_error: Floats


def figures_of(draws: NDArray[Any]) -> Figures:
    """Return the figures of draws of shape (chains, kept, quantities).

    The error of the mean counts the draws in effect of the values, that of the deviation those of the squared distances from the
    mean (the error of a variance, by the chain rule).
    """
    values = np.asarray(draws, np.float64)
    mean, sd = values.mean(axis=(0, 1)), values.std(axis=(0, 1))
    squares = (values - mean) ** 2
    bulk, bulk_of_squares = (mixing_of(one.astype(np.float32))[1] for one in (values, squares))
    return Figures(mean, sd / np.sqrt(bulk), sd, squares.std(axis=(0, 1)) / np.sqrt(bulk_of_squares) / (2 * sd))
