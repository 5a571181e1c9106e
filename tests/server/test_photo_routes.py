"""A photo put straight for the page: the same fit as the command's, in the site's own lengths, and nothing of what is withheld."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import Image, ImageDraw

from baulk.record import Context, Photo, PhotoPoint, Site, SiteRecord, Unit, build
from baulk.server import create_app
from baulk.store import FileShelf
from baulk.work.rectify import rectify_photo
from baulk.work.study import Study

FOOT = 0.3048
GROUND = {"A": (112.0, 204.0), "B": (114.0, 204.0), "C": (114.0, 206.0), "D": (112.0, 206.0), "M": (113.0, 205.0)}
"""Nails of an invented unit in metres."""
TILT = np.array([[350.0, 10.0, 450.0], [8.0, -350.0, 450.0], [0.0, 0.03, 1.0]])
"""From metres about the middle of the unit to pixels: a camera that looks down a little from the south."""


def pixel(east: float, north: float) -> tuple[float, float]:
    """Return where the camera sees a place of the floor."""
    across, down, depth = TILT @ [east - 113.0, north - 205.0, 1.0]
    return across / depth, down / depth


def photo_file() -> bytes:
    """Return a photo of the floor with one sett of 200 by 90 mm, its middle at 112.6 E 205.3 N."""
    sheet = Image.new("RGB", (900, 900), (60, 62, 66))
    corners = [pixel(112.6 + east, 205.3 + north) for east, north in ((-0.1, -0.045), (0.1, -0.045), (0.1, 0.045), (-0.1, 0.045))]
    ImageDraw.Draw(sheet).polygon(corners, fill=(150, 140, 120))
    out = io.BytesIO()
    sheet.save(out, "PNG")
    return out.getvalue()


def site(folder: Path, unit: str = "m", **photo: Any) -> tuple[TestClient, SiteRecord, FileShelf, str]:
    """Return a client of an invented site with one photo, its record, shelf and the photo's hash."""
    shelf = FileShelf(folder / "site.files")
    sha = shelf.keep(photo_file())
    record = SiteRecord.of([
        build(Site, {"id": "s", "code": "OTW26", "length_unit": unit}),
        build(Unit, {"id": "u", "number": "1"}),
        build(Context, {"id": "c", "number": "109", "kind": "structure", "units": ["u"]}),
        build(Photo, {"id": "p", "number": "P1", "unit": "u", "file": sha, **photo}),
    ])  # fmt: skip
    study = Study(record, shelf)
    client = TestClient(create_app(lambda: study, static=folder / "none"), base_url="http://127.0.0.1:4321")
    return client, record, shelf, sha


def marked(metres: float = 1.0, **moved: tuple[float, float]) -> list[str]:
    """Return the marked points as they are asked with; some moved on the ground, in metres."""
    rows = []
    for name, (east, north) in GROUND.items():
        column, row = pixel(east, north)
        by = moved.get(name, (0.0, 0.0))
        rows.append(f"{column:.4f},{row:.4f},{(east + by[0]) / metres:.6f},{(north + by[1]) / metres:.6f},{name}")
    return rows


def test_the_page_and_the_command_fit_alike(tmp_path: Path) -> None:
    """Residuals, left-out misses and check of the route are those that `baulk rectify` writes from the same points."""
    client, record, shelf, sha = site(tmp_path)
    points = marked(M=(0.012, -0.004))
    answer = client.get("/api/photos/p/fit", params={"point": points}).json()
    table = tmp_path / "points.csv"
    rows = (f"{name},{rest}" for rest, name in (point.rsplit(",", 1) for point in points))
    table.write_text("point,column,row,easting,northing\n" + "\n".join(rows) + "\n", encoding="utf-8")
    (tmp_path / "out").mkdir()
    fit = rectify_photo(record, shelf.path(sha), table, tmp_path / "out").fit
    assert [one["point"] for one in answer["points"]] == list(fit.names)
    assert np.array([[one["across_mm"], one["up_mm"]] for one in answer["points"]]) == pytest.approx(fit.residuals, abs=1e-6)
    assert answer["check"] == fit.check
    assert max(abs(one["across_mm"]) for one in answer["points"]) > 1.0


def test_true_points_fit_and_a_wrong_one_is_seen(tmp_path: Path) -> None:
    """Points where they are fit to a tenth of a millimetre; one 50 mm off is missed by more than 20 mm when left out."""
    client, *_ = site(tmp_path)
    good = client.get("/api/photos/p/fit", params={"point": marked()}).json()
    assert max(np.hypot(one["across_mm"], one["up_mm"]) for one in good["points"]) < 0.1
    bad = client.get("/api/photos/p/fit", params={"point": marked(M=(0.05, 0))}).json()
    assert max(one["left_out_mm"] or 0 for one in bad["points"]) > 20


def test_four_points_have_no_check(tmp_path: Path) -> None:
    """With four points nothing is left out and the check says that there is none; with three the rule is told."""
    client, *_ = site(tmp_path)
    answer = client.get("/api/photos/p/fit", params={"point": marked()[:4]}).json()
    assert answer["check"] == "no check"
    assert {one["left_out_mm"] for one in answer["points"]} == {None}
    refused = client.get("/api/photos/p/fit", params={"point": marked()[:3]})
    assert refused.status_code == 422
    assert refused.json()["message"].startswith("3 points are marked.")


