"""The paragraph says what the table says, and nothing beyond it."""

from __future__ import annotations

import re
import time

import pytest

from baulk.reading.argument import argue
from baulk.reading.grouping import Treatment
from baulk.reading.next_test import yes_no
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import Expectation, expectation_of
from baulk.reading.telling import and_list, paragraph, share_words
from baulk.reading.weigh import weigh
from tests.unit.reading.made import random_question


def cells(path: str, wall: str, none: str = "cannot say") -> dict[str, Expectation]:
    """Return words for path, wall and none of these."""
    return {"p": expectation_of(path), "w": expectation_of(wall), "n": expectation_of(none)}


def yard() -> Question:
    """Return a question of two readings with a group of two pieces and one piece alone."""
    readings = [Reading("p", "Path", 0.45), Reading("w", "Wall", 0.45), Reading("n", "None of these", 0.1, none_of_these=True)]
    pieces = [
        Evidence("a", "pieces on edge", cells("usually", "seldom"), cause="laying"),
        Evidence("b", "one course", cells("usually", "now and then"), cause="laying"),
        Evidence("c", "mortar", cells("seldom", "usually"), seen=False),
    ]
    return question_of("What was it?", readings, pieces)


def test_the_paragraph_of_a_small_table() -> None:
    """The whole text of a table small enough to check by hand."""
    # path 0.45·0.9·0.9, wall 0.45·0.1·0.1, none 0.1·0.5·0.5: 0.3645, 0.0045, 0.025 of 0.394.
    text = paragraph(weigh(yard()))
    assert text.startswith(
        "On 3 pieces of evidence “Path” is the likeliest reading at 92.5 %; with every word anywhere in its range it"
    )
    # At the foot of path's own words and the top of the others: 0.3175, 0.0115 and 0.0884 of 0.4174; none of these kept: 0.025.
    assert "lies between 76 % and 99.5 %, and while “None of these” stays as it is between 90 % and 93.7 %." in text
    assert "The closest rival is “None of these” at 6.3 %" in text
    assert "“looked for and not there: mortar”" in text
    assert "what comes of “laying” (2 pieces)" in text
    assert "Pieces of one cause are counted once (least expected); counted “shared” it is" in text


def test_every_number_in_the_paragraph_is_in_the_table() -> None:
    """Shares told are shares of the weighing or of one of its variants, rounded: for random tables under each treatment."""
    for seed in range(6):
        for treatment in Treatment:
            held = argue(random_question(seed, 4, 7, causes=2), treatment=treatment)
            shares = {*held.weighed.posterior, *held.weighed.low, *held.weighed.high}
            shares |= {*held.weighed.steady_low, *held.weighed.steady_high}
            shares |= {float(share) for other in held.treatments for share in other.posterior}
            shares |= {float(share) for other in held.influences for share in other.posterior}
            known = {share_words(float(share)).split()[-2] for share in shares} | {"1"}
            assert set(re.findall(r"([\d.]+) %", held.says)) <= known


def test_every_quoted_name_is_in_the_table() -> None:
    """Names and sightings told are those of the question."""
    held = argue(yard())
    names = {reading.name for reading in held.weighed.question.readings} | {"cannot say", "laying", *map(str, Treatment)}
    names |= {piece.told for piece in held.weighed.question.evidence}
    assert set(re.findall(r"“([^”]*)”", held.says)) <= names


def test_an_empty_table_a_blank_cell_and_a_level_pair_are_told() -> None:
    """Nothing entered, a cell left blank, and two readings that nothing separates."""
    readings = [Reading("p", "Path", 0.5), Reading("w", "Wall", 0.4)]
    assert paragraph(weigh(question_of("?", readings))) == (
        "Nothing has been entered yet: before any evidence “Path” is held likeliest at 50 %."
    )
    blank = Evidence("a", "a", {"p": expectation_of("as often as not")})
    assert paragraph(weigh(question_of("?", readings, [blank]))).endswith("1 cell is blank and counted as “cannot say”.")
    even = [Reading("p", "Path", 0.45), Reading("w", "Wall", 0.45)]
    level = question_of("?", even, [Evidence("a", "a", {"p": expectation_of("usually"), "w": expectation_of("usually")})])
    text = paragraph(weigh(level))
    assert "no evidence separates the two" in text and "is level with it as it stands" in text


def test_an_argument_holds_everything_of_one_weighing() -> None:
    """Tests, plan and care belong to the same answer."""
    test = yes_no("t", "look", cells("usually", "seldom"), hours=1.0, lost_at_backfill=True)
    held = argue(yard(), [test])
    assert held.tests[0].observation is test and held.plan.first is not None
    assert held.treatments[0] is held.weighed
    assert held.separation.one == held.weighed.leader
    assert held.overturning[0].pieces
    assert not held.care.acts


@pytest.mark.parametrize(("items", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a and b")])
def test_lists_in_a_sentence(items: list[str], text: str) -> None:
    """One item stands alone, two are joined by and."""
    assert and_list(items) == text


def test_no_test_is_planned_while_burial_care_is_due() -> None:
    """Whoever must stop and notify is given no plan of digging; the tests are still listed."""
    readings = [Reading("p", "Pit", 0.6), Reading("g", "Grave", 0.3, burial=True)]
    test = yes_no("t", "half-section it", {"p": expectation_of("often")}, hours=1.0, lost_at_backfill=True)
    held = argue(question_of("?", readings), [test])
    assert held.care.acts and held.plan.first is None and held.tests
    assert held.plan.says.startswith("No test is planned while burial care is due: stop, cover and notify")


def test_a_large_table_is_weighed_at_once() -> None:
    """200 pieces of 12 causes against 20 readings, with all that is shown of them, in well under a second of one core."""
    question = random_question(1, 19, 200, causes=12)
    begun = time.process_time()
    held = argue(question)
    assert time.process_time() - begun < 1.0
    assert len(held.weighed.pieces) == 200 and len(held.weighed.posterior) == 20
