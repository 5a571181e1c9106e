"""A cloud thinned to cells: levels, outliers, the error told, and what memory it takes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.ground.decimate import CellGrid, Decimated, Thinning

UNIT = (112.0, 204.0, 114.0, 206.0)


def cloud(count: int, *, noise: float = 0.004, seed: int = 1) -> Any:
    """Return points on a sloping floor with a given noise."""
    rng = np.random.default_rng(seed)
    points = np.column_stack([rng.uniform(112, 114, count), rng.uniform(204, 206, count), np.zeros(count)])
    points[:, 2] = floor(points) + noise * rng.normal(size=count)
    return points


def floor(places: Any) -> Any:
    """The floor's level: 5 cm in a metre down to the east."""
    return 29.4 - 0.05 * (places[:, 0] - 112)


def thinned(points: Any, *, cell: float = 0.1, slab: int = 10_000, **settings: Any) -> Decimated:
    """Thin points given in slabs."""
    thinning = Thinning(CellGrid.over(UNIT, cell), base=29.0, **settings)
    for start in range(0, len(points), slab):
        thinning.take(points[start : start + slab])
    return thinning.settled()


def test_cells_lie_on_whole_multiples_of_their_side() -> None:
    """Neighbouring grids fit: cells begin at whole multiples of their side, and the bounds are covered."""
    grid = CellGrid.over((112.03, 204.0, 113.99, 205.97), 0.1)
    assert (grid.columns, grid.rows) == (20, 20)
    assert grid.west == pytest.approx(112.0)
    assert grid.centres[0] == pytest.approx([112.05, 204.05])
    assert grid.centres[-1] == pytest.approx([113.95, 205.95])


@pytest.mark.parametrize(
    ("cell", "says"),
    [(0.0, "from 0.001 to 10 m"), (float("nan"), "from 0.001 to 10 m"), (0.001, "at most 1,000,000 are kept. Give a larger cell.")],
)
def test_cells_out_of_reason_are_refused(cell: float, says: str) -> None:
    """A cell of no size, or so small that memory would not hold them, is refused with the rule."""
    with pytest.raises(MeasureError) as refusal:
        CellGrid.over(UNIT, cell)
    assert says in str(refusal.value)


def test_levels_and_spread_are_those_of_the_floor() -> None:
    """Each cell's level is the floor's within a few standard errors, and the spread is the noise."""
    found = thinned(cloud(200_000))
    assert found.known.all()
    assert np.abs(found.levels - floor(found.grid.centres)).max() < 0.002
    assert np.median(found.spreads) == pytest.approx(0.0042, abs=0.0004)  # noise, and the fall within a cell of 0.1 m


def test_the_error_told_is_the_error_there_is() -> None:
    """The error from points set aside is the noise of one point and the error of the surface together, and is not biased."""
    found = thinned(cloud(400_000))
    assert found.error is not None
    assert found.error.points > 5_000
    assert found.error.root_mean_square == pytest.approx(0.004, rel=0.05)
    assert abs(found.error.bias) < 0.0003
    assert found.error.within == pytest.approx(1.96 * 0.004, rel=0.06)


def test_a_grid_too_coarse_for_the_ground_shows_in_the_error() -> None:
    """The negative control: cells of a metre over waves of 30 cm are told to miss them by several times the noise."""
    points = cloud(400_000)
    points[:, 2] += 0.05 * np.sin(points[:, 0] * 2 * np.pi / 0.3)
    coarse, fine = thinned(points, cell=1.0).error, thinned(points, cell=0.02).error
    assert coarse is not None
    assert fine is not None
    assert coarse.root_mean_square > 0.03
    assert fine.root_mean_square < 0.007


def test_stray_points_are_left_out_and_counted() -> None:
    """One point in a hundred half a metre off moves no level by a millimetre and is counted, about."""
    points = cloud(200_000)
    stray = points.copy()
    stray[::100, 2] += 0.5
    found, clean = thinned(stray), thinned(points)
    assert np.abs(found.levels - clean.levels).max() < 0.001
    assert found.outliers - clean.outliers == pytest.approx(1970, rel=0.1)


def test_a_mean_would_have_been_moved() -> None:
    """The negative control: the mean of the same cells is moved by 5 mm."""
    points = cloud(200_000)
    points[::100, 2] += 0.5
    column = ((points[:, 0] - 112) / 0.1).astype(int) + 20 * ((points[:, 1] - 204) / 0.1).astype(int)
    mean = np.bincount(column, points[:, 2]) / np.bincount(column)
    assert np.abs(mean - floor(CellGrid.over(UNIT, 0.1).centres)).mean() > 0.004


def test_steps_of_a_coarse_file_are_no_outliers() -> None:
    """Levels kept to whole centimetres are not taken as outliers when the step is known; without it many would be."""
    points = cloud(100_000)
    points[:, 2] = np.round(points[:, 2], 2)
    assert thinned(points, step=0.01).outliers < 0.01 * len(points)
    flat = points.copy()
    flat[:, 2] = 29.4
    flat[::3, 2] = 29.41
    assert thinned(flat).outliers > 0.2 * len(points)


def test_empty_and_thin_cells_have_no_level() -> None:
    """A cell with fewer than three points has no level and is counted as thin; points outside are counted too."""
    points = np.array([[112.05, 204.05, 29.0]] * 40 + [[113.05, 205.05, 29.1]] + [[120.0, 204.0, 29.0]] * 5)
    found = thinned(points)
    assert found.known.sum() == 1
    assert (found.thin, found.outside) == (1, 5)
    assert found.total + found.outside + (found.error.points if found.error else 0) <= len(points)


def test_slabs_do_not_matter() -> None:
    """The same points in the same order give the same answer however they are cut into slabs; another seed gives another sample."""
    points = cloud(300_000)
    one, other = thinned(points, slab=1_000), thinned(points, slab=70_000)
    assert np.array_equal(one.levels, other.levels)
    assert not np.array_equal(one.levels, thinned(points, seed=2).levels)


def test_every_point_has_the_same_chance_to_be_held() -> None:
    """Late points weigh as much as early ones: levels that rise while the cloud is read give the middle level."""
    points = np.tile([112.05, 204.05, 29.0], (20_000, 1))
    points[:, 2] += np.linspace(0, 0.1, len(points))
    levels = [thinned(points, seed=seed).levels[0] for seed in range(40)]
    assert np.mean(levels) == pytest.approx(29.05, abs=0.002)


def test_what_is_held_does_not_grow_with_the_cloud() -> None:
    """The memory held is that of the cells: ten times the points take no more."""
    small, large = Thinning(CellGrid.over(UNIT, 0.05)), Thinning(CellGrid.over(UNIT, 0.05))
    small.take(cloud(20_000))
    for seed in range(10):
        large.take(cloud(20_000, seed=seed))
    held = [sum(part.nbytes for part in vars(one).values() if isinstance(part, np.ndarray)) for one in (small, large)]
    assert held[0] == held[1]
