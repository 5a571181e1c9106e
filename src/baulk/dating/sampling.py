"""How a chronology is sampled: chains, draws kept, and what is asked of them before anything is told."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.errors import InputError

__all__ = ["Sampling"]

FEWEST_CHAINS = 4


@dataclass(frozen=True, slots=True)
class Sampling:
    """Settings of the sampler; the seed is given apart.

    Parameters
    ----------
    chains : int
        Chains from different starts, 4 or more.
    kept : int
        Draws kept of each chain.
    sweeps_each : int
        Sweeps between two draws kept, to begin with; doubled, or more where much is wanting, until the chains settle.
    most_sweeps : int
        Sweeps that a chain makes at most, warming up apart. When the chains have not settled by then, nothing is told.
    r_hat_most : float
        Largest R̂ that is let pass, of any event. 1.01 is the published advice.
    least_draws : float
        Fewest draws in effect, of middle and tails, of any event. 400 is the published advice for four chains.

    Raises
    ------
    InputError
        When there are fewer than four chains, fewer than 100 draws kept, or a number is not above 0.

    References
    ----------
    Vehtari, Gelman, Simpson, Carpenter, Bürkner 2021, "Rank-normalization, folding, and localization", Bayesian Analysis 16(2):
    667-718, doi 10.1214/20-BA1221: thresholds 1.01 and 400.
    """

    chains: int = FEWEST_CHAINS
    kept: int = 1_000
    sweeps_each: int = 2
    most_sweeps: int = 100_000
    r_hat_most: float = 1.01
    least_draws: float = 400.0

    def __post_init__(self) -> None:
        """Check the counts."""
        if self.chains < FEWEST_CHAINS or self.kept < 100 or self.sweeps_each < 1 or self.most_sweeps < self.kept:
            raise InputError(
                f"{self.chains} chains of {self.kept} draws kept, {self.sweeps_each} sweeps apart, of {self.most_sweeps} at most "
                "are asked for. Four chains show whether they agree, and 100 draws of each whether they move: ask for no fewer."
            )
