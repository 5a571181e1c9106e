"""Corrections from the command line: each is a further change, refused in words when it cannot be, and can be taken back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from baulk.record import Context
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.pen import Pen

from .conftest import Run, answer


@pytest.fixture
def spoiled(demo_sites: DemoSites, tmp_path: Path) -> Path:
    """Return a copy of the demo with mistakes that a test may write to."""
    return Path(shutil.copy(demo_sites.mistaken, tmp_path / "spoiled.gpkg"))


def test_a_mistaken_relation_is_made_void_and_the_order_is_sound(run: Run, spoiled: Path) -> None:
    """Voiding the relation that the check names opens the loop; undoing brings it back; voiding needs a reason."""
    assert run("order", spoiled).exit_code == 1
    refused = run("void", spoiled, "relation:109:113", "--by", "TB")
    assert refused.exit_code == 3
    assert "A record is made void for a reason" in refused.stderr
    assert run("void", spoiled, "relation:109:113", "--why", "wrong way round", "--by", "TB").exit_code == 0
    assert run("order", spoiled).exit_code == 0
    again = run("void", spoiled, "context:123", "--why", "x", "--by", "TB")
    assert "Context 123 is void already: given twice by mistake" in again.stderr
    assert run("undo", spoiled, "--by", "TB").exit_code == 0
    assert run("order", spoiled).exit_code == 1


def test_a_field_is_corrected_and_its_history_kept(run: Run, own_demo: Path) -> None:
    """The new value stands, the old one is kept with who and why; the same value again changes nothing."""
    made = answer(
        run("set", own_demo, "context:108", "interpretation", "garden soil", "--why", "seen again", "--by", "TB", "--json")
    )
    assert made["changes"][0]["replaced"].startswith("Levelling of the yard")
    with open_site(own_demo, read_only=True) as store:
        last = list(store.changes())[-1]
        assert (last.person, last.why, last.value) == ("TB", "seen again", "garden soil")
    same = run("set", own_demo, "context:108", "interpretation", "garden soil", "--by", "TB")
    assert "Nothing was changed: that is what stands there already." in same.stdout


def test_a_length_keeps_its_words(run: Run, own_demo: Path) -> None:
    """A length given in feet is kept in the site's own quantity, with the words as entered in the change."""
    run("set", own_demo, "context:108", "length", "6 ft 6 in", "--by", "TB")
    with open_site(own_demo, read_only=True) as store:
        last = list(store.changes())[-1]
        assert last.value == pytest.approx(1.9812)
        assert last.entered == "6 ft 6 in"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("context:108", "colour_moist", "brown"), "A Munsell colour is hue value/chroma"),
        (("context:108", "colur_moist", "10YR 4/3"), "A context has no such field. Did you mean colour_moist"),
        (("context:1088", "title", "x"), "There is no context “1088”. Did you mean 108"),
        (("108", "title", "x"), "names no record: write site, a kind and a number as in context:109"),
        (("relation:113:108", "certainty", "firm"), "There is no relation “113:108”"),
        (("relation:113", "certainty", "firm"), "give the later and the earlier context, as in relation:109:113"),
        (("context:101", "kind", "pile"), "It is not in the list “Kind of context”"),
    ],
)
def test_a_wrong_correction_is_refused_and_changes_nothing(run: Run, own_demo: Path, words: tuple[str, ...], says: str) -> None:
    """An unknown record, field or value is named with what it should be; the revision stays."""
    before = answer(run("show", own_demo, "--json"))["revision"]
    refused = run("set", own_demo, *words, "--by", "TB")
    assert refused.exit_code == 3
    assert says in refused.stderr
    assert answer(run("show", own_demo, "--json"))["revision"] == before


