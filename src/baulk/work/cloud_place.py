"""How a point cloud comes onto the site grid: as it is, shifted, from the projected grid, or by control points."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError, MeasureError, did_you_mean
from baulk.exchange.measures import MEASURES
from baulk.exchange.number_columns import column_places, number_columns
from baulk.exchange.table import read_table, tidy
from baulk.grid.control import fit_control
from baulk.record import SiteRecord
from baulk.work.lay_out import grid_tie

__all__ = ["Placing", "placing_of"]

Floats = NDArray[np.float64]

_COLUMNS = ("cloud_easting", "cloud_northing", "easting", "northing")
_LEVELS = ("cloud_level", "level")


@dataclass(frozen=True, slots=True)
class Placing:
    """The way of points of shape (n, 3), as the file counts them, to metres on the site grid, and that way in words."""

    turned: Callable[[Floats], Floats]
    says: str
    factor: float
    notes: tuple[str, ...] = ()


def placing_of(
    record: SiteRecord,
    *,
    lengths: str = "",
    offset: tuple[float, ...] = (),
    projected: bool = False,
    control: Path | None = None,
) -> Placing:
    """Return the way onto the site grid.

    Parameters
    ----------
    record : SiteRecord
        The site, for its own quantity and its control points.
    lengths : str
        What the cloud counts in: m, cm, mm, ft, ft_us or in; the site's own quantity when empty.
    offset : (easting, northing) or (easting, northing, level)
        Added to each point, in the site's own quantity.
    projected : bool
        True when the cloud lies on the projected grid that the site's stations are tied to.
    control : Path, optional
        A table with the columns cloud_easting, cloud_northing, easting, northing and, for levels, cloud_level and level.

    Raises
    ------
    InputError, MeasureError, TableError
        When two ways are asked for at once, or the one asked for cannot be had.
    """
    own = lengths or record.length_unit.value
    if own not in MEASURES:
        raise InputError(
            f"The cloud is said to count in “{own}”.{did_you_mean(own, list(MEASURES))} Give one of {', '.join(MEASURES)}."
        )
    factor = MEASURES[own]
    if sum((bool(offset), projected, control is not None)) > 1:
        raise InputError(
            "An offset, the projected grid and control points were asked for together. Give one way onto the site grid only."
        )
    if control is not None:
        return _by_control(record, control, factor)
    if projected:
        return _from_projected(record, factor)
    shift = _shift(offset) * record.metres
    says = f"shifted by {', '.join(f'{part:.12g}' for part in offset)}" if offset else "taken to lie on the site grid"
    return Placing(lambda points: points * factor + shift, f"{says}; counts in {own}", factor)


def _shift(offset: tuple[float, ...]) -> Floats:
    if len(offset) not in (0, 2, 3) or not np.isfinite(offset).all():
        raise InputError("The offset is easting and northing, or easting, northing and level, with commas: --offset 112,204,29.6")
    return np.array([*offset, *[0.0] * (3 - len(offset))])


def _from_projected(record: SiteRecord, factor: float) -> Placing:
    fit = grid_tie(record)

    def turned(points: Floats) -> Floats:
        return np.column_stack([fit.similarity.inverse(points[:, :2] * factor), points[:, 2] * factor])

    return Placing(turned, f"turned from the projected grid by the site's stations ({fit.statement})", factor, fit.warnings)


def _by_control(record: SiteRecord, path: Path, factor: float) -> Placing:
    table = read_table(path)
    with_levels = set(map(tidy, _LEVELS)) <= set(column_places(table))
    rule = f"Control points are a table with the columns {', '.join(_COLUMNS)}."
    rows = number_columns(table, (*_COLUMNS, *(_LEVELS if with_levels else ())), rule)
    there, here = rows[:, :2] * factor, rows[:, 2:4] * record.metres
    fit = fit_control(here, there, names=[str(row + 1) for row in range(len(rows))])
    lift, levels = 0.0, "levels as they are"
    if with_levels:
        apart = rows[:, 5] * record.metres - rows[:, 4] * factor
        lift, worst = float(apart.mean()), float(np.abs(apart - apart.mean()).max())
        if worst > 0.1:
            raise MeasureError(
                f"{table.source}: the levels of the control points differ from the cloud's by {apart.min():.3f} to "
                f"{apart.max():.3f} m. One shift has to bring all of them: see whether a point is wrong or the cloud is tilted."
            )
        levels = f"levels shifted by {lift:+.3f} m, worst left over {1000 * worst:.0f} mm"

    def turned(points: Floats) -> Floats:
        return np.column_stack([fit.similarity.inverse(points[:, :2] * factor), points[:, 2] * factor + lift])

    return Placing(turned, f"turned by {len(rows)} control points ({fit.statement}); {levels}", factor, fit.warnings)
