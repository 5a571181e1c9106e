"""The chance that a find came into its deposit later: it grows with the disturbance that was recorded."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from baulk.errors import InputError

__all__ = ["Disturbance", "Intrusion"]


class Disturbance(IntEnum):
    """How much a deposit, or the place where a find lay, was disturbed, as recorded."""

    NONE = 0
    """Sealed, and nothing seen in it."""
    SLIGHT = 1
    """A few roots or worm casts, or a boundary that was hard to follow."""
    MODERATE = 2
    """Burrows, root mats, a pit edge near by, or a boundary that was dug through."""
    HEAVY = 3
    """Mixed: animal runs, later pits, ploughing or bags mixed up."""


@dataclass(frozen=True, slots=True)
class Intrusion:
    """How likely a find is to be intrusive before its date is looked at.

    Parameters
    ----------
    undisturbed : float, optional
        Chance in a sealed and undisturbed deposit, in (0, 1). 0.02 is a house setting: no source gives a general figure.
    odds_each_grade : float, optional
        By how much each grade of recorded disturbance multiplies the odds, 1 or more. 3 is a house setting.

    Notes
    -----
    odds = u / (1 - u) · k^grade; chance = odds / (1 + odds). With the house settings: 0.020, 0.058, 0.155, 0.355. A chance of 0
    would make one stray sherd decide; it is not allowed.

    Raises
    ------
    InputError
        When the chance does not lie between 0 and 1, or the factor is below 1.

    Examples
    --------
    >>> [round(Intrusion().chance(grade), 3) for grade in Disturbance]
    [0.02, 0.058, 0.155, 0.355]
    """

    undisturbed: float = 0.02
    odds_each_grade: float = 3.0

    def __post_init__(self) -> None:
        """Check both numbers."""
        if not 0 < self.undisturbed < 1 or self.odds_each_grade < 1:
            raise InputError(
                f"A chance of intrusion of {self.undisturbed:g} with odds times {self.odds_each_grade:g} a grade is given. The "
                "chance lies between 0 and 1, and disturbance never makes it smaller: give a factor of 1 or more."
            )

    def chance(self, disturbance: Disturbance) -> float:
        """Return the chance that a find is intrusive, before its date is looked at."""
        odds = self.undisturbed / (1 - self.undisturbed) * self.odds_each_grade ** int(disturbance)
        return odds / (1 + odds)

    @property
    def words(self) -> str:
        """The setting in a sentence."""
        chances = ", ".join(f"{self.chance(grade):.3g} ({grade.name.lower()})" for grade in Disturbance)
        return f"Chance that a find is intrusive, by recorded disturbance: {chances}. House setting, no source."
