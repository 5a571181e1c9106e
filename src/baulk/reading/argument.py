"""Everything that is worked out about a question, at once: what a page, a drawing and a report show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from baulk.reading.care import CARE_THRESHOLD, BurialCare, burial_care
from baulk.reading.grouping import Treatment
from baulk.reading.next_test import Observation, Ranked, rank_tests
from baulk.reading.overturn import Overturning, overturning
from baulk.reading.plan import DAY, Plan, plan_tests
from baulk.reading.question import Question
from baulk.reading.robustness import (
    Influence,
    PriorCase,
    Separation,
    influences,
    lead_holds_to,
    prior_cases,
    separation,
    treatments,
)
from baulk.reading.telling import paragraph
from baulk.reading.weigh import Weighed, weigh

__all__ = ["NO_PLAN_UNDER_CARE", "Argument", "argue"]

NO_PLAN_UNDER_CARE = Plan(
    None, 0.0, 0.0, 0.0, True, "No test is planned while burial care is due: stop, cover and notify, and ask what may be done."
)
"""The plan of a question that calls for burial care."""


@dataclass(frozen=True, slots=True, eq=False)
class Argument:
    """A question, weighed and turned about.

    Parameters
    ----------
    weighed : Weighed
        The weighing.
    treatments : tuple of Weighed
        The same under each treatment of common causes.
    priors : tuple of PriorCase
        The same under other priors.
    influences : tuple of Influence
        Without each piece and each group.
    overturning : tuple of Overturning
        The smallest set of evidence for each rival, smallest first.
    separation : Separation
        What separates the leader and its closest rival.
    holds_to : float
        By what share of its range every word can be pushed against the leader before the lead is lost.
    tests : tuple of Ranked
        Tests not yet made, in the order in which to make them.
    plan : Plan
        Up to three of them, one after the other; none while burial care is due.
    care : BurialCare
        Whether to stop, cover and notify.
    says : str
        The answer in plain words.
    """

    weighed: Weighed
    treatments: tuple[Weighed, ...]
    priors: tuple[PriorCase, ...]
    influences: tuple[Influence, ...]
    overturning: tuple[Overturning, ...]
    separation: Separation
    holds_to: float
    tests: tuple[Ranked, ...]
    plan: Plan
    care: BurialCare
    says: str


def argue(
    question: Question,
    tests: Sequence[Observation] = (),
    *,
    treatment: Treatment = Treatment.LEAST,
    hours: float = DAY,
    care_threshold: float = CARE_THRESHOLD,
) -> Argument:
    """Weigh a question and turn the answer about.

    Parameters
    ----------
    question : Question
        As `question_of` returns it.
    tests : sequence of Observation
        Not yet made.
    treatment : Treatment
        How pieces of one cause are counted.
    hours : float
        What there is to spend on tests.
    care_threshold : float
        Share at which a possible burial is acted upon.
    """
    weighed = weigh(question, treatment)
    falls = overturning(weighed)
    care = burial_care(weighed, care_threshold)
    plan = NO_PLAN_UNDER_CARE if care.acts else plan_tests(question, weighed.posterior, tests, hours=hours)
    return Argument(
        weighed,
        treatments(weighed),
        prior_cases(weighed),
        influences(weighed),
        falls,
        separation(weighed),
        lead_holds_to(weighed),
        rank_tests(question, weighed.posterior, tests),
        plan,
        care,
        paragraph(weighed, falls),
    )
