"""From a point cloud to levels on the top or base of a context."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.errors import InputError, MeasureError
from baulk.exchange import Draft
from baulk.exchange.point_cloud import PointCloud, open_point_cloud
from baulk.grid.far_off import likely_cause, likely_level_cause
from baulk.grid.transform import Similarity
from baulk.ground.decimate import CellGrid, Decimated, Thinning
from baulk.ground.levels_of import levels_of, outline_of, unit_ground
from baulk.record import Context, SiteRecord, Unit
from baulk.store import Store
from baulk.work.cloud_place import Placing, placing_of
from baulk.work.lay_out import grid_tie
from baulk.work.pen import Pen
from baulk.work.take import write_drafts

__all__ = ["CloudLevels", "cloud_levels", "take_cloud"]

Floats = NDArray[np.float64]

MOST_LEVELS = 20_000
"""Most levels taken from a cloud for one surface (house value): a grid finer than the record needs only slows it."""
_SURFACES = ("top", "base")


@dataclass(frozen=True, slots=True, eq=False)
class CloudLevels:
    """The levels that a cloud gives, with how they were made.

    Parameters
    ----------
    cloud : PointCloud
        The file.
    context : Context
        Whose surface.
    surface : str
        top or base.
    places : array of shape (n, 2)
        Middles of the cells kept, metres on the site grid.
    kept : array of shape (n,)
        Their numbers in the thinned cloud.
    thinned : Decimated
        The thinned cloud.
    notes : tuple of str
        How it was placed, what was left out, and the error, in words.
    """

    cloud: PointCloud
    context: Context
    surface: str
    places: Floats
    kept: NDArray[np.int64]
    thinned: Decimated
    notes: tuple[str, ...]


def cloud_levels(
    record: SiteRecord,
    path: Path,
    number: str,
    surface: str = "top",
    *,
    cell: float = 0.05,
    lengths: str = "",
    offset: tuple[float, ...] = (),
    projected: bool = False,
    control: Path | None = None,
) -> CloudLevels:
    """Return levels on a surface of a context from a point cloud: one a cell inside its outline, else inside its unit.

    Parameters
    ----------
    record : SiteRecord
        The site.
    path : Path
        A LAS, LAZ or PLY file.
    number : str
        Number of the context.
    surface : {"top", "base"}
        Which surface the cloud shows.
    cell : float
        Side of a cell, metres.
    lengths, offset, projected, control
        How the cloud comes onto the site grid, see `baulk.work.cloud_place.placing_of`.

    Raises
    ------
    FileError, MissingPart
        When the cloud cannot be read.
    InputError, MeasureError
        When the surface is another word, nothing says where the context lies, there would be too many levels, or the cloud lies
        elsewhere; the likely cause is named.
    UnknownRecord
        When there is no such context.
    """
    if surface not in _SURFACES:
        raise InputError(f"The surface is given as “{surface}”. It is top or base.")
    context = record.numbered(Context, number)
    ground, where = _ground(record, context)
    grid = CellGrid.over(ground.bounds, cell)
    centres = grid.centres
    inside = shapely.contains_xy(ground, centres[:, 0], centres[:, 1])
    if int(inside.sum()) > MOST_LEVELS:
        raise InputError(
            f"Cells of {cell:g} m give {int(inside.sum()):,} levels on {number}; at most {MOST_LEVELS:,} are "
            "taken. Give a larger cell."
        )
    placing = placing_of(record, lengths=lengths, offset=offset, projected=projected, control=control)
    cloud = open_point_cloud(path)
    thinned, bounds = _thinned(cloud, placing, grid)
    kept = np.flatnonzero(inside & thinned.known)
    if not kept.size:
        raise MeasureError(_elsewhere(record, cloud, bounds, ground, where))
    _refuse_far_level(record, cloud, context, float(np.median(thinned.levels[kept])))
    notes = _notes(record, context, surface, cloud, placing, thinned, inside, where)
    return CloudLevels(cloud, context, surface, centres[kept], kept, thinned, notes)


def take_cloud(store: Store, pen: Pen, found: CloudLevels) -> int:
    """Write the levels into the record, each with where it comes from, and return the store's new revision."""
    metres, thinned = store.record().metres, found.thinned
    drafts = [
        Draft(
            "level", pen.new_id(), None,
            {
                "context": found.context.id, "surface": found.surface, "easting": round(east / metres, 4),
                "northing": round(north / metres, 4), "level": round(float(thinned.levels[at]) / metres, 4),
            },
            f"{found.cloud.name}: median of {thinned.counts[at]} points, spread {1000 * thinned.spreads[at]:.1f} mm",
            found.cloud.name, 0,
        )
        for (east, north), at in zip(found.places.tolist(), found.kept.tolist(), strict=True)
    ]  # fmt: skip
    return write_drafts(store, pen, drafts)


