"""`baulk rectify`: a photo with marked points to a north-up picture on the site grid."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, site_argument, step
from baulk.store import open_site
from baulk.work.rectify import RectifiedPhoto, rectify_photo

__all__ = ["rectify"]


@click.command()
@site_argument
@click.argument("photo", type=path_name)
@click.argument("points", type=path_name, metavar="POINTS.csv")
@click.option("--to", "folder", type=path_name, default=Path(), help="Folder for the pictures.")
@click.option("--cell", type=float, default=None, help="Side of a cell in metres; near the photo's own resolution by default.")
@click.option("--relief", type=float, default=None, help="Metres that the ground stands off the plane of the points.")
@click.option("--camera-height", type=float, default=None, help="Metres from the plane up to the camera, where measured.")
@click.option("--no-lens", is_flag=True, help="Do not look for the bend of the lens.")
@as_json
def rectify(
    site: Path, photo: Path, points: Path, folder: Path, cell: float | None, relief: float | None, camera_height: float | None,
    no_lens: bool, json_out: bool,
) -> None:  # fmt: skip
    """Rectify PHOTO by the points of POINTS.csv (point, column, row, easting, northing; columns and rows count from 0)."""
    with open_site(site, read_only=True) as store:
        record = store.record()
    step(f"Rectifying {photo.name}")
    found = rectify_photo(
        record, photo, points, folder, cell=cell, relief=relief, camera_height=camera_height, lens=not no_lens
    )  # fmt: skip
    emit(_answer(found), _words(found), json_out=json_out)


def _answer(found: RectifiedPhoto) -> dict[str, object]:
    fit = found.fit
    return {
        "files": [str(file) for file in found.files],
        "grid": found.grid,
        "cell": found.raster.cell,
        "size": [found.raster.columns, found.raster.rows],
        "resolution": fit.resolution(),
        "fitted_mm": fit.root_mean_square,
        "left_out_mm": fit.left_out_error,
        "check": fit.check,
        "points": [
            {"point": name, "east_mm": east, "north_mm": north, "left_out_mm": _number(fit, place)}
            for place, (name, (east, north)) in enumerate(zip(fit.names, fit.residuals.tolist(), strict=True))
        ],
        "relief": found.relief,
        "notes": list(found.notes),
    }


def _number(fit: object, place: int) -> float | None:
    left_out = getattr(fit, "left_out", None)
    return None if left_out is None or left_out[place] != left_out[place] else float(left_out[place])


def _words(found: RectifiedPhoto) -> str:
    fit = found.fit
    lines = [f"{len(fit.names)} points: {fit.check}.", "  point        east mm  north mm  left out mm"]
    for place, (name, (east, north)) in enumerate(zip(fit.names, fit.residuals.tolist(), strict=True)):
        missed = _number(fit, place)
        lines.append(f"  {name[:10]:<10} {east:>+9.1f} {north:>+9.1f}  {'no check' if missed is None else f'{missed:.1f}':>11}")
    size = f"{found.raster.columns} × {found.raster.rows} cells of {1000 * found.raster.cell:g} mm"
    lines += [f"{size}; one pixel of the photo covers {1000 * fit.resolution():.2f} mm.", *found.notes, found.relief]
    return "\n".join([*lines, *(f"Wrote {file}" for file in found.files)])
