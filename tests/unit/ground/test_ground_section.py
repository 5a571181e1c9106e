"""Sections of the modelled ground, the faces of a unit, the drawn wall beside them, and contacts."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from baulk.errors import MeasureError
from baulk.ground.drawn_wall import compare_with_drawn, drawn_heights
from baulk.ground.section import Body, section_along, unit_faces
from baulk.ground.section_contacts import contacts_along
from baulk.ground.surface import Surface, fit_surface

CORNERS = np.array([(0, 0), (2, 0), (2, 2), (0, 2), (1, 1)], float)
SQUARE = shapely.box(0, 0, 2, 2)


def plane(level: float, east: float = 0.0) -> Surface:
    """Return a plane that rises to the east."""
    return fit_surface(CORNERS, level + east * CORNERS[:, 0])


def test_heights_along_a_bent_line_are_those_of_the_surfaces() -> None:
    """Along a bent line each height is the surface's own; beside the outline there is none."""
    body = Body("a", plane(10.0, 0.1), plane(9.5), shapely.box(0, 0, 1, 2))
    found = section_along([(0, 1), (2, 1), (2, 2)], [body], 0.1)
    assert found.distance[-1] == pytest.approx(3.0)
    on = found.places[:, 0] <= 1.0
    np.testing.assert_allclose(found.top[0][on], 10 + 0.1 * found.places[on, 0], atol=1e-6)
    np.testing.assert_allclose(found.base[0][on], 9.5, atol=1e-6)
    assert np.isnan(found.top[0][found.places[:, 0] > 1.03]).all()
    with pytest.raises(MeasureError, match="Give two different ends and a spacing"):
        section_along([(0, 0), (0, 0)], [body])


def test_faces_are_seen_from_inside_whichever_way_the_corners_run() -> None:
    """Each face has its left end where the digger's left hand is; names follow the way the face looks."""
    expected = {
        "south": [[2, 0], [0, 0]],
        "east": [[2, 2], [2, 0]],
        "north": [[0, 2], [2, 2]],
        "west": [[0, 0], [0, 2]],
    }
    ring = [(0, 0), (2, 0), (2, 2), (0, 2)]
    for corners in (ring, ring[::-1]):
        assert {face.name: face.ends.tolist() for face in unit_faces(corners)} == expected
    with pytest.raises(MeasureError, match="Enter at least three corners"):
        unit_faces([(0, 0), (1, 0)])


def test_a_drawn_shape_is_read_at_its_highest_and_lowest() -> None:
    """A drawn shape with a notch and an upright side gives its outermost heights; beside it there is nothing."""
    ring = [(0.0, 10.0), (1.0, 10.2), (1.0, 9.6), (0.5, 9.8), (0.0, 9.5)]
    high, low = drawn_heights(ring, np.array([0.0, 0.5, 1.0, 1.2]))
    np.testing.assert_allclose(high[:3], [10.0, 10.1, 10.2])
    np.testing.assert_allclose(low[:3], [9.5, 9.8, 9.6])
    assert np.isnan(high[3])


def test_a_drawn_wall_that_differs_is_told_in_millimetres() -> None:
    """A base drawn 30 mm too low differs by −30 mm, and beyond what drawing and model explain; the true top by nothing."""
    places = np.vstack([CORNERS, np.random.default_rng(1).uniform(0, 2, (45, 2))])
    body = Body("a", fit_surface(places, np.full(50, 10.0)), fit_surface(places, np.full(50, 9.5)), SQUARE)
    section = section_along([(0, 2), (2, 2)], [body])
    top, base = compare_with_drawn(
        section, {"a": [[(0, 10.0), (2, 10.0), (2, 9.47), (0, 9.47)]], "not here": [[(0, 1), (1, 1), (1, 0)]]}
    )
    assert (top.surface, base.surface) == ("top", "base")
    assert top.mean == pytest.approx(0, abs=0.1)
    assert base.mean == pytest.approx(-30, abs=0.1)
    assert (top.beyond_error, base.beyond_error > 0.7) == (0.0, True)


def test_contacts_are_read_from_the_top_down() -> None:
    """Neighbours in height touch; those with another between them, or a gap, do not."""
    upper = Body("upper", plane(10.0), plane(9.8), SQUARE)
    middle = Body("middle", plane(9.8), plane(9.5), shapely.box(0, 0, 1, 2))
    lower = Body("lower", plane(9.5), plane(9.0), SQUARE)
    found = contacts_along(section_along([(0, 1), (2, 1)], [lower, middle, upper], 0.02))
    pairs = {(one.later, one.earlier): one.metres for one in found}
    assert set(pairs) == {("upper", "middle"), ("middle", "lower")}
    assert pairs["upper", "middle"] == pytest.approx(1.0, abs=0.06)
    assert all(abs(one.gap) < 1e-6 for one in found)
