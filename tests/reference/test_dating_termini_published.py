"""The published cases of terminus post quem and ante quem, with their disagreements.

Marks: [R] read, [C] computed; H, M, L how sure.
"""

from __future__ import annotations

import numpy as np

from baulk.dating.bounds import Bounds, bounds_of
from baulk.dating.termini import Side, Termini, terminus_of_finds
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of


def _bounds(count: int, pairs: list[tuple[int, int]], termini: list[tuple[int, int, Side]]) -> Bounds:
    order = order_of(relations_of(count, [later for later, _ in pairs], [earlier for _, earlier in pairs]))
    return bounds_of(order, Termini.of(*(list(column) for column in zip(*termini, strict=True))))


def test_t1_three_coins() -> None:
    """T-1: coins 1588, 1595 and 1590-1625 give 1595 (wikisum.wiki) [R] H; a museum's page prints 1625 [R]: told as loose."""
    found = terminus_of_finds([1588, 1595, 1590], [1588, 1595, 1625])
    assert found is not None
    assert (found.year, found.by, found.loose) == (1595, (1,), 1625)


def test_t2_a_coin_in_a_pit() -> None:
    """T-2: a coin of 1915 in a pit: 1915, 1916 and 1960 are all possible, 1914 is not (Norfolk) [R] H."""
    bounds = _bounds(1, [], [(0, 1915, Side.POST)])
    possible = [year for year in (1914, 1915, 1916, 1960) if year >= bounds.tpq[0] and not year > bounds.taq[0]]
    assert possible == [1915, 1916, 1960]


def test_t3_a_coin_in_a_grave() -> None:
    """T-3: a coin of 1701 in the fill of an undisturbed grave is a TPQ of 1701 for the fill [R] H, not for the cut below it.

    That page's opening sentence says the opposite of its own example; the example is used.
    """
    bounds = _bounds(2, [(0, 1)], [(0, 1701, Side.POST)])
    assert bounds.tpq[0] == 1701
    assert np.isnan(bounds.tpq[1])


def test_t4_a_layer_under_dated_lava() -> None:
    """T-4: under the lava of AD 79 the layer is of 79 or earlier (Norfolk) [R] H."""
    bounds = _bounds(2, [(0, 1)], [(0, 79, Side.ANTE)])
    assert bounds.taq[1] == 79
    assert bounds.chain(1, Side.ANTE) == (1, 0)


def test_t5_foundations_under_a_finished_wall() -> None:
    """T-5: foundations partly pulled down for a wall that was finished in 650 are of 650 or earlier (wikisum.wiki) [R] H."""
    assert _bounds(2, [(1, 0)], [(1, 650, Side.ANTE)]).taq[0] == 650


def test_t6_coins_above_are_no_taq_below() -> None:
    """T-6: coins of the 2nd century above are printed as a TAQ below (archaeologywordsmith) [R]; only a firm date is one.

    The coins give the upper layer a TPQ, and a TPQ above gives no TAQ below.
    """
    coins = _bounds(2, [(0, 1)], [(0, 101, Side.POST)])
    assert np.isnan(coins.taq).all()
    assert np.isnan(coins.tpq[1])
    firm = _bounds(2, [(0, 1)], [(0, 200, Side.ANTE)])
    assert firm.taq[1] == 200


def test_t7_residual_finds_do_not_raise_and_intrusive_ones_would() -> None:
    """T-7: finds of 9 and 10 in backfill 3 of the cut through them are residual, raise nothing; one of 3 in 9 would [R] H."""
    backfill, cut, layer = 0, 1, 2
    pairs = [(backfill, cut), (cut, layer)]
    without_residual = _bounds(3, pairs, [(backfill, 1720, Side.POST), (layer, 1650, Side.POST)])
    with_residual = _bounds(3, pairs, [(backfill, 1720, Side.POST), (layer, 1650, Side.POST), (backfill, 1650, Side.POST)])
    assert without_residual.tpq.tolist() == with_residual.tpq.tolist() == [1720, 1650, 1650]
    intrusive = _bounds(3, pairs, [(backfill, 1720, Side.POST), (layer, 1720, Side.POST)])
    assert intrusive.tpq[layer] == 1720


def test_t8_a_machine_made_bottle() -> None:
    """T-8: a bottle with a suction scar makes everything above it 1905 or later (Miller and McNichol 2002, in a copy) [R] H."""
    bounds = _bounds(4, [(0, 1), (1, 2), (3, 2)], [(1, 1905, Side.POST)])
    assert bounds.tpq[:2].tolist() == [1905, 1905]
    assert np.isnan(bounds.tpq[2:]).all()


def test_a_sealed_layer_lies_between_the_dates_of_the_two_that_seal_it() -> None:
    """“Between the dates of the two layers sealing it” (encyclopaedia) [R] H: a TPQ from below and a firm date from above."""
    bounds = _bounds(3, [(0, 1), (1, 2)], [(2, 1762, Side.POST), (0, 1836, Side.ANTE)])
    assert (bounds.tpq[1], bounds.taq[1]) == (1762, 1836)
    assert (bounds.chain(1, Side.POST), bounds.chain(1, Side.ANTE)) == ((1, 2), (1, 0))
