"""The weighing against brute force: ranges, groups, and what would overturn an answer."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest

from baulk.reading.grouping import Treatment, rows_of
from baulk.reading.overturn import overturning
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.robustness import influences, lead_holds_to, prior_cases, separation, treatments
from baulk.reading.scale import expectation_of
from baulk.reading.weigh import Weighed, posterior_of, weigh
from tests.unit.reading.made import random_question


def every_corner(weighed: Weighed) -> tuple[np.ndarray, np.ndarray]:
    """Return the least and the most of each posterior over all corners of the ranges, a word of a row turning as one."""
    rows = weighed.rows
    knobs: list[list[tuple[int, int]]] = []
    for row in range(len(rows)):
        by_word: dict[object, list[tuple[int, int]]] = {}
        for place, word in enumerate(rows.words[row].tolist()):
            by_word.setdefault(("alone", place) if word < 0 else word, []).append((row, place))
        knobs += by_word.values()
    low, high = np.full(len(weighed.posterior), 2.0), np.full(len(weighed.posterior), -1.0)
    for ends in product((False, True), repeat=len(knobs)):
        chances = rows.low.copy()
        for knob, up in zip(knobs, ends, strict=True):
            for cell in knob:
                chances[cell] = rows.high[cell] if up else rows.low[cell]
        found = posterior_of(weighed.prior.shares, replace(rows, best=chances))
        low, high = np.minimum(low, found), np.maximum(high, found)
    return low, high


@pytest.mark.parametrize("treatment", list(Treatment))
@pytest.mark.parametrize(("seed", "readings", "pieces"), [(1, 2, 4), (2, 3, 3), (3, 2, 5), (4, 4, 2), (5, 3, 3)])
def test_the_range_agrees_with_every_corner(treatment: Treatment, seed: int, readings: int, pieces: int) -> None:
    """The stated extremes are those of all corners of the words' ranges."""
    weighed = weigh(random_question(seed, readings, pieces, causes=2), treatment)
    low, high = every_corner(weighed)
    assert weighed.low == pytest.approx(low, abs=1e-12)
    assert weighed.high == pytest.approx(high, abs=1e-12)


@pytest.mark.parametrize("treatment", list(Treatment))
@pytest.mark.parametrize(("seed", "readings", "pieces"), [(2, 3, 3), (3, 2, 5), (5, 3, 3)])
def test_the_range_while_none_of_these_stays_agrees_with_every_corner(
    treatment: Treatment, seed: int, readings: int, pieces: int
) -> None:  # fmt: skip
    """With the cells of none of these held at their values, the stated extremes are those of all corners of the others."""
    weighed = weigh(random_question(seed, readings, pieces, causes=2), treatment)
    rows = weighed.rows
    held = np.array([reading.none_of_these for reading in weighed.question.readings])
    still = replace(
        rows,
        low=np.where(held, rows.best, rows.low),
        high=np.where(held, rows.best, rows.high),
        words=np.where(held, -1, rows.words),
    )
    low, high = every_corner(replace(weighed, rows=still))
    assert weighed.steady_low == pytest.approx(low, abs=1e-12)
    assert weighed.steady_high == pytest.approx(high, abs=1e-12)
    assert (weighed.steady_low >= weighed.low - 1e-12).all() and (weighed.steady_high <= weighed.high + 1e-12).all()


def test_nothing_inside_the_ranges_goes_beyond_the_corners() -> None:
    """Ten thousand random values inside the ranges never leave the stated range, and come near to it."""
    weighed = weigh(random_question(8, 3, 2))
    rows, rng = weighed.rows, np.random.default_rng(3)
    shares = rng.beta(0.3, 0.3, (10_000, *rows.low.shape))
    for row, place in product(range(len(rows)), range(rows.low.shape[1])):
        same = [other for other in range(place) if rows.words[row, other] == rows.words[row, place] >= 0]
        if same:
            shares[:, row, place] = shares[:, row, same[0]]
    chances = rows.low + shares * (rows.high - rows.low)
    likely = weighed.prior.shares * (chances ** rows.share[:, None]).prod(axis=1)
    found = likely / likely.sum(axis=1, keepdims=True)
    assert (found >= weighed.low - 1e-12).all() and (found <= weighed.high + 1e-12).all()
    assert found.max(axis=0) == pytest.approx(weighed.high, abs=0.03)


