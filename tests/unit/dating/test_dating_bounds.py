"""Bounds, contradictions and their ways out, on orders small enough to see."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.dating.bounds import Bounds, bounds_of
from baulk.dating.contradictions import contradiction_in_words, contradictions_of, ways_out
from baulk.dating.termini import Side, Termini, terminus_of_finds
from baulk.errors import InputError
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of

NAMES = ("1", "2", "3", "4")


def _pile(termini: list[tuple[int, int, Side, str]]) -> Bounds:
    """Return the bounds of a pile of four layers, 1 on top."""
    order = order_of(relations_of(4, [0, 1, 2], [1, 2, 3], names=NAMES))
    return bounds_of(order, Termini.of(*(list(column) for column in zip(*termini, strict=True))))


CONTRARY = [
    (0, 1850, Side.ANTE, "document 1, a map"), (2, 1905, Side.POST, "find 7, bottle"), (3, 1780, Side.POST, "find 8, plate"),
]  # fmt: skip


def test_contexts_that_are_one_share_their_bounds() -> None:
    """A coin in one of two equated layers bounds both, and the path names the group."""
    order = order_of(relations_of(3, [0], [1], same=[(1, 2)], names=("1", "2", "3")))
    bounds = bounds_of(order, Termini.of([2], [1799], [Side.POST]))
    assert bounds.tpq[bounds.place(1)] == bounds.tpq[bounds.place(2)] == bounds.tpq[bounds.place(0)] == 1799
    assert order.relations.chain(bounds.chain(bounds.place(0), Side.POST), ">") == "1 > 2 = 3"


def test_of_equal_bounds_the_own_find_is_named_and_then_the_nearest() -> None:
    """A context with a find of the same year as one below names its own; one with two paths takes the shorter."""
    bounds = _pile([(3, 1800, Side.POST, "low"), (1, 1800, Side.POST, "high")])
    assert bounds.chain(1, Side.POST) == (1,)
    assert bounds.chain(0, Side.POST) == (0, 1)
    order = order_of(relations_of(4, [0, 1, 2, 0], [1, 2, 3, 3]))
    assert bounds_of(order, Termini.of([3], [1800], [Side.POST])).chain(0, Side.POST) == (0, 3)


def test_years_bc_are_carried_as_others() -> None:
    """50 BC below makes what lies above of 50 BC or later, and 10 BC beside it binds more."""
    assert _pile([(3, -50, Side.POST, "a"), (2, -10, Side.POST, "b")]).tpq.tolist() == [-10, -10, -10, -50]


def test_a_contradiction_is_told_with_its_chain() -> None:
    """The find below and the map above are named with the path between them; three layers are in it, the fourth is not."""
    bounds = _pile(CONTRARY)
    (one,) = contradictions_of(bounds)
    assert (one.chain, one.contexts) == ((0, 1, 2), (0, 1, 2))
    assert contradiction_in_words(bounds, one) == (
        "document 1, a map has 1 there by 1850, but find 7, bottle in 3 cannot be older than 1905, and 1 lies above 3 (1 > 2 > 3). "
        "A layer cannot be later than it is: one of these is wrong; see the ways out."
    )


def test_both_in_one_context_are_told_without_a_chain() -> None:
    """A find and a map that both belong to one layer contradict each other there."""
    bounds = _pile([(1, 1850, Side.ANTE, "the map"), (1, 1905, Side.POST, "the bottle")])
    (one,) = [found for found in contradictions_of(bounds) if found.chain == (1,)]
    assert "and both belong to 2." in contradiction_in_words(bounds, one)


def test_each_way_out_says_what_it_costs() -> None:
    """Intrusive and missed cut fall back to 1780 in three layers; residual loses the TAQ; either relation settles it alone."""
    bounds = _pile(CONTRARY)
    (one,) = contradictions_of(bounds)
    ways = ways_out(bounds, one)
    assert [way.kind for way in ways] == ["intrusive find", "residual find", "wrong relation", "wrong relation", "missed cut"]
    assert all(way.settles and way.left == 0 for way in ways)
    assert [(shift.group, shift.before, shift.after) for shift in ways[0].shifts] == [(g, 1905, 1780) for g in (0, 1, 2)]
    assert "It would change 3 bounds: TPQ of 1 from 1905 to 1780; TPQ of 2" in ways[0].says
    assert [(shift.group, shift.side) for shift in ways[1].shifts] == [(g, Side.ANTE) for g in range(4)]
    assert "TAQ of 1 from 1850 to none" in ways[1].says
    assert [way.relation for way in ways] == [None, None, 0, 1, None]
    assert "Wrong relation: 2 is not later than 3 (certainty 1)." in ways[3].says
    assert "one more cut and one more fill" in ways[4].says


def test_a_relation_that_is_not_the_only_path_does_not_settle_it() -> None:
    """With two paths from the find to the map, doubting one relation is not enough, and the answer says so."""
    order = order_of(relations_of(4, [0, 1, 0, 2], [1, 3, 2, 3], names=NAMES))
    bounds = bounds_of(order, Termini.of([0, 3], [1850, 1905], [Side.ANTE, Side.POST]))
    (one,) = [found for found in contradictions_of(bounds)]
    wrong = [way for way in ways_out(bounds, one) if way.kind == "wrong relation"]
    assert not any(way.settles for way in wrong)
    assert all("It would not be enough:" in way.says for way in wrong)


def test_a_second_late_find_stays_when_one_is_called_intrusive() -> None:
    """Two bottles of 1905: calling one intrusive changes no bound and settles nothing."""
    bounds = _pile([*CONTRARY, (2, 1905, Side.POST, "find 9, bottle")])
    (one,) = contradictions_of(bounds)
    way = ways_out(bounds, one)[0]
    assert (way.settles, way.shifts) == (False, ())
    assert "No other bound would change." in way.says


def test_a_carry_the_wrong_way_would_be_seen() -> None:
    """Negative control: TPQs carried down, as a faulty rule would, give other bounds than ours."""
    bounds = _pile([(1, 1799, Side.POST, "coin")])
    down = np.array([np.nan, 1799, 1799, 1799])
    assert np.isnan(bounds.tpq).tolist() == [False, False, True, True]
    assert not np.array_equal(bounds.tpq, down, equal_nan=True)


def test_finds_without_a_first_year_set_nothing() -> None:
    """A find known only by its last year gives no terminus; without any year there is none."""
    assert terminus_of_finds([None, None], [1900, None]) is None
    assert terminus_of_finds([]) is None
    found = terminus_of_finds([1780, 1780, None])
    assert found is not None
    assert (found.by, found.loose) == ((0, 1), None)


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (([0, 1], [1799], [0]), "Each terminus has one of each"),
        (([0], [np.nan], [0]), "Leave out what has no date"),
        (([0], [1799], [2]), "is neither “not earlier than” nor “not later than”"),
    ],
)
def test_termini_that_cannot_be_used_are_refused(columns: tuple[list[float], ...], said: str) -> None:
    """Columns of unequal length, a missing year and an unknown side are told."""
    with pytest.raises(InputError, match=said):
        Termini.of(columns[0], columns[1], columns[2])


def test_a_terminus_outside_of_the_order_is_refused() -> None:
    """A context that the order does not have is named."""
    with pytest.raises(InputError, match="find 1 belongs to context 9, but the contexts are counted from 0 to 3"):
        _pile([(9, 1799, Side.POST, "find 1")])
