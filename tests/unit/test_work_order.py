"""The order of a site: from whole columns as from the record, and what it says cannot be told."""

from __future__ import annotations

import numpy as np

from baulk.record import Context, Relation, SiteRecord
from baulk.sequence.gaps import parts_of
from baulk.sequence.relations import relations_of
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.order import order_in, site_order


def test_columns_give_the_same_order_as_the_record(demo_sites: DemoSites) -> None:
    """Read from whole columns or from built records: contexts, arrays, rows and notices are equal, for both demo sites."""
    for path in (demo_sites.good, demo_sites.mistaken):
        with open_site(path, read_only=True) as store:
            columns, record = order_in(store), site_order(store.record())
            assert columns.known.contexts == record.known.contexts
            assert (columns.known.rows, columns.known.same_rows) == (record.known.rows, record.known.same_rows)
            for name in ("later", "earlier", "certainty", "sides", "same"):
                assert np.array_equal(getattr(columns.known.relations, name), getattr(record.known.relations, name)), name
            assert columns.latest_first == record.latest_first
            assert columns.notices == record.notices
            assert columns.why("101", "109") == record.why("101", "109")
    assert {notice.what for notice in columns.notices} >= {"loop", "one-sided"}


def _notices(*relations: tuple[str, str, str | None]) -> dict[str, list[str]]:
    contexts = [Context(id=name, number=name) for name in "12345"]
    made = [Relation(id=f"r{a}{b}", later=a, earlier=b, sheet=sheet) for a, b, sheet in relations]
    found: dict[str, list[str]] = {}
    for notice in site_order(SiteRecord.of([*contexts, *made])).notices:
        found.setdefault(notice.what, []).append(notice.says)
    return found


def test_groups_without_a_relation_between_them_are_counted_once() -> None:
    """Two chains and a context alone: the groups are counted in one sentence, the lone context is named as floating."""
    found = _notices(("1", "2", "both sheets"), ("3", "4", "both sheets"))
    assert found["apart"][0].startswith("The contexts fall into 2 groups without a relation between them")
    assert found["floating"] == ["5 has no relation to any other context: nothing says when it was."]
    joined = _notices(("1", "2", "both sheets"), ("3", "4", "both sheets"), ("2", "3", "both sheets"))
    assert "apart" not in joined and "sheets not recorded" not in joined


def test_relations_without_sheets_are_counted_as_cannot_tell() -> None:
    """A relation that does not say on which sheet it was entered is never counted as entered on both."""
    found = _notices(("1", "2", None), ("2", "3", "both sheets"))
    assert found["sheets not recorded"][0].startswith("1 of 2 relations stand on neither sheet, or nobody says on which")
    assert "one-sided" not in found


def test_parts_join_whichever_way_relations_run() -> None:
    """0 and 3 both lie over 1, so the three are one part; 2 is a part of its own."""
    parts = parts_of(relations_of(4, [0, 3], [1, 1]))
    assert parts[0] == parts[1] == parts[3] != parts[2]


def test_each_relation_set_aside_says_its_own_reason() -> None:
    """A void context, one not on record, a context to itself and a blank how are told apart."""
    made = [
        Context(id="1", number="1"), Context(id="2", number="2"), Context(id="3", number="3", void="never dug"),
        Relation(id="ra", later="1", earlier="3"), Relation(id="rb", later="gone", earlier="2"),
        Relation(id="rc", later="1", earlier="1"), Relation(id="rd", later="1", earlier="2", how=None),
    ]  # fmt: skip
    says = [notice.says for notice in site_order(SiteRecord.of(made)).notices if notice.what == "set aside"]
    assert says == [
        "The relation of 1 to 3 is not used: context 3 is void.",
        "The relation of unknown (gone) to 2 is not used: its later context is not on record.",
        "The relation of 1 to 1 is not used: a context cannot be later than itself, so see which of the two numbers is meant to "
        "be another.",
        "The relation of 1 to 2 is not used: “how” is blank.",
    ]


def test_why_inside_a_loop_shows_both_ways() -> None:
    """Of two contexts in a loop the chain is shown either way, under a sentence that there is a loop."""
    contexts = [Context(id=name, number=name) for name in "123"]
    made = [Relation(id=a + b, later=a, earlier=b) for a, b in ("12", "23", "31")]
    lines = site_order(SiteRecord.of([*contexts, *made])).why("1", "3").splitlines()
    assert lines[0] == "There is a loop: 1 is recorded as later than 3, and 3 as later than 1. One is wrong."
    assert "1 > 2 > 3" in lines and "3 > 1" in lines
    opened = site_order(SiteRecord.of([*contexts, *made[:2]])).why("1", "3")
    assert opened.splitlines()[0] == "1 > 2 > 3"
