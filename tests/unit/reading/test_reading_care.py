"""Burial care: a possible grave is acted upon at a low threshold and never cleared."""

from __future__ import annotations

import math

import pytest

from baulk.errors import InputError
from baulk.reading.care import CARE_THRESHOLD, STEPS, burial_care
from baulk.reading.question import Evidence, Reading, question_of
from baulk.reading.scale import expectation_of
from baulk.reading.weigh import Weighed, weigh


def pit(grave: float, prior: float = 0.1) -> Weighed:
    """Return a weighing of a pit that is almost surely not a grave when `grave`, the chance of the sighting, is low."""
    cells = {"pit": expectation_of(0.9), "grave": expectation_of(grave), "none of these": expectation_of(0.1)}
    readings = [Reading("pit", "Refuse pit", 0.8), Reading("grave", "Possible grave", prior, burial=True)]
    return weigh(question_of("?", readings, [Evidence("e", "full of kitchen waste", cells)]))


def test_a_grave_that_is_far_less_likely_than_the_leader_is_still_acted_upon() -> None:
    """At two or three in a hundred the steps are given, whatever leads."""
    held = burial_care(pit(0.25))
    assert held.acts and held.steps == STEPS and 0.01 < held.share < 0.4
    assert pit(0.25).order[0] == 0
    assert "whatever else is likelier" in held.says


def test_a_low_prior_does_not_silence_what_was_seen() -> None:
    """A burial held at one in a hundred thousand is weighed as one in two hundred: evidence for it reaches the threshold."""
    low = pit(0.95, prior=0.00001)
    assert low.posterior[1] < CARE_THRESHOLD / 100
    held = burial_care(low)
    # 0.005 against 0.995 shared 8:1 between pit and none of these, with chances 0.95, 0.9 and 0.1.
    expected = 0.005 * 0.95 / (0.005 * 0.95 + 0.995 * (8 * 0.9 + 1 * 0.1) / 9)
    assert not held.acts and held.share == pytest.approx(expected, rel=1e-3)
    seen = [Evidence(f"e{place}", "x", {"pit": expectation_of(0.1), "grave": expectation_of(0.9)}) for place in range(2)]
    strong = weigh(question_of("?", low.question.readings, seen))
    assert strong.posterior[1] < CARE_THRESHOLD and burial_care(strong).acts


def test_before_any_evidence_care_follows_the_prior() -> None:
    """A question that nothing was seen of yet acts when its burial readings have the threshold already, and not below it."""
    readings = [Reading("pit", "Pit", 0.8), Reading("grave", "Grave", 0.004, burial=True)]
    assert not burial_care(weigh(question_of("?", readings))).acts
    raised = [Reading("pit", "Pit", 0.8), Reading("grave", "Grave", 0.02, burial=True)]
    assert burial_care(weigh(question_of("?", raised))).acts


def test_below_the_threshold_nothing_is_cleared() -> None:
    """The words say that this is no clearance, and what to stop at."""
    held = burial_care(pit(0.002))
    assert not held.acts and held.steps == ()
    assert "This is no clearance: a grave may still be there" in held.says
    for word in ("clear of", "no grave", "safe", "rule"):
        assert word not in held.says.replace("no clearance", "")


def test_a_question_without_a_burial_reading_says_so_and_clears_nothing() -> None:
    """Nobody having thought of a grave is no sign that there is none."""
    held = burial_care(weigh(question_of("?", [Reading("path", "Path")])))
    assert not held.acts and math.isnan(held.share)
    assert "does not say that there is none" in held.says


@pytest.mark.parametrize("threshold", [0.0, 0.2, math.nan])
def test_the_threshold_cannot_be_set_high(threshold: float) -> None:
    """Above a twentieth, and at nothing, the threshold is refused."""
    with pytest.raises(InputError, match="a grave dug by mistake cannot be put back"):
        burial_care(pit(0.5), threshold)
