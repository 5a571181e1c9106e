"""Texture classes, sizes and shares against the published definitions and exact geometry (numbers of the reference, part 5).

Marks: [OUTSIDE] read at its source; [C] computed; [M] from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from skimage.filters import threshold_otsu

from baulk.drawing.texture_triangle import class_polygons
from baulk.ground.inclusions import feret, inclusions_of, otsu, share_of_mask
from baulk.ground.soil import CLASSES, texture_class, texture_classes


def test_whole_per_cent_triples_are_a_partition() -> None:
    """All 5,151 triples of whole per cent fall into the counts of an independent program, point by point. [OUTSIDE][C]."""
    triples = np.array([(100 - silt - clay, silt, clay) for silt in range(101) for clay in range(101 - silt)])
    counts = np.bincount(texture_classes(*triples.T), minlength=12)
    assert len(triples) == 5151
    assert counts.tolist() == [85, 155, 565, 349, 840, 186, 392, 325, 273, 210, 231, 1540]


def test_tenths_of_a_per_cent_are_a_partition() -> None:
    """The same on 501,501 triples of tenths, where sums of decimals must not cross a boundary. [C]."""
    silt, clay = (axis.ravel() for axis in np.meshgrid(np.arange(1001), np.arange(1001)))
    kept = silt + clay <= 1000
    silt, clay = silt[kept] / 10, clay[kept] / 10
    found = texture_classes(100 - silt - clay, silt, clay)
    assert (found >= 0).all()
    wanted = [7606, 15044, 57265, 35485, 81975, 16980, 38840, 32500, 26130, 20100, 20301, 149275]
    assert np.bincount(found, minlength=12).tolist() == wanted


@pytest.mark.parametrize(
    ("sand", "silt", "clay", "wanted"),
    [
        (92, 5, 3, "sand"), (82, 12, 6, "loamy sand"), (65, 25, 10, "sandy loam"), (40, 40, 20, "loam"), (20, 65, 15, "silt loam"),
        (5, 90, 5, "silt"), (60, 13, 27, "sandy clay loam"), (33, 34, 33, "clay loam"), (10, 56, 34, "silty clay loam"),
        (50, 10, 40, "sandy clay"), (5, 50, 45, "silty clay"), (20, 20, 60, "clay"),
        (30, 40, 30, "clay loam"),  # [OUTSIDE] soil triangle page of oneplan.org (read)
        (85, 15, 0, "loamy sand"), (90, 5, 5, "sand"), (70, 30, 0, "sandy loam"), (52, 41, 7, "loam"), (53, 40, 7, "sandy loam"),
        (20, 53, 27, "silty clay loam"), (21, 52, 27, "clay loam"), (45, 0, 55, "clay"), (46, 0, 54, "sandy clay"),
        (8, 80, 12, "silt loam"), (50, 50, 0, "silt loam"),
    ],
)  # fmt: skip
def test_check_points_and_boundaries(sand: float, silt: float, clay: float, wanted: str) -> None:
    """Check points and soils on a boundary have the class that the definitions give. [C], one [OUTSIDE]."""
    assert texture_class(sand, silt, clay) == wanted


def test_triangle_is_drawn_from_the_inequalities() -> None:
    """The drawn polygons fill the triangle, hold only soils of their class, and bound at clay 27, 12, 7, not 27.5, 12.5, 7.5."""
    polygons = class_polygons()
    assert sum(shape.area for shape in polygons.values()) == pytest.approx(5000)
    assert shapely.unary_union(list(polygons.values())).area == pytest.approx(5000)
    rng = np.random.default_rng(2)
    parts = rng.dirichlet((1, 1, 1), 20_000) * 100
    classes = texture_classes(*parts.T)
    points = shapely.points(parts[:, 1:])
    for place, name in enumerate(CLASSES):
        inside = shapely.contains_properly(polygons[name].buffer(-0.005), points)
        assert (classes[inside] == place).all()
    corners = {float(clay) for shape in polygons.values() for _, clay in shapely.get_coordinates(shape)}
    assert {27.0, 12.0, 7.0} <= corners
    assert corners.isdisjoint({27.5, 12.5, 7.5})


@pytest.mark.parametrize(
    ("width", "height", "wanted"), [(1, 1, (1.414214, 1, 1.273240)), (3, 4, (5, 3, 4.456338)), (10, 2, (10.198039, 2, 7.639437))]
)
def test_caliper_widths_of_rectangles(width: float, height: float, wanted: tuple[float, float, float]) -> None:
    """A rectangle's widths are its diagonal, its shorter side and its perimeter over π (Cauchy). [C]."""
    found = feret([(0, 0), (width, 0), (width, height), (0, height)])
    assert (found.most, found.least, found.mean) == pytest.approx(wanted, abs=1e-6)


def test_caliper_widths_of_a_disc() -> None:
    """A disc of diameter d measures d every way. [C]."""
    turn = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    found = feret(np.column_stack([np.cos(turn), np.sin(turn)]) * 3.5)
    assert (found.most, found.least, found.mean) == pytest.approx((7, 7, 7), abs=1e-4)


@pytest.mark.parametrize("per_cent", [1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 40, 50])
def test_shares_of_the_chart_are_measured_back(per_cent: int) -> None:
    """Masks and made pictures with the shares of the usual chart (Terry & Chilingar 1955, [M]) come back within one pixel. [C]."""
    rng = np.random.default_rng(per_cent)
    size = 200
    wanted = size * size * per_cent // 100
    mask = np.zeros(size * size, bool)
    mask[rng.permutation(size * size)[:wanted]] = True
    mask = mask.reshape(size, size)
    assert round(share_of_mask(mask) * size * size / 100) == wanted
    grey = np.where(mask, 190, 80) + rng.normal(0, 8, mask.shape)
    found = inclusions_of(grey, which="lighter")
    assert abs(int(found.mask.sum()) - wanted) <= 1
    dark = inclusions_of(255 - grey, which="darker")
    assert abs(int(dark.mask.sum()) - wanted) <= 1
    assert found.contrast > 0.6 or per_cent == 1


def test_limit_is_scikit_images() -> None:
    """Otsu's limit lies within one class of scikit-image's on a picture of two shades. [OUTSIDE]."""
    rng = np.random.default_rng(4)
    values = np.concatenate([rng.normal(80, 12, 6000), rng.normal(170, 15, 3000)])
    assert otsu(values)[0] == pytest.approx(threshold_otsu(values), abs=(values.max() - values.min()) / 256)


def test_plain_soil_gives_no_confident_share() -> None:
    """Soil with grain alone is parted all the same, but the answer says that it may be no more than grain. A negative control."""
    rng = np.random.default_rng(6)
    found = inclusions_of(rng.uniform(60, 62, (150, 150)) + rng.standard_t(3, (150, 150)))
    assert found.contrast < 0.6
    assert "no more than grain and shadow" in found.words
