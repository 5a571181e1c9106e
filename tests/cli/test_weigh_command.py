"""`baulk weigh`: the answer, what carries it, what would overturn it, what to do next, and how it stood before."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from baulk.work.demo import DemoSites

from .conftest import Run, answer


def test_the_questions_are_listed_and_the_withheld_one_is_counted(run: Run, demo_sites: DemoSites) -> None:
    """Without a question the site's questions stand with what leads; one that weighs a grave is counted and not told."""
    listed = run("weigh", demo_sites.good)
    assert listed.exit_code == 0
    assert "“Path round a post or tree”" in listed.stdout
    assert "1 question is withheld; --restricted shows them." in listed.stdout
    assert "rectangular" not in listed.stdout and "grave" not in listed.stdout
    told = answer(run("weigh", demo_sites.good, "--json"))
    assert [one["question"] for one in told["questions"]] == ["1"] and told["withheld"] == 1
    whole = answer(run("weigh", demo_sites.good, "--restricted", "--json"))
    assert [one["question"] for one in whole["questions"]] == ["1", "2"] and whole["withheld"] == 0


def test_the_path_leads_and_footing_and_wall_trail(run: Run, demo_sites: DemoSites) -> None:
    """In the demo the path leads, footing and fallen wall come last, and each has a range that holds its share."""
    told = answer(run("weigh", demo_sites.good, "1", "--json"))
    names = [one["name"] for one in told["readings"]]
    assert names[0] == "Path round a post or tree"
    assert set(names[-2:]) == {"Footing of a curved wall", "Fallen stretch of a wall"}
    assert sum(one["share"] for one in told["readings"]) == pytest.approx(1, abs=1e-5)
    assert all(one["low"] <= one["share"] <= one["high"] for one in told["readings"])
    assert "pieces of evidence" in told["says"] and told["burial_care"] == {"acts": False, "says": "", "steps": []}


def test_taking_out_any_group_is_said_to_keep_or_lose_the_lead(run: Run, demo_sites: DemoSites) -> None:
    """Each of the four groups stands in the answer to --why, and only the one of the middle loses the lead."""
    told = answer(run("weigh", demo_sites.good, "1", "--why", "--json"))
    lost = {one["cause"]: one["keeps_lead"] for one in told["without"] if one["cause"]}
    assert lost == {
        "something stood in the middle": False, "how the setts are laid": True, "never bonded": True, "laid on open ground": True,
    }  # fmt: skip
    words = run("weigh", demo_sites.good, "1", "--why").stdout
    assert "all of “something stood in the middle” (1.08, 1.09): “Path round a post or tree” LOSES THE LEAD" in words
    assert "looked for and not there: An iron fitting" in words and "counted once: never bonded" in words
    assert "rests on 121, 122; common practice, no source" in words
    assert len(told["evidence"]) == 12 and len(told["counted"]) == 7


def test_overturning_names_the_smallest_sets_and_the_closest_rival(run: Run, demo_sites: DemoSites) -> None:
    """The yard would lead if the arcs and the socket fell; other treatments and priors stand beside it."""
    told = answer(run("weigh", demo_sites.good, "1", "--overturn", "--json"))
    marks = {one["id"]: one["mark"] for one in answer(run("weigh", demo_sites.good, "1", "--why", "--json"))["evidence"]}
    first = told["overturning"][0]
    assert [marks[piece] for piece in first["evidence"]] == ["1.08", "1.09"] and first["rival"] == told["closest_rival"]
    assert [one["treatment"] for one in told["treatments"]] == ["least expected", "shared", "in full"]
    assert len(told["priors"]) == 8 and 0 < told["words_may_move"] <= 1
    words = run("weigh", demo_sites.good, "1", "--overturn").stdout
    assert "Closest rival: “Yard surface, the rest robbed”" in words and "all equal:" in words
    other = answer(run("weigh", demo_sites.good, "1", "--treatment", "in full", "--json"))
    assert other["treatment"] == "in full" and other["readings"][0]["share"] > told["readings"][0]["share"]


def test_next_puts_what_is_lost_at_backfill_first(run: Run, demo_sites: DemoSites) -> None:
    """The first test is one that cannot be made later; the words say so and a plan follows."""
    told = answer(run("weigh", demo_sites.good, "1", "--next", "--json"))
    telling = [one["lost_at_backfill"] for one in told["tests"] if one["bits"] >= 0.01]
    assert telling[0] is True and telling == sorted(telling, reverse=True)
    assert told["plan"]["first"] is not None and told["plan"]["most_hours"] <= 8
    words = run("weigh", demo_sites.good, "1", "--next").stdout
    assert "LOST AT BACKFILL  1-T2 Cut a slot" in words and "A plan," in words
    short = answer(run("weigh", demo_sites.good, "1", "--next", "--hours", "2", "--json"))
    assert short["plan"]["most_hours"] <= 2