def test_a_word_shared_by_all_readings_adds_no_doubt() -> None:
    """A sighting that is as expected under every reading, in the same word, leaves the answer and its range as they were."""
    readings = [Reading("x", "x"), Reading("y", "y"), Reading("n", "none of these", none_of_these=True)]
    telling = Evidence("a", "a", {key: expectation_of(word) for key, word in {"x": "often", "y": "seldom", "n": "seldom"}.items()})
    same = Evidence("b", "b", {key: expectation_of("usually") for key in "xyn"})
    one, two = weigh(question_of("?", readings, [telling])), weigh(question_of("?", readings, [telling, same]))
    assert two.posterior == pytest.approx(one.posterior)
    assert two.low == pytest.approx(one.low) and two.high == pytest.approx(one.high)


def test_the_range_check_can_fail() -> None:
    """Were the words of a row moved apart, the range would be wider than the one stated."""
    cells = {"x": expectation_of("often"), "y": expectation_of("often"), "none of these": expectation_of("seldom")}
    weighed = weigh(question_of("?", [Reading("x", "x"), Reading("y", "y")], [Evidence("a", "a", cells)]))
    low, high = every_corner(replace(weighed, rows=replace(weighed.rows, words=np.full_like(weighed.rows.words, -1))))
    assert (low < weighed.low - 1e-6).any() or (high > weighed.high + 1e-6).any()


def without(question: Question, pieces: tuple[int, ...]) -> Question:
    """Return the question without some pieces."""
    return replace(question, evidence=tuple(piece for place, piece in enumerate(question.evidence) if place not in pieces))


def smallest_by_search(weighed: Weighed, rival: int) -> int | None:
    """Return how few pieces must fall for the rival to draw level, by trying every set, smallest first."""
    count = len(weighed.question.evidence)
    for size in range(count + 1):
        for pieces in combinations(range(count), size):
            left = weigh(without(weighed.question, pieces), weighed.treatment, weighed.prior)
            if left.posterior[rival] >= left.posterior[weighed.leader] * (1 - 1e-9):
                return size
    return None


@pytest.mark.parametrize("treatment", list(Treatment))
@pytest.mark.parametrize("seed", range(12))
def test_overturning_agrees_with_exhaustive_search(treatment: Treatment, seed: int) -> None:
    """The smallest set for each rival is as small as the smallest found by trying every set, and does what it says."""
    weighed = weigh(random_question(seed + 40, 3, 7, causes=2), treatment)
    found = {held.rival: held for held in overturning(weighed)}
    for rival in weighed.order[1:]:
        size = smallest_by_search(weighed, rival)
        assert (len(found[rival].pieces) if rival in found else None) == size
        if rival in found:
            left = weigh(without(weighed.question, found[rival].pieces), treatment, weighed.prior)
            ahead = 10 * np.log10(left.posterior[rival] / left.posterior[weighed.leader])
            assert ahead == pytest.approx(found[rival].ahead, abs=1e-6)


def test_some_of_those_tables_need_more_than_one_piece_and_some_cannot_be_overturned() -> None:
    """The negative control of the test above: its tables are neither all trivial nor all alike."""
    sizes = []
    for seed in range(12):
        weighed = weigh(random_question(seed + 40, 3, 7, causes=2))
        sets = {held.rival: len(held.pieces) for held in overturning(weighed)}
        sizes += [sets.get(rival) for rival in weighed.order[1:]]
    assert {1, 2} <= set(sizes) and None in sizes


@pytest.mark.parametrize("treatment", list(Treatment))
def test_influence_is_the_answer_without_the_piece(treatment: Treatment) -> None:
    """Each stated answer without a piece or a group is that of the question weighed without it."""
    weighed = weigh(random_question(77, 4, 8, causes=2), treatment)
    found = influences(weighed)
    groups = [held for held in found if held.cause]
    assert len(found) - len(groups) == 8
    assert bool(groups) is (treatment is not Treatment.FULL)
    for held in found:
        left = weigh(without(weighed.question, held.pieces), treatment, weighed.prior)
        assert held.posterior == pytest.approx(left.posterior)
        assert held.leader == left.leader and held.keeps_lead is (left.leader == weighed.leader)
        assert held.change == pytest.approx(weighed.posterior[weighed.leader] - left.posterior[weighed.leader])
    assert [abs(held.change) for held in found] == sorted((abs(held.change) for held in found), reverse=True)


