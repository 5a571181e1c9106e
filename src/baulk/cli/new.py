"""`baulk new`: make an empty site file."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, by, emit, pen_of, site_argument
from baulk.store import open_site

__all__ = ["new"]


@click.command()
@site_argument
@click.option("--code", default="", help="Site code that stands on every sheet.")
@click.option("--name", default="", help="Name of the site.")
@click.option(
    "--lengths", type=click.Choice(["m", "ft", "ft_us"]), default="m", help="Quantity of lengths, levels and co-ordinates."
)
@by
@as_json
def new(site: Path, code: str, name: str, lengths: str, person: str, json_out: bool) -> None:
    """Make a new, empty site file."""
    with open_site(site, create=True) as store:
        pen = pen_of(person)
        revision = store.append([pen.create("site", {"code": code or None, "name": name or None, "length_unit": lengths})])
    words = (
        f"Made {site}: lengths in {lengths}.\nNext: record by hand in the browser (baulk open {site}), "
        f"or take in what you have (baulk take {site} context.csv)."
    )
    emit({"site": str(site), "revision": revision}, words, json_out=json_out)
