"""Volumes of solids that geometry knows: box, wedge, pyramid, cone and frustum (formulas of school geometry)."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest
import shapely

from baulk.ground.solid import open_edges, solid_between

SQUARE = shapely.box(112, 204, 114, 206)
ROUND = shapely.Point(113, 205).buffer(1.0, quad_segs=64)


def flat(places: Any) -> Any:
    """The ground at level 0."""
    return np.zeros(len(places))


def pyramid(places: Any) -> Any:
    """A pyramid 0.9 m high on the square of 2 m."""
    return 0.9 * (1 - np.abs(places - [113, 205]).max(axis=1))


def cone(places: Any) -> Any:
    """A cone 0.9 m high on the circle of radius 1 m."""
    return 0.9 * np.maximum(1 - np.hypot(places[:, 0] - 113, places[:, 1] - 205), 0)


@pytest.mark.parametrize(
    ("ground", "top", "step", "expected", "within"),
    [
        (SQUARE, lambda p: np.full(len(p), 0.3), 0.3, 2 * 2 * 0.3, 1e-9),  # box: length × width × height
        (SQUARE, lambda p: 0.2 * (p[:, 0] - 112), 0.3, 2 * 2 * 0.4 / 2, 1e-9),  # wedge: half the box
        (SQUARE, pyramid, 0.1, 2 * 2 * 0.9 / 3, 0.005),  # pyramid: base × height / 3
        (ROUND, cone, 0.05, pi * 0.9 / 3, 0.005),  # cone: π r² h / 3
        (
            ROUND,
            lambda p: np.minimum(cone(p), 0.45),
            0.05,
            pi * 0.45 / 3 * (1 + 0.5 + 0.25),
            0.005,
        ),  # frustum: π h (R² + Rr + r²) / 3
    ],
)
def test_solids_have_the_volume_that_geometry_gives(ground: Any, top: Any, step: float, expected: float, within: float) -> None:
    """The solid is closed and its volume is the formula's, exact for flat sides, to half a percent for a round body."""
    solid = solid_between(ground, top, flat, step=step)
    assert open_edges(solid) == 0
    assert solid.volume == pytest.approx(expected, rel=within)
