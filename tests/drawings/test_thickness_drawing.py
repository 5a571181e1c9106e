"""The sheet of a thickness, its figures read back from the SVG."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from baulk.drawing import to_svg
from baulk.drawing.thickness import Thickness, thickness_drawing
from baulk.ground.contours import contour_lines
from baulk.ground.surface import fit_surface
from baulk.ground.thickness import Cells, ThicknessMap, thickness_map
from baulk.ground.volume import Outlined, volume_between
from baulk.record import Context, Level, Position, Site, SiteRecord, Unit
from tests.drawings.read_svg import area_of, entries, groups, lines, paths, read, words

CORNERS = tuple(Position(*spot) for spot in ((100.0, 50.0), (102.0, 50.0), (102.0, 52.0), (100.0, 52.0)))
PLACES = ((100.1, 50.1), (101.9, 50.1), (101.9, 51.9), (100.1, 51.9), (101.0, 51.0))


def _wedge(unit: str = "m", ground: shapely.Polygon | None = None) -> tuple[SiteRecord, Thickness]:
    """Return a layer that is 100 mm thick at the west edge and 300 mm at the east, in the site's quantity."""
    metres = 1.0 if unit == "m" else 0.3048
    record = SiteRecord.of([
        Site(id="s", code="OTW26", length_unit=unit), Unit(id="u", number="1", corners=CORNERS),
        Context(id="c", number="102", kind="deposit", units=("u",)),
        *(Level(id=f"l{place}", context="c", surface="top", easting=east, northing=north, level=10.0)
          for place, (east, north) in enumerate(PLACES)),
    ])  # fmt: skip
    places = np.array(PLACES) * metres
    outline = shapely.Polygon(np.array(CORNERS) * metres) if ground is None else ground
    top = fit_surface(places, np.full(5, 10.0) * metres, outline, kind="plane")
    base = fit_surface(places, (9.9 - 0.1 * (np.array(PLACES)[:, 0] - 100.0)) * metres, outline, kind="plane")
    cells = thickness_map(top, base, outline.buffer(0.075), 0.05)
    certain = ThicknessMap(cells.cells, cells.thickness, np.full(cells.deviation.shape, 0.004), cells.extrapolated)
    return record, Thickness("c", "u", outline, certain, volume_between(top, base, Outlined(outline)), record.all(Level))


def _svg(record: SiteRecord, found: Thickness, **how: object) -> str:
    return to_svg(thickness_drawing(record, found, **how))


def test_a_contour_lies_where_the_thickness_is_its_own() -> None:
    """On a wedge of 100 to 300 mm over 2 m the contour of 150 mm lies 0.5 m, at 1:20 25 mm, from the west edge."""
    root = read(_svg(*_wedge()))
    west = min(across for across, _ in lines(groups(root, "outline")[0], "baulk-line-outline")[0])
    found = {group.get("data-name"): lines(group, "baulk-line-contour") for group in groups(root, "contour")}
    assert set(found) == {"150", "200", "250"}
    for name, runs in found.items():
        for run in runs:
            assert {round(across - west, 2) for across, _ in run} == {(float(name or 0) - 100) / 100 * 50}
    assert sorted(word for group in groups(root, "contour-label") for word in words(group)) == ["150", "200", "250"]


def test_the_shades_fill_the_outline_and_nothing_else() -> None:
    """Every step of a wedge takes a quarter of 2 × 2 m, 25 × 100 mm on paper, whatever the cells; the key names each step."""
    ring = shapely.Polygon([(100.0, 50.0), (102.0, 50.0), (102.0, 52.0), (101.0, 52.0)])
    for ground, whole in ((None, 10_000.0), (ring, 5_000.0 * 1.5)):
        record, found = _wedge(ground=ground)
        root = read(_svg(record, found))
        areas = {
            group.get("data-name"): sum(area_of(run) for run in lines(group, "baulk-soil")) for group in groups(root, "thickness")
        }
        assert sum(areas.values()) == pytest.approx(whole, rel=1e-3)
        assert {f"shade: {name}" for name in areas} == {name for name in entries(root) if name.startswith("shade")}
    assert list(areas) == ["100 to 150 mm", "150 to 200 mm", "200 to 250 mm", "250 to 300 mm"]


