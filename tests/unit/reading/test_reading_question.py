"""The scale of words, the question and its prior: what is taken and what is refused."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from baulk.errors import InputError
from baulk.reading.prior import equal_prior, prior_of
from baulk.reading.question import NONE_OF_THESE, Evidence, Reading, is_burial_name, question_of
from baulk.reading.scale import CANNOT_SAY, SCALE, expectation_of, word_near

PATH, WALL = Reading("path", "Path"), Reading("wall", "Wall")


def test_the_scale_is_without_gaps_and_symmetric() -> None:
    """Each word's range begins where the next one's ends, and the mirrored word is the word at the same place from below."""
    for upper, lower in pairwise(SCALE):
        assert upper.low == lower.high
    for word, mirror in zip(SCALE, reversed(SCALE), strict=True):
        turned = expectation_of(word.word).mirrored()
        assert (turned.low, turned.best, turned.high) == pytest.approx((mirror.low, mirror.middle, mirror.high))


def test_words_stand_a_factor_of_three_in_odds_apart() -> None:
    """The middles are the odds 27:1, 9:1, 3:1 and so on within the rounding to a per cent, and lie inside their ranges."""
    for word, odds in zip(SCALE, (27, 9, 3, 1, 1 / 3, 1 / 9, 1 / 27), strict=True):
        assert word.middle == pytest.approx(odds / (1 + odds), abs=0.005)
        assert word.high == pytest.approx(min(odds * 3**0.5 / (1 + odds * 3**0.5), 1), abs=0.006)
        assert word.low < word.middle < word.high
        assert word_near(word.middle) == word


def test_a_range_of_chance_is_used_at_its_middle_of_odds() -> None:
    """A chance of 0.1 to 0.5 has odds 1/9 and 1, whose middle is 1/3, a chance of a quarter."""
    held = expectation_of("0.1 to 0.5")
    assert (held.low, held.best, held.high, held.word) == (0.1, 0.25, 0.5, None)
    assert held.says == "0.25 (0.1 to 0.5)"
    assert held.mirrored().says == held.says
    assert expectation_of("0.1–0.5") == held


def test_a_blank_cell_says_cannot_say() -> None:
    """A blank is the widest word, not a zero."""
    for blank in (None, "", "  "):
        assert expectation_of(blank).word == CANNOT_SAY.word
    assert Evidence("e", "x", {}).cell("path").word == CANNOT_SAY.word


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ("usualy", "is given for how expected a sighting is. It is a word of the scale"),
        ("usualy", "Did you mean usually?"),
        ("0", "A chance lies between 0.001 and 0.999"),
        (1.0, "nothing that people see in the ground is quite impossible"),
        ("0.4 to 0.2", "is given as the chance of a sighting"),
        (float("nan"), "is given as the chance of a sighting"),
    ],
)
def test_what_is_no_expectation_is_refused(given: Any, words: str) -> None:
    """A misspelt word, certainty, a range the wrong way round and what is no number are refused in words."""
    with pytest.raises(InputError) as refusal:
        expectation_of(given)
    assert words in str(refusal.value)


def test_none_of_these_is_always_there() -> None:
    """It is added when it is missing and not twice."""
    held = question_of("?", [PATH])
    assert [reading.name for reading in held.readings] == ["Path", NONE_OF_THESE]
    assert len(question_of("?", held.readings).readings) == 2


@pytest.mark.parametrize(
    ("readings", "pieces", "words"),
    [
        ([], [], "has no reading to weigh. Name at least one thing"),
        ([PATH, Reading("path", "Way")], [], "has 2 readings with the id"),
        ([PATH, *(Reading(i, i, none_of_these=True) for i in "ab")], [], "has two readings that are “none of these”"),
        ([Reading("path", "Path", 1.0)], [], "A prior lies between 0 and 1: at 0 or 1 no"),
        ([PATH], [Evidence("e", "x", {}), Evidence("e", "y", {})], "pieces of evidence with the id “e”"),
        ([PATH], [Evidence("e", "x", {"wal": expectation_of("often")})], "the reading “wal”, which the question does not have"),
    ],
)  # fmt: skip
def test_what_is_no_question_is_refused(readings: list[Reading], pieces: list[Evidence], words: str) -> None:
    """A question without readings, ids given twice, certain priors and evidence for nobody are refused in words."""
    with pytest.raises(InputError) as refusal:
        question_of("What was it?", readings, pieces, number="4")
    assert words in str(refusal.value)
    assert "Question 4" in str(refusal.value)


def test_blank_cells_are_listed_but_not_those_of_none_of_these() -> None:
    """A cell that nobody filled in is visible; nobody can say what an unnamed thing would show."""
    held = question_of("?", [PATH, WALL], [Evidence("e", "x", {"path": expectation_of("often")})])
    assert held.blanks == (("e", "wall"),)


def test_blank_priors_share_what_is_left() -> None:
    """Blanks take equal shares of the rest, none of these a tenth, and each step is told."""
    held = prior_of([Reading("a", "A", 0.5), Reading("b", "B"), Reading("c", "C"), Reading("n", "N", none_of_these=True)])
    assert held.shares == pytest.approx([0.5, 0.2, 0.2, 0.1])
    assert "No prior is given for “N”: 0.1 is used." in held.notes
    assert "No prior is given for “B”, “C”: 0.2 each is used." in held.notes


def test_priors_that_do_not_add_up_are_scaled_and_told() -> None:
    """1.5 in all is scaled to 1; a blank that nothing is left for gets a tenth first."""
    held = prior_of([Reading("a", "A", 0.8), Reading("b", "B", 0.6), Reading("c", "C"), Reading("n", "N", 0.1, none_of_these=True)])
    assert held.shares.sum() == pytest.approx(1)
    assert held.shares[2] == pytest.approx(0.1 / 1.6)
    assert held.notes[-1] == "The priors add up to 1.6: they are scaled to 1."
    assert equal_prior(4).shares == pytest.approx(np.full(4, 0.25))


@pytest.mark.parametrize(
    ("name", "told"),
    [("Possible grave", True), ("Gravel spread", False), ("COFFIN stain", True), ("Gravel over a grave", True), ("Pit", False)],
)
def test_burial_readings_are_known_by_name(name: str, told: bool) -> None:
    """A grave is known by its name, gravel is not a grave."""
    assert is_burial_name(name) is told
