"""Solids of any outline and any two surfaces are closed and never of negative volume."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.ground.solid import open_edges, solid_between

corners = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=9, unique=True)
slopes = st.tuples(*[st.floats(-0.5, 0.5)] * 6)


@settings(max_examples=150, deadline=None)
@given(ring=corners, slope=slopes, step=st.floats(0.05, 3))
def test_any_solid_is_closed(ring: list[tuple[int, int]], slope: tuple[float, ...], step: float) -> None:
    """Outlines that cross themselves are mended first; the solid is closed and no larger than its outline."""
    ground = shapely.make_valid(shapely.Polygon(np.array(ring) / 20))
    ground = shapely.union_all([part for part in shapely.get_parts(ground).tolist() if part.geom_type == "Polygon"])
    if not ground.area > 1e-4:
        return
    a, b, c, d, e, f = slope

    solid = solid_between(ground, lambda p: a + b * p[:, 0] + c * p[:, 1], lambda p: d + e * p[:, 0] + f * p[:, 1], step=step)
    assert open_edges(solid) == 0
    assert solid.volume >= -1e-12
    assert solid.area_in_plan <= ground.area + 1e-4
