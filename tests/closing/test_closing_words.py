"""What a finding says: how many of how many fail, cannot be told or are waived, in one plain sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from baulk.closing import Outcome, Severity, check_unit
from baulk.closing.profiles import HOUSE
from baulk.closing.rule import Detail, Rule, Verdict
from tests.closing.breaking import record_with

FAIL, CANNOT_TELL, WAIVED = Outcome.FAIL, Outcome.CANNOT_TELL, Outcome.WAIVED


def said(*outcomes: Outcome, passing: int) -> str:
    """Return what is said of a rule with these outcomes beside those that pass."""
    details = tuple(Detail((f"r{at}",), outcome, f"{outcome} {at}") for at, outcome in enumerate(outcomes))
    rule = Rule(
        "B99", "It holds.", "Why.", Severity.LOST, "walls", "Mend it.", "our judgement", lambda _: Verdict(details, passing)
    )
    finding = check_unit(record_with(), "unit", profile=replace(HOUSE, rules={"B99": rule})).finding("B99")
    assert finding is not None
    return finding.says


@pytest.mark.parametrize(
    ("outcomes", "passing", "says"),
    [
        ((), 0, "Not applicable: no walls to ask."),
        ((), 1, "Passes."),
        ((), 2, "Both walls pass."),
        ((), 3, "All 3 walls pass."),
        ((FAIL,), 0, "Fails: fail 0."),
        ((CANNOT_TELL,), 0, "Nobody can tell: cannot tell 0."),
        ((WAIVED,), 0, "Waived."),
        ((FAIL, FAIL), 0, "Both walls fail: fail 0; fail 1."),
        ((CANNOT_TELL, CANNOT_TELL), 0, "Nobody can tell of the 2 walls: cannot tell 0; cannot tell 1."),
        ((WAIVED,) * 3, 0, "All 3 walls are waived."),
        ((FAIL,), 3, "Of 4 walls, 1 fails: fail 0."),
        ((FAIL, WAIVED, WAIVED), 1, "Of 4 walls, 1 fails and 2 are waived: fail 0."),
        ((FAIL,) * 5, 1, "Of 6 walls, 5 fail: fail 0; fail 1; fail 2; and 2 more."),
        (
            (CANNOT_TELL, FAIL, WAIVED), 1,
            "Of 4 walls, 1 fails, nobody can tell of 1 and 1 is waived: fail 1; cannot tell 0.",
        ),
    ],
)  # fmt: skip
def test_counts_are_told_in_a_plain_sentence(outcomes: tuple[Outcome, ...], passing: int, says: str) -> None:
    """The sentence tells what fails of how many, with a verb that agrees with its number, and names failures first."""
    assert said(*outcomes, passing=passing) == says


def test_a_failure_is_named_before_many_of_which_nobody_can_tell() -> None:
    """Only three are named; a failure is always among them."""
    assert "fail 4" in said(*(CANNOT_TELL,) * 4, FAIL, passing=0)
