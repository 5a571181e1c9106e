"""Published examples and counts of relative order."""

from itertools import combinations, permutations

import numpy as np
import pytest

from baulk.errors import OrderError
from baulk.sequence.count_orders import count_orders
from baulk.sequence.loops import loops_of
from baulk.sequence.order import order_of
from baulk.sequence.paths import reaches
from baulk.sequence.reduction import implied_by, reduce_relations
from baulk.sequence.relations import Relations, relations_of

# Harris, Principles of Archaeological Stratigraphy, fig. 12: pairs (lower, upper), as transcribed on an R data-class
# reference page. Marks: the list is [R] (read), the figures derived from it are [C] (recomputed from the list).
HARRIS_FIG_12 = (
    (2, 1), (3, 1), (4, 1), (5, 2), (5, 3), (5, 4), (6, 5), (7, 1), (7, 6), (8, 1), (8, 6), (9, 7), (9, 8),
)  # fmt: skip
HARRIS_REDUCED = {
    (1, 2), (1, 3), (1, 4), (2, 5), (3, 5), (4, 5), (5, 6), (6, 7), (6, 8), (7, 9), (8, 9),
}  # fmt: skip

# Twelve-context section of an encyclopaedia article, pairs (later, earlier). Mark: partly DERIVED; 6 > 3 and the place
# of 7 and 8 are not stated in the text; the other statements asserted below are [R].
TWELVE_CONTEXTS = (
    (6, 3), (3, 2), (2, 12), (12, 5), (5, 1), (5, 4), (1, 9), (4, 10), (9, 11), (10, 11), (7, 8),
)  # fmt: skip


def numbered(pairs: tuple[tuple[int, int], ...], count: int, same: tuple[tuple[int, int], ...] = ()) -> Relations:
    """Return relations between contexts that are numbered from 1."""
    return relations_of(
        count,
        [later - 1 for later, _ in pairs],
        [earlier - 1 for _, earlier in pairs],
        same=[(one - 1, other - 1) for one, other in same] or None,
        names=[str(number) for number in range(1, count + 1)],
    )


def harris() -> Relations:
    """Return the published example."""
    return numbered(tuple((upper, lower) for lower, upper in HARRIS_FIG_12), 9)


def kept_pairs(relations: Relations) -> set[tuple[int, int]]:
    """Return the needed relations in the contexts' numbers."""
    kept = reduce_relations(relations).kept
    return {(int(a) + 1, int(b) + 1) for a, b in zip(relations.later[kept], relations.earlier[kept], strict=True)}


def test_library_example_of_reduction():
    """Edges (1,2), (2,3), (1,3) reduce to (1,2), (2,3): networkx documentation of transitive_reduction [R]."""
    assert kept_pairs(numbered(((1, 2), (2, 3), (1, 3)), 3)) == {(1, 2), (2, 3)}


def test_library_example_refuses_a_loop():
    """A graph with a loop has no unique reduction and is refused: networkx documentation of transitive_reduction [R]."""
    with pytest.raises(OrderError, match="1 > 2 > 3 > 1"):
        reduce_relations(numbered(((1, 2), (2, 3), (3, 1)), 3))


def test_harris_figure_12_reduces_from_13_to_11():
    """The published list of 13 relations loses 7-1 and 8-1 and keeps the eleven others [R]+[C]."""
    assert len(harris()) == 13
    assert kept_pairs(harris()) == HARRIS_REDUCED


def test_harris_figure_12_implied_relations_have_their_chain():
    """Both dropped relations follow from the chain 1 > (2, 3 or 4) > 5 > 6 > 7 or 8."""
    relations = harris()
    reduction = reduce_relations(relations)
    for dropped in reduction.redundant:
        chain = implied_by(relations, reduction, int(dropped))
        assert len(chain) == 4
        assert relations.later[chain[0]] == relations.later[dropped]
        assert relations.earlier[chain[-1]] == relations.earlier[dropped]


def test_harris_figure_12_levels():
    """The levels are {1}, {2,3,4}, {5}, {6}, {7,8}, {9} [C]."""
    assert order_of(harris()).ranks.from_top.tolist() == [0, 1, 1, 1, 2, 3, 4, 4, 5]


def test_harris_figure_12_has_32_ordered_pairs():
    """The order holds between 32 pairs [C]."""
    one, other = np.divmod(np.arange(81), 9)
    assert int(reaches(harris(), one, other).sum()) == 32


def test_twelve_context_section_statements():
    """Wall 2 lies directly under 3 and below 6; the sequence splits in two below 5; 11 ties it together [R]; 7 > 8 floats."""
    order = order_of(numbered(TWELVE_CONTEXTS, 12))
    assert not order.loops
    assert order.why_in_words(3 - 1, 2 - 1) == "3 > 2"
    assert order.why_in_words(6 - 1, 2 - 1) == "6 > 3 > 2"
    assert order.why(1 - 1, 4 - 1) is None
    assert order.why(4 - 1, 1 - 1) is None
    assert order.why_in_words(1 - 1, 11 - 1) == "1 > 9 > 11"
    assert order.why_in_words(4 - 1, 11 - 1) == "4 > 10 > 11"
    assert order.why(6 - 1, 8 - 1) is None
    assert order.floating.nothing_above.tolist() == [6 - 1, 7 - 1]


def test_twelve_context_section_joins_only_what_a_person_equates():
    """1 = 4 and 9 = 10 "can not be guaranteed" [R]: without the equations twelve groups stand, with them ten."""
    assert order_of(numbered(TWELVE_CONTEXTS, 12)).relations.count == 12
    joined = order_of(numbered(TWELVE_CONTEXTS, 12, same=((1, 4), (9, 10))))
    assert joined.relations.count == 10
    assert joined.why_in_words(5 - 1, 11 - 1) == "5 > 1 = 4 > 9 = 10 > 11"


@pytest.mark.parametrize(
    ("contexts", "acyclic", "reductions"),
    [(1, 1, 1), (2, 3, 3), (3, 25, 19), (4, 543, 219)],
)
def test_counts_over_all_directed_graphs(contexts, acyclic, reductions):
    """Acyclic graphs are counted by OEIS A003024 [M] and their reductions, the partial orders, by A001035 [M]; both [C]."""
    pairs = list(permutations(range(contexts), 2))
    found, distinct = 0, set()
    for size in range(len(pairs) + 1):
        for chosen in combinations(pairs, size):
            relations = relations_of(contexts, [pair[0] for pair in chosen], [pair[1] for pair in chosen])
            if loops_of(relations):
                with pytest.raises(OrderError, match="the relations hold one"):
                    reduce_relations(relations)
                continue
            found += 1
            kept = reduce_relations(relations).kept
            distinct.add(frozenset(zip(relations.later[kept].tolist(), relations.earlier[kept].tolist(), strict=True)))
    assert (found, len(distinct)) == (acyclic, reductions)


def test_harris_figure_12_has_12_total_orders():
    """Twelve orders of all nine contexts agree with the published list [C]."""
    counted = count_orders(harris(), limit=1000)
    assert counted is not None
    assert counted.orders == 12.0
