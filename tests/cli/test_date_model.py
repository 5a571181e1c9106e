"""`baulk date --model` and what is asked of the chronology: answers as the docs tell, settings in their place, refusals."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from baulk.record import Context, Document, Entity, Find, Relation
from baulk.store import open_site
from baulk.work.pen import Pen

from .conftest import Run, answer

DOCS = (Path(__file__).parents[2] / "docs" / "commands.md").read_text(encoding="utf-8")
LAYER = {"kind": "deposit", "reliability": "good", "contamination": "none seen"}


def _write(path: Path, *more: Entity) -> Path:
    """Write a site of three layers, the middle one with a coin and sherds and the upper one with white ware."""
    records = (
        Context(id="a", number="1", recorded_on="2026-05-11", **LAYER),
        Context(id="b", number="2", litres=400, dug=50, sieved=100, **LAYER),
        Context(id="c", number="3", inclusions="occasional charcoal", **LAYER),
        Relation(id="r1", later="a", earlier="b", how="overlies"), Relation(id="r2", later="b", earlier="c", how="overlies"),
        Find(id="f1", number="1", context="a", material="ceramic", type="whiteware", count=9, begin=1820, end=1900),
        Find(id="f2", number="2", context="b", material="ceramic", type="creamware", count=40, begin=1762, end=1820),
        Find(id="f3", number="3", context="b", material="copper alloy", object="halfpenny", count=1, begin=1799),
        Document(id="d", number="1", title="Photograph", begin=1888, end=1888, there_by_then=True, contexts=("a",),
                 certainty="firm"),
        *more,
    )  # fmt: skip
    pen = Pen("AK", "tablet")
    with open_site(path, create=True) as store:
        store.append([
            pen.create(one.KIND, one.model_dump(mode="json", exclude={"id", "absences"}, exclude_none=True), record=one.id)
            for one in records
        ])  # fmt: skip
    return path


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the site file."""
    return _write(tmp_path_factory.mktemp("model") / "yard.gpkg")


def _told(held: object) -> set[str]:
    """Return every key of an answer."""
    if isinstance(held, dict):
        return set(held) | {key for one in held.values() for key in _told(one)}
    return {key for one in held for key in _told(one)} if isinstance(held, list) else set()


def test_ranges_stand_in_the_order_and_beside_what_order_and_span_alone_say(run: Run, site: Path) -> None:
    """The brown layer lies between the coin and the photograph; every key is told in the docs, and the seed with it."""
    found = answer(run("date", site, "--model", "--json"))
    assert [one["context"] for one in found["contexts"]] == ["1", "2", "3"]
    brown = found["contexts"][1]
    assert 1790 <= brown["range_95"][0]["begin"] <= 1805
    assert brown["range_95"][-1]["end"] <= 1888
    assert brown["before_95"]["begin"] < 1762
    assert found["contexts"][2]["by_order_alone"]
    assert found["seed"] == 1
    assert not [key for key in _told(found) if f"`{key}`" not in DOCS]
    words = run("date", site, "--model").stdout
    assert words.startswith("1: ")
    assert "by order and span alone" in words
    assert "Largest R̂" in words


def test_settings_given_stand_in_place_of_the_kept_ones(run: Run, site: Path) -> None:
    """Seed, window, intrusion, lag and moved soil are used and told; the same seed gives the same figures, another others."""
    asked = ("date", site, "--model", "--seed", "7", "--from", "1700", "--to", "1900", "--intrusion", "0.05", "--lag", "25",
             "--moved", "0", "--phases", "may overlap", "--json")  # fmt: skip
    first, again = answer(run(*asked)), answer(run(*asked))
    assert first == again
    assert first != answer(run(*["8" if word == "7" else word for word in asked]))
    told = " ".join(first["settings"])
    for part in ("Seed 7.", "1700 to 1900 (as given)", "0.05 (none)", "25 years on average", "Phases: may overlap."):
        assert part in told


def test_which_is_earlier_has_its_error(run: Run, site: Path) -> None:
    """The order decides: the lower layer is earlier with a chance above 99 per cent; asked the other way round below 1."""
    found = answer(run("date", site, "--before", "3", "1", "--json"))
    assert found["first_earlier"] > 0.99
    assert found["standard_error"] > 0
    assert found["years_between"][2] > 0
    assert not [key for key in _told(found) if f"`{key}`" not in DOCS]
    assert "1 is earlier than 3: below 1 per cent" in run("date", site, "--before", "1", "3").stdout


def test_a_chance_of_some_years_and_how_two_spans_stand(run: Run, site: Path) -> None:
    """Both are answered in one go, each under its own name, with what they rest on once; the docs tell every key."""
    found = answer(run("date", site, "--within", "2", "1750", "1850", "--spans", "3,2", "1", "--json"))
    assert found["within"]["chance"] > found["within"]["by_order_and_span_alone"]
    assert sum(found["within"][key] for key in ("chance", "earlier", "later")) == pytest.approx(1)
    assert found["spans"]["first_events"] == ["3", "2"]
    assert sum(way["chance"] for way in found["spans"]["ways"]) == pytest.approx(1)
    assert not [key for key in _told(found) if f"`{key}`" not in DOCS]
    words = run("date", site, "--within", "2", "1750", "1850", "--spans", "3,2", "1").stdout
    assert words.startswith("2 is of 1750 to 1850: ")
    assert "is over before 1 begins, with years between: " in words
    assert words.count("Seed 1.") == 1


