"""Of the invented site every needed relation is taken out in turn, and the search names the one that is gone."""

from __future__ import annotations

import pytest

from baulk.record import Context, Relation, SiteRecord
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.order import site_order

UNSEEN = {("112", "111")}
"""A fill and its cut with levels at one height, whose sheet does not say what it fills: nothing is left that tells."""


@pytest.fixture(scope="module")
def record(demo_sites: DemoSites) -> SiteRecord:
    """Return the record of the demo without mistakes."""
    with open_site(demo_sites.good, read_only=True) as store:
        return store.record()


def without(record: SiteRecord, gone: set[str]) -> SiteRecord:
    """Return the record without some records."""
    return SiteRecord.of(entity for kind in record.entities.values() for entity in kind if entity.id not in gone)


def test_nothing_is_missed_on_the_site_as_it_should_be(record: SiteRecord) -> None:
    """The control: no false alarm among 22 contexts and 45 relations."""
    assert site_order(record).missed == ()
    assert (len(record.all(Context)), len(record.all(Relation))) == (22, 45)


def test_each_needed_relation_that_is_taken_out_is_named(record: SiteRecord) -> None:
    """Plan, wall or sheet gives each of them away, the right way round, with few others beside it."""
    order = site_order(record)
    assert order.order.reduction is not None
    needed = {order.known.rows[int(row)] for one in order.order.reduction.kept.nonzero()[0] for row in order.order.rows(int(one))}
    asked, others = 0, 0
    for relation in (record.get(Relation, identity) for identity in sorted(needed)):
        assert relation is not None
        pair = (record.label(relation.later), record.label(relation.earlier))
        found = site_order(without(record, {relation.id})).missed
        named = {(record.label(one.later), record.label(one.earlier)) for one in found if one.earlier is not None}
        assert (pair in named) == (pair not in UNSEEN), (pair, named)
        asked += 1
        others += len(named - {pair})
    assert asked == 24
    assert others <= 10, "more than one other suspicion for every third relation"
