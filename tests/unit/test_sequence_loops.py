"""Loops and doubts on cases worked out by hand, and at sizes where a careless search would not end."""

import numpy as np
import pytest

from baulk.errors import OrderError
from baulk.sequence.doubt import EXACT_UP_TO, doubt_weights, doubts_of
from baulk.sequence.loops import cycle_in_words, cycle_through, loops_of, refuse_loops
from baulk.sequence.relations import relations_of


def test_the_shortest_of_two_cycles_is_shown():
    """0 > 1 > 2 > 3 > 0 and 1 > 2 > 1: one loop of four layers whose shortest cycle has two."""
    loop = loops_of(relations_of(4, [0, 1, 2, 3, 2], [1, 2, 3, 0, 1]))[0]
    assert loop.contexts.tolist() == [0, 1, 2, 3]
    assert loop.relations.tolist() == [0, 1, 2, 3, 4]
    assert set(loop.shortest.contexts) == {1, 2}


def test_a_cycle_is_shown_through_the_relation_asked_about():
    """The relation 3 > 0 lies only on the long cycle, so that is the one shown."""
    relations = relations_of(4, [0, 1, 2, 3, 2], [1, 2, 3, 0, 1])
    cycle = cycle_through(relations, 3)
    assert cycle_in_words(relations, cycle) == "3 > 0 > 1 > 2 > 3"
    assert cycle_through(relations_of(2, [0], [1]), 0) is None


def test_refusal_counts_the_other_loops():
    """The message shows one cycle and says how many other loops stand beside it."""
    with pytest.raises(OrderError) as caught:
        refuse_loops(relations_of(4, [0, 1, 2, 3], [1, 0, 3, 2]), "A list of redundant relations")
    assert str(caught.value).startswith(
        "A list of redundant relations needs an order without loops, but the relations hold one: 0 > 1 > 0. 1 more stand beside it."
    )


def test_doubt_falls_on_the_least_seen_relation():
    """Of three relations in a cycle, the one entered on one sheet only is the one to look at again."""
    doubt = doubts_of(relations_of(3, [0, 1, 2], [1, 2, 0], sides=[3, 1, 3]))[0]
    assert (doubt.relations.tolist(), doubt.weight, doubt.exact) == ([1], 1.0, True)


def test_one_shared_relation_is_cheaper_than_two_of_their_own():
    """Two cycles share 0 > 1: doubting it alone opens both, though each has a lighter relation of its own."""
    relations = relations_of(4, [0, 1, 2, 1, 3], [1, 2, 0, 3, 0], certainty=[0.9, 1, 0.6, 1, 0.6])
    assert doubts_of(relations)[0].relations.tolist() == [0]


def test_weights_count_the_places_where_a_relation_was_seen():
    """Certainty times places; a half where the relation stands on nothing."""
    relations = relations_of(2, [0] * 4, [1] * 4, certainty=[1, 1, 0.5, 1], sides=[0, 1, 3, 7])
    assert doubt_weights(relations).tolist() == [0.5, 1.0, 1.0, 3.0]


def test_a_large_loop_says_that_its_doubts_are_not_proved_lightest():
    """Beyond the exact size the result is a set that opens the loop, with a bound, and it says so."""
    rng = np.random.default_rng(7)
    later, earlier = rng.integers(0, 100, 1500), rng.integers(0, 100, 1500)
    apart = later != earlier
    relations = relations_of(100, later[apart], earlier[apart])
    doubt = doubts_of(relations)[0]
    assert len(loops_of(relations)[0].relations) > EXACT_UP_TO
    assert not doubt.exact
    assert 0 < doubt.at_least < doubt.weight
    kept = np.setdiff1d(np.arange(len(relations)), doubt.relations)
    assert not loops_of(relations_of(100, relations.later[kept], relations.earlier[kept]))


def test_a_ring_of_a_hundred_thousand_layers_is_one_search():
    """The only cycle has every layer in it; a search from each layer anew would take hours."""
    count = 100_000
    ring = np.arange(count)
    relations = relations_of(count, ring, np.roll(ring, -1))
    loop = loops_of(relations)[0]
    assert loop.surely_shortest
    assert len(loop.shortest.relations) == count
    doubt = doubts_of(relations, (loop,))[0]
    assert (doubt.weight, doubt.exact) == (2.0, True)


def test_wrong_relations_in_a_large_site_are_found_and_proved():
    """Twenty relations put in the wrong way round among 9,000 are found in a moment, and the set is proved lightest."""
    rng = np.random.default_rng(0)
    first = rng.integers(0, 2999, 9000)
    second = np.minimum(first + rng.integers(1, 100, 9000), 2999)
    bad = rng.integers(0, 2500, 20)
    later, earlier = np.concatenate((first, bad + 500)), np.concatenate((second, bad))
    apart = later != earlier
    sides = np.where(np.arange(len(later)) < 9000, 3, 1)
    relations = relations_of(3000, later[apart], earlier[apart], sides=sides[apart])
    doubts = doubts_of(relations)
    assert all(doubt.exact for doubt in doubts)
    named = {int(relation) for doubt in doubts for relation in doubt.relations}
    planted = set(np.flatnonzero(relations.sides == 1).tolist())
    assert named <= planted
    assert len(named) >= 15  # a few of the planted ones close no cycle, and so do no harm
