"""Radiocarbon of three real records against their order: Kiwulan, KTC11 and GMH, whose data nobody here made.

L.-Y. Wang 2018-2022 and B. Marwick, all CC0. The data stay outside the project: the folder named by BAULK_TRIAL_DATA, else
../shared/data beside the checkout. Figures below were read in the tables themselves.
"""

from __future__ import annotations

import csv
import os
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from openpyxl import load_workbook

from baulk.dating.calibration import calibrate, years_of_limit
from baulk.dating.radiocarbon_age import RadiocarbonAge, inversions, pooled_age, read_age
from baulk.errors import InputError

DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or Path(__file__).resolve().parents[3] / "shared" / "data")
HINT = "put the folder into one place with the other trial data and name that by BAULK_TRIAL_DATA to run this trial"
Sample = tuple[str, int, RadiocarbonAge]


def needs(path: str) -> pytest.MarkDecorator:
    """Return the mark that skips a test, with words, when a table is not here."""
    return pytest.mark.skipif(not (DATA / path).exists(), reason=f"{path} is not here: {HINT}")


def kiwulan() -> list[Sample]:
    """Return square, number of layer and age of each sample."""
    rows = load_workbook(DATA / "kiwulan" / "KWL_C14_dates.xlsx")["Sheet1"].iter_rows(min_row=2, values_only=True)
    return [(str(row[1]).strip(), int(str(row[2]).strip()[1:]), read_age(str(row[5]))) for row in rows if row[0]]


def table(path: str) -> list[dict[str, str]]:
    """Return the rows of a CSV, headers without blanks around them."""
    with (DATA / path).open(encoding="utf-8-sig", newline="") as file:
        rows = [[cell.strip() for cell in row] for row in csv.reader(file)]
    heads = [f"{head} {place}" if rows[0].count(head) > 1 or not head else head for place, head in enumerate(rows[0])]
    return [dict(zip(heads, row, strict=False)) for row in rows[1:] if any(row)]


@needs("kiwulan/KWL_C14_dates.xlsx")
def test_all_31_dates_of_kiwulan_are_read_and_eight_are_limits() -> None:
    """23 ages with errors calibrate, each to its pieces; 8 are “<200yr”, said as limits and not calibrated."""
    samples = kiwulan()
    limits = [age for _, _, age in samples if age.younger_than is not None]
    assert (len(samples), len(limits)) == (31, 8)
    assert {age.words.split(" says")[0] for age in limits} == {"“<200yr”"}
    assert years_of_limit(200).startswith("Below 200 BP: about 166")
    for _, _, age in samples:
        if age.age is None or age.error is None:
            continue
        found = calibrate(age.age, age.error)
        assert sum(piece.share for piece in found.pieces()) >= 0.9545
        assert "IntCal20" in found.words


@needs("kiwulan/KWL_C14_dates.xlsx")
def test_the_inversion_of_kiwulan_is_told() -> None:
    """Of the pairs in one square by number of layer, only P052 is out of order: 510 ± 75 in layer 6 over “<200yr” in layer 7."""
    samples = kiwulan()
    pairs = [
        (one, other)
        for one, other in combinations(range(len(samples)), 2)
        if samples[one][0] == samples[other][0] and samples[one][1] != samples[other][1]
    ]
    ordered = [(one, other) if samples[one][1] < samples[other][1] else (other, one) for one, other in pairs]
    ages, errors, limits = (
        [np.nan if value is None else value for value in column]
        for column in (
            [age.age for _, _, age in samples], [age.error for _, _, age in samples], [age.younger_than for _, _, age in samples],
        )
    )  # fmt: skip
    found = inversions(ages, errors, [pair[0] for pair in ordered], [pair[1] for pair in ordered], younger_than=limits)
    told = [(samples[one.later][:2], samples[one.earlier][:2]) for one in found]
    assert told == [(("P052", 6), ("P052", 7))]


@needs("ktc11/ktc11_radiocarbon_dates.csv")
def test_the_inversion_at_the_base_of_ktc11_is_told() -> None:
    """The charcoal of spit 20, 11,236 ± 42, is too young under shells of spits 13, 15 and 19; nothing else is out of order."""
    rows = table("ktc11/ktc11_radiocarbon_dates.csv")
    ages, errors = [float(row["RCAge"]) for row in rows], [float(row["RCAge_1s_error"]) for row in rows]
    spits = [int(row["spit"]) for row in rows]
    pairs = [(a, b) for a in range(len(rows)) for b in range(len(rows)) if spits[a] < spits[b]]
    found = inversions(ages, errors, [pair[0] for pair in pairs], [pair[1] for pair in pairs])
    assert [(spits[one.later], spits[one.earlier], one.difference) for one in found] == [
        (19, 20, 1790.0), (15, 20, 754.0), (13, 20, 577.0),
    ]  # fmt: skip
    assert all(one.deviations > 9 for one in found)
    assert {rows[one.later]["Material"] for one in found} == {"shell"}  # what a reservoir would do: shells too old
    for age, error in zip(ages, errors, strict=True):
        assert calibrate(age, error).pieces()


@needs("gmh_spits/GMH_C14_dates.csv")
def test_shell_and_organics_of_one_spit_do_not_pool() -> None:
    """Spit 14 of GMH has shells 800 years older than its organics: the check refuses their mean and holds within each."""
    rows = [row for row in table("gmh_spits/GMH_C14_dates.csv") if row["Excavation unit (spit)"] == "14"]
    heads = list(rows[0])
    age_at, error_at = heads.index("BP"), len(heads) - 1
    values = [list(row.values()) for row in rows]
    by_kind = {
        kind: [(float(row[age_at]), float(row[error_at])) for row in values if kind in row] for kind in ("Shell", "Organics")
    }
    assert {kind: len(held) for kind, held in by_kind.items()} == {"Shell": 2, "Organics": 2}
    for held in by_kind.values():
        assert pooled_age(*zip(*held, strict=True)).agree
    mixed = pooled_age(*zip(*(by_kind["Shell"] + by_kind["Organics"]), strict=True))
    assert not mixed.agree
    assert "this mean may not be used" in mixed.words


@needs("gmh_spits/GMH_C14_dates.csv")
def test_organics_out_of_order_are_told() -> None:
    """5214 ± 32 of spit 23 is too young under 5461 ± 29 of spit 22 and 5371 ± 28 of spit 18; the other organics are in order."""
    rows = [list(row.values()) for row in table("gmh_spits/GMH_C14_dates.csv") if "Organics" in row.values()]
    ages, errors, spits = [float(row[-2]) for row in rows], [float(row[-1]) for row in rows], [int(row[2]) for row in rows]
    pairs = [(a, b) for a in range(len(rows)) for b in range(len(rows)) if spits[a] < spits[b]]
    found = inversions(ages, errors, [pair[0] for pair in pairs], [pair[1] for pair in pairs])
    assert [(ages[one.later], ages[one.earlier]) for one in found] == [(5461.0, 5214.0), (5371.0, 5214.0)]


def test_words_that_are_no_age_are_refused() -> None:
    """A table's other words, such as a layer's, are not taken for an age."""
    with pytest.raises(InputError, match="is no radiocarbon age"):
        read_age("artefact-bearing deposit")