def test_a_table_corrects_many_records_or_none(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """Filled cells are written, blank ones leave their field alone, and one bad row changes nothing."""
    table = tmp_path / "context.csv"
    table.write_text("number,title,phase\n101,Turf on cinders,\n102,,4\n", encoding="utf-8")
    made = answer(run("amend", own_demo, table, "--by", "TB", "--json"))["changes"]
    assert [(one["field"], one["value"]) for one in made] == [("title", "Turf on cinders"), ("phase", 4)]
    table.write_text("number,title\n101,Other\n999,x\n,y\n", encoding="utf-8")
    refused = run("amend", own_demo, table, "--by", "TB")
    assert "There is no context of that number to correct" in refused.stderr
    assert "The row names no context: give its number or its id" in refused.stderr
    assert answer(run("show", own_demo, "context", "101", "--json"))["title"] == "Turf on cinders"


def test_the_site_is_filled_in_after_it_was_made(run: Run, tmp_path: Path) -> None:
    """A new site takes its datum and permit from site.csv; its quantity can be changed only while nothing is measured."""
    site, table = tmp_path / "yard.gpkg", tmp_path / "site.csv"
    run("new", site, "--by", "AK")
    table.write_text("vertical_datum,permit,length_unit\nYard bolt 100 ft,P-7,ft\n", encoding="utf-8")
    assert run("amend", site, table, "--by", "AK").exit_code == 0
    shown = answer(run("show", site, "site", "--json"))["records"][0]
    assert (shown["vertical_datum"], shown["permit"], shown["length_unit"]) == ("Yard bolt 100 ft", "P-7", "ft")
    (tmp_path / "context.csv").write_text("number,kind\n1,deposit\n", encoding="utf-8")
    run("take", site, tmp_path / "context.csv", "--by", "AK")
    assert run("set", site, "site", "permit", "P-8", "--by", "AK").exit_code == 0
    table.write_text("length_unit\nm\n", encoding="utf-8")
    refused = run("amend", site, table, "--by", "AK")
    assert "another quantity would change what every number means" in refused.stderr


def test_a_rule_is_waived_with_who_and_why(run: Run, own_demo: Path) -> None:
    """A waived rule no longer stands in the way; a waiver without a reason or with an impossible day is refused."""
    assert "B47" in answer(run("close", own_demo, "1", "--json"))["in_the_way"]
    assert run("waive", own_demo, "1", "b47", "--who", "R. Marlow", "--why", "light gone", "--by", "TB").exit_code == 0
    assert "B47" not in answer(run("close", own_demo, "1", "--json"))["in_the_way"]
    refused = run("waive", own_demo, "1", "B03", "--who", "R. Marlow", "--why", "x", "--day", "31 Feb", "--by", "TB")
    assert refused.exit_code == 3
    assert "A date is written year-month-day, as in 2026-05-14" in refused.stderr
    blank = run("waive", own_demo, "1", "B03", "--who", " ", "--why", "x", "--by", "TB")
    assert "A waiver needs who decided and why" in blank.stderr


def test_undo_names_what_cannot_be_undone(run: Run, own_demo: Path) -> None:
    """A change that is not there, or whose field was changed again since, is not undone, and it is said."""
    assert (
        "There is no change nowhere, so nothing can be undone" in run("undo", own_demo, "--change", "nowhere", "--by", "TB").stderr
    )
    first = answer(run("set", own_demo, "context:108", "title", "one", "--by", "TB", "--json"))["changes"][0]["id"]
    run("set", own_demo, "context:108", "title", "two", "--by", "TB")
    refused = run("undo", own_demo, "--change", first, "--by", "TB")
    assert "has been changed again since" in refused.stderr


def test_a_number_given_on_both_sides_is_listed_and_settled(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """After a merge a number that both copies gave is named with both ids; giving one another number settles it."""
    copy = tmp_path / "copy.gpkg"
    run("backup", own_demo, copy)
    for path, person in ((own_demo, "AK"), (copy, "TB")):
        with open_site(path) as store:
            store.append([Pen(person, person).create("context", {"number": "150", "kind": "deposit", "title": person})])
    merged = run("merge", own_demo, copy, "--json")
    assert merged.exit_code == 1
    shared = answer(merged)["shared_numbers"]
    assert [(one["kind"], one["number"], len(one["ids"])) for one in shared] == [("context", "150", 2)]
    assert "1 numbers were given on both sides" in run("merge", own_demo, copy).stdout
    assert "Name the one you mean by its id" in run("set", own_demo, "context:150", "title", "x", "--by", "AK").stderr
    taken = run("set", own_demo, shared[0]["ids"][1], "number", "101", "--by", "AK")
    assert "Another context has this number already" in taken.stderr
    assert run("set", own_demo, shared[0]["ids"][1], "number", "151", "--by", "AK").exit_code == 0
    assert run("merge", own_demo, copy).exit_code == 0


def test_a_difference_is_settled_by_writing_the_field(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """Writing the field, also with the value in view, closes the difference that a merge opened."""
    copy = tmp_path / "copy.gpkg"
    run("backup", own_demo, copy)
    for path, person in ((own_demo, "AK"), (copy, "TB")):
        with open_site(path) as store:
            context = store.record().numbered(Context, "108")
            store.append([Pen(person, person).write(store, context.id, "title", f"as {person} saw it")])
    assert run("merge", own_demo, copy).exit_code == 1
    in_view = answer(run("show", own_demo, "context", "108", "--json"))["title"]
    assert run("set", own_demo, "context:108", "title", in_view, "--by", "RM").exit_code == 0
    assert answer(run("show", own_demo, "--json"))["differences"] == 0


def test_another_site_is_not_merged(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """Two different sites are not brought together, and nothing is taken."""
    other = tmp_path / "other.gpkg"
    run("new", other, "--name", "Other yard", "--by", "AK")
    refused = run("merge", other, own_demo)
    assert refused.exit_code == 3
    assert "is another site than Other yard" in refused.stderr
    assert answer(run("show", other, "--json"))["revision"] == 1


def test_a_demo_that_was_worked_on_is_not_made_anew(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Building the demo again is fine until someone has written in it; then it is refused and nothing is lost."""
    shutil.copytree(demo_sites.good.parent, tmp_path, dirs_exist_ok=True)
    assert run("demo", tmp_path).exit_code == 0
    run("set", tmp_path / "otter-weir.gpkg", "context:101", "title", "mine", "--by", "AK")
    refused = run("demo", tmp_path)
    assert refused.exit_code == 4
    assert "has been worked on by AK, so it was not made anew and nothing is lost" in refused.stderr
    assert answer(run("show", tmp_path / "otter-weir.gpkg", "context", "101", "--json"))["title"] == "mine"
