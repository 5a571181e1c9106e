"""A live order after any series of changes is what a calculation from scratch gives."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.sequence.live import LiveOrder, RelationState, live_order
from baulk.sequence.loops import loops_of
from baulk.sequence.phases import ranks_of
from baulk.sequence.relations import Relations, relations_of

COUNT = 9


def relations_in(live: LiveOrder, count: int, pairs, states) -> Relations:
    """Return the relations of a live order that stand in some states."""
    rows = [row for row in range(len(pairs)) if live.state(row) in states]
    return relations_of(count, [pairs[row][0] for row in rows], [pairs[row][1] for row in rows])


def assert_as_from_scratch(live: LiveOrder, pairs, wanted) -> None:
    """Hold loops, order and ranks beside those worked out anew, and the states beside those asked for."""
    count = live.count
    ordering = relations_in(live, count, pairs, {RelationState.ORDERING})
    counted = relations_in(live, count, pairs, {RelationState.ORDERING, RelationState.CLOSING})
    assert [live.state(row) in {RelationState.ORDERING, RelationState.CLOSING} for row in range(len(pairs))] == wanted
    assert not loops_of(ordering)
    assert live.from_top.tolist() == ranks_of(ordering).from_top.tolist()
    place = np.argsort(live.latest_first)
    assert (place[ordering.later] < place[ordering.earlier]).all()
    loops = loops_of(counted)
    assert bool(loops) == bool(live.loops)
    for loop in loops:
        inside = set(loop.contexts.tolist())
        assert any(set(cycle.contexts) <= inside for cycle in live.loops)
    for closing, cycle in zip(live.closing, live.loops, strict=True):
        assert cycle.relations[0] == closing
        assert all(live.state(row) is RelationState.ORDERING for row in cycle.relations[1:])
        assert len(set(cycle.contexts)) == len(cycle.contexts)
        for row, here, there in zip(cycle.relations, cycle.contexts, (*cycle.contexts[1:], cycle.contexts[0]), strict=True):
            assert pairs[row] == (here, there)
    if not loops:
        assert live.from_top.tolist() == ranks_of(counted).from_top.tolist()


pair = st.tuples(st.integers(0, COUNT - 1), st.integers(0, COUNT - 1)).filter(lambda two: two[0] != two[1])
edit = st.one_of(
    st.tuples(st.just("add"), pair),
    st.tuples(st.sampled_from(["remove", "doubt", "trust"]), st.integers(0, 40)),
    st.tuples(st.just("context"), st.none()),
)


@settings(max_examples=250, deadline=None)
@given(first=st.lists(pair, max_size=14), edits=st.lists(edit, max_size=25))
def test_any_series_of_changes_gives_what_a_calculation_from_scratch_gives(first, edits) -> None:
    """Adding, doubting, trusting, taking out and new contexts, with loops from the start or on the way."""
    live = live_order(relations_of(COUNT, [a for a, _ in first], [b for _, b in first]))
    pairs, wanted = list(first), [True] * len(first)
    assert_as_from_scratch(live, pairs, wanted)
    for what, given_ in edits:
        before = live.from_top.tolist()
        if what == "add":
            told = live.add(*given_)
            pairs.append(given_)
            wanted.append(True)
            assert (told.closed is not None) == (live.state(told.relation) is RelationState.CLOSING)
        elif what == "context":
            assert live.add_context() == len(before)
            continue
        else:
            if not pairs or live.state(given_ % len(pairs)) is RelationState.TAKEN_OUT:
                continue
            row = given_ % len(pairs)
            if what == "trust" and live.state(row) is not RelationState.DOUBTED:
                continue
            told = getattr(live, what)(row)
            wanted[row] = what == "trust"
        assert_as_from_scratch(live, pairs, wanted)
        if told.closed is None and not told.opened:
            assert told.ranks_changed == sum(a != b for a, b in zip(before, live.from_top.tolist(), strict=True))


@pytest.mark.parametrize("seed", range(3))
def test_a_larger_site_stays_right_over_many_changes(seed) -> None:
    """300 contexts and 600 changes, held beside a calculation from scratch every 25."""
    rng = np.random.default_rng(seed)
    count = 300
    at_first = rng.integers(0, count - 1, 700)
    pairs = [(int(a), int(min(a + b, count - 1))) for a, b in zip(at_first, rng.integers(1, 12, 700), strict=True)]
    pairs = [two for two in pairs if two[0] != two[1]]
    live = live_order(relations_of(count, [a for a, _ in pairs], [b for _, b in pairs]))
    wanted = [True] * len(pairs)
    for number in range(600):
        row = int(rng.integers(0, len(pairs)))
        if rng.random() < 0.5:
            a, b = (int(one) for one in rng.choice(count, 2, replace=False))
            live.add(a, b)
            pairs.append((a, b))
            wanted.append(True)
        elif live.state(row) is RelationState.DOUBTED:
            live.trust(row)
            wanted[row] = True
        elif live.state(row) is not RelationState.TAKEN_OUT:
            (live.doubt if rng.random() < 0.5 else live.remove)(row)
            wanted[row] = False
        if number % 25 == 24:
            assert_as_from_scratch(live, pairs, wanted)
    assert live.loops, "the control: at random, loops must have come up"
