"""The plan of the site, read back from its SVG."""

from __future__ import annotations

import pytest

from baulk.drawing import site_drawing, to_svg
from baulk.drawing.site import round_scale
from baulk.errors import InputError, MeasureError
from baulk.record import KINDS, SiteRecord, build
from tests.drawings.otter_yard import yard, yard_entities
from tests.drawings.read_svg import groups, lines, read, words


def test_units_and_stations_lie_as_surveyed() -> None:
    """At 1:100 the unit's side is 20 mm and the two control points lie 90 mm east and 75 mm north of each other."""
    scene = site_drawing(yard())
    root = read(to_svg(scene))
    assert scene.scale == 100
    ring = lines(next(group for group in groups(root, "unit") if group.get("data-record") == "unit-1"), "baulk-line-unit")[0]
    assert max(spot[0] for spot in ring) - min(spot[0] for spot in ring) == pytest.approx(20, abs=0.002)
    spots = []
    for group in groups(root, "station"):
        mark = next(part.get("transform") for part in group.iter() if "baulk-mark" in (part.get("class") or ""))
        spots.append([float(number) for number in mark.split(")")[0].removeprefix("translate(").split()])
    assert [b - a for a, b in zip(*spots, strict=True)] == pytest.approx([90, -75], abs=0.002)
    assert "P1 41.20" in words(root)


def test_public_site_plan_writes_no_coordinate() -> None:
    """The grid's labels are on the agency's plan and not on the public one, which has nothing that ends in E or N."""
    agency, public = (read(to_svg(site_drawing(yard(), public=open_to_all))) for open_to_all in (False, True))
    assert any(word.endswith(" E") for word in words(agency))
    assert not any(word.endswith((" E", ".00 N")) for word in words(public))
    assert "nail in coping" not in to_svg(site_drawing(yard()))


def test_burials_are_on_the_restricted_plan_only() -> None:
    """A burial and its cut are drawn only on a sheet that says that it is restricted; otherwise their count is told."""
    open_plan, closed_plan = to_svg(site_drawing(yard())), to_svg(site_drawing(yard(), restricted=True))
    assert not any(word in open_plan for word in ("b1", "c1010", "1010", "grave"))
    assert "3 restricted records not drawn." in open_plan
    assert 'data-record="b1"' in closed_plan
    assert "RESTRICTED" in closed_plan


def test_scale_is_round_and_a_stray_coordinate_is_named() -> None:
    """The scale fits the sheet; places thousands of kilometres apart are refused with a reason."""
    assert [round_scale(metres) for metres in (2, 12, 60, 700)] == [20, 100, 500, 5000]
    stray = build(KINDS["station"], {"id": "st9", "number": "P9", "easting": 4.3e7, "northing": 5e6})
    with pytest.raises(MeasureError, match="No site plan holds that: see which unit's corner or control point"):
        site_drawing(SiteRecord.of([*yard_entities(), stray]))
    with pytest.raises(InputError, match="Site OTW has neither a unit with corners nor a control point"):
        site_drawing(SiteRecord.of([entity for entity in yard_entities() if entity.KIND == "site"]))
