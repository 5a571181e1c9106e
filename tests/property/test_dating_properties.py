"""Properties of bounds, mean dates and calibrations that hold for every input."""

from itertools import pairwise

import networkx as nx
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from baulk.dating.bounds import bounds_of, without
from baulk.dating.calibration import calibrate
from baulk.dating.contradictions import contradictions_of, ways_out
from baulk.dating.mean_ceramic import Weighting, latest_dates, mean_ceramic_date, resampled_interval
from baulk.dating.radiocarbon_age import pooled_age
from baulk.dating.termini import Side, Termini
from baulk.dating.types import DatedType, TypeTable
from baulk.dating.years import counted, named
from baulk.sequence.order import order_of

from .test_order_properties import any_relations, graph_of

UNHURRIED = settings(deadline=None)  # the first call compiles the loops


@st.composite
def dated_sites(draw, acyclic=True):
    """An order with termini on some of its contexts."""
    relations = draw(any_relations(acyclic=acyclic))
    one = st.tuples(st.integers(0, relations.count - 1), st.integers(1700, 1900), st.sampled_from(list(Side)))
    rows = draw(st.lists(one, max_size=8))
    return order_of(relations), Termini.of([row[0] for row in rows], [row[1] for row in rows], [row[2] for row in rows])


def plain_bounds(order, termini):
    """Return both bounds of each group by the definition, over all that networkx can reach."""
    graph = graph_of(order.relations)
    found = []
    for group in range(order.relations.count):
        below = nx.descendants(graph, group) | {group}
        above = nx.ancestors(graph, group) | {group}
        own = order.merging.group[termini.context]
        post = [y for g, y, s in zip(own, termini.year, termini.side, strict=True) if s == Side.POST and g in below]
        ante = [y for g, y, s in zip(own, termini.year, termini.side, strict=True) if s == Side.ANTE and g in above]
        found.append((max(post, default=np.nan), min(ante, default=np.nan)))
    return np.array(found).reshape(-1, 2)


@UNHURRIED
@given(dated_sites())
def test_bounds_are_extremes_over_what_lies_below_and_above(site):
    """Each TPQ is the latest year in or below a context and each TAQ the earliest firm year in or above it."""
    bounds = bounds_of(*site)
    np.testing.assert_array_equal(np.stack([bounds.tpq, bounds.taq], axis=1), plain_bounds(*site))


@UNHURRIED
@given(dated_sites())
def test_every_bound_names_a_terminus_at_the_end_of_a_path_that_is_recorded(site):
    """The path runs over relations from the context down (up) to the one whose terminus has that year."""
    bounds = bounds_of(*site)
    relations = bounds.order.relations
    for side, years, rows in ((Side.POST, bounds.tpq, bounds.tpq_row), (Side.ANTE, bounds.taq, bounds.taq_row)):
        for group in range(relations.count):
            if np.isnan(years[group]):
                assert rows[group] == -1
                continue
            chain, steps = bounds.chain(group, side), bounds.path(group, side)
            for here, after, step in zip(chain, chain[1:], steps, strict=False):
                pair = (here, after) if side is Side.POST else (after, here)
                assert (relations.later[step], relations.earlier[step]) == pair
            row = int(rows[group])
            assert bounds.termini.year[row] == years[group]
            assert bounds.termini.side[row] == side
            assert bounds.order.merging.group[bounds.termini.context[row]] == chain[-1]


@UNHURRIED
@given(dated_sites(acyclic=False))
def test_a_loop_carries_nothing_and_the_rest_is_the_order_without_it(site):
    """With loops the bounds are those of the relations outside of them: nothing is claimed over a relation that may be wrong."""
    order, termini = site
    bounds = bounds_of(order, termini)
    graph = graph_of(order.relations)
    component = {node: place for place, nodes in enumerate(nx.strongly_connected_components(graph)) for node in nodes}
    pairs = zip(order.relations.later.tolist(), order.relations.earlier.tolist(), strict=True)
    inside = [row for row, (later, earlier) in enumerate(pairs) if component[later] == component[earlier]]
    assert bounds.dropped.tolist() == inside
    fewer = without(bounds, relations=inside)
    np.testing.assert_array_equal(bounds.tpq, fewer.tpq)
    np.testing.assert_array_equal(bounds.taq, fewer.taq)


@UNHURRIED
@given(dated_sites())
def test_a_tpq_never_gives_a_taq(site):
    """Without a firm date there is no TAQ anywhere, whatever finds there are."""
    order, termini = site
    only_finds = Termini.of(termini.context, termini.year, np.zeros(len(termini.year), np.uint8))
    assert np.isnan(bounds_of(order, only_finds).taq).all()


@UNHURRIED
@given(dated_sites(), st.data())
def test_an_older_find_changes_no_bound(site, data):
    """A residual find, however old, moves nothing; taking a find away never raises a TPQ."""
    order, termini = site
    assume(len(termini.year))
    bounds = bounds_of(order, termini)
    context = data.draw(st.integers(0, order.given.count - 1))
    tpq = bounds.tpq[bounds.place(context)]
    assume(not np.isnan(tpq))
    more = Termini.of([*termini.context, context], [*termini.year, tpq - 100], [*termini.side, Side.POST])
    np.testing.assert_array_equal(bounds_of(order, more).tpq, bounds.tpq)
    less = without(bounds, termini=(data.draw(st.integers(0, len(termini.year) - 1)),))
    assert not (np.nan_to_num(less.tpq, nan=-1) > np.nan_to_num(bounds.tpq, nan=-1)).any()


