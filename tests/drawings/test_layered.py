"""The layered layout: every line points down, rows are the shortest, nothing overlaps."""

from __future__ import annotations

from itertools import combinations, pairwise, permutations, product

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.drawing.layered import Layout, lay_out_layers
from baulk.drawing.layered.crossings import arranged, crossings_in, places_in_rows
from baulk.drawing.layered.items import items_of
from baulk.drawing.layered.ranks import rows_of
from baulk.drawing.layered.replacing import replace_paths
from baulk.errors import OrderError

HEIGHT = 7.0


@st.composite
def orders(draw: st.DrawFn, most: int = 14) -> tuple[int, np.ndarray, np.ndarray]:
    """Return a reduced order of a few contexts; relations go from a lower to a higher index."""
    count = draw(st.integers(1, most))
    pairs = draw(st.sets(st.sampled_from(list(combinations(range(count), 2))))) if count > 1 else set()
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(pairs)
    kept = sorted(nx.transitive_reduction(graph).edges())
    return count, np.array([a for a, _ in kept], dtype=np.int64), np.array([b for _, b in kept], dtype=np.int64)


def laid_out(order: tuple[int, np.ndarray, np.ndarray]) -> tuple[Layout, np.ndarray]:
    """Lay an order out with boxes of different widths."""
    widths = 12.0 + (np.arange(order[0]) % 3) * 4.0
    return lay_out_layers(widths, HEIGHT, order[1], order[2]), widths


@settings(max_examples=150, deadline=None)
@given(orders())
def test_every_line_goes_down_from_foot_to_head(order: tuple[int, np.ndarray, np.ndarray]) -> None:
    """Each line starts at the later context's foot, never rises, turns only at right angles and ends on the earlier one's head."""
    layout, widths = laid_out(order)
    for relation, line in enumerate(layout.lines):
        later, earlier = order[1][relation], order[2][relation]
        assert line[0] == pytest.approx((layout.left[later] + widths[later] / 2, layout.top[later] + HEIGHT))
        assert line[-1][1] == pytest.approx(layout.top[earlier])
        assert layout.left[earlier] - 1e-6 <= line[-1][0] <= layout.left[earlier] + widths[earlier] + 1e-6
        steps = np.diff(line, axis=0)
        assert (steps[:, 1] >= -1e-9).all()
        assert (np.abs(steps).min(axis=1) < 1e-6).all()


@settings(max_examples=150, deadline=None)
@given(orders())
def test_boxes_do_not_touch_and_no_line_runs_through_one(order: tuple[int, np.ndarray, np.ndarray]) -> None:
    """Boxes of a row keep their distance, and a line crosses no box on its way."""
    layout, widths = laid_out(order)
    for a, b in combinations(range(order[0]), 2):
        if layout.row[a] == layout.row[b]:
            first, second = sorted((a, b), key=lambda one: layout.left[one])
            assert layout.left[first] + widths[first] + 5.0 - 1e-6 <= layout.left[second]
    for relation, line in enumerate(layout.lines):
        ends = {int(order[1][relation]), int(order[2][relation])}
        for box in set(range(order[0])) - ends:
            left, right, top, foot = layout.left[box], layout.left[box] + widths[box], layout.top[box], layout.top[box] + HEIGHT
            for (x1, y1), (x2, y2) in pairwise(line):
                apart = max(x1, x2) <= left or min(x1, x2) >= right or max(y1, y2) <= top or min(y1, y2) >= foot
                assert apart, (relation, box)


def local_order(count: int, width: int, seed: int) -> tuple[int, np.ndarray, np.ndarray]:
    """Return a reduced order in which each context lies on one or two of the `width` or so before it."""
    rng = np.random.default_rng(seed)
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    for one in range(1, count):
        graph.add_edges_from((max(0, one - 1 - int(rng.exponential(width))), one) for _ in range(rng.integers(1, 3)))
    kept = sorted(nx.transitive_reduction(graph).edges())
    return count, np.array([a for a, _ in kept]), np.array([b for _, b in kept])


