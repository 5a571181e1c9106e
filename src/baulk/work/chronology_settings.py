"""What is supposed when a chronology is worked out: from the record's own settings where it has any, else the house's."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from baulk.dating.discard import Discard
from baulk.dating.intrusion import Intrusion
from baulk.dating.model import Suppositions
from baulk.dating.sampling import Sampling
from baulk.dating.window import Window
from baulk.record import DatingSettings, SiteRecord

__all__ = ["CHRONOLOGY_SEED", "ChronologySettings", "Counting", "PhaseUse", "settings_of"]

CHRONOLOGY_SEED = 1
"""The seed of the draws when none is given, so that the same question has the same answer."""


class PhaseUse(StrEnum):
    """How the phases on the contexts' sheets are used."""

    NONE = "not used"
    """They are what somebody made of the order, and a start and an end of each draw its contexts together: used when asked."""
    OVERLAP = "may overlap"
    """Each has a start and an end, and they may lie over each other."""
    IN_TURN = "one after the other"
    """Each begins after the one before it has ended; there may be a gap."""


@dataclass(frozen=True, slots=True)
class Counting:
    """How finds are counted as evidence; house settings, no source.

    Parameters
    ----------
    recognised : float
        Chance that a thing made after a common type had come in would be of that type.
    common : int
        Pieces on the whole site from which a type is called common, so that its absence says something.
    old_wood : float
        Mean years by which a radiocarbon sample that may be old is older than its deposit.
    """

    recognised: float = 0.8
    common: int = 5
    old_wood: float = 50.0

    @property
    def words(self) -> str:
        """The counting in a sentence."""
        return (
            f"A type of {self.common} pieces or more on the site is common, and {100 * self.recognised:.0f} per cent of the things "
            f"made after it had come in would be of it; a radiocarbon sample that may be old is {self.old_wood:g} years older on "
            "average. House settings, no source."
        )


@dataclass(frozen=True, slots=True)
class ChronologySettings:
    """All that a chronology rests on besides the record.

    Parameters
    ----------
    suppositions : Suppositions
        Intrusion, discard, whether absence counts, the span.
    window : tuple of (int or None, int or None)
        First and last year given; None where it is worked out from the record.
    phases : PhaseUse
        How phases are used.
    seed : int
        Of the draws.
    sampling : Sampling
        Chains and draws.
    counting : Counting
        How finds are counted.
    reasons : str
        Why these, in the record's words; empty for the house settings.
    """

    suppositions: Suppositions = field(default_factory=Suppositions)
    window: tuple[int | None, int | None] = (None, None)
    phases: PhaseUse = PhaseUse.NONE
    seed: int = CHRONOLOGY_SEED
    sampling: Sampling = field(default_factory=Sampling)
    counting: Counting = field(default_factory=Counting)
    reasons: str = ""

    def without_absence(self) -> ChronologySettings:
        """Return the same settings, the absence of later finds left out."""
        return replace(self, suppositions=replace(self.suppositions, absence=False))

    def words(self, window: Window) -> tuple[str, ...]:
        """Return each setting in a sentence."""
        given = (
            "as given"
            if self.window != (None, None)
            else "from the record: a century before the first dated thing, to the year of digging"
        )
        why = (f"Why these settings: {self.reasons}",) if self.reasons else ()
        return (
            *self.suppositions.words, self.counting.words, f"Nothing is dated outside of {window.words} ({given}).",
            f"Phases: {self.phases.value}.", f"Seed {self.seed}.", *why,
        )  # fmt: skip


def settings_of(record: SiteRecord) -> ChronologySettings:
    """Return the settings that the record keeps; the house's where it keeps none, or leaves one blank."""
    kept = next(iter(record.all(DatingSettings)), None)
    house = ChronologySettings()
    if kept is None:
        return house
    intrusion, discard = house.suppositions.intrusion, house.suppositions.discard
    return ChronologySettings(
        suppositions=Suppositions(
            intrusion=Intrusion(_or(kept.undisturbed, intrusion.undisturbed), _or(kept.odds_each_grade, intrusion.odds_each_grade)),
            discard=Discard(
                _or(kept.discard_lag, discard.lag), _or(kept.residual_share, discard.residual_share),
                _or(kept.residual_lag, discard.residual_lag), _or(kept.redeposited, discard.redeposited),
            ),
            absence=kept.absence is not False,
        ),
        window=(kept.window_begin, kept.window_end),
        phases=PhaseUse(kept.phases) if kept.phases in set(PhaseUse) else house.phases,
        seed=house.seed if kept.seed is None else kept.seed,
        reasons=kept.reasons or "not recorded",
    )  # fmt: skip


def _or(given: float | None, house: float) -> float:
    return house if given is None else given
