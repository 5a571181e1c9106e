"""Properties of the order that hold for every set of relations, with networkx as the second opinion."""

from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.sequence import doubt, reduction
from baulk.sequence.doubt import doubt_weights, doubts_of
from baulk.sequence.loops import cycle_through, loops_of
from baulk.sequence.merging import merge_same
from baulk.sequence.order import order_of
from baulk.sequence.paths import reaches, why
from baulk.sequence.phases import phase_ranges, ranks_of
from baulk.sequence.reduction import implied_by, reduce_relations
from baulk.sequence.relations import distinct_relations, relations_of

UNHURRIED = settings(deadline=None)  # the first call compiles the loops


@st.composite
def any_relations(draw, largest=9, acyclic=False):
    """Relations among a few contexts, loops and repeats included unless `acyclic`."""
    count = draw(st.integers(1, largest))
    index = st.integers(0, count - 1)
    pairs = [pair for pair in draw(st.lists(st.tuples(index, index), max_size=3 * count)) if pair[0] != pair[1]]
    if acyclic:
        names = draw(st.permutations(range(count)))
        pairs = [(names[min(pair)], names[max(pair)]) for pair in pairs]
    certainty = draw(st.lists(st.sampled_from([0.25, 0.5, 1.0]), min_size=len(pairs), max_size=len(pairs)))
    sides = draw(st.lists(st.integers(0, 7), min_size=len(pairs), max_size=len(pairs)))
    return relations_of(count, [a for a, _ in pairs], [b for _, b in pairs], certainty=certainty, sides=sides)