def test_the_picture_lies_where_it_is_said(tmp_path: Path) -> None:
    """The sett stands in the picture at its own place on the grid: its colour inside, that of the floor outside."""
    client, *_ = site(tmp_path)
    told = client.get("/api/photos/p/fit", params={"point": marked()}).json()
    west, _, _, north = told["extent"]
    image = Image.open(io.BytesIO(client.get("/api/photos/p/straight.png", params={"point": marked()}).content))
    assert list(image.size) == told["size"]

    def colour(east: float, up: float) -> tuple[int, ...]:
        found = image.getpixel((int((east - west) / told["cell"]), int((north - up) / told["cell"])))
        assert isinstance(found, tuple)
        return found

    for east, up in ((112.51, 205.3), (112.69, 205.3), (112.6, 205.26), (112.6, 205.34)):
        assert colour(east, up) == (150, 140, 120, 255)
    for east, up in ((112.48, 205.3), (112.72, 205.3), (112.6, 205.24), (112.6, 205.36)):
        assert colour(east, up) == (60, 62, 66, 255)


def test_lengths_are_the_sites_own(tmp_path: Path) -> None:
    """On a site in feet points come and the extent goes in feet, while residuals stay in millimetres."""
    client, *_ = site(tmp_path, "ft")
    answer = client.get("/api/photos/p/fit", params={"point": marked(FOOT)}).json()
    metres = np.array(answer["extent"]) * FOOT
    assert metres == pytest.approx([111.8, 203.8, 114.2, 206.2], abs=0.02)
    assert max(abs(one["up_mm"]) for one in answer["points"]) < 0.2


def test_pieces_are_proposed_as_records_to_confirm(tmp_path: Path) -> None:
    """The sett picked is proposed with its outline, axis and marks of a proposal; a pick on bare floor is refused in words."""
    client, *_ = site(tmp_path)
    asked = {"point": marked(), "structure": "c", "pick": ["112.61,205.29,S1", "113.5,204.5,S2"]}
    answer = client.get("/api/photos/p/pieces", params=asked).json()
    (one,) = answer["proposed"]
    assert one["number"] == "S1"
    assert np.mean(one["values"]["ring"], axis=0) == pytest.approx([112.6, 205.3], abs=0.005)
    assert sorted(one["face_mm"]) == pytest.approx([90, 200], abs=8)
    assert one["values"]["notes"].startswith("Status: proposed, to be confirmed.")
    assert one["absences"]["attitude"].startswith("not done")
    assert [refused["number"] for refused in answer["refused"]] == ["S2"]
    unit = client.get("/api/photos/p/pieces", params={**asked, "structure": "u"})
    assert unit.json()["message"] == "Pieces belong to a structure: name the context they were laid in."


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    """A point or pick without its numbers is refused with the form it should have; so is a number that is none."""
    client, *_ = site(tmp_path)
    for point in ("12,13", "a,b,c,d,name", "1,2,nan,4,A"):
        refused = client.get("/api/photos/p/fit", params={"point": [point]})
        assert refused.status_code == 422
        assert "It is column, row, easting, northing and its name, with commas between." in refused.json()["message"]
    asked = {"point": marked(), "structure": "c", "pick": ["here"]}
    assert "A pick is given as “here”." in client.get("/api/photos/p/pieces", params=asked).json()["message"]


def test_a_withheld_photo_is_not_put_straight(tmp_path: Path) -> None:
    """A sensitive photo, one without a picture and an unknown one are answered with 404, without a word of the photo."""
    client, *_ = site(tmp_path, sensitive=True)
    assert client.get("/api/photos/p/straight.png", params={"point": marked()}).status_code == 404
    assert client.get("/api/photos/nothing/fit", params={"point": marked()}).status_code == 404
    bare, *_ = site(tmp_path / "bare", file=None)
    assert bare.get("/api/photos/p/fit", params={"point": marked()}).json()["message"] == (
        "No picture is kept for this photo. Keep the picture with the photo's record first."
    )


def test_a_point_on_a_photo_is_called_by_its_photo(tmp_path: Path) -> None:
    """A marked point has its place in plan, a point on a wall has none, and a page calls it by photo and name."""
    _, record, _, sha = site(tmp_path)
    plan = build(PhotoPoint, {"id": "k", "photo": "p", "point": "A", "column": 1, "row": 2, "easting": 112, "northing": 204})
    wall = build(PhotoPoint, {"id": "l", "photo": "p", "point": "B", "column": 1, "row": 2, "distance": 0.5, "level": 29.1})
    assert [(spot.easting, spot.northing) for spot in plan.positions()] == [(112, 204)]
    assert wall.positions() == ()
    more = SiteRecord.of([*record.by_id.values(), plan])
    study = Study(more, FileShelf(tmp_path / "site.files"))
    client = TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url="http://127.0.0.1:4321")
    assert client.get("/api/record/k").json()["record"]["link"]["label"] == "P1/A"
    assert client.get(f"/api/files/{sha}").status_code == 200
