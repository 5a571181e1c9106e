"""A point cloud to levels of a context: onto the site grid, inside its outline, and the likely cause when it lies elsewhere."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baulk.errors import InputError, MeasureError, UnknownRecord
from baulk.record import Context, Level, Outline, Site, SiteRecord, Station, Unit, build
from baulk.store import MemoryStore
from baulk.work.pen import Pen
from baulk.work.point_cloud import CloudLevels, cloud_levels, take_cloud
from tests.exchange.test_point_cloud import ply_bytes, write_las

RING = [[112.4, 205.0], [113.3, 205.0], [113.3, 205.9], [112.4, 205.9]]
CORNERS = [[112, 204], [114, 204], [114, 206], [112, 206]]


def site(*, unit: str = "m", factor: float = 1.0, outline: bool = True) -> list[Any]:
    """Return the records of one unit with a context, an outline and levels, in another quantity when asked."""
    ring, corners = [[[part / factor for part in spot] for spot in run] for run in (RING, CORNERS)]
    made = [
        build(Site, {"id": "s", "code": "OTW26", "length_unit": unit, "crs": "EPSG:27700"}),
        build(Unit, {"id": "u", "number": "1", "corners": corners}),
        build(Context, {"id": "c", "number": "120", "kind": "deposit", "units": ["u"]}),
        build(Level, {"id": "l", "context": "c", "easting": 112.5 / factor, "northing": 205.5 / factor, "level": 28.72 / factor}),
    ]
    for name, east, north in (("A", 100.0, 200.0), ("B", 140.0, 200.0), ("C", 100.0, 240.0)):
        far = {"projected_easting": 432000 + east - 100, "projected_northing": 310000 + north - 200}
        made.append(build(Station, {"id": name, "number": name, "easting": east / factor, "northing": north / factor, **far}))
    return [*made, build(Outline, {"id": "o", "context": "c", "ring": ring})] if outline else made


def floor(count: int = 60_000) -> Any:
    """Return points over the outline and a little beyond, 28.70 m high."""
    rng = np.random.default_rng(5)
    return np.column_stack(
        [rng.uniform(112.21, 113.49, count), rng.uniform(204.81, 205.99, count), 28.7 + 0.003 * rng.normal(size=count)]
    )


def levels(path: Path, record: SiteRecord | None = None, **asked: Any) -> CloudLevels:
    """Return the levels of context 120 from a file, in cells of 10 cm."""
    return cloud_levels(record or SiteRecord.of(site()), path, "120", **{"cell": 0.1, **asked})


def test_levels_lie_in_the_outline_at_the_floor(tmp_path: Path) -> None:
    """Each cell inside the outline gives one level at the floor; the error and what was left out are told."""
    found = levels(write_las(tmp_path / "floor.laz", floor()))
    assert len(found.kept) == 81
    assert found.places.min(axis=0) == pytest.approx([112.45, 205.05])
    assert np.abs(found.thinned.levels[found.kept] - 28.7).max() < 0.001
    words = " ".join(found.notes)
    assert "taken to lie on the site grid; counts in m" in words
    assert re.search(r"(2\.9|3\.[01]) mm root mean square", words)
    assert "120 has 1 levels on its top already" in words


def test_without_an_outline_the_unit_stands_in(tmp_path: Path) -> None:
    """A context that is not drawn yet takes every cell of its unit that has points."""
    found = levels(write_las(tmp_path / "floor.las", floor()), SiteRecord.of(site(outline=False)))
    assert len(found.kept) == 13 * 12
    assert "unit 1" in " ".join(found.notes)


def test_a_site_in_feet_keeps_feet(tmp_path: Path) -> None:
    """A cloud in metres on a site in feet is turned: the level written is in feet, the words say what it came from."""
    store, pen = MemoryStore(), Pen("AK", "tablet")
    store.append([pen.create(one.KIND, _plain(one), record=one.id) for one in site(unit="ft", factor=0.3048)])
    found = levels(write_las(tmp_path / "floor.las", floor()), store.record(), lengths="m")
    before = store.revision()
    assert take_cloud(store, pen, found) == before + 81
    made = [one for one in store.record().all(Level) if one.id != "l"]
    assert len(made) == 81
    assert made[0].level == pytest.approx(28.7 / 0.3048, abs=0.01)
    assert made[0].surface == "top"
    entered = [change.entered for change in store.changes(before)]
    assert all((words or "").startswith("floor.las: median of ") for words in entered)


def _plain(entity: Any) -> dict[str, Any]:
    return {
        name: value for name, value in entity.model_dump(mode="json", exclude_none=True).items() if name not in ("id", "absences")
    }


@pytest.mark.parametrize(
    ("turn", "asked"),
    [
        (lambda p: p / 0.3048, {"lengths": "ft"}),
        (lambda p: p - [112, 204, 28], {"offset": (112, 204, 28)}),
        (lambda p: p + np.array([431900, 309800, 0]), {"projected": True}),
    ],
)
def test_ways_onto_the_site_grid_undo_what_was_done(tmp_path: Path, turn: Any, asked: dict[str, Any]) -> None:
    """Feet, a shift and the projected grid each come back to the same levels."""
    path = write_las(tmp_path / "far.las", turn(floor()), scale=0.0001)
    plain = levels(write_las(tmp_path / "floor.las", floor(), scale=0.0001))
    found = levels(path, **asked)
    assert np.abs(found.thinned.levels[found.kept] - plain.thinned.levels[plain.kept]).max() < 0.002


def test_control_points_turn_and_lift(tmp_path: Path) -> None:
    """Control points turn a cloud that was scanned on its own axes and lift its levels."""
    turn = np.radians(30)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])

    def own(points: Any) -> Any:
        return np.column_stack([(points[:, :2] - [113, 205]) @ matrix.T, points[:, 2] - 28])

    marks = np.array([[112.0, 204.0, 28.9], [114.0, 204.0, 28.8], [114.0, 206.0, 28.7]])
    rows = "".join(f"{a:.5f},{b:.5f},{z:.4f},{e},{n},{level}\n" for (a, b, z), (e, n, level) in zip(own(marks), marks, strict=True))
    table = tmp_path / "control.csv"
    table.write_text("cloud_easting,cloud_northing,cloud_level,easting,northing,level\n" + rows, encoding="utf-8")
    path = tmp_path / "own.ply"
    path.write_bytes(ply_bytes("binary_little_endian", own(floor(20_000))))
    found = levels(path, control=table)
    assert len(found.kept) == 81
    assert np.abs(found.thinned.levels[found.kept] - 28.7).max() < 0.002
    assert "turned by 3 control points" in found.notes[0]
    table.write_text(table.read_text(encoding="utf-8").replace("28.9\n", "29.9\n"), encoding="utf-8")
    with pytest.raises(MeasureError, match="One shift has to bring all of them"):
        levels(path, control=table)


@pytest.mark.parametrize(
    ("turn", "cause"),
    [
        (lambda p: p / 0.3048, "they look like feet read as metres"),
        (lambda p: p * 0.3048, "they look like metres read as feet"),
        (lambda p: p * 1000, "they look like millimetres read as metres"),
        (lambda p: p[:, [1, 0, 2]], "easting and northing look exchanged"),
        (lambda p: p + np.array([431900, 309800, 0]), "they look like the projected grid and not the site grid"),
        (lambda p: (p + np.array([431900, 309800, 0])) / 0.3048, "they look like the projected grid in feet"),
        (lambda p: p + np.array([1_300_000, 4_200_000, 0]), "they look like a projected grid and not the site grid"),
        (lambda p: p - [113, 205, 28], "they look like a scanner's own count, from where it stood"),
        (lambda p: p + np.array([700, 300, 0]), "Nothing here tells why"),
        (lambda p: p - [0, 0, 28.7], "they look like heights over an instrument or a floor"),
        (lambda p: p / [1, 1, 0.3048], "they look like feet read as metres"),
        (lambda p: p + np.array([0, 0, 12]), "The cloud may stand on another datum"),
    ],
)
def test_a_cloud_that_lies_elsewhere_is_refused_with_the_likely_cause(tmp_path: Path, turn: Any, cause: str) -> None:
    """Each common slip is named: feet, millimetres, axes exchanged, projected grid, the scanner's own count, another datum."""
    path = tmp_path / "far.ply"
    path.write_bytes(ply_bytes("binary_little_endian", turn(floor(5_000))))
    with pytest.raises(MeasureError) as refusal:
        levels(path)
    assert cause in str(refusal.value)
    assert "--" in str(refusal.value)


def test_what_is_asked_wrongly_is_refused(tmp_path: Path) -> None:
    """A wrong surface, number, quantity, two ways at once and too fine a cell are each refused in words."""
    path = write_las(tmp_path / "floor.las", floor(2_000))
    with pytest.raises(InputError, match="It is top or base"):
        cloud_levels(SiteRecord.of(site()), path, "120", "side")
    with pytest.raises(UnknownRecord, match="There is no context “12”"):
        cloud_levels(SiteRecord.of(site()), path, "12")
    with pytest.raises(InputError, match="said to count in “feet”"):
        levels(path, lengths="feet")
    with pytest.raises(InputError, match="one way onto the site grid only"):
        levels(path, offset=(1.0, 2.0), projected=True)
    with pytest.raises(InputError, match=r"at most 20,000 are taken\. Give a larger cell\."):
        levels(path, cell=0.005)
    with pytest.raises(InputError, match="with commas"):
        levels(path, offset=(1.0,))
    bare = [one for one in site(outline=False) if not isinstance(one, Unit)]
    with pytest.raises(InputError, match="no outline in plan and its unit no corners"):
        levels(path, SiteRecord.of([*bare, build(Unit, {"id": "u", "number": "1"})]))