def stretches_shared(lines: tuple[np.ndarray, ...], later: np.ndarray) -> list[tuple[int, int]]:
    """Return pairs of lines from different later contexts that run on top of each other for more than a point."""
    runs: dict[tuple[str, float], list[tuple[float, float, int]]] = {}
    for relation, line in enumerate(lines):
        for (x1, y1), (x2, y2) in pairwise(line.round(3).tolist()):
            key, ends = (("upright", x1), (y1, y2)) if x1 == x2 else (("level", y1), (min(x1, x2), max(x1, x2)))
            runs.setdefault(key, []).append((*ends, relation))
    return [
        (a, b)
        for along in runs.values()
        for (first, last, a), (begin, end, b) in combinations(along, 2)
        if later[a] != later[b] and min(last, end) - max(first, begin) > 1e-3
    ]


@settings(max_examples=150, deadline=None)
@given(orders())
def test_no_two_lines_run_on_top_of_each_other(order: tuple[int, np.ndarray, np.ndarray]) -> None:
    """Lines from different contexts share points where they cross, never a stretch."""
    layout, _ = laid_out(order)
    assert stretches_shared(layout.lines, order[1]) == []


@pytest.mark.parametrize(("count", "width"), [(300, 6), (300, 40), (1000, 6), (1000, 60)])
def test_no_two_lines_run_on_top_of_each_other_in_a_large_order(count: int, width: int) -> None:
    """The same holds for a deep and for a wide order of many contexts."""
    order = local_order(count, width, seed=count + width)
    layout, _ = laid_out(order)
    assert stretches_shared(layout.lines, order[1]) == []


def test_a_shared_stretch_is_noticed() -> None:
    """The check above sees two lines that share a run, and lets a crossing pass."""
    first = np.array([[0.0, 0.0], [0.0, 5.0], [9.0, 5.0], [9.0, 9.0]])
    second = np.array([[4.0, 0.0], [4.0, 5.0], [7.0, 5.0], [7.0, 9.0]])
    crossing = np.array([[4.0, 0.0], [4.0, 9.0]])
    assert stretches_shared((first, second), np.array([0, 1])) == [(0, 1)]
    assert stretches_shared((first, crossing), np.array([0, 1])) == []


def test_the_search_saves_the_crossings_it_says() -> None:
    """Taking paths out and putting them back changes the count by just what the search adds up."""
    count, later, earlier = local_order(200, 12, seed=3)
    items = items_of(rows_of(count, later, earlier), later, earlier)
    wish = np.random.default_rng(4).permutation(items.count)
    arrangement = arranged(items, wish, np.zeros(items.count, dtype=np.int64))
    before = crossings_in(items, arrangement.places)
    dice = np.array([7])
    for reach in (1, 3, 9):
        saved = replace_paths(arrangement, np.arange(count), count, reach, dice)
        after = crossings_in(items, arrangement.places)
        assert before - after == saved >= 0
        before = after


def test_few_crossings_are_left_on_a_known_order() -> None:
    """On an order that was drawn flat before its contexts were shuffled, few of the thousands of crossings are left."""
    side = 12
    grid = [
        (row * side + at, (row + 1) * side + to)
        for row in range(side - 1)
        for at in range(side)
        for to in (at, at + 1)
        if to < side
    ]
    names = np.random.default_rng(5).permutation(side * side)
    later, earlier = names[np.array(grid)].T
    items = items_of(rows_of(side * side, later, earlier), later, earlier)
    assert crossings_in(items, np.arange(items.count)) > 1000
    assert crossings_in(items, places_in_rows(items)) == 0


def test_parts_that_nothing_joins_stand_side_by_side() -> None:
    """The boxes of two orders without a relation between them do not mix from left to right."""
    count, later, earlier = local_order(20, 4, seed=6)
    other = local_order(20, 4, seed=7)
    items_later, items_earlier = np.concatenate([later, other[1] + count]), np.concatenate([earlier, other[2] + count])
    layout = lay_out_layers(np.full(2 * count, 12.0), HEIGHT, items_later, items_earlier)
    for row in range(int(layout.row.max()) + 1):
        here = np.flatnonzero(layout.row == row)
        sides = (here[np.argsort(layout.left[here])] >= count).tolist()
        assert sides in (sorted(sides), sorted(sides, reverse=True))