def _ground(record: SiteRecord, context: Context) -> tuple[BaseGeometry, str]:
    """Return where the context lies, metres, and the words for it."""
    outline = outline_of(record, context.id)
    if outline is not None:
        return outline.ground, f"the outline of {context.number}"
    units = [unit for each in context.units or () if (unit := record.get(Unit, each)) is not None]
    for unit in units:
        ground = unit_ground(record, unit)
        if ground is not None and ground.area > 0:
            return ground, f"unit {unit.number}"
    raise InputError(
        f"{context.number} has no outline in plan and its unit no corners, so nothing says which points of the cloud are its own. "
        "Enter one of these first."
    )


def _thinned(cloud: PointCloud, placing: Placing, grid: CellGrid) -> tuple[Decimated, Floats]:
    """Return the thinned cloud and the bounds of all its points on the site grid, of shape (2, 3)."""
    bounds = np.array([[np.inf] * 3, [-np.inf] * 3])
    thinning: Thinning | None = None
    for slab in cloud.slabs():
        points = placing.turned(slab)
        bounds[0], bounds[1] = np.minimum(bounds[0], points.min(axis=0)), np.maximum(bounds[1], points.max(axis=0))
        thinning = thinning or Thinning(grid, base=float(np.median(points[:, 2])), step=cloud.step * placing.factor)
        thinning.take(points)
    assert thinning is not None  # a cloud without points was refused when it was opened
    return thinning.settled(), bounds


def _elsewhere(record: SiteRecord, cloud: PointCloud, bounds: Floats, ground: BaseGeometry, where: str) -> str:
    wanted = np.array(ground.bounds).reshape(2, 2)
    cause = likely_cause(bounds[:, :2], wanted, _tie(record))
    remedy = (
        f"The likely cause: {cause}." if cause else "Nothing here tells why."
    ) + " Say how it comes onto the site grid: --lengths, --offset, --projected or --control."
    named = f" The file names the grid {cloud.grid}." if cloud.grid else ""
    return (
        f"{cloud.name}: none of its {cloud.count:,} points lies where enough are needed in {where}. The points lie at easting "
        f"{bounds[0, 0]:.2f} to {bounds[1, 0]:.2f}, northing {bounds[0, 1]:.2f} to {bounds[1, 1]:.2f}; {where} at easting "
        f"{wanted[0, 0]:.2f} to {wanted[1, 0]:.2f}, northing {wanted[0, 1]:.2f} to {wanted[1, 1]:.2f} (metres).{named} {remedy}"
    )


def _tie(record: SiteRecord) -> Similarity | None:
    try:
        return grid_tie(record).similarity
    except (InputError, MeasureError):
        return None


def _refuse_far_level(record: SiteRecord, cloud: PointCloud, context: Context, level: float) -> None:
    known = _known_levels(record, context)
    if not known.size:
        return
    low, high = float(known.min()), float(known.max())
    cause = likely_level_cause(level, low, high)
    if cause is not None:
        why = f"The likely cause: {cause}." if cause else "The cloud may stand on another datum."
        raise MeasureError(
            f"{cloud.name}: its levels lie about {level:.2f} m, the levels of the unit {low:.2f} to {high:.2f} m. {why} "
            "Give what has to be added as the third part of --offset, or levels in the table of --control."
        )


def _known_levels(record: SiteRecord, context: Context) -> Floats:
    units = set(context.units or ())
    beside = [one for one in record.all(Context) if units & set(one.units or ())]
    return np.concatenate([np.zeros(0), *(levels_of(record, one.id, side).levels for one in beside for side in _SURFACES)])


def _notes(
    record: SiteRecord, context: Context, surface: str, cloud: PointCloud, placing: Placing, thinned: Decimated,
    inside: NDArray[np.bool_], where: str,
) -> tuple[str, ...]:  # fmt: skip
    blank = int((inside & ~thinned.known).sum())
    notes = [
        f"{cloud.name}, {cloud.form}, {cloud.count:,} points: {placing.says}.",
        f"{cloud.count - thinned.outside:,} points lie within the bounds of {where}; {thinned.outside:,} outside were left out.",
        f"About {thinned.outliers:,} points stand off the median of their cell by more than 3.5 times the spread: left "
        "out as outliers.",
        *placing.notes,
    ]
    if blank:
        notes.append(f"{blank:,} cells of {where} have fewer than 3 points and no level ({thinned.thin:,} with one or two).")
    error = thinned.error
    if error is None:
        notes.append("No check: too few points to set some aside.")
    else:
        notes.append(
            f"Checked against {error.points:,} points set aside: {1000 * error.root_mean_square:.1f} mm root mean square, "
            f"{1000 * error.bias:+.1f} mm on the mean, 19 of 20 within {1000 * error.within:.1f} mm."
        )
    held = len(levels_of(record, context.id, surface))
    if held:
        notes.append(f"{context.number} has {held} levels on its {surface} already; these come beside them.")
    if not _known_levels(record, context).size:
        notes.append("The unit has no other level to compare these with: see that they stand on the site's datum.")
    return tuple(notes)
