"""Phases carried along the order, and their conflicts in words."""

import pytest

from baulk.errors import InputError
from baulk.sequence.phases import conflict_in_words, phase_ranges
from baulk.sequence.relations import relations_of

CHAIN = relations_of(5, [0, 1, 2, 3], [1, 2, 3, 4], names=("1001", "1002", "1003", "1004", "1005"))


def test_bounds_come_from_the_nearest_phases_above_and_below():
    """1002 in phase 3 and 1004 in phase 1: 1003 lies between, 1001 is at least 3, 1005 at most 1."""
    found = phase_ranges(CHAIN, [0, 3, 0, 1, 0], last=4)
    assert found.earliest.tolist() == [3, 3, 1, 1, 1]
    assert found.latest.tolist() == [4, 3, 3, 1, 1]
    assert found.earliest_from.tolist() == [1, 1, 3, 3, -1]
    assert found.latest_from.tolist() == [-1, 1, 1, 3, 3]
    assert found.conflicts == ()


def test_a_conflict_shows_both_phases_and_the_chain():
    """1001 in phase 1 above 1004 in phase 2 cannot be, and the sentence shows the way down."""
    found = phase_ranges(CHAIN, [1, 0, 0, 2, 0])
    assert [(conflict.later, conflict.earlier) for conflict in found.conflicts] == [(0, 3)]
    assert conflict_in_words(CHAIN, found.conflicts[0]) == (
        "Layer 1001 is put in phase 1, but it is later than 1004 of phase 2 (1001 > 1002 > 1003 > 1004). A layer "
        "belongs to the same phase as what lies below it, or to a later one: change one of the two phases, or see "
        "which relation is wrong."
    )
    assert (found.earliest > found.latest).tolist() == [True, True, True, True, False]


def test_a_loop_shares_one_phase_and_two_of_them_conflict():
    """Layers in a loop are each above the other, so different phases inside it conflict."""
    found = phase_ranges(relations_of(2, [0, 1], [1, 0]), [1, 2])
    assert [(conflict.later, conflict.earlier) for conflict in found.conflicts] == [(0, 1)]
    assert found.earliest.tolist() == [2, 2]
    assert found.latest.tolist() == [1, 1]


@pytest.mark.parametrize(
    ("phases", "last", "words"),
    [
        ([1, 2], None, "2 phases are given for 5 contexts"),
        ([1, 0, 0, 0, 5], 4, "Layer 1005 is put in phase 5, but the phases run from 1 (earliest) to 4"),
        ([-1, 0, 0, 0, 0], None, "Layer 1001 is put in phase -1"),
    ],
)
def test_wrong_phases_are_refused_in_words(phases, last, words):
    """A phase that does not exist is named with its layer and the phases there are."""
    with pytest.raises(InputError) as caught:
        phase_ranges(CHAIN, phases, last=last)
    assert words in str(caught.value)