@UNHURRIED
@given(dated_sites())
def test_contradictions_are_told_once_each_with_a_chain_and_ways_out_that_hold(site):
    """Every contradicted context is in one of them; each chain is recorded; a way out that says it settles does so."""
    bounds = bounds_of(*site)
    told = contradictions_of(bounds)
    assert sorted(group for one in told for group in one.contexts) == bounds.conflicts.tolist()
    relations = bounds.order.relations
    for one in told:
        assert len(one.relations) == len(one.chain) - 1
        for here, after, step in zip(one.chain, one.chain[1:], one.relations, strict=False):
            assert (relations.later[step], relations.earlier[step]) == (here, after)
        assert bounds.termini.year[one.post] > bounds.termini.year[one.ante]
        ways = {way.kind: way for way in ways_out(bounds, one)}
        after = without(bounds, termini=(one.post,))
        assert ways["intrusive find"].settles == (not any(after.tpq[group] > after.taq[group] for group in one.contexts))
        changed = {shift.group for shift in ways["intrusive find"].shifts if shift.side is Side.POST}
        assert changed == {g for g in range(relations.count) if after.tpq[g] != bounds.tpq[g] and not np.isnan(bounds.tpq[g])}


types = st.lists(st.tuples(st.integers(1600, 1800), st.integers(1, 150), st.integers(1, 40)), min_size=1, max_size=6)


def assemblage(rows):
    """Return counts and a table of types of some rows of begin, years of making and count."""
    table = TypeTable("t", "1", tuple(DatedType(str(k), b, b + s, "s", "high", "read") for k, (b, s, _) in enumerate(rows)))
    return {str(k): float(n) for k, (_, _, n) in enumerate(rows)}, table


@given(types, st.sampled_from(list(Weighting)))
def test_a_mean_date_lies_among_the_middles_and_knows_no_scale(rows, weighting):
    """The mean lies between the least and the greatest middle, and ten times as many sherds give the same."""
    counts, table = assemblage(rows)
    found = mean_ceramic_date(counts, table, weighting=weighting)
    middles = [one.middle for one in found.types]
    assert min(middles) - 1e-9 <= found.year <= max(middles) + 1e-9
    more = mean_ceramic_date({name: 10 * count for name, count in counts.items()}, table, weighting=weighting)
    assert more.year == pytest.approx(found.year)


@given(types, st.integers(1, 50))
def test_a_type_without_a_date_changes_nothing(rows, count):
    """Whatever its number, it is listed and enters no sum."""
    counts, table = assemblage(rows)
    found = mean_ceramic_date({**counts, "unheard of": float(count)}, table)
    assert found.year == mean_ceramic_date(counts, table).year
    assert len(found.left_out) == 1


@given(types)
def test_latest_dates_fall_and_the_first_is_the_terminus(rows):
    """The latest of all is the greatest first year; the others do not pass it."""
    found = latest_dates(mean_ceramic_date(*assemblage(rows)))
    assert found.all == max(begin for begin, _, _ in rows)
    assert found.nine_in_ten <= found.most <= found.all


@given(types, st.integers(0, 2**32 - 1))
def test_the_same_seed_gives_the_same_interval_about_the_date(rows, seed):
    """Resampling is a function of its generator, and one type gives no width."""
    found = mean_ceramic_date(*assemblage(rows))
    one, two = (resampled_interval(found, np.random.default_rng(seed), replicates=50) for _ in range(2))
    assert (one.begin, one.end) == (two.begin, two.end)
    assert one.begin <= found.year <= one.end
    if len(rows) == 1:
        assert one.deviation == 0


@settings(deadline=None, max_examples=25)
@given(st.integers(100, 45_000), st.integers(10, 200), st.floats(0.05, 0.99))
def test_a_calibrated_date_sums_to_one_and_its_pieces_hold_the_level(age, error, level):
    """Probabilities sum to 1; pieces are apart, in order and hold the level; no year outside is likelier than one inside."""
    found = calibrate(age, error)
    assert found.probability.sum() == pytest.approx(1)
    pieces = found.pieces(level)
    assert sum(one.share for one in pieces) >= level - 1e-9
    assert all(counted(one.end) + 1 < counted(after.begin) for one, after in pairwise(pieces))
    inside = np.zeros(len(found.years), bool)
    for one in pieces:
        inside |= (found.years >= counted(one.begin)) & (found.years <= counted(one.end))
    if not inside.all():
        assert found.probability[~inside].max() <= found.probability[inside].min() + 1e-15


@given(st.integers(500, 3000), st.integers(10, 100), st.integers(2, 6))
def test_the_same_age_again_narrows_and_agrees(age, error, number):
    """Equal ages pool to the same age, an error smaller by the root of their number, and no disagreement."""
    found = pooled_age([age] * number, [error] * number)
    assert (found.age, found.error) == pytest.approx((age, error / np.sqrt(number)))
    assert found.statistic == pytest.approx(0)
    assert found.agree


@given(st.integers(-50_000, 50_000))
def test_years_are_counted_without_a_gap(count):
    """Every place on the scale has one calendar year, never 0, and back."""
    assert named(count) != 0
    assert counted(named(count)) == count