def test_a_possible_grave_calls_for_care_whatever_else_is_said(run: Run, demo_sites: DemoSites) -> None:
    """The withheld question is answered as unknown; asked for as restricted it ends with 1 and the caution comes first."""
    kept = run("weigh", demo_sites.good, "2")
    assert kept.exit_code == 3 and "There is no question “2”" in kept.stderr
    told = run("weigh", demo_sites.good, "2", "--restricted")
    assert told.exit_code == 1
    lines = told.stdout.splitlines()
    assert lines[0] == "Restricted: not for the public."
    assert lines[1].startswith("CAUTION: Possible human remains: stop work within 5 m")
    care = answer(run("weigh", demo_sites.good, "2", "--restricted", "--json"))["burial_care"]
    assert care["acts"] is True and len(care["steps"]) == 4


def test_changes_of_mind_and_the_state_of_a_day(run: Run, demo_sites: DemoSites) -> None:
    """The change of 22 May is told with its reason, and the answer of 20 May stands beside the one of now."""
    told = answer(run("weigh", demo_sites.good, "1", "--then", "2026-05-20", "--json"))
    changed = [one for one in told["changes"] if one["person"] == "AK"]
    assert changed[0]["says"] == "1.09 under 1B, how expected: often → now and then"
    assert changed[0]["why"] == "bark seen in the second half of the socket"
    crane = [next(one["share"] for one in side["readings"] if one["mark"] == "1B") for side in (told["then"], told)]
    assert crane[0] > 2 * crane[1]
    words = run("weigh", demo_sites.good, "1", "--then", "2026-05-20").stdout
    assert "RM  entered: 1 question, 6 readings, 12 pieces of evidence, 5 tests" in words and "Then and now:" in words
    wrong = run("weigh", demo_sites.good, "1", "--then", "yesterday")
    assert wrong.exit_code == 3 and "“yesterday” is no day. A day is written year-month-day, as in 2026-05-14." in wrong.stderr
    early = run("weigh", demo_sites.good, "1", "--then", "2026-05-01")
    assert early.exit_code == 3 and "The question was not yet written at that time." in early.stderr


def test_the_table_is_given_as_csv(run: Run, demo_sites: DemoSites) -> None:
    """One row a cell; the weights counted add up, with the priors, to the answer."""
    rows = list(csv.DictReader(io.StringIO(run("weigh", demo_sites.good, "1", "--form", "csv").stdout)))
    assert len(rows) == 12 * 6
    told = answer(run("weigh", demo_sites.good, "1", "--json"))
    sums = {
        one["name"]: sum(float(row["decibans_counted"] or 0) for row in rows if row["reading"] == one["name"])
        for one in told["readings"]
    }
    after = {one["name"]: one["prior"] * 10 ** (sums[one["name"]] / 10) for one in told["readings"]}
    total = sum(after.values())
    assert {name: share / total for name, share in after.items()} == pytest.approx(
        {one["name"]: one["share"] for one in told["readings"]}, abs=1e-3
    )


def test_the_printed_scale(run: Run, demo_sites: DemoSites) -> None:
    """The scale stands with the range of every word."""
    assert "usually          0.84 to 0.94, used as 0.90" in run("weigh", demo_sites.good, "--scale").stdout
    assert answer(run("weigh", demo_sites.good, "--scale", "--json"))["scale"][-1]["word"] == "cannot say"


def test_a_site_without_questions_says_so(run: Run, tmp_path: Path) -> None:
    """An empty site asks nothing yet; a question without readings is listed with what is missing."""
    site = tmp_path / "yard.gpkg"
    run("new", site, "--code", "YRD", "--by", "AK")
    assert run("weigh", site).stdout == "The site asks no question yet.\n"
    table = tmp_path / "question.csv"
    table.write_text("number,asks\n1,What was it?\n", encoding="utf-8")
    assert run("take", site, table, "--by", "AK").exit_code == 0
    assert "cannot be weighed yet: Question 1 has no reading to weigh." in run("weigh", site).stdout


def test_a_question_is_begun_from_a_pattern_and_the_record_speaks_to_it(run: Run, own_demo: Path) -> None:
    """A pattern's readings stand in the record; what the record says is accepted line by line, and path leads, wall trails."""
    named = [one["name"] for one in answer(run("weigh", own_demo, "--patterns", "--json"))["patterns"]]
    assert len(named) >= 12 and "setting" in named
    begun = run("weigh", own_demo, "--begin", "setting", "--about", "109", "--by", "AK")
    assert begun.exit_code == 0 and "Question 3: What was the setting of bricks or stones?" in begun.stdout
    told = answer(run("weigh", own_demo, "3", "--propose", "--json"))["proposals"]
    said = {one["line"]: one["seen"] for one in told}
    assert said["upright"] is True and said["old-mortar"] is False and said["band"] is None
    assert next(one for one in told if one["line"] == "old-ground")["contexts"] == ["109", "118"]
    words = run("weigh", own_demo, "3", "--propose").stdout
    assert "there: pieces lie dry, without mortar" in words and "It cannot tell yet" in words
    assert run("weigh", own_demo, "3", "--accept", "all", "--accept", "band=yes", "--by", "AK").exit_code == 0
    assert run("weigh", own_demo, "3", "--accept", "fair-face=no", "--by", "AK").exit_code == 0
    after = answer(run("weigh", own_demo, "3", "--why", "--json"))
    assert after["readings"][0]["name"] == "Path or paved way"
    assert {"Footing of a wall", "Wall, its lowest courses"} <= {one["name"] for one in after["readings"][-4:]}
    soft = next(one for one in after["evidence"] if one["saw"].startswith("looked for and not there: Pieces are soft"))
    assert soft["mark"] and soft["records"] == ["109"]


