"""Three real records from their own tables through the commands: taken in, ordered, dated, what is odd told in words.

L.-Y. Wang 2018-2022 (Kiwulan) and B. Marwick (KTC11, GMH), all CC0. The data stay outside the project: where they lie, and what is
skipped without them, see `test_real_dates`. The mapping files are in `dated/`.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from baulk.cli import main

from .test_real_dates import DATA, needs

MAPS = Path(__file__).parent / "dated"


def baulk(*words: object) -> Result:
    """Run a command; an error that is not Baulk's own would leave it as a traceback."""
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def told(*words: object) -> dict[str, Any]:
    """Return what a command answers as JSON."""
    ended = baulk(*words, "--json")
    assert ended.exit_code == 0, ended.stderr
    found: dict[str, Any] = json.loads(ended.stdout)
    return found


def taken(folder: Path, name: str, tables: Path, counts: dict[str, int], mapping: Path | None = None) -> Path:
    """Return a site file with a record taken in through its mapping file, the counts checked."""
    site = folder / f"{name}.gpkg"
    assert baulk("new", site, "--code", name.upper(), "--by", "AK").exit_code == 0
    assert told("take", site, tables, "--map", mapping or MAPS / f"{name}.toml", "--by", "AK")["taken"] == counts
    return site


def kiwulan_samples(folder: Path) -> Path:
    """Write the workbook of samples out as a table by square and layer, as `dated/kiwulan.toml` tells."""
    sheet = load_workbook(DATA / "kiwulan" / "KWL_C14_dates.xlsx")["Sheet1"]
    cells = [["" if one is None else str(one).strip() for one in row] for row in sheet.iter_rows(min_row=2, values_only=True)]
    samples = [(row[0], row[1], int(row[2][1:]), row[6], row[7], "" if row[6] else row[5], row[8]) for row in cells if row[0]]
    ordered = sorted(samples, key=lambda row: (row[1], row[2]))
    folder.mkdir()
    with (folder / "samples.csv").open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["Code", "Square", "Layer", "Age", "Error", "Limit", "From"])
        table.writerows(ordered)
    return folder


@needs("kiwulan/KWL_C14_dates.xlsx")
def test_kiwulan_is_taken_ordered_and_dated(tmp_path: Path) -> None:
    """31 layers in their squares: eight ages are “<200yr” and kept as limits, the one inversion is told, and all are dated."""
    site = taken(
        tmp_path, "kiwulan", kiwulan_samples(tmp_path / "tables"), {"context": 31, "relation": 12, "dating_result": 31}
    )  # fmt: skip
    assert told("order", site)["sound"]
    bounds = told("date", site)
    (odd,) = bounds["oddities"]
    assert odd["contexts"] == ["P052-06", "P052-07"]
    assert odd["says"] == (
        "result NTU- 4292, radiocarbon (510 ± 75, burial M009) of P052-06 stands against another: older than result NTU- 3803, "
        "radiocarbon (<200yr, artefact-bearing deposit) of P052-07 below it, by 310 years, 4 times the error of their difference."
    )
    assert "or the order is wrong" in baulk("date", site).stdout
    assert "<200yr" in baulk("date", site, "--why", "P052-07").stdout
    dated = told("date", site, "--model", "--before", "P052-07", "P052-06")
    assert len(dated["contexts"]) == 31
    assert len(dated["evidence"]) == 31
    assert dated["first_earlier"] > 0.99
    out = {one["context"]: one["intrusive"] for one in dated["out_of_place"]}
    assert out["P154-14"] > 0.5  # 1870 ± 110 under 1080 ± 90
    assert out["P052-07"] + out["P052-06"] > 0.5
    assert any(len(one["range_95"]) > 1 for one in dated["contexts"])
    assert any("No day of digging is recorded" in note for note in dated["notes"])


