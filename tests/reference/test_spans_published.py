"""The thirteen relations of two spans of time against the published composition table.

J. F. Allen 1983, Communications of the ACM 26(11): 832-843: the relations [R], the table [M]; recomputed by brute force [C] H.
Marks: [R] read, [M] from memory, [C] computed; H sure.

The other hard checks of order and dating: a published list of relations reduced, and the counts of graphs and orders
(`test_order_published`); mean ceramic dates of 49 sites with the printed slip, and bricks (`test_dating_published`); bounds of
three coins (`test_dating_termini_published`); IntCal20 and pooled means (`test_dating_radiocarbon_published`); ordered events
(`test_chronology_closed_forms`).
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from baulk.dating.spans import Standing, standing_of

LETTERS = "pmoFDseSdfOMP"
"""The usual letters of the relations, in the order of `Standing`: a capital is the converse of the small one."""
SPANS = np.array(list(combinations(range(6), 2)))
"""Every span between six years: three spans have six ends at most, so no way of three to stand is missed."""


@cache
def table() -> dict[tuple[str, str], frozenset[str]]:
    """Return for each two relations what the first span can be to the third, from `standing_of` alone."""
    begin, end = SPANS[:, 0], SPANS[:, 1]
    stand = standing_of(begin[:, None], end[:, None], begin[None, :], end[None, :])
    found: dict[tuple[str, str], set[str]] = {(one, other): set() for one in LETTERS for other in LETTERS}
    for first in range(len(SPANS)):
        for second in range(len(SPANS)):
            for third in range(len(SPANS)):
                one, other, through = stand[first, second], stand[second, third], stand[first, third]
                found[LETTERS[one], LETTERS[other]].add(LETTERS[through])
    return {pair: frozenset(whole) for pair, whole in found.items()}


def test_the_composition_table_has_409_disjuncts_in_169_cells() -> None:
    """169 cells, none empty, 97 of them with one relation and three with all thirteen; 409 in all [M]+[C] H."""
    sizes = [len(whole) for whole in table().values()]
    assert (len(sizes), sum(sizes), min(sizes)) == (169, 409, 1)
    assert (sizes.count(1), sizes.count(13)) == (97, 3)


@pytest.mark.parametrize(
    ("one", "other", "together"),
    [
        ("p", "p", "p"), ("m", "m", "p"), ("d", "p", "p"), ("s", "f", "d"), ("f", "s", "d"), ("o", "o", "pmo"), ("o", "d", "osd"),
        ("m", "d", "osd"), ("p", "d", "pmosd"), ("o", "O", "DFOSdefos"), ("p", "P", LETTERS), ("d", "D", LETTERS),
    ],
)  # fmt: skip
def test_compositions_as_published(one: str, other: str, together: str) -> None:
    """Twelve cells of the table [C] H."""
    assert table()[one, other] == frozenset(together)


def test_the_relations_are_distinct_and_exhaust_what_can_be() -> None:
    """“Distinct, exhaustive” [R]: of two spans one holds, all thirteen are met, and turned round each is its converse."""
    begin, end = SPANS[:, 0], SPANS[:, 1]
    stand = standing_of(begin[:, None], end[:, None], begin[None, :], end[None, :])
    assert set(stand.ravel().tolist()) == set(range(13))
    assert len(Standing) == 13
    assert (stand == 12 - stand.T).all()
    assert (np.diag(stand) == LETTERS.index("e")).all()


def test_a_wrong_rule_changes_the_count() -> None:
    """Negative control: with meeting taken for preceding the compositions are fewer, so the count sees a wrong rule."""
    merged = {
        pair: frozenset(whole.replace("m", "p").replace("M", "P") for whole in found) for pair, found in table().items()
    }  # fmt: skip
    assert sum(map(len, merged.values())) < 409
