"""A context as a closed solid: closed, facing outward, and of the volume that a hand or another library gives."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
import trimesh

from baulk.errors import MeasureError
from baulk.ground.solid import Solid, joined_solids, open_edges, solid_between
from baulk.ground.surface import fit_surface
from baulk.ground.volume import Outlined, volume_between

UNIT = shapely.box(112, 204, 114, 206)
PIT = shapely.Point(113, 205).buffer(0.3, quad_segs=32)


def flat(level: float) -> Any:
    """A level surface."""
    return lambda places: np.full(len(places), level)


def alike(solid: Solid) -> trimesh.Trimesh:
    """The same triangles in a general library of meshes."""
    return trimesh.Trimesh(solid.vertices, solid.triangles, process=False)


@pytest.mark.parametrize(
    "ground",
    [UNIT, PIT, UNIT.difference(PIT), shapely.union_all([PIT, shapely.box(113.6, 204, 114, 204.4)]),
     UNIT.difference(shapely.box(113, 204, 113.3, 205.5)),
     shapely.Polygon([(112, 204), (114, 204.013), (113.97, 206), (113, 205.31), (112, 206)])],
)  # fmt: skip
@pytest.mark.parametrize("step", [0.07, 0.25, 3.0])
def test_solids_are_closed_and_outward(ground: Any, step: float) -> None:
    """Squares, circles, holes, parts apart and notches: each edge is run through once each way, and a mesh library agrees."""
    solid = solid_between(ground, lambda places: 29.4 + 0.05 * places[:, 0] - 5.6, flat(29.0), step=step)
    assert open_edges(solid) == 0
    other = alike(solid)
    assert other.is_watertight
    assert other.is_winding_consistent
    assert solid.volume == pytest.approx(float(other.volume), rel=1e-9)
    assert solid.volume > 0
    assert solid.area_in_plan == pytest.approx(ground.area, rel=1e-5)


def test_a_missing_triangle_is_found() -> None:
    """The negative controls: a solid without one triangle, and one with a triangle turned over, are not closed."""
    solid = solid_between(UNIT, flat(29.4), flat(29.0), step=0.5)
    holed = Solid(solid.vertices, solid.triangles[1:], solid.tops - 1)
    turned = solid.triangles.copy()
    turned[0] = turned[0, ::-1]
    assert open_edges(holed) > 0
    assert open_edges(Solid(solid.vertices, turned, solid.tops)) > 0
    assert not alike(holed).is_watertight


def test_the_base_looks_down_and_the_top_up() -> None:
    """The first triangles are the upper side, anticlockwise from above."""
    solid = solid_between(UNIT, flat(29.4), flat(29.0), step=0.5)
    normals = alike(solid).face_normals
    assert np.allclose(normals[: solid.tops], [0, 0, 1])
    assert np.allclose(normals[solid.tops : 2 * solid.tops], [0, 0, -1])
    assert np.abs(normals[2 * solid.tops :, 2]).max() < 1e-12


def test_where_surfaces_cross_the_body_ends() -> None:
    """A wedge whose base rises above its top is a body only where it is thick; it stays closed."""
    solid = solid_between(UNIT, flat(29.2), lambda places: 29.0 + 0.2 * (places[:, 0] - 112), step=0.1)
    assert open_edges(solid) == 0
    assert solid.volume == pytest.approx(0.5 * 0.2 * 1.0 * 2.0, rel=0.01)
    assert solid.vertices[:, 0].max() < 113.11
    none = solid_between(UNIT, flat(29.0), flat(29.2), step=0.1)
    assert len(none.triangles) == 0
    assert (none.volume, open_edges(none)) == (0.0, 0)


def test_where_a_surface_is_not_carried_there_is_no_body() -> None:
    """Heights that are not known leave that part out, and the rest is closed."""
    solid = solid_between(UNIT, lambda places: np.where(places[:, 0] > 113.0001, np.nan, 29.4), flat(29.0), step=0.1)
    assert open_edges(solid) == 0
    assert solid.area_in_plan == pytest.approx(2.0)


def test_it_agrees_with_the_volume_between_surfaces() -> None:
    """The solid of two fitted surfaces has the volume that is worked out without it, to half a percent."""
    rng = np.random.default_rng(7)
    places = np.column_stack([rng.uniform(112, 114, 14), rng.uniform(204, 206, 14)])
    top = fit_surface(places, 29.4 + 0.05 * np.sin(places[:, 0] * 3) + 0.003 * rng.normal(size=14))
    base = fit_surface(places, 29.1 - 0.04 * (places[:, 1] - 205) ** 2)
    solid = solid_between(UNIT, lambda held: top.at(held).levels, lambda held: base.at(held).levels, step=0.1)
    assert solid.volume == pytest.approx(volume_between(top, base, Outlined(UNIT)).cubic_metres, rel=0.005)


def test_joined_solids_stay_closed_and_add_up() -> None:
    """Two solids as one are closed, hold both volumes and keep their upper sides first."""
    one, other = solid_between(UNIT, flat(29.4), flat(29.0), step=0.5), solid_between(PIT, flat(29.0), flat(28.5), step=0.1)
    both = joined_solids([one, other])
    assert open_edges(both) == 0
    assert both.volume == pytest.approx(one.volume + other.volume)
    assert both.area_in_plan == pytest.approx(one.area_in_plan + other.area_in_plan)
    assert len(joined_solids([]).triangles) == 0


def test_outlines_out_of_reason_are_refused() -> None:
    """An outline without area and squares beyond number are refused in words."""
    with pytest.raises(MeasureError, match="An outline has no area, so no solid can stand on it"):
        solid_between(shapely.Polygon(), flat(1), flat(0), step=0.1)
    with pytest.raises(MeasureError, match="at most 40,000 make a solid"):
        solid_between(UNIT, flat(1), flat(0), step=0.001)
