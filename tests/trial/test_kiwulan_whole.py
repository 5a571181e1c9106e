"""The Kiwulan record (L.-Y. Wang 2018-2022, CC0) goes through every command; what it lacks is said and never guessed.

The data stay outside the project: the folder named by BAULK_TRIAL_DATA, else ../shared/data beside the checkout.
"""

from __future__ import annotations

import io
import json
import os
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from baulk.cli import main

HERE = Path(__file__).resolve().parent
DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or HERE.parents[2] / "shared" / "data") / "kiwulan"
UNIT = "P040"

pytestmark = pytest.mark.skipif(
    not (DATA / "KWL_excavation_depth.xlsx").exists(),
    reason="the Kiwulan tables are not here: put them into a folder and name it by BAULK_TRIAL_DATA to run this trial",
)


def baulk(*words: object) -> Result:
    """Run a command; an error that is not Baulk's own would leave it as a traceback."""
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a site file with the record taken in by the command."""
    made = tmp_path_factory.mktemp("kiwulan") / "kiwulan.gpkg"
    assert baulk("new", made, "--code", "KWL", "--by", "AK").exit_code == 0
    taken = baulk("take", made, DATA, "--map", HERE / "kiwulan" / "kiwulan.toml", "--by", "AK", "--json")
    assert taken.exit_code == 0, taken.stderr
    counts = json.loads(taken.stdout)["taken"]
    assert counts == {"unit": 58, "context": 831, "level": 827, "relation": 773, "find": 158}
    return made


@pytest.fixture(scope="module")
def closing(site: Path) -> dict[str, Any]:
    """Return the closing check of one unit."""
    checked = baulk("close", site, UNIT, "--json")
    assert checked.exit_code == 1
    return json.loads(checked.stdout)


@pytest.fixture(scope="module")
def written(site: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return the report of one unit, both forms."""
    told = baulk("report", site, UNIT, "--to", tmp_path_factory.mktemp("report"), "--json")
    assert told.exit_code == 0, told.stderr
    return {form: Path(json.loads(told.stdout)[form]) for form in ("html", "pdf")}


def test_the_order_is_sound_and_says_what_it_cannot_tell(site: Path) -> None:
    """58 chains of 831 layers, none redundant; nothing relates two units, and no relation says on which sheets it stands."""
    found = baulk("order", site, "--json")
    assert found.exit_code == 0
    told = json.loads(found.stdout)
    assert (told["sound"], told["contexts"], told["relations"], told["needed"]) == (True, 831, 773, 773)
    says = {notice["what"]: notice["says"] for notice in told["notices"]}
    assert set(says) == {"apart", "sheets not recorded"}
    assert "The contexts fall into 58 groups without a relation between them" in says["apart"]
    assert "773 of 773 relations stand on neither sheet, or nobody says on which" in says["sheets not recorded"]
    words = baulk("order", site).stdout
    assert words.startswith("831 contexts, 773 relations: an order in 23 steps; 773 relations needed, 0 redundant.")


def test_no_layer_of_one_unit_is_called_later_than_one_of_another(site: Path) -> None:
    """Why the first layer of one unit should be later than one of another: nothing recorded says so."""
    assert "P040-01 > P040-02 > P040-03" in baulk("order", site, "--why", "P040-01", "P040-03").stdout
    assert "Nothing recorded makes P040-01 later than P041-03" in baulk("order", site, "--why", "P040-01", "P041-03").stdout


def test_the_check_passes_nothing_that_the_record_does_not_say(closing: dict[str, Any]) -> None:
    """Not one rule passes on a blank: corners, sheets, levels and counts are told as “cannot tell” in words."""
    assert closing["ready"] is False
    assert closing["counts"]["cannot tell"] >= 25 and closing["counts"]["waived"] == 0
    found = {finding["rule"]: finding for finding in closing["findings"]}
    for rule, words in {
        "B01": "the corners have no grid positions",
        "B04": "no levels run is on record",
        "B12": "nobody says on which sheets it was entered",
        "B23": "P040-01 has no outline in plan",
        "B52": "find P040-01-tiles was not counted",
        "B57": "nobody says whether it was lifted",
    }.items():
        assert found[rule]["outcome"] == "cannot tell", rule
        assert words.casefold() in found[rule]["says"].casefold(), rule
    assert found["B13"]["outcome"] == "pass"
    assert "P040-01 overlies P040-02" in found["B12"]["records"]


def test_the_check_is_readable_as_words(site: Path) -> None:
    """Each rule in the way comes with records that a person can find and a step that mends it; no cut-off id stands there."""
    words = baulk("close", site, UNIT).stdout
    assert "Unit P040: NOT ready to fill in" in words
    assert "see P040-01 overlies P040-02" in words and "see top of P040-01" in words
    assert "Caution: The depth of the unit is not on record." in words


def test_drawings_without_a_place_are_refused_and_the_order_is_drawn(site: Path, tmp_path: Path) -> None:
    """No corner and no outline: no plan is made up. The order of a unit shows its own layers only."""
    plan = baulk("draw", site, f"plan-{UNIT}", "--to", tmp_path)
    assert plan.exit_code == 3
    assert plan.stderr.strip() == (
        "Unit P040 has neither corners nor an outline on record: a plan needs a place on the site grid. "
        "Enter the unit's corners, then draw again."
    )
    whole = baulk("draw", site, "site", "--to", tmp_path)
    assert whole.exit_code == 3 and "has neither a unit with corners nor a control point on record" in whole.stderr
    assert list(tmp_path.iterdir()) == []
    assert baulk("draw", site, "order", f"order-{UNIT}", "--to", tmp_path).exit_code == 0
    own = (tmp_path / f"order-{UNIT}.svg").read_text(encoding="utf-8")
    assert all(f"P040-{layer:02}" in own for layer in range(1, 17)) and "P041-01" not in own
    assert "P041-01" in (tmp_path / "order.svg").read_text(encoding="utf-8")
    assert len(baulk("draw", site).stdout.split()) == 3 + 2 * 58


def test_the_report_says_what_is_not_recorded(written: dict[str, Path]) -> None:
    """No datum, no plan, no sheets, no counts: each is a sentence or a word in its place, in both forms."""
    page = written["html"].read_text(encoding="utf-8")
    paper = "\n".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(written["pdf"].read_bytes())).pages)
    one_line = " ".join(paper.split())
    for words in (
        "neither a corner of the unit nor an outline of a context is on record",
        "Cannot tell for 15 of 15 relations: on which sheets they were entered is blank.",
        "No levels book is recorded: the levels cannot be checked against readings.",
        "1 without a count",
    ):
        assert words in page, words
        assert words in one_line, words
    assert "Vertical datum not recorded" in one_line
    assert "Every relation was entered on both sheets" not in one_line
    assert "P041-01" not in page


def test_what_is_taken_can_be_given_again(site: Path, tmp_path: Path) -> None:
    """Levels in metres with their centimetres as entered in the history; nothing with a position is given to a map."""
    assert baulk("give", site, tmp_path / "tables").exit_code == 0
    levels = (tmp_path / "tables" / "level.csv").read_text(encoding="utf-8").splitlines()
    assert len(levels) == 1 + 827
    lacking = baulk("give", site, tmp_path / "map", "--form", "geojson")
    assert lacking.exit_code == 3 and "The site names no projected grid" in lacking.stderr
