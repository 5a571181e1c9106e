"""What `baulk order` answers to --doubt, --missed and --likely, and the forms in which `baulk give` gives the order."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from baulk.record import Context, Relation
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.order import LIKELY_SEED, order_in, phase_table, site_order
from baulk.work.pen import Pen

from .conftest import Run, answer

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture
def wide_site(tmp_path: Path) -> Path:
    """Return a site of a top layer, two arms of two below it and a layer under all, and a context apart."""
    path = tmp_path / "wide.gpkg"
    with open_site(path, create=True) as store:
        pen = Pen("AK", "laptop")
        made = {number: pen.create("context", {"number": number, "kind": "deposit"}) for number in "1234567"}
        pairs = ["12", "23", "14", "45", "36", "56"]
        ties = [
            pen.create("relation", {"later": made[a].record, "earlier": made[b].record, "how": "overlies", "sheet": "both sheets"})
            for a, b in pairs
        ]
        store.append([pen.create("site", {"code": "W"}), *made.values(), *ties])
    return path


def test_doubt_names_the_smallest_set_and_says_that_it_is_exact(run: Run, demo_sites: DemoSites) -> None:
    """The loop of the spoiled site comes with the relation planted, its id on record and the loop through it."""
    found = run("order", demo_sites.mistaken, "--doubt", "--json")
    assert found.exit_code == 1
    (loop,) = answer(found)["loops"]
    assert (loop["exact"], loop["weight"], loop["at_least"]) == (True, 0.75, 0.75)
    (suspect,) = loop["doubt"]
    assert (suspect["later"], suspect["earlier"], suspect["cycle"]) == ("109", "113", "109 > 113 > 111 > 108 > 109")
    with open_site(demo_sites.mistaken, read_only=True) as store:
        relation = store.record().get(Relation, suspect["relations"][0])
    assert relation is not None
    words = run("order", demo_sites.mistaken, "--doubt").stdout
    assert "the smallest set by certainty and sides (exact)" in words
    assert "where to look first, not what is wrong" in words


def test_doubt_tells_a_contradiction_too(run: Run, wide_site: Path) -> None:
    """A relation between contexts that are one is no loop, and stands in the way all the same."""
    with open_site(wide_site) as store:
        record = store.record()
        ids = [record.numbered(Context, number).id for number in "12"]
        store.append([Pen("AK", "laptop").create("relation", {"later": ids[0], "earlier": ids[1], "how": "same as"})])
    found = run("order", wide_site, "--doubt", "--json")
    assert (found.exit_code, answer(found)["loops"]) == (1, [])
    (clash,) = answer(found)["contradictions"]
    assert "recorded as later than 2 and also as the same" in clash["says"]
    assert len(clash["same"]) == 1


def test_a_sound_site_has_nothing_to_doubt_and_nothing_missed(run: Run, demo_sites: DemoSites) -> None:
    """Both end with 0 and say so."""
    assert run("order", demo_sites.good, "--doubt").stdout.startswith("No loop and no contradiction")
    missed = run("order", demo_sites.good, "--missed")
    assert (missed.exit_code, missed.stdout[:24]) == (0, "Nothing seems to be miss")


def test_missed_names_evidence_records_and_the_mend(run: Run, demo_sites: DemoSites) -> None:
    """The level with exchanged digits on the spoiled site is named with the value on the plan."""
    found = run("order", demo_sites.mistaken, "--missed", "--json")
    assert found.exit_code == 1
    (one,) = answer(found)["missed"]
    assert set(one) == {"what", "later", "earlier", "evidence", "settle", "records", "mend"}
    assert (one["what"], one["later"], one["earlier"], one["mend"]["value"]) == ("contradicted by levels", "118", "119", 28.9)
    assert one["mend"]["record"] in one["records"]
    assert one["evidence"] in run("order", demo_sites.mistaken, "--missed").stdout


def test_likely_counts_where_it_can_and_says_over_what(run: Run, wide_site: Path) -> None:
    """Of the six orders of two arms of two, five have the lower of one before the upper of the other."""
    found = answer(run("order", wide_site, "--likely", "3", "4", "--json"))
    assert found["first_earlier"] == pytest.approx(5 / 6)
    assert (found["exact"], found["orders"], found["contexts"], found["whole_site"], found["seed"]) == (
        True,
        6,
        6,
        True,
        LIKELY_SEED,
    )
    assert (found["standard_error"], found["effective_size"]) == (0.0, None)
    words = run("order", wide_site, "--likely", "3", "4").stdout
    assert "3 is earlier than 4 in 83.3 percent of the orders that the relations allow (all 6 were counted)." in words
    assert "not a date" in words
    decided = run("order", wide_site, "--likely", "1", "6").stdout
    assert decided.startswith("6 is earlier than 1: a path of relations says so")


def test_likely_is_refused_in_words(run: Run, demo_sites: DemoSites, wide_site: Path) -> None:
    """While a loop stands, for a context beside itself, for a void one, and for a number that is not on record."""
    with open_site(wide_site) as store:
        void = store.record().numbered(Context, "7")
        store.append([Pen("AK", "laptop").write(store, void.id, "void", "never there")])
    for site, one, other, says in (
        (demo_sites.mistaken, "109", "113", "The likely order needs an order without loops"),
        (wide_site, "3", "3", "3 is asked for beside itself"),
        (wide_site, "3", "7", "Context 7 is void, so it has no place in the order"),
        (wide_site, "3", "33", "There is no context “33”"),
    ):
        refused = run("order", site, "--likely", one, other)
        assert refused.exit_code == 3
        assert says in refused.stderr


def test_one_question_at_a_time(run: Run, wide_site: Path) -> None:
    """Two of the options together are the command's words being off."""
    refused = run("order", wide_site, "--doubt", "--missed")
    assert refused.exit_code == 2
    assert "one of --why, --doubt, --missed and --likely" in refused.stderr


