"""Real levels that were not taken for this purpose; they are not part of the project, and the tests skip without them."""

from __future__ import annotations

import csv
import os
from pathlib import Path

import numpy as np
import pytest
import shapely

from baulk.errors import FieldError
from baulk.ground.stack import keep_from_crossing
from baulk.ground.surface import Surface, fit_surface
from baulk.ground.thickness import cells_over
from baulk.ground.tin import Tin
from baulk.ground.volume import Outlined, volume_between
from baulk.ground.volume_formulas import triangle_prisms
from baulk.record import Level, build

TRIAL_DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or Path(__file__).resolve().parents[3] / "shared" / "data")
CORNERS = {"NW": (0.0, 1.0), "NE": (1.0, 1.0), "SE": (1.0, 0.0), "SW": (0.0, 0.0), "center": (0.5, 0.5)}
SQUARE = shapely.box(0, 0, 1, 1)


def read_rows(folder: str, name: str) -> list[dict[str, str]]:
    """Return the rows of a table, or skip with the place where it was looked for."""
    path = TRIAL_DATA / folder / name
    if not path.is_file():
        pytest.skip(f"trial data {name} is not there: set BAULK_TRIAL_DATA to the folder that holds {folder}")
    with path.open(encoding="utf-8-sig", newline="") as lines:
        return list(csv.DictReader(lines))


def spit_levels(row: dict[str, str], when: str) -> tuple[list[Level], list[str]]:
    """Return the levels of one spit's start or end, and what was refused; a square of 1 m is assumed, the table gives no size."""
    kept, refused = [], []
    for corner, (east, north) in CORNERS.items():
        given = next(text for name, text in row.items() if name.split() == [corner, when])
        if not given.strip():
            continue
        try:
            down: object = float(given) - float(row["datum"])
        except ValueError:
            down = given
        values = {"id": f"{row['Spit']}-{corner}-{when}", "context": row["Spit"], "easting": east, "northing": north}
        try:
            kept.append(build(Level, {**values, "level": -down if isinstance(down, float) else down}))
        except FieldError as error:
            refused.append(str(error))
    return kept, refused


def surface_of(levels: list[Level]) -> Surface:
    """Return the surface through levels."""
    return fit_surface([one.positions()[0] for one in levels], [one.level for one in levels], SQUARE)


@pytest.fixture
def spits() -> dict[str, tuple[Surface, Surface]]:
    """Return top and base of every spit that has levels of both; one spit stands in two rows, start and end."""
    found = {}
    for row in read_rows("gmh_spits", "GMH_spit_depths.csv"):
        start, end = spit_levels(row, "start")[0], spit_levels(row, "end")[0]
        if start and end:
            found[row["Spit"]] = surface_of(start), surface_of(end)
    return found


def test_rock_in_a_column_of_numbers_is_refused_in_words() -> None:
    """The twelve cells that say “rock” are refused one by one, each with what was given; the other levels are kept."""
    kept, refused = 0, []
    for row in read_rows("gmh_spits", "GMH_spit_depths.csv"):
        for when in ("start", "end"):
            levels, words = spit_levels(row, when)
            kept += len(levels)
            refused += words
    assert len(refused) == 12
    assert kept > 300
    assert all("Level is given as “rock”" in one for one in refused)


def test_spits_hold_about_what_their_sheets_say(spits: dict[str, tuple[Surface, Surface]]) -> None:
    """Most spits with five levels above and below hold the depth on their sheet within a fifth.

    Three are more than half off, and their own levels say so: spit 14 was dug 150 mm, spit 26 starts where it ends, spit 27 starts
    50 mm above the end of 26 in one corner.
    """
    nominal = {row["Spit"]: float(row["depth on spit sheet"]) for row in read_rows("gmh_spits", "GMH_spit_depths.csv")}
    off = {}
    for number, (top, base) in spits.items():
        found = volume_between(top, base, Outlined(SQUARE))
        assert found.standard_error > 0
        if top.spread.count == base.spread.count == 5:
            assert found.covered == pytest.approx(1.0)
            off[number] = abs(found.cubic_metres / nominal[number] - 1)
    assert len(off) == 27
    assert np.mean(np.array(list(off.values())) < 0.2) > 0.7
    assert {number for number, share in off.items() if share > 0.5} == {"14", "26", "27"}


