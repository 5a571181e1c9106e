"""A point cloud of 50 million points to levels: in slabs, beside reading it whole with a general library."""

from __future__ import annotations

import sys
import tempfile
import time
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import forget_peak, run_apart, serve
from sheet import Measure, Row, Sheet

CELL = 0.05
BOUNDS = (112.0, 204.0, 114.0, 206.0)
POINTS = {"las": 50_000_000, "laz": 10_000_000}
TEXT = (
    "A made-up floor of 2 by 2 m with a slope, waves of 4 cm and 3 mm of noise, one point in a thousand half a metre off; levels "
    "kept to 0.1 mm. Ours reads slabs and holds a fair sample of 255 levels a cell of 5 cm; theirs reads all of it with laspy, "
    "sorts it by cell with numpy and takes each cell's median. “Apart” is the greatest difference between the two sets of levels."
)


def write(path: str, count: int) -> dict[str, Any]:
    """Write the cloud, a slab at a time."""
    import laspy

    head = laspy.LasHeader(point_format=0, version="1.2")
    head.scales, head.offsets = np.full(3, 0.0001), np.array([112.0, 204.0, 29.0])
    rng = np.random.default_rng(50)
    start = time.perf_counter()
    with laspy.open(path, mode="w", header=head) as file:
        for begun in range(0, count, 1_000_000):
            several = min(1_000_000, count - begun)
            points = laspy.ScaleAwarePointRecord.zeros(several, header=head)
            east, north = rng.uniform(112, 114, several), rng.uniform(204, 206, several)
            level = 29.2 + 0.02 * (east - 112) + 0.02 * np.sin(6 * north) + 0.003 * rng.standard_normal(several)
            level[::1000] += 0.5
            points.x, points.y, points.z = east, north, level
            file.write_points(points)
    return {"seconds": time.perf_counter() - start}


def ours(path: str, levels: str) -> dict[str, Any]:
    """Thin the cloud in slabs."""
    from baulk.exchange.point_cloud import open_point_cloud
    from baulk.ground.decimate import CellGrid, Thinning

    grid = CellGrid.over(BOUNDS, CELL)
    Thinning(grid).take(np.zeros((2, 3)))  # loads the compiled loop
    forget_peak()
    start = time.perf_counter()
    cloud = open_point_cloud(Path(path))
    thinning = Thinning(grid, base=29.2, step=cloud.step)
    for slab in cloud.slabs():
        thinning.take(slab)
    found = thinning.settled()
    seconds = time.perf_counter() - start
    np.save(levels, found.levels)
    assert found.error is not None
    return {"seconds": seconds, "rms": 1000 * found.error.root_mean_square, "within": 1000 * found.error.within}


def with_laspy(path: str, levels: str) -> dict[str, Any]:
    """Read the whole cloud, sort it by cell, take medians."""
    import laspy

    forget_peak()
    start = time.perf_counter()
    cloud = laspy.read(path)
    east, north, level = np.asarray(cloud.x), np.asarray(cloud.y), np.asarray(cloud.z)
    side = round((BOUNDS[2] - BOUNDS[0]) / CELL)
    inside = (east >= BOUNDS[0]) & (east < BOUNDS[2]) & (north >= BOUNDS[1]) & (north < BOUNDS[3])
    cell = ((north - BOUNDS[1]) / CELL).astype(np.int32) * side + ((east - BOUNDS[0]) / CELL).astype(np.int32)
    cell, level = cell[inside], level[inside]
    by_cell = np.argsort(cell, kind="stable")
    cuts = np.searchsorted(cell[by_cell], np.arange(side * side + 1))
    ordered = level[by_cell]
    found = np.array([np.median(ordered[a:b]) for a, b in pairwise(cuts)])
    seconds = time.perf_counter() - start
    np.save(levels, found)
    return {"seconds": seconds}


JOBS = {f.__name__: f for f in (write, ours, with_laspy)}


def run(sheet: Sheet) -> None:
    """Add the section on point clouds."""
    section = sheet.section("Point clouds", TEXT, libraries=("laspy", "lazrs"))
    with tempfile.TemporaryDirectory() as folder:
        for form, count in POINTS.items():
            path = str(Path(folder) / f"floor.{form}")
            run_apart(__file__, "write", path=path, count=count)
            mine = run_apart(__file__, "ours", path=path, levels=f"{path}.ours.npy")
            other = run_apart(__file__, "with_laspy", path=path, levels=f"{path}.theirs.npy")
            apart = 1000 * np.abs(np.load(f"{path}.ours.npy") - np.load(f"{path}.theirs.npy")).max()
            note = (
                f"apart {apart:.1f} mm; told error {mine['rms']:.1f} mm root mean square, 19 of 20 within {mine['within']:.1f} mm"
            )
            name = f"{form.upper()} of {count / 1e6:.0f} million points to levels, {Path(path).stat().st_size / 1e6:,.0f} MB"
            section.add(
                Row(
                    name,
                    Measure(mine["seconds"], mine["megabytes"]),
                    Measure(other["seconds"], other["megabytes"]),
                    "laspy + numpy",
                    note,
                )
            )
            Path(path).unlink()


if __name__ == "__main__":
    serve(JOBS)