def test_what_is_extrapolated_is_hatched_and_nothing_else() -> None:
    """Hatching lies outside the square of the outermost levels, to within a cell; a map with no such cell has none."""
    record, found = _wedge()
    root = read(_svg(record, found))
    [hatch] = groups(root, "extrapolated")
    outline = lines(groups(root, "outline")[0], "baulk-line-outline")[0]
    west, north = min(across for across, _ in outline), min(down for _, down in outline)
    inside = shapely.box(west + 5 + 2.5, north + 5 + 2.5, west + 95 - 2.5, north + 95 - 2.5)
    runs = [shapely.LineString(run) for run in lines(hatch, "baulk-line-extrapolated")]
    assert len(runs) > 20 and not any(run.intersects(inside) for run in runs)
    known = found.map
    certain = ThicknessMap(known.cells, known.thickness, known.deviation, np.zeros(known.extrapolated.shape, bool))
    plain = Thickness("c", "u", found.ground, certain, found.volume, found.levels)
    assert groups(read(_svg(record, plain)), "extrapolated") == []


def test_the_title_block_states_volume_and_errors() -> None:
    """The volume of the wedge, 2 × 2 × 0.2 m, stands with its 95 % half width, and the standard error of a thickness."""
    record, found = _wedge()
    assert found.volume is not None
    said = words(groups(read(_svg(record, found)), "title-block")[0])
    told = " ".join(said)
    assert f"Volume: 800 ± {1000 * found.volume.half_width:.0f} litres (95 %)" in told
    assert "Mean thickness: 200 mm" in told
    assert "Standard error of a thickness: 4 mm as a rule, 4 mm at" in told


def test_a_site_in_feet_is_labelled_in_feet() -> None:
    """Contours, steps and volume are in feet: the same figures as in metres, a thousandth of the labels."""
    record, found = _wedge("ft")
    root = read(_svg(record, found))
    assert {group.get("data-name") for group in groups(root, "contour")} == {"0.15", "0.2", "0.25"}
    assert "Volume: 0.8 ±" in " ".join(words(groups(root, "title-block")[0]))
    assert "shade: 0.1 to 0.15 ft" in entries(root)


def test_no_contour_is_finer_than_the_error() -> None:
    """With a standard error of 60 mm the wedge has steps of 100 mm, and with one of 200 mm no contour but that of 200 mm."""
    record, found = _wedge()
    for error, names in ((0.06, {"200"}), (0.004, {"150", "200", "250"})):
        loose = ThicknessMap(
            found.map.cells, found.map.thickness, np.full(found.map.deviation.shape, error), found.map.extrapolated
        )
        root = read(_svg(record, Thickness("c", "u", found.ground, loose, found.volume, found.levels)))
        assert {group.get("data-name") for group in groups(root, "contour")} == names


def test_levels_stand_at_their_places() -> None:
    """Each level used is marked at its place and named; a public sheet has no grid position."""
    record, found = _wedge()
    root = read(_svg(record, found))
    points = groups(root, "point")
    assert {group.get("data-record") for group in points} == {level.id for level in found.levels}
    assert all("10.00" in words(group) for group in points)
    assert any("100.00 E" in word for word in words(root))
    assert not any(word.endswith((" E", " N")) and word[0].isdigit() for word in words(read(_svg(record, found, public=True))))


def test_a_thickness_that_cannot_be_told_is_said() -> None:
    """Without a carried surface the outline is drawn without shade or contour, and the sheet says that it cannot tell."""
    record, found = _wedge()
    empty = np.full(found.map.thickness.shape, np.nan)
    blank = ThicknessMap(found.map.cells, empty, empty, np.ones(empty.shape, bool))
    root = read(_svg(record, Thickness("c", "u", found.ground, blank, None)))
    assert not groups(root, "thickness") and not groups(root, "contour") and paths(root, "baulk-line-outline")
    assert any("cannot be told" in line for line in words(groups(root, "notes")[0]))
    assert any("Volume: cannot tell" in line for line in words(groups(root, "title-block")[0]))


def test_contours_on_a_cone_are_round() -> None:
    """Around a cone of slope 1 the contour of 0.5 is a circle of radius 0.5 about its top, closed, to a thousandth."""
    middles = np.arange(-1, 1.0001, 0.02)
    cells = Cells(middles, middles, 0.02)
    east, north = np.meshgrid(middles, middles)
    [ring] = contour_lines(cells, np.hypot(east, north), 0.5)
    assert np.allclose(np.hypot(*ring.T), 0.5, atol=1e-3) and (ring[0] == ring[-1]).all()
    assert shapely.LinearRing(ring).length == pytest.approx(np.pi, rel=1e-2)


def test_no_contour_is_drawn_beside_a_gap() -> None:
    """Cells without a value break a line instead of being taken as nought."""
    middles = np.arange(0.5, 6.0)
    cells = Cells(middles, middles, 1.0)
    values = np.tile(middles, (6, 1))
    values[2] = np.nan
    runs = contour_lines(cells, values, 2.0)
    assert len(runs) == 2 and all(np.allclose(run[:, 0], 2.0) for run in runs)
    assert not any(((run[:, 1] > 1.5) & (run[:, 1] < 3.5)).any() for run in runs)
