"""The commands, one after the other as the job goes."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from baulk.cli.main import COMMANDS, exit_code
from baulk.errors import MissingPart, NotASiteFile, UnknownRecord
from baulk.store import open_site
from baulk.work.demo import DemoSites

from .conftest import Run, answer

DOCS = Path(__file__).parents[2] / "docs"


def test_every_command_is_documented_and_helps(run: Run) -> None:
    """Each command has a line in the docs, help of its own, and a line in the group's help."""
    told = (DOCS / "commands.md").read_text(encoding="utf-8")
    listed = run("--help").stdout
    for name in COMMANDS:
        assert f"| `{name}" in told
        assert f"  {name}" in listed
        helped = run(name, "--help")
        assert helped.exit_code == 0
        assert "Usage" in helped.stdout
        assert ("--json" in helped.stdout) == (name != "open")


def test_a_new_site_is_made_and_never_made_over(run: Run, tmp_path: Path) -> None:
    """`new` makes a site in the quantity asked for, and refuses a name that is taken."""
    site = tmp_path / "yard.gpkg"
    made = run("new", site, "--code", "YRD", "--lengths", "ft", "--by", "AK", "--json")
    assert made.exit_code == 0
    shown = answer(run("show", site, "--json"))
    assert (shown["code"], shown["lengths"], shown["revision"]) == ("YRD", "ft", 1)
    again = run("new", site, "--by", "AK")
    assert again.exit_code == 4
    assert "is already there, so no new site was made" in again.stderr


def test_the_mistakes_are_found_and_the_good_site_is_sound(run: Run, demo_sites: DemoSites) -> None:
    """`order` ends with 0 on the good demo, with 1 on the other, where it names the loop and the relation to doubt."""
    good = run("order", demo_sites.good, "--json")
    assert good.exit_code == 0
    assert answer(good)["sound"] is True
    bad = run("order", demo_sites.mistaken, "--json")
    assert bad.exit_code == 1
    loops = [notice for notice in answer(bad)["notices"] if notice["what"] == "loop"]
    assert len(loops) == 1
    assert set(loops[0]["contexts"]) == {"108", "109", "111", "113"}
    assert loops[0]["says"].endswith("109 later than 113.")
    sides = {notice["says"].split(" is entered")[0] for notice in answer(bad)["notices"] if notice["what"] == "one-sided"}
    assert sides == {"109 later than 113", "107 later than 118"}


def test_why_shows_the_path_and_where_it_was_seen(run: Run, demo_sites: DemoSites) -> None:
    """`--why` gives the chain with each step's place and certainty, and says when there is none, also the other way round."""
    found = answer(run("order", demo_sites.good, "--why", "101", "109", "--json"))["why"]
    assert found[0] == "101 > 102 > 108 > 109"
    assert found[-1].strip() == "108 overlies 109 (plan and wall; firm)"
    back = run("order", demo_sites.good, "--why", "109", "101").stdout
    assert "Nothing recorded makes 109 later than 101" in back
    assert "The other way round there is one" in back
    wrong = run("order", demo_sites.good, "--why", "109", "1011")
    assert wrong.exit_code == 3
    assert "There is no context “1011”. Did you mean 101" in wrong.stderr


def test_redundant_relations_come_with_what_implies_them(run: Run, demo_sites: DemoSites) -> None:
    """Each redundant relation has a path of at least two steps between its ends."""
    rows = answer(run("order", demo_sites.good, "--json"))["redundant"]
    assert len(rows) == 21
    assert all(
        row["implied_by"][0] == row["later"] and row["implied_by"][-1] == row["earlier"] and len(row["implied_by"]) > 2
        for row in rows
    )
    assert "108 > 118  by 108 > " in run("order", demo_sites.good, "--redundant").stdout


