"""`baulk rectify` and `baulk elements` from file to answer."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from baulk.work.demo import DemoSites
from tests.unit.ground.camera_picture import CORNERS, Camera

from .conftest import Run, answer


def _photo(folder: Path, count: int = 8) -> tuple[Path, Path]:
    camera = Camera()
    Image.fromarray(camera.floor()).save(folder / "frame.png")
    rows = [
        f"N{place},{column:.2f},{row:.2f},{east},{north}"
        for place, ((column, row), (east, north)) in enumerate(zip(camera.sees(CORNERS), CORNERS, strict=True), start=1)
    ]
    (folder / "points.csv").write_text("\n".join(["point,column,row,easting,northing", *rows[:count]]) + "\n", encoding="utf-8")
    return folder / "frame.png", folder / "points.csv"


def test_a_photo_is_rectified_onto_the_site_grid(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """The command writes GeoTIFF, PNG and world file on the demo's grid and tells residuals, left-out errors and relief."""
    photo, points = _photo(tmp_path)
    done = run("rectify", demo_sites.good, photo, points, "--to", tmp_path / "out", "--cell", "0.005", "--json")
    assert done.exit_code == 0
    said = answer(done)
    assert [Path(file).name for file in said["files"]] == ["frame-rectified.tif", "frame-rectified.png", "frame-rectified.pgw"]
    assert said["left_out_mm"] < 0.5
    assert len(said["points"]) == 8
    assert "50 mm off the plane is drawn up to" in said["relief"]
    with tifffile.TiffFile(said["files"][0]) as read:
        facts = read.geotiff_metadata
        pixels = read.asarray()
    assert facts["GTCitationGeoKey"] == said["grid"] == "site grid of OTW26, metres"
    assert facts["ModelTiepoint"][3:5] == pytest.approx([110.8, 207.2])
    world = [float(line) for line in Path(said["files"][2]).read_text().split()]
    assert world == pytest.approx([0.005, 0, 0, -0.005, 110.8025, 207.1975])
    with Image.open(said["files"][1]) as picture:
        assert np.array_equal(np.asarray(picture), pixels)
    east, north = 112.05, 206.05  # the middle of a square; its neighbour to the east has the other shade
    row, column = int((207.2 - north) / 0.005), int((east - 110.8) / 0.005)
    assert abs(int(pixels[row, column, 0]) - int(pixels[row, column + 20, 0])) > 100


def test_four_points_say_no_check_and_files_are_never_written_over(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """With four points the words are “no check”; a second run into the same folder is refused and leaves the first."""
    photo, points = _photo(tmp_path, 4)
    words = run("rectify", demo_sites.good, photo, points, "--to", tmp_path / "out", "--cell", "0.02")
    assert "4 points: no check." in words.stdout
    assert "Mark a fifth point" in words.stdout
    again = run("rectify", demo_sites.good, photo, points, "--to", tmp_path / "out", "--cell", "0.02")
    assert again.exit_code == 3
    assert "frame-rectified.tif is already there: nothing was written" in again.stderr


def test_points_that_cannot_be_read_are_listed(run: Run, demo_sites: DemoSites, tmp_path: Path) -> None:
    """A word where a number belongs is named with its line, and a missing column with what the table should hold."""
    photo, points = _photo(tmp_path)
    points.write_text(points.read_text(encoding="utf-8").replace(",111.0,205.0", ",left,205.0", 1), encoding="utf-8")
    bad = run("rectify", demo_sites.good, photo, points)
    assert bad.exit_code == 3
    assert "line 2, column “easting” “left”: This is not a number" in bad.stderr
    points.write_text("point,column,row,east,northing\n1,2,3,4,5\n", encoding="utf-8")
    missing = run("rectify", demo_sites.good, photo, points)
    assert "has no column “easting”. Did you mean east" in missing.stderr


def test_setts_of_the_demo_turn_round_the_socket(run: Run, demo_sites: DemoSites) -> None:
    """The demo's setts are on edge in seven courses round the socket at 112.20, 205.80, which lies within the bound given."""
    done = run("elements", demo_sites.good, "109", "--json")
    assert done.exit_code == 0
    said = answer(done)
    turning = said["turning"]
    assert turning["turns"] is True
    off = np.hypot(turning["easting"] - 112.20, turning["northing"] - 205.80)
    assert off < turning["within"] < 0.05
    assert [row["pieces"] for row in said["rows"]] == [4, 5, 5, 5, 5, 5, 3]
    assert set(said["attitudes"]) == {"on edge", "cannot tell"}
    cuts = {cut["cut"]: cut for cut in said["cut_through"]}
    assert cuts["105"]["pieces"] == ["S16", "S17", "S21", "S26", "S31"]
    assert cuts["105"]["edge"].startswith("A round edge of radius 0.28 m")
    assert cuts["114"]["edge"].startswith("A straight edge of bearing 88.8°")
    words = run("elements", demo_sites.good, "109", "--brick", "210x152x89").stdout
    assert "They turn round 112.200 E 205.800 N, within 0.025 m" in words


def test_elements_refuses_what_it_cannot_answer(run: Run, demo_sites: DemoSites) -> None:
    """A context without pieces, one that is not on record, and a size that is none are refused in words."""
    none = run("elements", demo_sites.good, "101")
    assert none.exit_code == 3
    assert "No laid piece is recorded for context 101" in none.stderr
    assert "There is no context “999”" in run("elements", demo_sites.good, "999").stderr
    size = run("elements", demo_sites.good, "109", "--brick", "big")
    assert size.exit_code == 2
    assert "Write length, breadth and thickness in millimetres" in size.stderr
