"""Published arguments: what leads here beside what the author concluded, agreement or not stated plainly."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.exchange.pattern_folder import pattern_named
from baulk.reading.care import burial_care
from baulk.reading.overturn import overturning
from baulk.reading.robustness import separation
from baulk.reading.telling import share_words
from tests.reference.published_arguments import CASES, PublishedArgument

PAGE = Path(__file__).parents[2] / "docs" / "methods" / "weighing.md"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_leads_and_what_comes_next(case: PublishedArgument) -> None:
    """The leading reading, its closest rival, and whether that is the author's conclusion are as stated."""
    held = case.weighed()
    names = [held.question.readings[place].id for place in held.order]
    assert names[:2] == [case.leads, case.rival]
    assert case.reading in names
    ahead = separation(held).total
    assert case.agrees is (case.leads == case.reading and ahead > 1e-6)
    assert case.agrees is not case.note.startswith("Not in agreement")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_each_case_says_where_it_stands_and_how_much_was_read(case: PublishedArgument) -> None:
    """Citation, extent of reading, conclusion and rivals are there, and every sighting is a line of its pattern."""
    assert case.citation and case.read and case.concludes and case.rivals
    assert bool(case.pattern) is (case.own is None)
    if case.pattern:
        known = {line.id for line in pattern_named(case.pattern).lines}
        assert set(case.seen) <= known


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_page_shows_each_case_as_it_comes_out(case: PublishedArgument) -> None:
    """The page of the method has a row with the shares and the agreement that come out here."""
    held = case.weighed()
    page = PAGE.read_text(encoding="utf-8")
    first, second = (held.question.readings[place] for place in held.order[:2])
    shares = [share_words(float(held.posterior[place])) for place in held.order[:2]]
    row = f"{first.name} {shares[0]}; {second.name} {shares[1]} | {'yes' if case.agrees else 'no'} |"
    assert row in page, row


def test_three_are_papers_or_books_and_not_all_agree() -> None:
    """At least three arguments are printed in papers or books; cases in which the two part are kept."""
    printed = [case for case in CASES if any(word in case.citation for word in ("Internet Archaeology", "Antiquity", "Danebury"))]
    assert len(printed) >= 3
    assert {case.agrees for case in CASES} == {True, False}


def test_wollaston_hangs_on_posts_and_root_balls() -> None:
    """The smallest set that overturns it is what the trenches elsewhere do not have."""
    (case,) = [case for case in CASES if case.name.startswith("Wollaston")]
    held = case.weighed()
    fallen = overturning(held)[0]
    assert {held.question.evidence[place].id for place in fallen.pieces} == {"posts", "root-balls"}
    assert held.question.readings[fallen.rival].id == "beds"


@pytest.mark.parametrize("case", [case for case in CASES if case.reading == "grave"], ids=lambda case: case.name)
def test_burial_care_acts_whether_the_tool_agrees_or_not(case: PublishedArgument) -> None:
    """Where an author saw a probable burial, care is due here too, whatever leads."""
    assert burial_care(case.weighed()).acts
