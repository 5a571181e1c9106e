"""Laid pieces proposed on a rectified picture: in the site's own lengths, and from a picture on the projected grid."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageDraw

from baulk.errors import InputError
from baulk.exchange.geotiff import GeoTiffWriter
from baulk.exchange.overlay import Drawn, overlay_png
from baulk.record import Context, Element, Site, SiteRecord, Station, build
from baulk.work.propose import propose_pieces

CORNER = np.array([[0.002, 0, 112.0], [0, -0.002, 206.0], [0, 0, 1]])
"""Cells of 2 mm from 112.0 E 206.0 N."""
FOOT = 0.3048
TURN = np.radians(20.0)
TIE = np.array([[np.cos(TURN), np.sin(TURN), 440000.0], [-np.sin(TURN), np.cos(TURN), 110000.0], [0, 0, 1]])
"""From the site grid to an invented place on the projected grid."""


def picture(folder: Path, to_ground: np.ndarray, epsg: int | None) -> Path:
    """Return a picture of one sett of 200 by 90 mm, its middle at 112.3 E 205.8 N."""
    sheet = Image.new("RGB", (300, 200), (60, 62, 66))
    ImageDraw.Draw(sheet).rectangle((100, 78, 199, 122), fill=(150, 140, 120))
    with GeoTiffWriter(folder / "floor.tif", (300, 200), to_ground, rows_per_band=200, epsg=epsg) as tiff:
        tiff.write(np.dstack([np.asarray(sheet), np.full((200, 300), 255, np.uint8)]))
    return folder / "floor.tif"


def site(unit: str = "m", *, tied: bool = False, more: tuple[Any, ...] = ()) -> SiteRecord:
    """Return an invented site with one structure, tied to the projected grid when asked."""
    stations = []
    for place, spot in enumerate([(100, 200), (130, 200), (100, 230)] if tied else []):
        east, north, _ = TIE @ [*spot, 1]
        values = {"easting": spot[0], "northing": spot[1], "projected_easting": east, "projected_northing": north}
        stations.append(build(Station, {"id": f"st{place}", "number": f"YD{place}", "status": "good", **values}))
    where = {"crs": "EPSG:27700"} if tied else {}
    return SiteRecord.of(
        [build(Site, {"id": "s", "code": "OTW26", "length_unit": unit, **where}), *stations,
         build(Context, {"id": "c", "number": "1", "kind": "structure"}), *more]
    )  # fmt: skip


def proposed(record: SiteRecord, file: Path, folder: Path, east: float, north: float) -> tuple[np.ndarray, dict[str, str]]:
    """Return the outline proposed under one pick, and its row of the table."""
    (folder / "picks.csv").write_text(f"easting,northing\n{east},{north}\n", encoding="utf-8")
    found = propose_pieces(record, file, folder / "picks.csv", "1", folder / "out")
    assert found.refused == ()
    (row,) = csv.DictReader(found.files[0].read_text(encoding="utf-8").splitlines())
    return np.array([[float(part) for part in spot.split()] for spot in row["ring"].split("; ")]), row


def test_a_site_in_feet_has_picks_and_outlines_in_feet(tmp_path: Path) -> None:
    """The pick is given and the outline comes back in feet, while the picture counts in metres and sizes are in millimetres."""
    ring, row = proposed(site("ft"), picture(tmp_path, CORNER, None), tmp_path, 112.31 / FOOT, 205.79 / FOOT)
    assert ring.mean(axis=0) * FOOT == pytest.approx([112.3, 205.8], abs=0.003)
    assert np.ptp(ring, axis=0) * FOOT == pytest.approx([0.2, 0.09], abs=0.006)
    assert float(row["bearing"]) == pytest.approx(90, abs=1)


def test_a_picture_on_the_projected_grid_comes_back_to_the_site_grid(tmp_path: Path) -> None:
    """A picture tied to EPSG:27700 and turned by 20 degrees gives the same outline on the site grid."""
    ring, _ = proposed(site(tied=True), picture(tmp_path, TIE @ CORNER, 27700), tmp_path, 112.3, 205.8)
    assert ring.mean(axis=0) == pytest.approx([112.3, 205.8], abs=0.003)
    assert np.ptp(ring, axis=0) == pytest.approx([0.2, 0.09], abs=0.006)


def test_a_picture_on_a_grid_the_site_is_not_tied_to_is_refused(tmp_path: Path) -> None:
    """Without the tie its pixels cannot be brought to the site grid; the message offers the PNG, and nothing is written."""
    with pytest.raises(
        InputError, match=r"lies on EPSG:27700, to which this site is not tied. Give the PNG that was written beside"
    ):
        proposed(site(), picture(tmp_path, TIE @ CORNER, 27700), tmp_path, 112.3, 205.8)
    assert not (tmp_path / "out").exists()


def test_attitude_comes_from_the_mean_size_on_record(tmp_path: Path) -> None:
    """With one whole brick of the structure on record, the face of 200 by 90 is on edge and its length and height are filled."""
    whole = build(Element, {"id": "e", "number": "S1", "context": "c", "length": 200, "width": 150, "height": 90})
    _, row = proposed(site(more=(whole,)), picture(tmp_path, CORNER, None), tmp_path, 112.3, 205.8)
    assert row["attitude"] == "on edge" and row["width"] == ""
    assert (float(row["length"]), float(row["height"])) == pytest.approx((200, 90), abs=6)


def test_a_large_overlay_is_reduced() -> None:
    """A picture of 6,000 pixels is drawn at 3,000, its outline with it; without an outline nothing is drawn (the control)."""
    plain = np.full((100, 6000, 3), 100, np.uint8)
    ring = np.array([(4000, 20), (5000, 20), (5000, 80), (4000, 80)], float)
    drawn, bare = (Image.open(io.BytesIO(overlay_png(plain, things))) for things in ([Drawn("P1", ring)], []))
    assert drawn.size == bare.size == (3000, 50)
    columns = np.flatnonzero((np.asarray(drawn) != np.asarray(bare)).any(axis=(0, 2)))
    assert (columns.min(), columns.max()) == (pytest.approx(2000, abs=4), pytest.approx(2500, abs=4))