def test_the_closing_check_says_what_stands_in_the_way(run: Run, demo_sites: DemoSites) -> None:
    """`close` ends with 1 before backfill, names each rule with its records and how to mend it, and shows the cautions."""
    found = run("close", demo_sites.good, "1", "--json")
    assert found.exit_code == 1
    told = answer(found)
    assert told["ready"] is False
    assert "B67" in told["in_the_way"]
    rules = {finding["rule"]: finding for finding in told["findings"]}
    assert len(rules) >= 40
    assert rules["B13"]["outcome"] == "pass"
    assert rules["B35"]["outcome"] == "waived"
    words = run("close", demo_sites.good, "1").stdout
    assert "NOT ready to fill in" in words
    assert "mend:" in words
    assert "Caution: Wherever human remains are possible: stop work" in words
    listed = words.splitlines()[2 : 2 + len(told["in_the_way"])]
    assert [line.split()[0] for line in listed] == told["in_the_way"]
    assert "Caution: Possible human remains: stop work" in run("close", demo_sites.good, "1", "--restricted").stdout


def test_the_closing_check_withholds_burials_unless_asked(run: Run, demo_sites: DemoSites) -> None:
    """Neither a burial's number, a withheld context's answer nor a reason that tells is given without `--restricted`."""
    asked = ("close", demo_sites.good, "1", "--all")
    open_to_crew = run(*asked).stdout + run(*asked, "--json").stdout
    restricted = run(*asked, "--restricted").stdout + run(*asked, "--restricted", "--json").stdout
    for telling in ("G1", "G2", "116: plan shape", "stands on a possible grave", "114 has no two levels"):
        assert telling in restricted, telling
        assert telling not in open_to_crew, telling
    assert restricted.startswith("Restricted: not for the public.")
    rules = {finding["rule"]: finding for finding in answer(run(*asked, "--json"))["findings"]}
    assert rules["B62"]["withheld"]
    assert rules["B62"]["details"] == []
    assert not rules["B03"]["withheld"]


def test_the_closing_check_finds_the_mistakes(run: Run, demo_sites: DemoSites) -> None:
    """The loop, the one-sided relations and the level with exchanged digits fail the rules made for them."""
    good = {finding["rule"]: finding for finding in answer(run("close", demo_sites.good, "1", "--json"))["findings"]}
    bad = {finding["rule"]: finding for finding in answer(run("close", demo_sites.mistaken, "1", "--json"))["findings"]}
    for rule in ("B12", "B13"):
        assert good[rule]["outcome"] == "pass", rule
        assert bad[rule]["outcome"] == "fail", rule
    assert "118" in bad["B07"]["records"]
    assert any("the top of 119" in detail["says"] for detail in bad["B07"]["details"])
    assert "118" not in good["B07"]["records"]


def test_a_mapped_table_of_another_office_runs_through(run: Run, tmp_path: Path) -> None:
    """Another office's tables are taken in with a mapping, ordered, checked and reported."""
    data = Path(__file__).parents[1] / "exchange" / "data"
    mapping = next(data.glob("*.toml"))
    site = tmp_path / "office.gpkg"
    run("new", site, "--by", "AK")
    tried = run("take", site, data, "--map", mapping, "--try", "--by", "AK", "--json")
    assert tried.exit_code == 0, tried.stderr
    assert answer(tried)["written"] is False
    assert answer(run("show", site, "--json"))["counts"] == {"site": 1}
    taken = answer(run("take", site, data, "--map", mapping, "--by", "AK", "--json"))
    assert taken["taken"]["context"] >= 5
    assert taken["taken"]["relation"] >= 5
    assert run("order", site).exit_code in (0, 1)
    shown = answer(run("show", site, "unit", "--json"))["records"]
    number = shown[0]["number"]
    assert run("close", site, number, "--json").exit_code == 1
    written = answer(run("report", site, number, "--to", tmp_path / "out", "--json"))
    assert Path(written["pdf"]).read_bytes().startswith(b"%PDF")