def test_groups_agree_with_counting_by_hand() -> None:
    """Pieces of one cause at 0.8 v 0.4 and 0.6 v 0.1: least 0.6 v 0.1, shared √0.48 v √0.04, in full 0.48 v 0.04."""
    cells = [{"x": 0.8, "y": 0.4}, {"x": 0.6, "y": 0.1}]
    pieces = [
        Evidence(f"{place}", "s", {key: expectation_of(value) for key, value in row.items()}, cause="c")
        for place, row in enumerate(cells)
    ]
    question = question_of("?", [Reading("x", "x"), Reading("y", "y")], pieces)
    ratios = {weighed.treatment: weighed.posterior[0] / weighed.posterior[1] for weighed in treatments(weigh(question))}
    assert ratios == pytest.approx({Treatment.LEAST: 6.0, Treatment.SHARED: 12**0.5, Treatment.FULL: 12.0})
    assert [len(rows_of(question, treatment)) for treatment in Treatment] == [1, 2, 2]


def test_columns_of_weights_differ_by_the_weight_between_readings() -> None:
    """Prior and weights of two columns together give the posterior odds, and the separation lists the same, heaviest first."""
    weighed = weigh(random_question(9, 4, 6, causes=2))
    held = separation(weighed)
    odds = 10 * np.log10(weighed.posterior[held.one] / weighed.posterior[held.other])
    assert held.total == pytest.approx(odds)
    assert held.prior + sum(held.weights) == pytest.approx(odds)
    assert [abs(weight) for weight in held.weights] == sorted((abs(weight) for weight in held.weights), reverse=True)
    assert (held.one, held.other) == weighed.order[:2]


def test_prior_cases_hold_the_given_the_even_and_each_reading_raised() -> None:
    """With readings x and y at 6:1 in the evidence, trebling y's odds leaves x ahead 2:1."""
    piece = Evidence("a", "a", {"x": expectation_of(0.6), "y": expectation_of(0.1)})
    weighed = weigh(question_of("?", [Reading("x", "x", 0.45), Reading("y", "y", 0.45)], [piece]))
    cases = {case.name: case for case in prior_cases(weighed)}
    assert list(cases) == ["as given", "all equal", "odds of “x” trebled", "odds of “y” trebled", "odds of “none of these” trebled"]
    raised = cases["odds of “y” trebled"]
    assert raised.posterior[0] / raised.posterior[1] == pytest.approx(2) and raised.leader == 0
    assert cases["as given"].posterior == pytest.approx(weighed.posterior)


def test_the_lead_holds_as_far_as_it_holds() -> None:
    """Words of usually against seldom: pushed by the stated share the lead is just kept, by a little more it is gone."""
    cells = {"x": expectation_of("often"), "y": expectation_of("as often as not"), "none of these": expectation_of("seldom")}
    weighed = weigh(question_of("?", [Reading("x", "x", 0.45), Reading("y", "y", 0.45)], [Evidence("a", "a", cells)]))
    share = lead_holds_to(weighed)
    # x: 0.75 − 0.12 s against y: 0.5 + 0.13 s: level at s = 1, since often begins where as often as not ends.
    assert share == pytest.approx(1.0, abs=2e-3)
    closer = {**cells, "y": expectation_of("0.6 to 0.7"), "x": expectation_of("0.6 to 0.8")}
    # x has its middle at 0.7101 and y at 0.6518: level where 0.7101 − 0.1101 s = 0.6518 + 0.0482 s.
    held = lead_holds_to(weigh(question_of("?", weighed.question.readings, [Evidence("a", "a", closer)])))
    assert held == pytest.approx((0.710102 - 0.651787) / (0.110102 + 0.048213), abs=2e-3)


def test_a_question_without_evidence_gives_back_its_prior() -> None:
    """Nothing seen, nothing learnt: answer and range are the prior, and nothing can overturn a lead that no evidence carries."""
    weighed = weigh(question_of("?", [Reading("x", "x", 0.6), Reading("y", "y", 0.3)]))
    for shares in (weighed.posterior, weighed.low, weighed.high):
        assert shares == pytest.approx(weighed.prior.shares)
    assert overturning(weighed) == () and influences(weighed) == ()
    assert lead_holds_to(weighed) == 1.0
