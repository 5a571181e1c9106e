"""The units as columns for the map, and long answers that are made once and sent compressed."""

from __future__ import annotations

from pathlib import Path

from fastapi.testclient import TestClient

from baulk.record import SiteRecord, Station, Unit
from baulk.server import create_app
from baulk.work.study import Study

ADDRESS = "http://127.0.0.1:4321"
CORNERS = ((112.0, 204.0), (114.0, 204.0), (114.0, 206.0), (112.0, 206.0))


def client(tmp_path: Path, *, units: int = 2) -> TestClient:
    """A client of some units of which the last has no corners, and one control point."""
    entities = [
        Unit(id=f"u{at}", number=str(at + 1), corners=CORNERS if at < units - 1 else None, closed="2026-06-01" if at else None)
        for at in range(units)
    ]
    study = Study(SiteRecord.of([*entities, Station(id="s1", number="YD1", easting=110.0, northing=203.0, level=30.0)]))
    return TestClient(create_app(lambda: study, static=tmp_path / "none"), base_url=ADDRESS)


def test_the_map_has_one_entry_a_unit_in_every_column(tmp_path: Path) -> None:
    """Units with corners come in order of number with their state; one without corners is counted, not placed."""
    found = client(tmp_path, units=3).get("/api/map").json()
    assert found["ids"] == ["u0", "u1"]
    assert found["numbers"] == ["1", "2"]
    assert found["open"] == [True, False]
    assert found["corners"][0] == [list(corner) for corner in CORNERS]
    assert found["unplaced"] == 1
    assert found["stations"] == [{"id": "s1", "number": "YD1", "easting": 110.0, "northing": 203.0}]


def test_long_answers_are_sent_compressed_to_who_takes_them_so(tmp_path: Path) -> None:
    """The same words come either way; only who says it takes gzip is sent it."""
    asked = client(tmp_path, units=60)
    packed = asked.get("/api/units", headers={"accept-encoding": "gzip"})
    plain = asked.get("/api/units", headers={"accept-encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.json() == plain.json()
    assert len(plain.json()) == 60
