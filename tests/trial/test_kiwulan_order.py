"""The order of the Kiwulan record (L.-Y. Wang 2018-2022, CC0), worked out whole.

The data stay outside the project, as in the trial of taking it in; what stands nowhere in them was counted with networkx.
"""

from __future__ import annotations

import networkx as nx
import pytest

from baulk.exchange import read_mapping, take_in
from baulk.record import Relation, SiteRecord
from baulk.work.order import SiteOrder, site_order
from tests.exchange.made import ids, record_of

from .test_kiwulan import DATA, HERE

pytestmark = pytest.mark.skipif(
    not (DATA / "KWL_excavation_depth.xlsx").exists(),
    reason="the Kiwulan tables are not here: put them into a folder and name it by BAULK_TRIAL_DATA to run this trial",
)


@pytest.fixture(scope="module")
def order() -> SiteOrder:
    """Return the order of the whole record."""
    found = take_in(DATA, read_mapping(HERE / "kiwulan" / "kiwulan.toml"), SiteRecord(), new_id=ids())
    return site_order(record_of(found.drafts))


def test_831_layers_and_773_superpositions_are_an_order(order: SiteOrder) -> None:
    """No loop, nothing redundant: each unit is one pile, as a general library finds as well (831 and 773: the data's README)."""
    assert (len(order.known.contexts), len(order.known.rows), order.order.loops) == (831, 773, ())
    graph = nx.DiGraph((one.later, one.earlier) for one in order.record.all(Relation))
    assert nx.is_directed_acyclic_graph(graph)
    assert len(order.order.redundant) == graph.number_of_edges() - nx.transitive_reduction(graph).number_of_edges() == 0


def test_phases_agree_with_the_order(order: SiteOrder) -> None:
    """No layer is put in an earlier phase than one below it; the three without a phase have bounds."""
    assert [line.conflict for line in order.phase_table if line.conflict] == []
    blank = [line for line in order.phase_table if line.given is None]
    assert [order.label(order.known.contexts[line.context]) for line in blank] == ["P064AD-20", "P064B-20", "P064C-20"]
    assert all(line.earliest is not None and line.latest is not None and line.earliest <= line.latest for line in blank)


def test_levels_without_a_place_raise_no_suspicion(order: SiteOrder) -> None:
    """Depths have no position in plan and no outlines are drawn: nothing can be compared, and nothing is claimed."""
    assert order.missed == ()
