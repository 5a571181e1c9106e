"""`baulk cloud`: a point cloud to levels on a context."""

from __future__ import annotations

from pathlib import Path

import click
import numpy as np

from baulk.cli.options import as_json, by, emit, pen_of, site_argument, step
from baulk.errors import InputError
from baulk.store import open_site
from baulk.work.point_cloud import CloudLevels, cloud_levels, take_cloud

__all__ = ["cloud"]


@click.command()
@site_argument
@click.argument("file", type=click.Path(path_type=Path), metavar="CLOUD")
@click.option("--context", "number", required=True, help="Number of the context that the cloud shows.")
@click.option("--surface", type=click.Choice(["top", "base"]), default="top", help="Which surface of it.")
@click.option("--cell", type=float, default=0.05, show_default=True, help="Side of a cell in metres; each cell gives one level.")
@click.option("--lengths", default="", help="What the cloud counts in (m, mm, ft …); the site's own quantity by default.")
@click.option("--offset", default="", metavar="E,N[,LEVEL]", help="What to add to each point.")
@click.option("--projected", is_flag=True, help="The cloud lies on the projected grid that the site's stations are tied to.")
@click.option("--control", type=click.Path(path_type=Path), default=None, metavar="POINTS.csv", help="Points known on both grids.")
@click.option("--try", "try_only", is_flag=True, help="Work everything out and write nothing.")
@by
@as_json
def cloud(
    site: Path, file: Path, number: str, surface: str, cell: float, lengths: str, offset: str, projected: bool,
    control: Path | None, try_only: bool, person: str, json_out: bool,
) -> None:  # fmt: skip
    """Take levels from CLOUD (LAS, LAZ or PLY) into SITE: the median of each cell inside the context's outline."""
    step(f"Reading {file.name}")
    with open_site(site, read_only=try_only) as store:
        found = cloud_levels(
            store.record(), file, number, surface,
            cell=cell, lengths=lengths, offset=_offset(offset), projected=projected, control=control,
        )  # fmt: skip
        revision = store.revision() if try_only else take_cloud(store, pen_of(person), found)
    count = len(found.kept)
    words = (
        f"{'Would take' if try_only else 'Took'} {count:,} levels on the {surface} of {number}, one a cell of {1000 * cell:g} mm."
    )
    emit({**_answer(found), "written": not try_only, "revision": revision}, "\n".join([words, *found.notes]), json_out=json_out)


def _offset(text: str) -> tuple[float, ...]:
    try:
        return tuple(float(part) for part in text.split(",")) if text.strip() else ()
    except ValueError:
        raise InputError(
            f"The offset is given as “{text[:40]}”. It is easting, northing and, if wished, level: --offset 112,204,29.6"
        ) from None


def _answer(found: CloudLevels) -> dict[str, object]:
    thinned, error = found.thinned, found.thinned.error
    return {
        "levels": len(found.kept),
        "points": found.cloud.count,
        "outside": thinned.outside,
        "outliers": thinned.outliers,
        "cell": thinned.grid.cell,
        "spread_mm": float(1000 * np.median(thinned.spreads[found.kept])),
        "error": None if error is None else {
            "points": error.points, "bias_mm": 1000 * error.bias, "root_mean_square_mm": 1000 * error.root_mean_square,
            "within_mm": 1000 * error.within,
        },
        "notes": list(found.notes),
    }  # fmt: skip