def test_a_bad_row_takes_nothing(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """One wrong cell refuses the whole table, names line, column and reason, and leaves the site as it was."""
    table = tmp_path / "context.csv"
    table.write_text("number,kind,colour_moist\n201,deposit,10YR 4/3\n202,deposit,brown\n", encoding="utf-8")
    before = answer(run("show", own_demo, "--json"))["revision"]
    refused = run("take", own_demo, table, "--by", "AK")
    assert refused.exit_code == 3
    assert "line 3, column “colour_moist” “brown”: A Munsell colour is hue value/chroma" in refused.stderr
    told = answer(run("take", own_demo, table, "--by", "AK", "--json"))["error"]
    assert told["faults"][0]["line"] == 3
    assert answer(run("show", own_demo, "--json"))["revision"] == before


def test_what_is_given_can_be_taken_again(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """All tables given with burials and taken into a new site give the same tables again."""
    out, again = tmp_path / "out", tmp_path / "again"
    assert run("give", demo_sites.good, out, "--restricted").exit_code == 0
    (out / "data-dictionary.csv").unlink()
    site = tmp_path / "copy.gpkg"
    with open_site(site, create=True):
        pass
    taken = run("take", site, out, "--by", "AK")
    assert taken.exit_code == 0, taken.stderr
    run("give", site, again, "--restricted")
    for path in sorted(out.glob("*.csv")):
        assert path.read_bytes() == (again / path.name).read_bytes(), path.name


def test_burials_are_kept_back_and_it_is_said(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Without --restricted no table holds a burial, and the answer says that they were kept back."""
    given = run("give", demo_sites.good, tmp_path / "out", "--json")
    assert any("possible burial" in line for line in answer(given)["withheld"])
    rows = (tmp_path / "out" / "burial.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 1
    shapes = run("give", demo_sites.good, tmp_path / "geo", "--form", "grid-geojson", "--json")
    assert any("outline.geojson" in path for path in answer(shapes)["files"])
    refused = run("give", demo_sites.good, tmp_path / "wgs", "--form", "geojson")
    assert refused.exit_code == 3
    assert "names no projected grid" in refused.stderr


def test_nothing_is_written_over(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Giving into a folder that already holds a table is refused and changes nothing."""
    (tmp_path / "context.csv").write_text("mine", encoding="utf-8")
    refused = run("give", demo_sites.good, tmp_path)
    assert refused.exit_code == 3
    assert "already holds context.csv: nothing was written" in refused.stderr
    assert (tmp_path / "context.csv").read_text(encoding="utf-8") == "mine"


def test_drawings_are_listed_and_drawn(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """Without a name the drawings are listed; `all` draws each; a wrong name is answered with the near ones."""
    names = run("draw", demo_sites.good).stdout.split()
    assert {"site", "order", "dates", "plan-1", "wall-W1", "wall-W2"} <= set(names)
    drawn = answer(run("draw", demo_sites.good, "all", "--to", tmp_path, "--json"))["files"]
    assert len(drawn) == len(names)
    assert all(Path(path).read_text(encoding="utf-8").startswith("<svg") for path in drawn)
    wrong = run("draw", demo_sites.good, "wall-W9", "--to", tmp_path)
    assert wrong.exit_code == 3
    assert "There is no wall “W9”" in wrong.stderr


def test_the_dates_are_drawn_for_each_viewer(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """`draw dates` is the drawing of `date --draw`; a new site without contexts has none and says what there is."""
    run("draw", demo_sites.good, "dates", "--to", tmp_path / "drawn")
    run("date", demo_sites.good, "--draw", tmp_path / "dates.svg")
    drawn = (tmp_path / "drawn" / "dates.svg").read_text(encoding="utf-8")
    assert drawn == (tmp_path / "dates.svg").read_text(encoding="utf-8")
    run("draw", demo_sites.good, "dates", "--to", tmp_path / "all", "--restricted")
    notice = "RESTRICTED: shows records that are not for the public"
    assert notice in (tmp_path / "all" / "dates.svg").read_text(encoding="utf-8")
    assert notice not in drawn
    assert run("draw", demo_sites.good, "dates", "--to", tmp_path / "public", "--public").exit_code == 0
    run("new", tmp_path / "bare.gpkg", "--code", "B", "--by", "AK")
    assert "dates" not in run("draw", tmp_path / "bare.gpkg").stdout.split()
    assert run("draw", tmp_path / "bare.gpkg", "dates").exit_code == 3


def test_the_demo_names_all_that_it_wrote(run: Run, tmp_path: Path) -> None:
    """Every file that `demo` names is there, the invented table of types among them, and the table is one that `date` takes."""
    made = run("demo", tmp_path / "demo", "--json")
    told = answer(made)
    paths = [told["site"], told["with_mistakes"], told["types"], *told["report"]]
    assert all(Path(path).is_file() for path in paths)
    said = run("demo", tmp_path / "demo").stdout
    assert f"Types:         {told['types']} (an invented table" in said
    dated = run("date", told["site"], "--types", told["types"], "--json")
    assert dated.exit_code in (0, 1)
    assert answer(dated)["types"] != answer(run("date", told["site"], "--json"))["types"]


def test_a_record_is_shown_with_its_blanks_and_its_history(run: Run, own_demo: Path) -> None:
    """Blanks that the trade needs stand as empty boxes; the history tells who wrote what."""
    words = run("show", own_demo, "context", "121").stdout
    assert "Depth                    0.36 m" in words
    assert "[          ]  expected" in words
    assert "created" in run("show", own_demo, "context", "121", "--history").stdout
    wrong = run("show", own_demo, "contxt", "121")
    assert wrong.exit_code == 3
    assert "Did you mean context" in wrong.stderr


def test_a_backup_is_whole(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """The copy opens, holds every change and passes SQLite's own check."""
    copy = tmp_path / "copy.gpkg"
    assert run("backup", own_demo, copy).exit_code == 0
    connection = sqlite3.connect(copy)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
    assert answer(run("show", copy, "--json")) == answer(run("show", own_demo, "--json"))


def test_two_copies_are_merged_and_differences_listed(run: Run, own_demo: Path, tmp_path: Path) -> None:
    """Two copies that changed the same field unseen come together with both values, and the command ends with 1."""
    from baulk.record import Context
    from baulk.work.pen import Pen

    copy = tmp_path / "copy.gpkg"
    run("backup", own_demo, copy)
    for path, person, words in ((own_demo, "AK", "garden soil"), (copy, "TB", "levelling")):
        with open_site(path) as store:
            context = store.record().numbered(Context, "108")
            store.append([Pen(person, f"tablet {person}").write(store, context.id, "interpretation", words)])
    merged = run("merge", own_demo, copy, "--json")
    assert merged.exit_code == 1
    told = answer(merged)
    assert told["taken"] == 1
    assert {value["value"] for value in told["differences"][0]["values"]} == {"garden soil", "levelling"}
    assert told["differences"][0]["record"] == "context 108"
    assert answer(run("merge", own_demo, copy, "--json"))["taken"] == 0


@pytest.mark.parametrize("command", ["show", "order", "draw"])
def test_a_file_that_is_none_is_refused_in_a_sentence(run: Run, tmp_path: Path, command: str) -> None:
    """A missing file, a folder, a text and an empty file end with 4 and a sentence, never a traceback."""
    (tmp_path / "text.gpkg").write_text("not a site", encoding="utf-8")
    (tmp_path / "empty.gpkg").touch()
    for name in ("missing.gpkg", "text.gpkg", "empty.gpkg", "."):
        refused = run(command, tmp_path / name)
        assert refused.exit_code == 4, name
        assert "Traceback" not in refused.stderr
        assert len(refused.stderr.strip().splitlines()) == 1


def test_exit_codes_are_as_documented() -> None:
    """Errors of input, store and missing parts have codes of their own, and the docs list them."""
    assert exit_code(UnknownRecord("unit", "9", [])) == 3
    assert exit_code(NotASiteFile("x")) == 4
    assert exit_code(MissingPart("heic", "Reading HEIC photos")) == 5
    told = (DOCS / "commands.md").read_text(encoding="utf-8")
    assert all(f"| {code} |" in told for code in range(6))
