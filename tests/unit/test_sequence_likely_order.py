"""The likely order: counted against all orders one by one, drawn against counted, and checks that can fail."""

from itertools import pairwise, permutations

import numpy as np
import pytest

from baulk.errors import InputError, OrderError
from baulk.sequence import likely_order as likely
from baulk.sequence.count_orders import count_orders
from baulk.sequence.likely_order import likely_order
from baulk.sequence.relations import relations_of
from baulk.sequence.sample_orders import start_order, steps_to_forget, swap_rules, swap_steps


def some_relations(rng, count, rows, reach):
    """Return relations without a loop among shuffled contexts."""
    first = rng.integers(0, count - 1, rows)
    second = np.minimum(first + rng.integers(1, reach + 1, rows), count - 1)
    names, apart = rng.permutation(count), first != second
    return relations_of(count, names[first[apart]], names[second[apart]])


def allowed_orders(relations):
    """Return every allowed order, earliest first, by trying all."""
    pairs = list(zip(relations.later.tolist(), relations.earlier.tolist(), strict=True))
    return [
        order
        for order in permutations(range(relations.count))
        if all(order.index(later) > order.index(earlier) for later, earlier in pairs)
    ]


@pytest.mark.parametrize("seed", range(12))
def test_counted_orders_agree_with_trying_every_order(seed):
    """The number of orders, P(one earlier than another) and P(a context at a place) equal those found one by one."""
    rng = np.random.default_rng(seed)
    relations = some_relations(rng, int(rng.integers(2, 8)), int(rng.integers(0, 8)), 3)
    orders = np.array(allowed_orders(relations))
    places = np.argsort(orders, axis=1)
    counted = count_orders(relations, limit=10_000)
    assert counted.orders == len(orders)
    assert counted.earlier == pytest.approx((places[:, :, None] < places[:, None, :]).mean(axis=0))
    shares = [[(places[:, context] == place).mean() for place in range(relations.count)] for context in range(relations.count)]
    assert counted.place == pytest.approx(np.array(shares))


def test_without_relations_every_pair_is_even():
    """Twelve unrelated contexts have 12! orders, and either of two is earlier in half of them."""
    counted = count_orders(relations_of(12, [], []), limit=2**12)
    assert counted.orders == 479_001_600
    assert counted.earlier[~np.eye(12, dtype=bool)] == pytest.approx(0.5)


def test_a_narrow_site_of_any_height_is_counted():
    """Two untied chains of 300 have (600 choose 300) orders; the first of one lies below the second of the other in about 3/4."""
    chain = np.arange(299)
    relations = relations_of(600, np.concatenate((chain + 1, chain + 301)), np.concatenate((chain, chain + 300)))
    found = likely_order(relations, np.random.default_rng(0))
    assert found.exact
    assert found.orders == pytest.approx(1.3510794199619426e179, rel=1e-12)  # (600 choose 300) by whole-number arithmetic
    # before the other chain's second: all but the orders that begin with two of the other chain: 1 - (300·299)/(600·599)
    assert found.earlier[0, 301] == pytest.approx(1 - (300 * 299) / (600 * 599))


def test_a_wide_site_is_not_counted():
    """More heaps than the limit: no count, rather than a long wait."""
    assert count_orders(relations_of(30, [], []), limit=10_000) is None
    assert count_orders(relations_of(80, [], []), limit=10**9) is None


def test_drawn_orders_agree_with_counted_within_their_error(monkeypatch):
    """Over all open pairs of 18 contexts, drawn less counted is about one standard error, nowhere above five."""
    relations = some_relations(np.random.default_rng(3), 18, 22, 6)
    counted = likely_order(relations, np.random.default_rng(0))
    monkeypatch.setattr(likely, "ALWAYS_COUNTED", 0)
    monkeypatch.setattr(likely, "HEAP_LIMIT", 0)
    drawn = likely_order(relations, np.random.default_rng(5))
    assert counted.exact
    assert not drawn.exact
    assert drawn.settled
    open_pairs = drawn.standard_error > 0
    assert np.array_equal(drawn.earlier[~open_pairs], counted.earlier[~open_pairs])
    off = (drawn.earlier - counted.earlier)[open_pairs] / drawn.standard_error[open_pairs]
    assert 0.6 < off.std() < 1.4
    assert np.abs(off).max() < 5


