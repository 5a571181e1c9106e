"""Burial care: a reading of a possible grave is acted upon at a low threshold, whatever else is likelier."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.errors import InputError
from baulk.reading.grouping import Treatment
from baulk.reading.prior import Prior
from baulk.reading.weigh import Weighed, weigh

__all__ = ["CARE_THRESHOLD", "HIGHEST_THRESHOLD", "BurialCare", "burial_care"]

CARE_THRESHOLD = 0.01
"""Share at or above which a possible burial is acted upon (house value, chosen low on purpose): one in a hundred."""

HIGHEST_THRESHOLD = 0.05
"""Share above which nobody may set the threshold."""

LEAST_PRIOR = CARE_THRESHOLD / 2
"""Share before the evidence that burial readings are given at least, so that no low prior silences what was seen (house value)."""

STEPS = (
    "Stop digging in and beside it.",
    "Cover what is seen.",
    "Tell those whom your permit and the law of the place name, before anything else is done.",
    "Leave it in place; do not dig to find out.",
)
"""What to do, in order."""


@dataclass(frozen=True, slots=True)
class BurialCare:
    """Whether a question calls for burial care.

    Parameters
    ----------
    acts : bool
        Whether to stop, cover and notify.
    share : float
        The largest share that the burial readings together have under any of the treatments of common causes, with the prior as
        given but no less than half the house threshold for them; NaN when no reading speaks of a burial.
    threshold : float
        At or above which care is due.
    readings : tuple of str
        Names of the readings that speak of a burial.
    steps : tuple of str
        What to do now, in order; empty when the threshold is not reached.
    says : str
        In a sentence or two; never a clearance.
    """

    acts: bool
    share: float
    threshold: float
    readings: tuple[str, ...]
    steps: tuple[str, ...]
    says: str


def burial_care(weighed: Weighed, threshold: float = CARE_THRESHOLD) -> BurialCare:
    """Return whether to stop, cover and notify.

    Parameters
    ----------
    weighed : Weighed
        Any weighing of the question.
    threshold : float
        May be set lower than the house value, and no higher than a twentieth.

    Raises
    ------
    InputError
        When the threshold is not above 0 or lies above a twentieth.
    """
    if not 0 < threshold <= HIGHEST_THRESHOLD:
        raise InputError(
            f"A threshold of {threshold:g} is given for burial care. It lies above 0 and is at most {HIGHEST_THRESHOLD:g}: "
            "the step costs little, a grave dug by mistake cannot be put back."
        )
    places = [place for place, reading in enumerate(weighed.question.readings) if reading.burial]
    names = tuple(weighed.question.readings[place].name for place in places)
    if not places:
        return BurialCare(
            False, float("nan"), threshold, (), (),
            "No reading of this question speaks of a burial. That nobody named one does not say that there is none: add one if it "
            "could be.",
        )  # fmt: skip
    prior = _raised(weighed.prior, places)
    weighings = [weigh(weighed.question, treatment, prior, weighed.pieces) for treatment in Treatment]
    share = max(float(held.posterior[places].sum()) for held in weighings)
    named = " or ".join(f"“{name}”" for name in names)
    limit = f"{100 * threshold:.3g} %"
    if share >= threshold:
        says = (
            f"{named} reaches {100 * share:.3g} % under one of the ways to weigh it, at or above the {limit} at which care is due, "
            "whatever else is likelier."
        )
        return BurialCare(True, share, threshold, names, STEPS, says)
    says = (
        f"{named} stays below {limit} on what was seen so far. This is no clearance: a grave may still be there. At the first "
        "bone, nail line, coffin stain or straight-sided mixed fill, stop, cover and notify."
    )
    return BurialCare(False, share, threshold, names, (), says)


def _raised(prior: Prior, places: list[int]) -> Prior:
    """Return the prior with the burial readings together at `LEAST_PRIOR` or more."""
    held = float(prior.shares[places].sum())
    if held >= LEAST_PRIOR:
        return prior
    shares = prior.shares * (1 - LEAST_PRIOR) / (1 - held)
    shares[places] = prior.shares[places] * LEAST_PRIOR / held
    return Prior(shares)