def test_a_phase_conflict_is_a_notice_with_its_path(wide_site: Path) -> None:
    """From the record and from whole columns alike; the table of a record is at hand in Python."""
    with open_site(wide_site) as store:
        pen, record = Pen("AK", "laptop"), store.record()
        ids = {context.number: context.id for context in record.all(Context)}
        assert not any(line.given for line in phase_table(record))
        store.append([pen.write(store, ids["1"], "phase", 1), pen.write(store, ids["3"], "phase", 2)])
        orders = order_in(store), site_order(store.record())
        for order in orders:
            (notice,) = [one for one in order.notices if one.what == "phase conflict"]
            assert notice.records == (ids["1"], ids["3"])
            assert "is put in phase 1, but it is later than 3 of phase 2 (1 > 2 > 3)" in notice.says
        assert orders[0].phase_table == orders[1].phase_table == phase_table(store.record())


def test_the_phase_table_and_the_linked_data_are_given(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Each is one file, of the whole order."""
    given = answer(run("give", demo_sites.good, tmp_path / "a", "--form", "phases", "--json"))
    (path,) = given["files"]
    with Path(path).open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert Path(path).name == "phase-table.csv"
    assert len(rows) == 22
    assert all(row["conflict"] == "" and int(row["earliest"]) <= int(row["latest"]) for row in rows)
    (linked,) = answer(run("give", demo_sites.good, tmp_path / "b", "--form", "jsonld", "--json"))["files"]
    graph = json.loads(Path(linked).read_text(encoding="utf-8"))["@graph"]
    assert sum(node.get("@type") == "crm:E42_Identifier" for node in graph) == 22


def test_what_is_answered_is_documented() -> None:
    """Every key of the three answers, every kind of suspicion and both forms stand in the docs."""
    told = (DOCS / "commands.md").read_text(encoding="utf-8")
    keys = (
        "`loops`", "`shortest`", "`doubt`", "`weight`", "`at_least`", "`exact`", "`cycle`", "`relations`", "`contradictions`",
        "`missed`", "`evidence`", "`settle`", "`records`", "`mend`", "`first_earlier`", "`standard_error`", "`effective_size`",
        "`settled`", "`over`", "`whole_site`", "`orders`", "`seed`", "phases", "jsonld",
    )  # fmt: skip
    assert [key for key in keys if key not in told] == []