def test_the_agreement_check_can_fail():
    """Negative control: first orders alone, without any step of the chain, are far from equally likely."""
    # 0 > 1 > 2 > 3 beside 4: taking any free context next puts 4 first in half of the orders, not in one of five.
    relations = relations_of(5, [0, 1, 2], [1, 2, 3])
    rules, rng = swap_rules(relations), np.random.default_rng(2)
    first = np.mean([start_order(rng, rules).contexts[0] == 4 for _ in range(2000)])
    assert first == pytest.approx(0.5, abs=0.05)
    state, drawn = start_order(rng, rules), []
    for _ in range(4000):
        state, _info = swap_steps(rng, rules, state, 4 * steps_to_forget(5))
        drawn.append(state.contexts[0] == 4)
    assert np.mean(drawn) == pytest.approx(0.2, abs=0.03)


def test_every_allowed_order_is_drawn_equally_often():
    """A chi-square over the nine orders of a small site stays below its 99.9% point, 26.12 for 8 degrees of freedom."""
    relations = relations_of(5, [0, 0, 3, 1], [1, 2, 4, 4])
    orders = allowed_orders(relations)
    rules, rng = swap_rules(relations), np.random.default_rng(11)
    state, counts = start_order(rng, rules), dict.fromkeys(orders, 0)
    for _ in range(9000):
        state, _info = swap_steps(rng, rules, state, 8 * steps_to_forget(5))
        counts[tuple(state.contexts.tolist())] += 1
    expected = 9000 / len(orders)
    assert sum((count - expected) ** 2 / expected for count in counts.values()) < 26.12


def test_each_step_keeps_the_relations():
    """However long it runs, the chain never leaves the allowed orders."""
    rng = np.random.default_rng(4)
    relations = some_relations(rng, 40, 60, 8)
    rules = swap_rules(relations)
    state = start_order(rng, rules)
    for _ in range(50):
        state, info = swap_steps(rng, rules, state, 500)
        place = np.argsort(state.contexts)
        assert (place[relations.later] > place[relations.earlier]).all()
        assert 0 <= info.swaps <= info.steps == 500


def test_chains_that_are_too_short_are_not_called_settled():
    """Negative control: one step between orders and one order a batch leave the chains apart, and the result says so."""
    rng = np.random.default_rng(8)
    relations = some_relations(rng, 30, 30, 20)
    found = likely_order(relations, rng, per_batch=1, thin=1)
    assert not found.exact
    assert not found.settled


def test_one_generator_gives_one_answer():
    """The same seed gives the same figures, and the global source of chance is not touched."""
    relations = some_relations(np.random.default_rng(9), 30, 30, 20)
    one, two = (likely_order(relations, np.random.default_rng(1), per_batch=2) for _ in range(2))
    assert np.array_equal(one.earlier, two.earlier)


def test_a_loop_has_no_likely_order():
    """The loop is shown instead."""
    with pytest.raises(OrderError, match="The likely order needs an order without loops, but the relations hold one: 0 > 1 > 0"):
        likely_order(relations_of(2, [0, 1], [1, 0]), np.random.default_rng(0))


def test_too_many_contexts_at_once_are_refused_in_words():
    """The sentence says how many were asked for, the limit, and what to ask instead."""
    with pytest.raises(InputError, match=r"asked for 3000 contexts at once\. .* at most 2000 contexts are taken: ask for one unit"):
        likely_order(relations_of(3000, [], []), np.random.default_rng(0))


def test_sites_of_one_context_or_none():
    """Nothing to order is no error."""
    for count in (0, 1):
        assert likely_order(relations_of(count, [], []), np.random.default_rng(0)).orders == 1.0


def test_chain_of_all_contexts_has_one_order():
    """A full sequence leaves nothing open."""
    chain = list(pairwise(range(8)))
    found = likely_order(relations_of(8, [a for a, _ in chain], [b for _, b in chain]), np.random.default_rng(0))
    assert found.orders == 1.0
    assert found.earlier[7, 0] == 1.0