def test_a_second_look_takes_what_is_kept_and_says_so(run: Run, tmp_path: Path) -> None:
    """The same question again is answered from the folder beside the site, told as of which revision; other settings are not."""
    site = _write(tmp_path / "kept.gpkg")
    first, again = run("date", site, "--model", "--json"), run("date", site, "--model", "--json")
    assert "Working out the dates of 3 events" in first.stderr
    assert "Taking the dates of 3 events as they were worked out of revision " in again.stderr
    assert answer(first) == answer(again)
    assert len(list((tmp_path / "kept.dates").glob("*.npz"))) == 1
    assert "Working out the dates of 3 events" in run("date", site, "--model", "--seed", "9").stderr


def test_why_and_the_chronology_are_answered_together(run: Run, site: Path) -> None:
    """Nothing that is asked is passed over: why stands first, and under its own name."""
    found = answer(run("date", site, "--why", "2", "--before", "3", "1", "--json"))
    assert found["why"]["context"] == "2"
    assert found["first_earlier"] > 0.99
    words = run("date", site, "--why", "2", "--before", "3", "1").stdout
    assert words.index("own find: find 3, halfpenny") < words.index("3 is earlier than 1: ")


def test_the_absence_of_later_finds_draws_the_layer_back(run: Run, site: Path) -> None:
    """Of 40 sherds none is white ware: with that counted the layer ends earlier than without it, and the words say why."""
    (told,) = answer(run("date", site, "--absence", "--json"))["absences"]
    assert told["absent"] == "none of 40 sherds is whiteware, made from 1820"
    assert told["with"][-1]["end"] < told["without"][-1]["end"] - 5
    assert "so absence is never proof" in told["says"]
    assert not [key for key in _told(told) if f"`{key}`" not in DOCS]
    left_out = answer(run("date", site, "--model", "--leave-out-absence", "--json"))
    assert "The absence of later finds is left out." in left_out["settings"]


def test_what_would_date_it_best_is_ranked_by_the_hour(run: Run, site: Path) -> None:
    """Soil not dug, loosely dated sherds and charcoal below are offered, the one that narrows most for an hour first."""
    found = answer(run("date", site, "--best-sample", "2", "--json"))
    names = [one["name"] for one in found["candidates"]]
    assert any(name.startswith("dig and sieve the rest of 2, 400 litres") for name in names)
    assert any("specialist's look at 41 loosely dated pieces from 2" in name for name in names)
    assert "radiocarbon of charcoal from 3" in names
    gains = [one["years_an_hour"] for one in found["candidates"]]
    assert gains == sorted(gains, reverse=True)
    assert not [key for key in _told(found) if f"`{key}`" not in DOCS]
    assert "house figures without a source" in run("date", site, "--best-sample", "2").stdout


def test_what_hangs_on_the_suppositions_is_told(run: Run, site: Path) -> None:
    """Each supposition is varied one at a time; of all variations the one without absence moves the brown layer most."""
    found = answer(run("date", site, "--sensitivity", "--json"))
    moved = {one["name"]: {line["context"]: line["moved"] for line in one["contexts"]} for one in found["varied"]}
    assert len(moved) == 9
    without = moved["without the absence of later finds"]
    assert without["2"] == max(one["2"] for one in moved.values())
    assert without["2"] > 5
    assert not [key for key in _told(found) if f"`{key}`" not in DOCS]


def test_contexts_come_as_csv(run: Run, site: Path) -> None:
    """Bounds or ranges, one row a context; what has no list of contexts is refused."""
    plain = list(csv.DictReader(io.StringIO(run("date", site, "--form", "csv").stdout)))
    assert [(row["context"], row["tpq"], row["contradicted"]) for row in plain][:2] == [("1", "1820", "no"), ("2", "1799", "no")]
    dated = list(csv.DictReader(io.StringIO(run("date", site, "--model", "--form", "csv").stdout)))
    assert "to" in dated[1]["range_95"]
    ended = run("date", site, "--before", "1", "3", "--form", "csv")
    assert ended.exit_code == 2
    assert "--form csv gives the list of contexts" in ended.output


def test_evidence_that_excludes_itself_is_refused_in_words(run: Run, tmp_path: Path) -> None:
    """A firm lease of 1950 in a layer under a photograph of 1888 gives no dates, but a sentence, and ends with 3."""
    wrong = Document(id="e", number="2", title="Lease", begin=1950, end=1950, not_there_yet=True, contexts=("b",), certainty="firm")
    ended = run("date", _write(tmp_path / "wrong.gpkg", wrong), "--model")
    assert ended.exit_code == 3
    assert "document 2, Lease" in ended.output
    assert "document 1, Photograph" in ended.output


def test_a_context_outside_of_the_chronology_is_named(run: Run, site: Path) -> None:
    """An unknown number is answered with near ones, nothing is worked out in vain for a site without dates."""
    assert "99" in run("date", site, "--before", "99", "1").output
    same = run("date", site, "--before", "1", "1")
    assert "1 and 1 are one in the order. Ask for two contexts that are not recorded as the same." in same.output


def test_drawings_are_written_beside_the_answer(run: Run, site: Path, tmp_path: Path) -> None:
    """Bounds, ranges and the aids of one context each give their own sheet."""
    sheets = {name: tmp_path / f"{name}.svg" for name in ("bounds", "model", "aids")}
    for name, words in (("bounds", ()), ("model", ("--model",)), ("aids", ("--why", "2"))):
        assert run("date", site, *words, "--draw", sheets[name]).exit_code == 0
    drawn = {name: path.read_text(encoding="utf-8") for name, path in sheets.items()}
    assert drawn["bounds"].count('class="baulk-dated"') == drawn["model"].count('class="baulk-dated"') == 3
    assert "baulk-posterior" not in drawn["bounds"]
    assert drawn["model"].count('class="baulk-posterior"') == 3
    assert 'data-name="mean ceramic date"' in drawn["aids"]