def test_what_cannot_be_begun_or_accepted_is_refused_in_words(run: Run, own_demo: Path) -> None:
    """An unknown pattern, no context, an unknown line, an answer that is none: each is refused with what to do."""
    asked = ("weigh", own_demo)
    wrong = run(*asked, "--begin", "seting", "--about", "109", "--by", "AK")
    assert wrong.exit_code == 3 and "No pattern is called “seting”" in wrong.stderr
    nothing = run(*asked, "--begin", "setting", "--by", "AK")
    assert "Nothing says what the question is about. Name its contexts, as in: --about 109 --about 110." in nothing.stderr
    line = run(*asked, "1", "--accept", "gold", "--by", "AK")
    assert "Question 1 has no open line “gold”. Open are: " in line.stderr
    said = run(*asked, "1", "--accept", "band=perhaps", "--by", "AK")
    assert "“perhaps” is no answer to a line. Write yes, no, or the value measured, as in: --accept axes=12." in said.stderr
    blank = run(*asked, "1", "--accept", "band", "--by", "AK")
    assert "The record cannot tell whether “a band of even width with an edge on both sides”: say yes or no." in blank.stderr
    run("set", own_demo, "question:1", "pattern", "another", "--by", "AK")
    other = run(*asked, "1", "--accept", "band=yes", "--by", "AK")
    assert "Question 1 was not begun from a pattern that is known here, so it has no lines to accept." in other.stderr
    assert "The pattern “another” is not known here, so nothing of it is proposed" in run(*asked, "1").stdout
    assert run(*asked, "--accept", "band=yes", "--by", "AK").exit_code == 2


def test_a_pattern_with_a_grave_is_withheld_and_calls_for_care(run: Run, own_demo: Path) -> None:
    """Begun about an open cut, it is at once withheld from the crew, and asked for as restricted it raises the caution."""
    begun = run("weigh", own_demo, "--begin", "rectangular-cut", "--about", "105", "--by", "AK")
    assert "withheld from crew and public" in begun.stdout and "stop, cover, notify" in begun.stdout
    assert run("weigh", own_demo, "3").exit_code == 3
    told = run("weigh", own_demo, "3", "--restricted")
    assert told.exit_code == 1 and "CAUTION: Possible human remains" in told.stdout


def test_a_users_own_pattern_stands_beside_the_site_file(run: Run, own_demo: Path) -> None:
    """A pattern in the folder beside the site stands in the list as one's own; its faults are told by line."""
    folder = own_demo.parent / "patterns"
    folder.mkdir()
    (folder / "kiln.toml").write_text('name = "kiln"\n', encoding="utf-8")
    refused = run("weigh", own_demo, "--patterns")
    assert refused.exit_code == 3 and "kiln.toml" in refused.stderr and "This key is missing." in refused.stderr
    (folder / "kiln.toml").write_text(
        'name = "kiln"\ntitle = "Kiln"\nasks = "Was it a kiln?"\n'
        '[[reading]]\nkey = "kiln"\nname = "Kiln"\nprior = 0.5\nwhy = "x"\n'
        '[[reading]]\nkey = "oven"\nname = "Oven"\nprior = 0.4\nwhy = "x"\n'
        '[[evidence]]\nid = "wide"\nsaw = "wide"\n'
        'spread = { kiln = "about 3, give or take 1", oven = "about 1, give or take 0.3" }\n'
        'measures = "width, m"\ngrain = 0.1\nsource = "x"\ndoes = "Measure it."\nhours = 0.5\nlost_at_backfill = true\n',
        encoding="utf-8",
    )
    listed = run("weigh", own_demo, "--patterns")
    assert "kiln             Kiln; 1 sightings  (your own)" in listed.stdout
    assert run("weigh", own_demo, "--begin", "kiln", "--about", "105", "--by", "AK").exit_code == 0
    refused = run("weigh", own_demo, "3", "--accept", "wide=yes", "--by", "AK")
    assert "“wide” is measured (width, m): give the value." in refused.stderr
    assert run("weigh", own_demo, "3", "--accept", "wide=3.2", "--by", "AK").exit_code == 0
    assert answer(run("weigh", own_demo, "3", "--json"))["readings"][0]["name"] == "Kiln"
