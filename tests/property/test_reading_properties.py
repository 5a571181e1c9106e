"""What holds of every weighing, whatever the table."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.errors import TableError
from baulk.reading.argument import Argument, argue
from baulk.reading.grouping import Treatment
from baulk.reading.next_test import entropy, expected_information, rank_tests, yes_no
from baulk.reading.overturn import overturning
from baulk.reading.pattern import begin
from baulk.reading.pattern_text import pattern_of
from baulk.reading.plan import plan_tests
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.robustness import influences, lead_holds_to
from baulk.reading.scale import CANNOT_SAY, SCALE, Expectation, expectation_of
from baulk.reading.weigh import weigh
from tests.unit.reading.test_reading_pattern_text import TEXT

WORDS = [*(word.word for word in SCALE), CANNOT_SAY.word]
UNHURRIED = settings(deadline=None, max_examples=60)
CHANCES = st.floats(0.01, 0.99)
TREATMENTS = st.sampled_from(list(Treatment))


@st.composite
def cells(draw: st.DrawFn) -> Expectation:
    """Draw a word, a number or a range of numbers."""
    if draw(st.booleans()):
        return expectation_of(draw(st.sampled_from(WORDS)))
    low, high = sorted((draw(CHANCES), draw(CHANCES)))
    return expectation_of(f"{low:.4f} to {high:.4f}")


@st.composite
def questions(draw: st.DrawFn, most: int = 6) -> Question:
    """Draw a question with two or three readings beside none of these, and up to `most` pieces, some of one cause."""
    names = [f"r{place}" for place in range(draw(st.integers(2, 3)))]
    priors = [draw(st.floats(0.05, 0.3)) for _ in names]
    pieces = []
    for place in range(draw(st.integers(0, most))):
        held = {name: draw(cells()) for name in names if draw(st.integers(0, 9))}
        cause = draw(st.sampled_from([None, "one", "two"]))
        pieces.append(Evidence(f"e{place}", f"sighting {place}", held, draw(st.booleans()), cause))
    return question_of("?", [Reading(name, name, prior) for name, prior in zip(names, priors, strict=True)], pieces)


@UNHURRIED
@given(questions(), TREATMENTS, st.randoms(use_true_random=False))
def test_the_order_of_the_evidence_changes_nothing(question: Question, treatment: Treatment, shuffle: random.Random) -> None:
    """Answer, range, overturning sets, influences and paragraph are the same in whatever order pieces were entered."""
    pieces = list(question.evidence)
    shuffle.shuffle(pieces)
    one = argue(question, treatment=treatment)
    other = argue(replace(question, evidence=tuple(pieces)), treatment=treatment)
    for field in ("posterior", "low", "high"):
        assert np.array_equal(getattr(one.weighed, field), getattr(other.weighed, field)), field
    assert one.weighed.order == other.weighed.order and one.holds_to == other.holds_to

    def named(held: Argument) -> list[tuple[int, frozenset[str]]]:
        found = held.weighed.question.evidence
        return [(fall.rival, frozenset(found[place].id for place in fall.pieces)) for fall in held.overturning]

    assert named(one) == named(other)
    assert sorted(held.change for held in one.influences) == pytest.approx(sorted(held.change for held in other.influences))
    assert one.says == other.says


@UNHURRIED
@given(questions(), TREATMENTS)
def test_the_order_of_the_readings_only_moves_the_columns(question: Question, treatment: Treatment) -> None:
    """Readings entered the other way round have the same shares and ranges."""
    one = weigh(question, treatment)
    other = weigh(replace(question, readings=question.readings[::-1]), treatment)
    assert one.posterior == pytest.approx(other.posterior[::-1])
    assert one.low == pytest.approx(other.low[::-1]) and one.high == pytest.approx(other.high[::-1])
    assert [one.question.readings[place].id for place in one.order] == [other.question.readings[place].id for place in other.order]


@UNHURRIED
@given(questions(), TREATMENTS)
def test_shares_add_up_and_lie_in_their_range(question: Question, treatment: Treatment) -> None:
    """Shares add up to 1, each lies between its ends, and the ends between 0 and 1."""
    held = weigh(question, treatment)
    assert held.posterior.sum() == pytest.approx(1)
    assert (held.low <= held.posterior + 1e-12).all() and (held.posterior <= held.high + 1e-12).all()
    assert (held.low > 0).all() and (held.high < 1).all()


@UNHURRIED
@given(questions(most=4), TREATMENTS.filter(lambda held: held is not Treatment.FULL))
def test_a_piece_entered_twice_under_one_cause_adds_nothing(question: Question, treatment: Treatment) -> None:
    """Each piece given a cause of its own and entered a second time under it leaves the answer and its range as they were."""
    alone = replace(question, evidence=tuple(replace(piece, cause=piece.id) for piece in question.evidence))
    twice = replace(alone, evidence=(*alone.evidence, *(replace(piece, id=f"{piece.id}x") for piece in alone.evidence)))
    one, two = weigh(alone, treatment), weigh(twice, treatment)
    for field in ("posterior", "low", "high"):
        assert getattr(one, field) == pytest.approx(getattr(two, field), abs=1e-12), field


@UNHURRIED
@given(questions(), TREATMENTS)
def test_widening_a_cell_never_narrows_a_range(question: Question, treatment: Treatment) -> None:
    """A cell of the first piece turned into a range about its own value keeps the answer and moves no end inward."""
    numbers = [
        replace(piece, expected={name: expectation_of(round(cell.best, 6)) for name, cell in piece.expected.items()})
        for piece in question.evidence
    ]
    if not numbers:
        return
    wide = replace(
        numbers[0],
        expected={
            name: Expectation(cell.best * 0.7, cell.best, 1 - 0.7 * (1 - cell.best)) for name, cell in numbers[0].expected.items()
        },
    )
    one = weigh(replace(question, evidence=tuple(numbers)), treatment)
    other = weigh(replace(question, evidence=(wide, *numbers[1:])), treatment)
    assert other.posterior == pytest.approx(one.posterior)
    assert (other.low <= one.low + 1e-9).all() and (other.high >= one.high - 1e-9).all()


@UNHURRIED
@given(questions(), TREATMENTS)
def test_an_overturning_set_of_one_is_a_piece_that_costs_the_lead(question: Question, treatment: Treatment) -> None:
    """Where one piece overturns the answer, some influence says that the lead is lost or shared; where none does, none says so."""
    held = weigh(question, treatment)
    sizes = {len(fall.pieces) for fall in overturning(held)}
    lost = [
        influence
        for influence in influences(held)
        if influence.cause is None and influence.posterior.max() <= np.delete(influence.posterior, held.leader).max() * (1 + 1e-9)
    ]
    if sizes and min(sizes) == 1:
        assert lost
    elif not sizes or min(sizes) > 1:
        assert not lost


@UNHURRIED
@given(questions())
def test_a_lead_that_holds_against_every_word_is_kept_at_every_corner(question: Question) -> None:
    """When every word may be pushed to its end, the leader leads even at its least share; else some corner takes the lead."""
    held = weigh(question)
    if lead_holds_to(held) == 1.0:
        assert held.low[held.leader] >= 1 / len(held.posterior) - 1e-9
    else:
        assert held.low[held.leader] <= 0.5 + 1e-9


@UNHURRIED
@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=5), st.data())
def test_information_is_never_below_nothing_nor_above_the_doubt(weights: list[float], data: st.DataObject) -> None:
    """0 ≤ expected information ≤ the doubt about the readings, and about the outcome."""
    shares = np.array(weights) / sum(weights)
    yes = np.array([data.draw(st.floats(0, 1)) for _ in weights])
    table = np.array([yes, 1 - yes])
    bits = expected_information(shares, table)
    assert 0 <= bits <= min(float(entropy(shares)), float(entropy(table @ shares))) + 1e-9


@UNHURRIED
@given(questions(most=5))
def test_a_plan_tells_at_least_as_much_as_the_best_single_test(question: Question) -> None:
    """Two and three tests never tell less than one, and no plan tells more than the doubt there is."""
    shares = weigh(question).posterior
    tests = [
        yes_no(piece.id, piece.saw, piece.expected, hours=1.0, lost_at_backfill=True, cause=piece.cause)
        for piece in question.evidence
    ]
    singles = [held.bits for held in rank_tests(question, shares, tests)]
    bits = [plan_tests(question, shares, tests, most=most).bits for most in (1, 2, 3)]
    if singles:
        assert bits[0] == pytest.approx(max(singles), abs=1e-8)
    assert bits[0] <= bits[1] + 1e-9 and bits[1] <= bits[2] + 1e-9
    assert bits[2] <= float(entropy(shares)) + 1e-9


@UNHURRIED
@given(st.data())
def test_a_spoilt_pattern_is_refused_by_line_or_read(data: st.DataObject) -> None:
    """Lines taken out, doubled or given other values: a pattern is read whole or refused with faults on lines that exist."""
    lines = TEXT.splitlines()
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(lines) - 1))
        key, _, _ = lines[place].partition(" = ")
        value = data.draw(
            st.sampled_from(
                ['""', '"x"', "-1", "nan", "inf", "true", "[]", "{}", "{ brick = 3 }", '["a"]', "{ grave = {} }", "1e9"]
            )
        )
        change = data.draw(
            st.sampled_from([[], [lines[place], lines[place]], [f"{key} = {value}"], [f"other = {value}"], ["[[reading]]"]])
        )
        lines[place : place + 1] = change
        if not lines:
            return
    text = "\n".join(lines)
    faults: tuple[int, ...] = ()
    try:
        held = pattern_of(text, "spoilt.toml", ["dark_soil"])
    except TableError as refusal:
        faults = tuple(fault.line for fault in refusal.faults)
    if faults:
        assert all(1 <= line <= len(lines) + 1 for line in faults)
    else:
        begun = begin(held)
        assert len(begun.tests) <= len(held.lines) and weigh(begun.question).posterior.sum() == pytest.approx(1)
