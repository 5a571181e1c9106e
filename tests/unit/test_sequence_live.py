"""The live order: what one change tells, and what it refuses."""

from __future__ import annotations

import pytest

from baulk.errors import InputError, OrderError
from baulk.sequence.live import RelationState, live_order
from baulk.sequence.relations import relations_of


def test_a_relation_that_closes_a_loop_is_kept_and_shown() -> None:
    """The loop is a shortest one and begins with the relation that closes it; the ranks stay as they were."""
    live = live_order(relations_of(5, [0, 1, 0, 2, 3], [1, 2, 2, 3, 4]))
    told = live.add(3, 0)
    assert told.closed is not None
    assert (told.closed.contexts, told.closed.relations) == ((3, 0, 2), (5, 2, 3))
    assert (told.ranks_changed, live.closing, live.state(5)) == (0, (5,), RelationState.CLOSING)
    assert live.from_top.tolist() == [0, 1, 2, 3, 4]


def test_doubting_a_relation_of_the_loop_lets_the_other_order() -> None:
    """It tells which relation was let in; taking the doubt back closes the loop at the one trusted again."""
    live = live_order(relations_of(3, [0, 1], [1, 2]))
    live.add(2, 0)
    told = live.doubt(0)
    assert (told.opened, live.loops, live.from_top.tolist()) == ((2,), (), [2, 0, 1])
    back = live.trust(0)
    assert back.closed is not None
    assert set(back.closed.relations) == {0, 1, 2}


def test_only_ranks_that_change_are_renewed() -> None:
    """A relation that says nothing new changes none; one that lengthens a chain changes those below it."""
    live = live_order(relations_of(6, [0, 1, 2, 4], [1, 2, 3, 5]))
    assert live.add(0, 3).ranks_changed == 0
    assert live.add(3, 4).ranks_changed == 2
    assert live.from_top.tolist() == [0, 1, 2, 3, 4, 5]
    assert live.remove(0).ranks_changed == 5
    assert live.from_top.tolist() == [0, 0, 1, 2, 3, 4]


def test_a_new_context_can_be_related() -> None:
    """It comes with no rank of its own and takes one with its first relation."""
    live = live_order(relations_of(2, [0], [1]))
    new = live.add_context()
    assert (new, live.count) == (2, 3)
    assert live.add(2, 0).ranks_changed == 2
    assert live.from_top.tolist() == [1, 2, 0]


def test_loops_from_the_start_are_held() -> None:
    """Two loops in the relations given are both there, each with one closing relation."""
    live = live_order(relations_of(5, [0, 1, 2, 3, 1], [1, 0, 3, 2, 4]))
    assert [set(cycle.contexts) for cycle in live.loops] == [{0, 1}, {2, 3}]


def test_ranks_cannot_be_written_from_outside() -> None:
    """The view handed out is closed to writing."""
    with pytest.raises(ValueError, match="read-only"):
        live_order(relations_of(2, [0], [1])).from_top[0] = 7


def test_what_cannot_be_done_is_refused_in_words() -> None:
    """Unknown contexts and relations, a context over itself, what is out already, and contexts to be joined first."""
    live = live_order(relations_of(2, [0], [1], names=("101", "102")))
    with pytest.raises(InputError, match="names context 2, but the contexts are counted from 0 to 1"):
        live.add(2, 0)
    with pytest.raises(OrderError, match="Layer 102 is to be later than itself"):
        live.add(1, 1)
    with pytest.raises(InputError, match="There is no relation 1: the relations held are counted from 0 to 0"):
        live.doubt(1)
    with pytest.raises(OrderError, match="Relation 0 is not in doubt"):
        live.trust(0)
    live.remove(0)
    with pytest.raises(OrderError, match="Relation 0 was taken out before"):
        live.remove(0)
    with pytest.raises(OrderError, match="1 pairs of contexts are recorded as one and not joined"):
        live_order(relations_of(2, [], [], same=[(0, 1)]))
