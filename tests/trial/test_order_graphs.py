"""Two real graphs that were not made for this purpose; they are not part of the project, and the tests skip without them."""

import csv
import os
from pathlib import Path

import networkx as nx
import pytest

from baulk.sequence.doubt import doubts_of
from baulk.sequence.loops import loops_of
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of

TRIAL_DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or Path(__file__).resolve().parents[3] / "shared" / "data")


def read_rows(name):
    """Return the rows of one graph, or skip with the place where it was looked for."""
    path = TRIAL_DATA / "order_graphs" / name
    if not path.is_file():
        pytest.skip(f"trial data {name} is not there: set BAULK_TRIAL_DATA to the folder that holds order_graphs")
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def relations_between(pairs):
    """Return relations between named things, counted in the order in which they are met."""
    index: dict[str, int] = {}
    rows = [(index.setdefault(a, len(index)), index.setdefault(b, len(index))) for a, b in pairs]
    return relations_of(len(index), [a for a, _ in rows], [b for _, b in rows], names=tuple(index))


def test_history_of_a_public_repository_is_an_order():
    """Changes and what they rest on: 6,502 nodes, 7,005 edges, no loop, 290 redundant (counts of the data's README)."""
    rows = read_rows("git_xarray.csv")
    pairs = [(row["id"], parent) for row in rows for parent in row["earlier_ids"].split()]
    relations = relations_between(pairs)
    order = order_of(relations)
    assert (relations.count, len(order.relations), len(order.loops)) == (6502, 7005, 0)
    assert len(order.redundant) == 290
    for relation in order.redundant[::29]:
        assert len(order.implied_by(int(relation))) >= 2


def test_packages_that_need_each_other_are_loops():
    """Packages and what they depend on: 663 nodes with 54 cyclic groups (counts of the data's README), each opened."""
    relations = relations_between((row["package"], row["depends_on"]) for row in read_rows("debian12_depends_edges.csv"))
    loops = loops_of(relations)
    assert (relations.count, len(loops)) == (663, 54)
    doubts = doubts_of(relations, loops)
    gone = {int(relation) for doubt in doubts for relation in doubt.relations}
    left = nx.DiGraph(
        (int(a), int(b)) for row, (a, b) in enumerate(zip(relations.later, relations.earlier, strict=True)) if row not in gone
    )
    assert nx.is_directed_acyclic_graph(left)
