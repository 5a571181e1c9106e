"""Tests not yet made: what they are expected to tell, their order, and plans of up to three."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from baulk.errors import InputError
from baulk.reading.next_test import Observation, entropy, expected_information, observation_of, rank_tests, yes_no
from baulk.reading.plan import EXACT_UP_TO, Step, plan_tests
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import expectation_of

READINGS = (Reading("a", "A", 0.5), Reading("b", "B", 0.3), Reading("n", "None of these", 0.2, none_of_these=True))
QUESTION = question_of("?", READINGS)
SHARES = np.array([0.5, 0.3, 0.2])


def look(name: str, hours: float = 1.0, lost: bool = True, cause: str | None = None, **chances: float) -> Observation:
    """Return a yes/no test."""
    cells = {key: expectation_of(value) for key, value in chances.items()}
    return yes_no(name, f"look at {name}", cells, hours=hours, lost_at_backfill=lost, cause=cause)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"outcomes": ["seen"]}, "A test that can come out in one way only tells nothing"),
        ({"hours": 0.0}, "Every test costs some time: give hours above 0"),
        ({"chances": {"a": [0.5, 0.2]}}, "Give one chance for each of its 2 outcomes"),
        ({"chances": {"a": [1.5, -0.5]}}, "none below 0, that add up to 1"),
        ({"chances": {"a": [1.0]}}, "has for the reading “a” the chances 1."),
    ],
)
def test_what_is_no_test_is_refused(given: dict[str, Any], words: str) -> None:
    """One outcome, no hours, and chances that do not fit are refused in words."""
    whole = {"outcomes": ["seen", "not there"], "chances": {"a": [0.5, 0.5]}, "hours": 1.0, **given}
    with pytest.raises(InputError) as refusal:
        observation_of("t", "dig", whole["outcomes"], whole["chances"], hours=whole["hours"], lost_at_backfill=True)
    assert words in str(refusal.value)


def test_chances_that_are_nearly_one_are_scaled() -> None:
    """Shares of 33 per cent each become thirds; a reading without chances makes all outcomes equally likely."""
    held = observation_of("t", "dig", ["x", "y", "z"], {"a": [0.33, 0.33, 0.33]}, hours=1, lost_at_backfill=False)
    assert held.chances["a"] == pytest.approx((1 / 3, 1 / 3, 1 / 3))
    assert held.table(QUESTION)[:, 1] == pytest.approx([1 / 3, 1 / 3, 1 / 3])


def test_what_is_lost_at_backfill_comes_first_and_what_tells_nothing_last() -> None:
    """Lost tests lead by bits an hour, then the others; a lost test that tells nothing is at the end."""
    tests = [
        look("quick", 0.5, False, a=0.95, b=0.05),
        look("slow", 4.0, True, a=0.9, b=0.1),
        look("fair", 1.0, True, a=0.8, b=0.3),
        look("idle", 0.1, True, a=0.5, b=0.5, n=0.5),
    ]
    ranked = rank_tests(QUESTION, SHARES, tests)
    assert [held.observation.id for held in ranked] == ["fair", "slow", "quick", "idle"]
    assert ranked[-1].bits == pytest.approx(0, abs=1e-12)
    assert rank_tests(QUESTION, SHARES, tests[::-1]) == ranked


def test_answers_after_each_outcome_average_to_the_answer_now() -> None:
    """The expected posterior is the posterior as it stands, and the flag tells whether the lead would change."""
    (held,) = rank_tests(QUESTION, SHARES, [look("t", a=0.2, b=0.9, n=0.5)])
    assert np.array(held.likely) @ np.array(held.after) == pytest.approx(SHARES)
    assert held.changes_lead == (True, False)


def test_a_test_with_the_cause_of_evidence_is_marked() -> None:
    """What a weighed piece tells already is told beside the test."""
    piece = Evidence("e", "e", {"a": expectation_of("often")}, cause="laying")
    ranked = rank_tests(question_of("?", READINGS, [piece]), SHARES, [look("s", cause="laying", a=0.9), look("t", a=0.9)])
    assert {held.observation.id: held.cause_counted for held in ranked} == {"s": True, "t": False}


def bits_of(step: Step | None, shares: np.ndarray, question: Question) -> float:
    """Return the expected information of a plan as the fall of doubt over its whole tree."""
    if step is None:
        return 0.0
    ends: list[tuple[float, np.ndarray]] = []

    def walk(here: Step, chance: float) -> None:
        for likely, after, then in zip(here.likely, here.after, here.then, strict=True):
            if then is None:
                ends.append((chance * likely, np.array(after)))
            else:
                walk(then, chance * likely)

    walk(step, 1.0)
    return float(entropy(shares)) - sum(chance * float(entropy(after)) for chance, after in ends)


def best_by_hand(tests: list[Observation], shares: np.ndarray, hours: float, most: int, used: frozenset[str]) -> float:
    """Return the most that any plan can tell, by trying every test at every turn."""
    best = 0.0
    for test in tests:
        if most and test.id not in used and test.hours <= hours:
            table = test.table(QUESTION)
            likely = table @ shares
            rest = sum(
                float(chance) * best_by_hand(tests, row * shares / chance, hours - test.hours, most - 1, used | {test.id})
                for row, chance in zip(table, likely, strict=True)
            )
            best = max(best, expected_information(shares, table) + rest)
    return best


def test_the_plan_is_the_best_of_all() -> None:
    """The stated information is the fall of doubt over the tree, no plan tells more, and no branch takes longer than there is."""
    rng = np.random.default_rng(5)
    for _ in range(4):
        tests = [
            look(
                f"t{place}",
                float(rng.choice([1.0, 2.0, 3.0])),
                **dict(zip("abn", rng.uniform(0.05, 0.95, 3).tolist(), strict=True)),
            )
            for place in range(4)
        ]
        plan = plan_tests(QUESTION, SHARES, tests, hours=5.0)
        assert plan.exact and plan.most_hours <= 5.0 and plan.hours <= plan.most_hours
        assert plan.bits == pytest.approx(bits_of(plan.first, SHARES, QUESTION))
        assert plan.bits == pytest.approx(best_by_hand(tests, SHARES, 5.0, 3, frozenset()))


def test_a_plan_takes_what_is_lost_first_and_one_test_of_a_cause() -> None:
    """As long as a lost test tells anything only such are planned, and two tests of one cause are not both made."""
    tests = [look("lost", a=0.6, b=0.4), look("later", lost=False, a=0.9, b=0.1)]
    plan = plan_tests(QUESTION, SHARES, tests)
    assert plan.first is not None and plan.first.observation.id == "lost" and plan.first.then == (None, None)
    assert plan.says == "Every plan of up to 3 of 1 tests was compared, taking only tests that are lost at backfill."
    twins = [look("one", cause="c", a=0.9, b=0.1), look("two", cause="c", a=0.9, b=0.1)]
    twin = plan_tests(QUESTION, SHARES, twins)
    assert twin.first is not None and twin.first.then == (None, None)


def test_a_plan_of_many_tests_says_that_it_is_not_exact() -> None:
    """Beyond sixteen tests those that tell most for an hour are kept, and the plan says so."""
    tests = [look(f"t{place:02d}", a=0.5 + place / 60, b=0.4) for place in range(EXACT_UP_TO + 4)]
    plan = plan_tests(QUESTION, SHARES, tests)
    assert not plan.exact
    assert plan.says.startswith("Of 20 tests those 16 were kept that tell most for an hour.")


def test_nothing_to_do_is_a_plan_too() -> None:
    """Without a test that fits and tells there is no first step."""
    plan = plan_tests(QUESTION, SHARES, [look("long", 9.0, a=0.9, b=0.1), look("idle", a=0.5, b=0.5, n=0.5)])
    assert plan.first is None and plan.bits == 0 and plan.hours == 0 and plan.most_hours == 0


@pytest.mark.parametrize(
    ("given", "words"), [({"hours": 0.0}, "Give the hours there are to spend"), ({"most": 4}, "A plan holds 1 to")]
)
def test_what_is_no_plan_is_refused(given: dict[str, Any], words: str) -> None:
    """No hours, and more tests than anybody can foresee, are refused in words."""
    with pytest.raises(InputError) as refusal:
        plan_tests(QUESTION, SHARES, [], **given)
    assert words in str(refusal.value)