@needs("ktc11/ktc11_radiocarbon_dates.csv")
def test_ktc11_is_taken_ordered_and_dated(tmp_path: Path) -> None:
    """The charcoal at the base is too young for the three shells above it: told before the model, and by it as what does not go."""
    site = taken(tmp_path, "ktc11", DATA / "ktc11", {"context": 10, "relation": 9, "dating_result": 10})
    assert told("order", site)["latest_first"][-1] == "spit 20"
    (odd,) = told("date", site)["oddities"]
    assert odd["says"].startswith(
        "result 1148, radiocarbon D-AMS 1148 (11,236 ± 42, charcoal) of spit 20 stands against 3 others: younger than result 1147, "
        "radiocarbon D-AMS 1147 (13,026 ± 45, shell) of spit 19 above it, by 1,790 years, 29 times the error of their difference"
    )
    assert odd["contexts"] == ["spit 20", "spit 19", "spit 15", "spit 13"]
    dated = told("date", site, "--model")
    assert [(one["what"], one["context"]) for one in dated["out_of_place"] if one["intrusive"] > 0.5] == [("sample", "spit 20")]
    (upper,) = [one for one in dated["contexts"] if one["context"] == "spit 08"]
    assert -6100 < upper["range_95"][0]["begin"] < upper["range_95"][-1]["end"] < -5600


@needs("gmh_spits/GMH_C14_dates.csv")
def test_gmh_is_taken_and_its_shells_stand_against_the_order(tmp_path: Path) -> None:
    """33 spits, 21 ages: each shell that is too old for the organics below it is told once, with all that it stands against."""
    site = taken(tmp_path, "gmh", DATA / "gmh_spits", {"context": 33, "relation": 32, "dating_result": 21})
    odd = told("date", site)["oddities"]
    assert odd[0]["says"].startswith(
        "result D-AMS 001618, radiocarbon (6,808 ± 28, Shell) of spit 16 stands against 6 others: older"
    )
    assert 3 < len(odd) < 10
    assert "“rock”" not in baulk("date", site).stdout  # levels are not taken in here, and nothing of them comes through


@needs("gmh_spits/GMH_C14_dates.csv")
def test_gmh_is_ordered_and_dated_by_its_organics(tmp_path: Path) -> None:
    """Without the shells two ages are in doubt, in words, and the 25 spits without an age are dated by the order alone."""
    text = (MAPS / "gmh.toml").read_text(encoding="utf-8")
    (tmp_path / "maps").mkdir()
    organics = tmp_path / "maps" / "gmh.toml"
    organics.write_text(
        text.replace('file = "GMH_C14_dates.csv"\n', 'file = "GMH_C14_dates.csv"\nskip = { "column 4" = ["Shell"] }\n'),
        encoding="utf-8",
    )
    counts = {"context": 33, "relation": 32, "dating_result": 9}
    site = taken(tmp_path, "gmh", DATA / "gmh_spits", counts, organics)
    (odd,) = told("date", site)["oddities"]
    assert odd["says"].startswith(
        "result D-AMS 001626, radiocarbon (5,214 ± 32, Organics) of spit 23 stands against 2 others: younger"
    )
    dated = told("date", site, "--model")
    assert len(dated["contexts"]) == 33
    assert sum(one["by_order_alone"] for one in dated["contexts"]) == 33 - 8
    out = {one["context"]: one["says"] for one in dated["out_of_place"]}
    assert "does not go with its event" in out["spit 18"]  # 5,371 over 5,461 and 5,214: the pair below weighs more
    assert "may not go with its event" in out["spit 22"]


@pytest.mark.parametrize("name", ["kiwulan", "ktc11", "gmh"])
def test_each_record_has_its_mapping(name: str) -> None:
    """A mapping file says in its first lines whose data it turns, and under which terms."""
    head = (MAPS / f"{name}.toml").read_text(encoding="utf-8").splitlines()[0]
    assert head.startswith("#") and "CC0" in head
