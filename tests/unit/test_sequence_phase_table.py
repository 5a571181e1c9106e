"""The phase table: bounds and conflicts for each context."""

from __future__ import annotations

import pytest

from baulk.errors import InputError
from baulk.sequence.order import order_of
from baulk.sequence.phase_table import PhaseLine, phase_table
from baulk.sequence.relations import relations_of


def table(pairs, phases, same=()):
    """Return the phase table of as many contexts as phases, named from 101."""
    names = tuple(str(101 + place) for place in range(len(phases)))
    relations = relations_of(
        len(phases), [a for a, _ in pairs], [b for _, b in pairs], same=list(same) if same else None, names=names
    )
    return phase_table(order_of(relations), phases)


def test_bounds_name_the_context_that_set_them() -> None:
    """A context between phases 1 and 3 may belong to 1, 2 or 3."""
    assert table([(0, 1), (1, 2)], [3, None, 1])[1] == PhaseLine(1, None, 1, 3, 2, 0)


def test_without_any_phase_nothing_can_be_told() -> None:
    """No phase given is no phase, not phase 1."""
    assert table([(0, 1)], [None, None])[0] == PhaseLine(0, None, None, None, None, None)


def test_a_conflict_comes_with_its_path() -> None:
    """The later context in the earlier phase is shown with the chain down to the one it contradicts."""
    lines = table([(0, 1), (1, 2)], [1, None, 2])
    assert lines[0].conflict == (
        "Layer 101 is put in phase 1, but it is later than 103 of phase 2 (101 > 102 > 103). A layer belongs to the same phase as "
        "what lies below it, or to a later one: change one of the two phases, or see which relation is wrong."
    )
    assert (lines[0].earliest, lines[0].latest, lines[0].against) == (2, 1, 2)
    assert [line.conflict for line in lines[1:]] == ["", ""]
    assert all(not line.conflict for line in table([(0, 1), (1, 2)], [2, None, 2]))


def test_contexts_that_are_one_share_bounds_and_contradict_each_other() -> None:
    """Two equals in two phases are a conflict; what lies below one lies below the other."""
    lines = table([(0, 1)], [None, 2, None], same=[(0, 2)])
    assert [(line.earliest, line.earliest_from) for line in lines] == [(2, 1), (2, 1), (2, 1)]
    clash = table([], [1, 2], same=[(0, 1)])
    assert clash[0].conflict.startswith("Layer 101 is put in phase 1, and 102, which is recorded as the same, in phase 2.")
    through = table([(0, 1), (2, 3)], [1, None, None, 2], same=[(1, 2)])
    assert "(101 > 102 = 103 > 104)" in through[0].conflict


def test_a_loop_does_not_stop_the_table() -> None:
    """All contexts of a loop have the same bounds."""
    lines = table([(0, 1), (1, 0), (1, 2)], [None, None, 2])
    assert [line.earliest for line in lines] == [2, 2, 2]


def test_phases_are_one_for_each_context() -> None:
    """A column of another length is refused."""
    with pytest.raises(InputError, match="1 phases are given for 2 contexts"):
        phase_table(order_of(relations_of(2, [0], [1])), [1])
