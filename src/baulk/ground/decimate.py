"""Many points to one level a cell: a point cloud thinned in bounded memory, with the error of doing so.

The points come slab by slab. Of each cell a fair sample of at most `kept` levels is held, so that what is held depends on the
number of cells alone; a share of all points is set aside and used for nothing but the check.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import MeasureError
from baulk.ground.compiled import compiled

__all__ = ["CellGrid", "Decimated", "HeldOutError", "Thinning"]

Floats = NDArray[np.float64]

MOST_CELLS = 1_000_000
"""Most cells of a grid; with the sample of each they take about 400 MB."""
_MOST_HELD = 64_000_000
_KEPT = 255
_CHECKED = 50_000
_EVERY = 64
_FAR = 3.5
_LEAST_SPREAD = 0.002


@dataclass(frozen=True, slots=True)
class CellGrid:
    """Square cells on the site grid: the south-west corner, the side of a cell (metres), columns eastward and rows northward."""

    west: float
    south: float
    cell: float
    columns: int
    rows: int

    @classmethod
    def over(cls, bounds: tuple[float, float, float, float], cell: float) -> CellGrid:
        """Return the grid over west, south, east and north, metres; cells begin at whole multiples of their side.

        Raises
        ------
        MeasureError
            When the cell is no length from 1 mm to 10 m, or there would be too many.
        """
        if not 0.001 <= cell <= 10:
            raise MeasureError(f"The cell is given as {cell:g} m. It is a length from 0.001 to 10 m: give 0.05 for 5 cm.")
        low = np.floor(np.array(bounds[:2]) / cell + 1e-6)
        high = np.ceil(np.array(bounds[2:]) / cell - 1e-6)
        columns, rows = (max(1, int(size)) for size in high - low)
        if columns * rows > MOST_CELLS:
            raise MeasureError(
                f"Cells of {cell:g} m over {columns * cell:.1f} × {rows * cell:.1f} m are {columns * rows:,}; at most "
                f"{MOST_CELLS:,} are kept. Give a larger cell."
            )
        return cls(float(low[0] * cell), float(low[1] * cell), cell, columns, rows)

    @property
    def centres(self) -> Floats:
        """Easting and northing of the middle of each cell, row by row from the south-west, of shape (rows × columns, 2)."""
        east = self.west + (np.arange(self.columns) + 0.5) * self.cell
        north = self.south + (np.arange(self.rows) + 0.5) * self.cell
        return np.column_stack([np.tile(east, self.rows), np.repeat(north, self.columns)])


@dataclass(frozen=True, slots=True)
class HeldOutError:
    """How the thinned surface misses points set aside for the check, metres.

    Parameters
    ----------
    points : int
        How many points it was checked against.
    bias : float
        Mean of surface less point.
    root_mean_square : float
        Of surface less point, every point set aside counted.
    within : float
        Nineteen of twenty points are missed by no more.
    """

    points: int
    bias: float
    root_mean_square: float
    within: float


@dataclass(frozen=True, slots=True, eq=False)
class Decimated:
    """One level a cell.

    Parameters
    ----------
    grid : CellGrid
        The cells.
    levels : (cells,) array
        Median level of the cell's points without outliers; NaN where there are too few points.
    counts : (cells,) array
        Points of each cell, those set aside for the check left out.
    spreads : (cells,) array
        Standard deviation of one point about the cell's median, from the median deviation; NaN with the level.
    outside : int
        Points outside the grid.
    outliers : int
        About how many points stand farther than 3.5 spreads from the median of their cell.
    thin : int
        Cells with points but too few of them.
    error : HeldOutError or None
        None when no point set aside lies where the surface is known.
    """

    grid: CellGrid
    levels: Floats
    counts: NDArray[np.int64]
    spreads: Floats
    outside: int
    outliers: int
    thin: int
    error: HeldOutError | None

    @property
    def total(self) -> int:
        """Points inside the grid that made the levels."""
        return int(self.counts.sum())

    @property
    def known(self) -> NDArray[np.bool_]:
        """Which cells have a level."""
        return np.isfinite(self.levels)

    def at(self, places: Floats) -> Floats:
        """Return heights at places (m × 2) between the middles of cells; NaN where no level is near."""
        grid = self.grid
        across = (places[:, 0] - grid.west) / grid.cell - 0.5
        along = (places[:, 1] - grid.south) / grid.cell - 0.5
        table = self.levels.reshape(grid.rows, grid.columns)
        column, row = np.clip(np.floor(across), 0, max(grid.columns - 2, 0)), np.clip(np.floor(along), 0, max(grid.rows - 2, 0))
        left, low = column.astype(np.int64), row.astype(np.int64)
        right, high = np.minimum(left + 1, grid.columns - 1), np.minimum(low + 1, grid.rows - 1)
        a, b = np.clip(across - column, 0, 1), np.clip(along - row, 0, 1)
        found: Floats = (table[low, left] * (1 - a) + table[low, right] * a) * (1 - b) + (
            table[high, left] * (1 - a) + table[high, right] * a
        ) * b
        own = table[
            np.clip(np.floor(along + 0.5), 0, grid.rows - 1).astype(np.int64),
            np.clip(np.floor(across + 0.5), 0, grid.columns - 1).astype(np.int64),
        ]
        return np.where(np.isfinite(found), found, own)


@compiled
def _mixed(number: int, seed: int) -> int:
    """Return well-mixed 32 bits of a running number (finaliser of a multiply-and-shift hash)."""
    mixed = (number + seed * 2654435769 + 1) & 0xFFFFFFFF
    mixed = ((mixed ^ (mixed >> 16)) * 0x45D9F3B) & 0xFFFFFFFF
    mixed = ((mixed ^ (mixed >> 16)) * 0x45D9F3B) & 0xFFFFFFFF
    return mixed ^ (mixed >> 16)


@compiled
def _sorted_in(
    points: Floats, west: float, south: float, cell: float, columns: int, rows: int,
    counts: NDArray[np.int64], sample: NDArray[np.float32], base: float, aside: Floats, tally: NDArray[np.int64], seed: int,
) -> None:  # fmt: skip
    """Put points into their cells; tally: points seen, points outside, points set aside."""
    kept, places = sample.shape[1], aside.shape[0]
    for i in range(points.shape[0]):
        tally[0] += 1
        across, along = (points[i, 0] - west) / cell, (points[i, 1] - south) / cell
        if not (0 <= across < columns and 0 <= along < rows):
            tally[1] += 1
            continue
        chance = _mixed(tally[0], seed)
        if chance % _EVERY == 0:
            place = tally[2]
            tally[2] += 1
            if place >= places:
                place = _mixed(tally[0], seed + 1) % (place + 1)
            if place < places:
                aside[place, 0], aside[place, 1], aside[place, 2] = points[i, 0], points[i, 1], points[i, 2]
            continue
        at = int(along) * columns + int(across)
        place = counts[at]
        counts[at] += 1
        if place >= kept:
            place = _mixed(tally[0], seed + 2) % (place + 1)
        if place < kept:
            sample[at, place] = points[i, 2] - base


class Thinning:
    """The points of a cloud while they are sorted into cells.

    Parameters
    ----------
    grid : CellGrid
        The cells.
    base : float
        A level near all points, metres: levels are held as single-precision distances from it (0.01 mm within 100 m).
    seed : int
        Of the choice which points are held and which are set aside; the same points in the same order give the same answer.
    step : float
        Least difference of levels that the cloud can tell, metres; 0 when it is not known.
    kept : int
        Most levels held of a cell; fewer when there are very many cells.

    Notes
    -----
    Of a cell with more than `kept` points each has the same chance to be held (reservoir of Vitter's algorithm R). The median of
    255 of them has a standard error of 1.25 / √255 = 8 % of the spread of one point.

    References
    ----------
    J. S. Vitter, Random sampling with a reservoir, ACM Transactions on Mathematical Software 11 (1985) 37–57 (from memory).
    """

    def __init__(self, grid: CellGrid, *, base: float = 0.0, step: float = 0.0, seed: int = 1, kept: int = _KEPT) -> None:
        cells = grid.columns * grid.rows
        self.grid, self.base, self._seed = grid, base, seed
        self._least_spread = max(_LEAST_SPREAD, step / 2)
        self._counts = np.zeros(cells, np.int64)
        self._sample = np.full((cells, max(9, min(kept, _MOST_HELD // cells))), np.nan, np.float32)
        self._aside = np.empty((_CHECKED, 3))
        self._tally = np.zeros(3, np.int64)

    def take(self, points: Floats) -> None:
        """Sort points of shape (n, 3), metres on the site grid, into the cells."""
        grid = self.grid
        held = np.ascontiguousarray(points, dtype=np.float64)
        _sorted_in(
            held, grid.west, grid.south, grid.cell, grid.columns, grid.rows,
            self._counts, self._sample, self.base, self._aside, self._tally, self._seed,
        )  # fmt: skip

    def settled(self, *, least: int = 3) -> Decimated:
        """Return one level a cell of those with at least `least` points.

        Notes
        -----
        Outliers: levels farther from the cell's median than 3.5 times 1.4826 the median deviation (at least 2 mm and half the
        step) are left out, and the median of the rest is the level (3.5: Iglewicz & Hoaglin
        1993, from memory; 2 mm: common practice, no source).
        A cloud that has more plant or tape than soil in a cell gives the level of the plant: nothing here can tell.
        """
        enough = self._counts >= least
        levels, spreads, outliers = np.full(len(enough), np.nan), np.full(len(enough), np.nan), 0.0
        if enough.any():
            levels[enough], spreads[enough], share = _medians(self._sample[enough], self._least_spread)
            outliers = float((share * self._counts[enough]).sum())
            levels += self.base
        thin = int(((self._counts > 0) & ~enough).sum())
        made = Decimated(self.grid, levels, self._counts.copy(), spreads, int(self._tally[1]), round(outliers), thin, None)
        aside = self._aside[: min(int(self._tally[2]), _CHECKED)]
        return Decimated(
            self.grid, levels, made.counts, spreads, made.outside, made.outliers, thin, _checked(made, aside)
        )  # fmt: skip


def _medians(sample: NDArray[np.float32], least: float) -> tuple[Floats, Floats, Floats]:
    """Return level, spread and share of outliers of each row; NaN stands for nothing held."""
    found = np.empty((3, len(sample)))
    for start in range(0, len(sample), 4096):
        rows = sample[start : start + 4096].astype(np.float64)
        middle = np.nanmedian(rows, axis=1)
        apart = np.abs(rows - middle[:, None])
        spread = 1.4826 * np.nanmedian(apart, axis=1)
        far = apart > _FAR * np.maximum(spread, least)[:, None]
        held = np.isfinite(rows).sum(axis=1)
        rows[far] = np.nan
        found[:, start : start + 4096] = np.nanmedian(rows, axis=1), spread, far.sum(axis=1) / held
    return found[0], found[1], found[2]


def _checked(made: Decimated, aside: Floats) -> HeldOutError | None:
    missed = made.at(aside[:, :2]) - aside[:, 2]
    missed = missed[np.isfinite(missed)]
    if not missed.size:
        return None
    return HeldOutError(
        int(missed.size), float(missed.mean()), float(np.sqrt(np.mean(missed**2))), float(np.quantile(np.abs(missed), 0.95))
    )  # fmt: skip