@settings(max_examples=100, deadline=None)
@given(orders(most=6))
def test_rows_are_the_shortest_there_are(order: tuple[int, np.ndarray, np.ndarray]) -> None:
    """No other assignment of rows, tried one by one, makes the lines together shorter."""
    count, later, earlier = order
    if len(later) == 0:
        return
    rows = rows_of(count, later, earlier)
    found = int((rows[earlier] - rows[later]).sum())
    tied = sorted(set(later.tolist()) | set(earlier.tolist()))
    best = min(
        sum(trial[b] - trial[a] for a, b in zip(later, earlier, strict=True))
        for values in product(range(len(tied)), repeat=len(tied))
        if all((trial := dict(zip(tied, values, strict=True)))[b] > trial[a] for a, b in zip(later, earlier, strict=True))
    )
    assert found == best


def test_crossings_are_counted_and_unfolded() -> None:
    """Two rows whose lines all cross are sorted to none; counting agrees with counting by hand before and after."""
    later, earlier = np.arange(4), np.array([7, 6, 5, 4])
    items = items_of(np.array([0] * 4 + [1] * 4), later, earlier)
    as_given = np.array([0, 1, 2, 3, 0, 1, 2, 3])
    assert crossings_in(items, as_given) == 6
    assert crossings_in(items, places_in_rows(items)) == 0


@settings(max_examples=60, deadline=None)
@given(orders(most=6))
def test_few_crossings_are_near_the_fewest(order: tuple[int, np.ndarray, np.ndarray]) -> None:
    """On small orders the sweeps come within two crossings of the best of all arrangements, tried one by one."""
    count, later, earlier = order
    items = items_of(rows_of(count, later, earlier), later, earlier)
    rows = [np.flatnonzero(items.row == row) for row in range(int(items.row.max()) + 1)]
    if np.prod([float(np.prod(np.arange(1, len(row) + 1))) for row in rows]) > 2000:
        return
    fewest = min(crossings_in(items, arranged) for arranged in _arrangements(rows, items.count))
    assert crossings_in(items, places_in_rows(items)) <= fewest + 2


def _arrangements(rows: list[np.ndarray], count: int) -> list[np.ndarray]:
    found = []
    for chosen in product(*(list(permutations(row.tolist())) for row in rows)):
        places = np.zeros(count, dtype=np.int64)
        for row in chosen:
            places[list(row)] = np.arange(len(row))
        found.append(places)
    return found


def test_phases_stand_in_bands_where_the_order_allows() -> None:
    """With phases given, every context of a later phase stands above every one of an earlier phase."""
    later, earlier = np.array([0, 2]), np.array([1, 3])
    without = rows_of(4, later, earlier)
    assert without.tolist() == [0, 1, 0, 1]
    banded = rows_of(4, later, earlier, np.array([2, 2, 1, 1]))
    assert max(banded[0], banded[1]) < min(banded[2], banded[3])


def test_phases_that_contradict_the_order_do_not_stop_the_drawing() -> None:
    """When a later phase lies below an earlier one, the order counts and the bands are given up."""
    rows = rows_of(2, np.array([0]), np.array([1]), np.array([1, 2]))
    assert rows.tolist() == [0, 1]


def test_a_loop_is_refused_in_words() -> None:
    """Rows of an order that is none are refused."""
    with pytest.raises(OrderError, match=r"holds a loop\. Mend the loop first"):
        rows_of(2, np.array([0, 1]), np.array([1, 0]))


def test_an_earlier_layout_is_kept_when_a_context_is_added() -> None:
    """With the earlier layout as wish, a context more leaves the others in their order from left to right."""
    later, earlier = np.array([0, 0, 0, 0]), np.array([1, 2, 3, 4])
    first = lay_out_layers(np.full(5, 12.0), HEIGHT, later, earlier)
    order = np.argsort(first.left[1:])
    more = lay_out_layers(
        np.full(6, 12.0), HEIGHT, np.append(later, 0), np.append(earlier, 5), start=np.append(np.argsort(np.argsort(first.left)), 9)
    )
    assert np.argsort(more.left[1:5]).tolist() == order.tolist()


def test_nothing_and_one_can_be_laid_out() -> None:
    """No context gives an empty drawing, one gives one box."""
    nothing = np.zeros(0, dtype=np.int64)
    assert lay_out_layers(np.zeros(0), HEIGHT, nothing, nothing).height == 0
    assert lay_out_layers(np.array([12.0]), HEIGHT, nothing, nothing).width == 12.0
