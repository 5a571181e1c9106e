"""A point cloud as a stream of positions: LAS and LAZ with the optional part ``pointcloud``, PLY without it.

Points are read a slab at a time, so that a file larger than memory can be read; what is held never grows with the file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from baulk.errors import FileError, shorten
from baulk.exchange.first_bytes import beginning_of
from baulk.exchange.las import open_las
from baulk.exchange.ply import open_ply

__all__ = ["PointCloud", "open_point_cloud"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PointCloud:
    """An open point cloud.

    Parameters
    ----------
    name : str
        Name of the file.
    form : str
        LAS, LAZ or PLY.
    count : int
        How many points the file says it holds.
    bounds : numpy.ndarray of shape (2, 3) or None
        Least and greatest easting, northing and level, as the file says; None when it does not.
    grid : str
        The projected grid that the file names; empty when it names none.
    step : float
        Least difference of levels that the file can hold; 0 when it keeps them as floating numbers.
    slabs : callable
        Gives the points from the start, in slabs of shape (n, 3), in the cloud's own quantity; fewer points than `count`,
        or one that is not a number, raises FileError.
    """

    name: str
    form: str
    count: int
    bounds: Floats | None
    grid: str
    step: float
    slabs: Callable[[], Iterator[Floats]]


def open_point_cloud(path: Path) -> PointCloud:
    """Open a LAS, LAZ or PLY file; no point is read yet.

    Parameters
    ----------
    path : Path
        The file; its kind is told by its first bytes, not by its name.

    Raises
    ------
    FileError
        The file is missing, empty, of another kind, damaged in its head, or holds no point.
    MissingPart
        It is LAS or LAZ and the part that reads it is not installed.
    """
    name = shorten(path.name, 80)
    start = beginning_of(
        path, inside="Name one point cloud inside it.", again="Copy it from the scanner or the photo program again."
    )
    if start.startswith(b"LASF"):
        las = open_las(path, name)
        form, read = "LAZ" if las.packed else "LAS", las.slabs
        count, bounds, grid, step = las.count, las.bounds, las.grid, las.step
    elif start[:4] in (b"ply\n", b"ply\r"):
        ply = open_ply(path, name)
        form, read, count, bounds, grid, step = "PLY", ply.slabs, ply.count, None, "", 0.0
    else:
        raise FileError(
            f"{name} is no LAS, LAZ or PLY file: it begins with “{shorten(start[:8].decode('latin-1'), 12)}”. "
            "Save the cloud in one of these three kinds."
        )
    if count == 0:
        raise FileError(f"{name} holds no point: its head says 0. Export the cloud again, and see that points are chosen.")
    return PointCloud(name, form, count, bounds, grid, step, lambda: _whole(read(), count, name))


def _whole(slabs: Iterator[Floats], count: int, name: str) -> Iterator[Floats]:
    """Pass slabs on; refuse what is not a number and a file that ends early."""
    read = 0
    for slab in slabs:
        sums = slab.sum(axis=0)
        if not np.isfinite(sums).all():
            bad = np.flatnonzero(~np.isfinite(slab).all(axis=1))
            if bad.size:
                raise FileError(
                    f"{name}: point {read + int(bad[0]) + 1:,} has a co-ordinate that is not a number, as have {bad.size - 1:,} "
                    "more near it. Delete the points without a position in the program that made the cloud, and export it again."
                )
        read += len(slab)
        yield slab
    if read < count:
        raise FileError(f"{name} is cut short: its head says {count:,} points, {read:,} are there. Copy it from its source again.")
