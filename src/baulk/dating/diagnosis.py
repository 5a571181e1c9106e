"""How well the chains agree: the figures, the worst of them, and whether a result may be told."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Diagnosis"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Diagnosis:
    """What the chains say of themselves, for every event and then every boundary of a phase.

    Parameters
    ----------
    names : tuple of str
        Events, then "start of …" and "end of …" of the site and its phases.
    r_hat : float64 array, shape (names,)
        Rank-normalised split R̂, the larger of bulk and folded; near 1 when the chains agree.
    bulk, tail : float64 array, shape (names,)
        Draws in effect, of the middle and of the tails.
    chains, kept, sweeps : int
        Chains, draws kept of each, and sweeps made by each after warming up.
    r_hat_most, least_draws : float
        What was asked for: R̂ of every name at most the first, draws in effect at least the second.
    """

    names: tuple[str, ...]
    r_hat: Floats
    bulk: Floats
    tail: Floats
    chains: int
    kept: int
    sweeps: int
    r_hat_most: float
    least_draws: float

    @property
    def settled(self) -> bool:
        """Whether every event and boundary passes."""
        good = (self.r_hat <= self.r_hat_most) & (np.minimum(self.bulk, self.tail) >= self.least_draws)
        return bool(good.all())

    @property
    def wanting(self) -> float:
        """About how many times the sweeps are wanted to pass: draws in effect grow, and R̂ nears 1, as the sweeps grow."""
        fewest = float(np.minimum(self.bulk, self.tail).min())
        return max(self.least_draws / max(fewest, 1.0), (float(self.r_hat.max()) - 1.0) / (self.r_hat_most - 1.0))

    @property
    def words(self) -> str:
        """The worst of each figure, by name."""
        if not len(self.names):
            return "Nothing was sampled."
        worst, few, rare = int(np.argmax(self.r_hat)), int(np.argmin(self.bulk)), int(np.argmin(self.tail))
        return (
            f"{self.chains} chains of {self.sweeps:,} sweeps, {self.kept:,} draws kept of each. Largest R̂ "
            f"{self.r_hat[worst]:.3f} ({self.names[worst]}; at most {self.r_hat_most:g} is asked for). Fewest draws in effect "
            f"{self.bulk[few]:,.0f} of the middle ({self.names[few]}) and {self.tail[rare]:,.0f} of the tails "
            f"({self.names[rare]}); at least {self.least_draws:g} are asked for."
        )
