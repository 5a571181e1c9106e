"""Refusals that need a caller's slip rather than a person's: each by its text, with what was given and what to do next."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from baulk.errors import BaulkError, InputError, MeasureError, UnknownRecord
from baulk.grid.many_tapes import many_tapes
from baulk.grid.points import GridPoint
from baulk.ground.rectify import rectify
from baulk.record import Context, Element, NumberBlock, SiteRecord, Stamp, creation, fold_record, kind_named, next_number, rewrite
from baulk.sequence.relations import relations_of
from baulk.work.elements import laid_elements

WALL = Context(id="w", number="7", kind="structure")
STAMP = Stamp("c1", "0000000000005.000000", "tablet", "AK")
BLOCK = NumberBlock(id="b", series="context", first=1, last=5, person="TB")
MARKS = [GridPoint(0, 0), GridPoint(1, 0), GridPoint(0, 1)]


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: rewrite(STAMP, "context", "r1", "", "x"), InputError, "A change of context r1 names no field: say which field"),
        (
            lambda: next_number(SiteRecord.of([BLOCK]), Context, "AK"),
            InputError,
            "AK has no free context number left: numbers are handed out in blocks so that two recorders never use the same",
        ),
        (
            lambda: relations_of(2, [0], [1], sides=[8]),
            InputError,
            r"A relation has the side flags 8\. The flags are 1 \(later sheet\), 2 \(earlier sheet\) and 4 \(drawing\)",
        ),
        (
            lambda: many_tapes(MARKS, [1.0, 1.0, 1.0, 1.0]),
            MeasureError,
            r"There are 3 marks, 4 tapes and 3 names\. Each tape runs from one mark: give as many of each",
        ),
        (
            lambda: rectify(
                [(10, 10), (90, 10), (90, 90), (40, 30)], [(0, 2), (2, 2), (2, 0), (0, 0)], (100, 100), names="ABCD", lens=None
            ),
            MeasureError,
            "cannot all be seen in one picture of one plane: some would lie behind the camera",
        ),
        (
            lambda: laid_elements(SiteRecord.of([WALL]), "7"),
            InputError,
            r"No laid piece is recorded for context 7\. Draw the outlines of its bricks or stones",
        ),
        (
            lambda: laid_elements(SiteRecord.of([WALL, Element(id="e", context="w", number="1")]), "7"),
            InputError,
            "None of the 1 pieces of context 7 has an outline or an axis, so nothing can be said",
        ),
    ],
    ids=["no field", "no number left", "side flags", "tapes and marks", "behind the camera", "no pieces", "pieces without shape"],
)
def test_each_slip_is_told_in_words(call: Callable[[], Any], error: type[BaulkError], words: str) -> None:
    """The message names what was given, the rule and the next step."""
    with pytest.raises(error, match=words):
        call()


def test_changes_of_two_records_are_not_folded_into_one() -> None:
    """A fault of the calling code, told as such: none, or more than one record."""
    changes = [creation(STAMP, "context", "r1", {}), creation(Stamp("c2", *("1", "d", "AK")), "context", "r2", {})]
    for wrong in ([], changes):
        with pytest.raises(ValueError, match="fold_record takes the changes of exactly one record"):
            fold_record(wrong)


def test_an_unknown_kind_lists_the_kinds_and_counts_no_record() -> None:
    """A kind is Baulk's own: its refusal names the kinds and says nothing of what the site has."""
    with pytest.raises(UnknownRecord, match=r"no kind of record “contxt”\. Did you mean context.* There are: site, ") as told:
        kind_named("contxt")
    assert "The site has" not in str(told.value)
