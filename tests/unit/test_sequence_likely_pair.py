"""The likely order of two contexts, and over how much of the site it was worked out."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from baulk.errors import InputError, OrderError
from baulk.sequence.likely_order import likely_order
from baulk.sequence.likely_pair import Over, likely_pair
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of


def asked(count, pairs, one, other, *, same=None, seed=1, **settings):
    """Return the likely order of two contexts of a site made of pairs."""
    relations = relations_of(count, [a for a, _ in pairs], [b for _, b in pairs], same=same, names=tuple(map(str, range(count))))
    return likely_pair(order_of(relations), one, other, np.random.default_rng(seed), **settings)


def test_a_path_decides_it_either_way() -> None:
    """What is recorded is not a matter of chance, on a site of any size."""
    chain = [(place, place + 1) for place in range(4999)]
    down, up = asked(5000, chain, 4000, 10), asked(5000, chain, 10, 4000)
    assert (down.earlier, up.earlier, down.exact, down.over, down.standard_error) == (1.0, 0.0, True, Over.PATH, 0.0)


def test_parts_without_a_tie_have_no_bearing() -> None:
    """Leaving out a separate part gives what every order of the whole site gives, one by one."""
    pairs = [(0, 1), (2, 3), (4, 5), (4, 6)]
    orders = [order for order in permutations(range(7)) if all(order.index(b) < order.index(a) for a, b in pairs)]
    share = sum(order.index(1) < order.index(2) for order in orders) / len(orders)
    found = asked(7, pairs, 1, 2)
    assert found.earlier == pytest.approx(share, abs=1e-12)
    assert (found.over, found.contexts, found.exact, found.over.whole) == (Over.TIED, 4, True, True)


def test_a_larger_site_is_cut_down_and_says_so() -> None:
    """More tied contexts than can be taken: those with a path, then the nearest of these; the answer is over these only."""
    star = [(0, place) for place in range(1, 60)]
    related = asked(60, star, 1, 2, most=10)
    assert (related.over, related.contexts, related.over.whole) == (Over.RELATED, 3, False)
    assert related.earlier == pytest.approx(0.5)
    chains = [(0, 1), *((place, place + 1) for place in range(1, 40)), (0, 50), *((place, place + 1) for place in range(50, 90))]
    near = asked(91, chains, 20, 60, most=12)
    assert (near.over, near.contexts) == (Over.NEAREST, 12)


def test_relations_through_what_is_left_out_still_count() -> None:
    """Of 0 > 9 > 1 with 9 left out, 0 stays later than 1."""
    pairs = [(0, 9), (9, 1), (1, 2), (3, 2), (0, 4), (4, 2)]
    everything = asked(10, pairs, 1, 3)
    relations = relations_of(10, [a for a, _ in pairs], [b for _, b in pairs])
    assert everything.earlier == pytest.approx(likely_order(relations, np.random.default_rng(1)).earlier[1, 3])
    assert asked(10, pairs, 1, 3, most=4).over in (Over.RELATED, Over.NEAREST)


def test_drawn_answers_agree_with_symmetry_and_carry_their_error() -> None:
    """Two arms of one shape: each comes first in half of the orders, within four standard errors; the seed decides the draws."""
    pairs = [(0, 1), (0, 2)]
    for arm in (1, 2):
        pairs += [(arm, 10 * arm + place) for place in range(8)]
        pairs += [(10 * arm + place, 30 + place) for place in range(8)]
    used = sorted({context for pair in pairs for context in pair})
    index = {context: place for place, context in enumerate(used)}
    small = [(index[a], index[b]) for a, b in pairs]
    found = asked(len(used), small, index[1], index[2])
    again = asked(len(used), small, index[1], index[2])
    assert not found.exact, "the control: this one is too wide to be counted"
    assert found.earlier == again.earlier
    assert found.standard_error > 0
    assert found.effective_size >= 100
    assert abs(found.earlier - 0.5) <= 4 * found.standard_error + 1e-9


def test_one_context_and_loops_are_refused() -> None:
    """Two that are one have no order, and with a loop nobody has."""
    with pytest.raises(InputError, match="0 and 1 are recorded as one, so neither is earlier"):
        asked(3, [(0, 2)], 0, 1, same=[(0, 1)])
    with pytest.raises(OrderError, match="The likely order needs an order without loops"):
        asked(4, [(0, 1), (1, 0)], 2, 3)
