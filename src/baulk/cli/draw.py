"""`baulk draw`: drawings as SVG."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.date_draw import dates_svg
from baulk.cli.options import as_json, emit, path_name, restricted_option, site_argument
from baulk.record import Context, View, view_of
from baulk.store import open_site
from baulk.work.give import write_new
from baulk.work.study import Study

__all__ = ["draw"]

_DATES = "dates"


@click.command()
@site_argument
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--to", "folder", type=path_name, default=Path(), help="Folder for the drawings.")
@click.option("--scale", type=float, default=None, help="20 for 1:20; each drawing's own by default.")
@click.option("--public", is_flag=True, help="No co-ordinates and no names.")
@restricted_option
@as_json
def draw(
    site: Path, names: tuple[str, ...], folder: Path, scale: float | None, public: bool, restricted: bool, json_out: bool
) -> None:
    """Draw NAMEs (site, order, dates, plan-1, wall-W1 …), or list the names when none is given; `all` draws every one."""
    with open_site(site, read_only=True) as store:
        study = Study(store.record())
    view = view_of(restricted=restricted, public=public)
    known = (*study.drawings_for(view), *([_DATES] if study.record.count(Context) else []))
    if not names:
        emit({"drawings": list(known)}, "\n".join(known), json_out=json_out)
        return
    chosen = known if "all" in names else names
    svgs = {name: _svg(study, name, view, scale) for name in chosen}
    files = [write_new(folder / f"{_file_name(name)}.svg", svg.encode("utf-8")) for name, svg in svgs.items()]
    emit({"files": [str(path) for path in files]}, "\n".join(f"Drew {path}" for path in files), json_out=json_out)


def _svg(study: Study, name: str, view: View, scale: float | None) -> str:
    """Return a drawing; that of the dates holds the bounds by the order, for which nothing need be worked out at length."""
    if name == _DATES and study.record.count(Context):
        return dates_svg(study.dating.bounds(view), None, view)
    return study.svg(name, view, scale=scale)


def _file_name(name: str) -> str:
    return "".join(mark if mark.isalnum() or mark in "-_" else "-" for mark in name)