def test_two_and_three_levels_left_by_rock_say_that_there_is_no_check(spits: dict[str, tuple[Surface, Surface]]) -> None:
    """Spit 31 ends with three levels, spit 32 starts with three: planes without a check, a part too far off, a wider error."""
    assert "three levels: a plane, no check" in spits["31"][1].says
    assert "three levels: a plane, no check" in spits["32"][0].says
    five, three = (volume_between(*spits[number], Outlined(SQUARE)) for number in ("20", "32"))
    assert three.standard_error > 1.3 * five.standard_error
    assert 0.85 < three.covered < 0.95
    assert "8% of the outline lies too far from any level and is not counted" in three.notes


def test_an_end_that_lies_below_the_next_start_is_named(spits: dict[str, tuple[Surface, Surface]]) -> None:
    """Spit 31 ends at 4.4 in its north-east corner, where spit 32 starts at 4.04: the two are named as crossing by 0.36 m."""
    (_, end), (start, _) = spits["31"], spits["32"]
    found = keep_from_crossing([end, start], [SQUARE] * 2, [(0, 1)], cells_over(SQUARE, 0.05).places)
    (crossing,) = found.crossings
    worst = crossing.levels[0]
    assert worst.by == pytest.approx(0.36, abs=0.01)
    assert tuple((end, start)[worst.surface].spread.places[worst.level]) == (1.0, 1.0)
    fine = keep_from_crossing([spits["24"][1], spits["25"][0]], [SQUARE] * 2, [(0, 1)], cells_over(SQUARE, 0.05).places)
    assert fine.crossings == ()


@pytest.mark.parametrize("name", ["UA4_surf.csv", "UB5a_surf.csv"])
def test_hundreds_of_shots_on_one_surface_are_joined_and_checked(name: str) -> None:
    """Shots on an excavated surface are joined by triangles, left-out ones met within a decimetre; the volume is that of prisms."""
    rows = read_rows("marathousa1", name)
    places = np.array([(float(row["x"]), float(row["y"])) for row in rows])
    levels = np.array([float(row["z"]) for row in rows])
    surface = fit_surface(places, levels)
    assert surface.kind == "triangles"
    assert isinstance(surface.model, Tin)
    assert surface.left_out_error is not None
    assert surface.left_out_error < 0.10
    hull = shapely.MultiPoint(surface.spread.places).convex_hull
    floor = float(levels.min()) - 1.0
    base = fit_surface(surface.spread.places, np.full(surface.spread.count, floor), kind="triangles")
    prisms = triangle_prisms(surface.spread.places, surface.levels - floor, surface.model.triangles)
    assert volume_between(surface, base, Outlined(hull)).cubic_metres == pytest.approx(prisms, rel=5e-3)


def test_few_shots_of_each_square_foretell_the_others() -> None:
    """From six shots over a square, the other shots lie within 2.5 stated deviations at least nine times in ten."""
    rows = read_rows("marathousa1", "UA4_surf.csv")
    scaled: list[float] = []
    for square in {row["unit"] for row in rows}:
        shots = np.array([(float(row["x"]), float(row["y"]), float(row["z"])) for row in rows if row["unit"] == square])
        if len(shots) < 10:
            continue
        chosen = np.linspace(0, len(shots) - 1, 6).astype(int)
        surface = fit_surface(shots[chosen, :2], shots[chosen, 2])
        rest = np.delete(shots, chosen, axis=0)
        found = surface.at(rest[:, :2])
        reach = np.sqrt(found.deviation**2 + surface.variogram.nugget)
        scaled += (np.abs(found.levels - rest[:, 2]) / reach)[np.isfinite(found.levels)].tolist()
    assert len(scaled) > 50
    assert np.mean(np.array(scaled) < 2.5) > 0.9