def graph_of(relations, kept=None):
    """Return the relations as a networkx graph."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(relations.count))
    rows = np.arange(len(relations)) if kept is None else np.flatnonzero(kept)
    graph.add_edges_from(zip(relations.later[rows].tolist(), relations.earlier[rows].tolist(), strict=True))
    return graph


def random_order(rng, count, rows, reach):
    """Return relations without a loop among shuffled contexts, each at most `reach` places long."""
    first = rng.integers(0, count - 1, rows)
    second = np.minimum(first + rng.integers(1, reach + 1, rows), count - 1)
    apart = first != second
    names = rng.permutation(count)
    return relations_of(count, names[first[apart]], names[second[apart]])


@UNHURRIED
@given(any_relations(acyclic=True))
def test_reduction_is_the_one_of_networkx(relations):
    """The needed relations are exactly the transitive reduction that networkx finds."""
    kept = reduce_relations(relations).kept
    assert set(graph_of(relations, kept).edges) == set(nx.transitive_reduction(graph_of(relations)).edges)


@UNHURRIED
@given(any_relations(acyclic=True))
def test_reduction_keeps_the_order_and_reducing_again_changes_nothing(relations):
    """The closure of the reduction is the closure of the relations, and the reduction of a reduction is itself."""
    kept = reduce_relations(relations).kept
    slim = relations_of(relations.count, relations.later[kept], relations.earlier[kept])
    one, other = np.divmod(np.arange(relations.count**2), relations.count)
    assert np.array_equal(reaches(relations, one, other), reaches(slim, one, other))
    assert reduce_relations(slim).kept.all()


@UNHURRIED
@given(any_relations(acyclic=True))
def test_every_redundant_relation_is_implied_by_a_chain_of_needed_ones(relations):
    """The chain has two relations or more, all needed, each beginning where the one before it ended."""
    found = reduce_relations(relations)
    for relation in found.redundant:
        chain = list(implied_by(relations, found, int(relation)))
        assert len(chain) >= 2
        assert found.kept[chain].all()
        assert relations.later[chain[0]] == relations.later[relation]
        assert relations.earlier[chain[-1]] == relations.earlier[relation]
        assert np.array_equal(relations.earlier[chain[:-1]], relations.later[chain[1:]])


@pytest.mark.parametrize("reach", [8, 60, 1999])
@pytest.mark.parametrize("budget", [1, 64, 1_000_000])
def test_both_ways_of_reducing_agree_with_networkx(monkeypatch, reach, budget):
    """Whether contexts are settled by search, by sweep or by both, the edge set is that of networkx."""
    monkeypatch.setattr(reduction, "FIRST_BUDGET", budget)
    monkeypatch.setattr(reduction, "SEARCH_COST", 0.0 if budget > 64 else 3.0)
    relations = random_order(np.random.default_rng(reach), 2000, 5000, reach)
    kept = reduce_relations(relations).kept
    assert set(graph_of(relations, kept).edges) == set(nx.transitive_reduction(graph_of(relations)).edges)


@UNHURRIED
@given(any_relations())
def test_loops_are_the_strong_components_and_their_cycle_is_shortest(relations):
    """Every loop is a strong component of networkx; its cycle closes, and no shorter one exists."""
    graph = graph_of(relations)
    loops = loops_of(relations)
    strong = sorted(sorted(part) for part in nx.strongly_connected_components(graph) if len(part) > 1)
    assert sorted(loop.contexts.tolist() for loop in loops) == strong
    for loop in loops:
        cycle = loop.shortest
        assert loop.surely_shortest
        assert relations.later[list(cycle.relations)].tolist() == list(cycle.contexts)
        assert relations.earlier[list(cycle.relations)].tolist() == [*cycle.contexts[1:], cycle.contexts[0]]
        inner = graph.subgraph(loop.contexts.tolist())
        assert not list(nx.simple_cycles(inner, length_bound=len(cycle.contexts) - 1))


@UNHURRIED
@given(any_relations())
def test_a_cycle_through_a_relation_is_shortest_and_holds_it(relations):
    """The cycle begins with the relation and is one longer than the shortest way back; none exists outside loops."""
    graph = graph_of(relations)
    for relation in range(len(relations)):
        later, earlier = int(relations.later[relation]), int(relations.earlier[relation])
        cycle = cycle_through(relations, relation)
        if cycle is None:
            assert not nx.has_path(graph, earlier, later)
        else:
            assert cycle.relations[0] == relation
            assert len(cycle.relations) == 1 + nx.shortest_path_length(graph, earlier, later)


def opens(relations, gone):
    """Whether leaving out some relations leaves no loop."""
    kept = np.ones(len(relations), bool)
    kept[list(gone)] = False
    return nx.is_directed_acyclic_graph(graph_of(relations, kept))


@settings(UNHURRIED, max_examples=60)
@given(any_relations(largest=5))
def test_doubted_relations_are_the_lightest_set_that_opens_a_loop(relations):
    """No lighter set of relations opens the loop: all sets are tried."""
    relations = distinct_relations(relations).relations
    weights = doubt_weights(relations)
    found = doubts_of(relations)
    chosen = [int(relation) for one in found for relation in one.relations]
    assert opens(relations, chosen)
    inner = [int(relation) for loop in loops_of(relations) for relation in loop.relations]
    if len(inner) <= 12:
        sets = (some for size in range(len(inner) + 1) for some in combinations(inner, size))
        lightest = min(weights[list(some)].sum() for some in sets if opens(relations, some))
        assert weights[chosen].sum() == pytest.approx(lightest)
        assert all(one.exact and one.weight == one.at_least for one in found)


@settings(UNHURRIED, max_examples=60)
@given(any_relations(largest=9))
def test_heuristic_opens_the_loop_and_bounds_the_lightest_set(relations):
    """Beyond the exact size the set still opens every loop, and its lower bound never exceeds the exact weight."""
    relations = distinct_relations(relations).relations
    exact = doubts_of(relations)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(doubt, "EXACT_UP_TO", 0)
        light = doubts_of(relations)
    assert opens(relations, [int(relation) for one in light for relation in one.relations])
    for bounded, best in zip(light, exact, strict=True):
        assert bounded.at_least <= best.weight + 1e-9
        assert bounded.weight >= best.weight - 1e-9


@UNHURRIED
@given(any_relations())
def test_many_pairs_at_once_agree_with_networkx_and_with_single_chains(relations):
    """`reaches` and `why` say of every pair what the closure of networkx says; the chain has the shortest length."""
    graph = graph_of(relations)
    closure = nx.transitive_closure(graph)
    one, other = np.divmod(np.arange(relations.count**2), relations.count)
    for later, earlier, below in zip(one.tolist(), other.tolist(), reaches(relations, one, other), strict=True):
        assert below == closure.has_edge(later, earlier)
        chain = why(relations, later, earlier)
        assert (chain is not None) == below
        if chain is not None and later != earlier:
            assert len(chain) == nx.shortest_path_length(graph, later, earlier)


@UNHURRIED
@given(any_relations(acyclic=True))
def test_ranks_are_longest_distances(relations):
    """Both ranks equal the longest path that networkx finds to and from each context."""
    ranks = ranks_of(relations)
    graph = graph_of(relations)
    for context in range(relations.count):
        above = graph.subgraph(nx.ancestors(graph, context) | {context})
        below = graph.subgraph(nx.descendants(graph, context) | {context})
        assert ranks.from_top[context] == nx.dag_longest_path_length(above)
        assert ranks.from_bottom[context] == nx.dag_longest_path_length(below)


@UNHURRIED
@given(any_relations(), st.data())
def test_phase_bounds_are_extremes_over_what_lies_above_and_below(relations, data):
    """Earliest = largest phase given at or below, latest = smallest given at or above; conflicts name a true chain."""
    phases = data.draw(st.lists(st.integers(0, 3), min_size=relations.count, max_size=relations.count))
    found = phase_ranges(relations, phases, last=3)
    graph = graph_of(relations)
    conflicting = set()
    for context in range(relations.count):
        under = [phases[one] for one in nx.descendants(graph, context) | {context} if phases[one]]
        over = [phases[one] for one in nx.ancestors(graph, context) | {context} if phases[one]]
        assert found.earliest[context] == max(under, default=1)
        assert found.latest[context] == min(over, default=3)
        if phases[context] and phases[context] < max(under):
            conflicting.add(context)
    assert {conflict.later for conflict in found.conflicts} == conflicting
    for conflict in found.conflicts:
        assert nx.has_path(graph, conflict.later, conflict.earlier)
        assert conflict.later_phase < conflict.earlier_phase == phases[conflict.earlier]


@UNHURRIED
@given(any_relations(), st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=4))
def test_merging_groups_are_connected_components_and_no_row_is_lost(relations, pairs):
    """Groups are the components of the equations; each row becomes a relation between its groups or a contradiction."""
    same = [(a % relations.count, b % relations.count) for a, b in pairs]
    given_relations = relations_of(relations.count, relations.later, relations.earlier, same=same or None)
    merging = merge_same(given_relations)
    links = nx.Graph(same)
    links.add_nodes_from(range(relations.count))
    want = sorted(sorted(part) for part in nx.connected_components(links))
    assert sorted(merging.members(group).tolist() for group in range(merging.relations.count)) == want
    inside = {one.row for one in merging.contradictions}
    for row, relation in enumerate(merging.relation_of_row.tolist()):
        assert (relation < 0) == (row in inside)
        if relation >= 0:
            assert merging.relations.later[relation] == merging.group[relations.later[row]]
            assert merging.relations.earlier[relation] == merging.group[relations.earlier[row]]


@UNHURRIED
@given(any_relations())
def test_order_gives_a_reduction_exactly_when_no_loop_stands(relations):
    """Ranks and gaps are always given; redundant relations only without loops."""
    order = order_of(relations)
    assert (order.reduction is None) == bool(order.loops) == (not nx.is_directed_acyclic_graph(graph_of(relations)))
    assert len(order.ranks.from_top) == relations.count
