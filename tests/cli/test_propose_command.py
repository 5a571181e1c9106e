"""`baulk propose` from a photo of setts to pieces on record."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from baulk.record import Element
from baulk.store import open_site
from tests.unit.ground.camera_picture import CORNERS, Camera

from .conftest import Run, answer

CAMERA = Camera(size=(1000, 750), focal=690.0)
BEARING = 31.0
LONG, SHORT = 0.20, 0.09
MIDDLES = np.array([(112.0, 206.0)]) + np.array(
    [[along * 0.225, across * 0.115] for along in (-1.5, -0.5, 0.5, 1.5) for across in (-1, 0, 1)]
) @ np.array(
    [[np.sin(np.radians(BEARING)), np.cos(np.radians(BEARING))], [np.cos(np.radians(BEARING)), -np.sin(np.radians(BEARING))]]
)
"""Twelve setts in three rows, their longer sides along 31 degrees."""


def setts(east, north):
    """Return the grey of a floor of light setts with dark joints."""
    turn = np.radians(BEARING)
    shade = np.full(east.shape, 60.0)
    for place, (middle_east, middle_north) in enumerate(MIDDLES):
        along = (east - middle_east) * np.sin(turn) + (north - middle_north) * np.cos(turn)
        across = (east - middle_east) * np.cos(turn) - (north - middle_north) * np.sin(turn)
        shade[(np.abs(along) < LONG / 2) & (np.abs(across) < SHORT / 2)] = 150 + 5 * (place % 4)
    return shade


@pytest.fixture
def site(run: Run, tmp_path: Path) -> Path:
    """Return an invented site with one structure and no laid piece."""
    made = tmp_path / "yard.gpkg"
    assert run("new", made, "--code", "OTW26").exit_code == 0
    (tmp_path / "context.csv").write_text("number,kind\n1,structure\n", encoding="utf-8")
    assert run("take", made, tmp_path / "context.csv", "--by", "TB").exit_code == 0
    return made


def rectified(run: Run, site: Path, folder: Path, pixels) -> Path:
    """Return the rectified picture of a photo of the unit."""
    Image.fromarray(pixels).save(folder / "frame.png")
    marks = zip(CAMERA.sees(CORNERS), CORNERS, strict=True)
    lines = [f"N{place},{seen[0]},{seen[1]},{ground[0]},{ground[1]}" for place, (seen, ground) in enumerate(marks)]
    (folder / "points.csv").write_text("\n".join(["point,column,row,easting,northing", *lines]), encoding="utf-8")
    done = run(
        "rectify", site, folder / "frame.png", folder / "points.csv", "--to", folder, "--cell", "0.003", "--no-lens", "--json"
    )
    return Path(answer(done)["files"][0])


def picks(folder: Path, places) -> Path:
    """Return a table of picks."""
    table = folder / "picks.csv"
    table.write_text("\n".join(["easting,northing", *(f"{east},{north}" for east, north in places)]), encoding="utf-8")
    return table


def grained(pixels, strength: float = 6.0):
    """Return a picture with grain."""
    noise = np.random.default_rng(8).normal(0, strength, pixels.shape)
    return np.clip(pixels + noise, 0, 255).astype(np.uint8)


def test_setts_go_from_the_photo_to_the_record_and_keep_their_axis(run: Run, site: Path, tmp_path: Path) -> None:
    """Twelve drawn setts are rectified, picked, proposed on edge, taken in, and `elements` finds their axis to half a degree."""
    picture = rectified(run, site, tmp_path, grained(CAMERA.shot(setts)))
    jitter = np.random.default_rng(1).uniform(-0.02, 0.02, MIDDLES.shape)
    done = run(
        "propose", site, picture, picks(tmp_path, MIDDLES + jitter), "--context", "1", "--to", tmp_path / "out",
        "--brick", "200x150x90", "--json",
    )  # fmt: skip
    assert done.exit_code == 0, done.stdout
    said = answer(done)
    assert [Path(file).name for file in said["files"]] == ["element.csv", "element-proposed.png"]
    assert len(said["proposed"]) == 12 and said["refused"] == []
    for one in said["proposed"]:
        assert one["confidence"] > 0.85
        assert one["attitude"] == "on edge"
        assert one["face_mm"] == pytest.approx([200, 90], abs=7)  # about a cell of 3 mm on each side
    assert run("elements", site, "1").exit_code == 3  # the control: nothing is on record until a person takes it in
    table = tmp_path / "out" / "element.csv"
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert all(row["notes"].startswith("Status: proposed, to be confirmed. Edge finder on frame-rectified.tif") for row in rows)
    assert rows[0]["number"] == "P1" and rows[0]["context"] == "1" and rows[0]["width"] == ""
    assert run("take", site, table, "--by", "TB").exit_code == 0
    found = answer(run("elements", site, "1", "--brick", "200x150x90", "--json"))
    assert found["pieces"] == 12
    assert found["axis"]["mean"] == pytest.approx(BEARING, abs=0.5)
    assert [row["pieces"] for row in found["rows"]] == [4, 4, 4]
    with open_site(site, read_only=True) as store:
        middles = np.array([np.mean(one.ring, axis=0) for one in store.record().all(Element)])
    assert np.hypot(*(middles - MIDDLES).T).max() < 0.004


def test_the_png_with_its_world_file_proposes_the_same(run: Run, site: Path, tmp_path: Path) -> None:
    """The PNG beside the GeoTIFF gives the same outlines, its place read from the world file."""
    picture = rectified(run, site, tmp_path, CAMERA.shot(setts))
    table = picks(tmp_path, MIDDLES[:3])
    rings = []
    for ending in (".tif", ".png"):
        to = tmp_path / ending[1:]
        assert run("propose", site, picture.with_suffix(ending), table, "--context", "1", "--to", to).exit_code == 0
        rows = csv.DictReader((to / "element.csv").read_text(encoding="utf-8").splitlines())
        rings.append([(row["ring"], row["attitude"]) for row in rows])
    assert rings[0] == rings[1]
    assert rings[0][0][1] == "not done: cannot tell, no size of a whole piece is known"


def test_the_overlay_shows_outlines_where_the_setts_are(run: Run, site: Path, tmp_path: Path) -> None:
    """The picture for the person differs from the plain one along the outline and names each piece; a refused pick has a cross."""
    picture = rectified(run, site, tmp_path, CAMERA.shot(setts))
    places = [*MIDDLES[:2], (112.9, 206.9)]
    done = run("propose", site, picture, picks(tmp_path, places), "--context", "1", "--to", tmp_path / "out")
    assert done.exit_code == 1
    assert "2 pieces of 1 proposed, 1 pick refused." in done.stdout
    with Image.open(tmp_path / "out" / "element-proposed.png") as sheet:
        colours = np.asarray(sheet.convert("RGB")).reshape(-1, 3)
    assert max(sheet.size) == 1200
    assert (colours == (255, 255, 255)).all(axis=1).sum() > 1000
    assert (colours == (16, 35, 28)).all(axis=1).sum() > 500


@pytest.mark.parametrize("grain", [0.0, 6.0])
def test_a_blank_picture_gives_no_outline(run: Run, site: Path, tmp_path: Path, grain: float) -> None:
    """Plain ground, with or without grain, gives no outline: every pick is refused in words and no table is written."""
    plain = grained(np.full((750, 1000, 3), 120, np.uint8), grain)
    picture = rectified(run, site, tmp_path, plain)
    done = run("propose", site, picture, picks(tmp_path, MIDDLES), "--context", "1", "--to", tmp_path / "out", "--json")
    assert done.exit_code == 1
    said = answer(done)
    assert said["proposed"] == [] and len(said["refused"]) == 12
    assert [Path(file).name for file in said["files"]] == ["element-proposed.png"]
    words = {
        "No edge holds the piece in: what looks alike runs on", "The outline is weak: an edge is seen along",
        "too few pixels for an", "No piece stands out at",
    }  # fmt: skip
    assert all(any(part in one["says"] for part in words) for one in said["refused"]), said["refused"]


def test_picks_that_cannot_be_used_are_refused(run: Run, site: Path, tmp_path: Path) -> None:
    """A pick off the picture, one piece picked twice, a number used before and a table that is there already are told in words."""
    picture = rectified(run, site, tmp_path, CAMERA.shot(setts))
    table = tmp_path / "named.csv"
    table.write_text(
        f"piece,easting,northing\nA,{MIDDLES[0][0]},{MIDDLES[0][1]}\nB,{MIDDLES[0][0] + 0.01},{MIDDLES[0][1]}\nC,500,500\n",
        encoding="utf-8",
    )
    done = run("propose", site, picture, table, "--context", "1", "--to", tmp_path / "out", "--json")
    refused = {one["pick"]: one["says"] for one in answer(done)["refused"]}
    assert refused == {"B": "It shares its ground with A: one piece picked twice.", "C": "The pick lies outside the picture."}
    again = run("propose", site, picture, table, "--context", "1", "--to", tmp_path / "out")
    assert again.exit_code == 3 and "element.csv is already there: nothing was written" in again.stderr
    assert run("take", site, tmp_path / "out" / "element.csv", "--by", "TB").exit_code == 0
    used = run("propose", site, picture, table, "--context", "1", "--to", tmp_path / "other")
    assert "piece A is on record already, or stands twice. A number is never used again" in used.stderr
    far = run("propose", site, picture, table, "--context", "1", "--to", tmp_path / "other", "--largest", "50")
    assert "A piece is said to reach 50 m from its pick. Give metres above 0" in far.stderr
    none = run("propose", site, picture, picks(tmp_path, []), "--context", "1", "--to", tmp_path / "other")
    assert none.exit_code == 3 and "holds no pick" in none.stderr
    unplaced = run("propose", site, tmp_path / "frame.png", picks(tmp_path, MIDDLES), "--context", "1", "--to", tmp_path / "other")
    assert "frame.png says nothing of its place, and there is no world file frame.pgw beside it" in unplaced.stderr
