"""The settings that a few levels cannot supply: each is stated in the answer that rests on it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["HOUSE", "GroundSettings"]


@dataclass(frozen=True, slots=True)
class GroundSettings:
    """House settings of the modelled ground; every value is our judgement: common practice, no source.

    Parameters
    ----------
    reading : float
        Standard deviation of one level, metres: staff on rough ground and reading.
    relief : float
        Default standard deviation of a surface about its plane, metres.
    slope : float
        Default standard deviation of a slope that no level shows, metres a metre.
    default_counts_as : float
        How many levels the default relief counts as.
    least_range : float
        Least range of a variogram, metres.
    reach : float
        How far beyond the outermost levels a surface is carried, metres, when the levels do not lie farther apart than that.
    edge_seen, edge_uncertain, edge_cut_away, edge_limit : float
        Standard deviation of the place of an edge by its kind, metres.
    """

    reading: float = 0.005
    relief: float = 0.025
    slope: float = 0.05
    default_counts_as: float = 3.0
    least_range: float = 0.05
    reach: float = 0.5
    edge_seen: float = 0.015
    edge_uncertain: float = 0.05
    edge_cut_away: float = 0.025
    edge_limit: float = 0.005


HOUSE = GroundSettings()
