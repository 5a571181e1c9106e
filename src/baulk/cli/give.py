"""`baulk give`: give the record out as tables or positions."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, restricted_option, site_argument
from baulk.store import open_site
from baulk.work.give import give as give_out

__all__ = ["give"]


@click.command()
@site_argument
@click.argument("folder", type=path_name)
@click.option("--kind", "kinds", multiple=True, help="Kind to give; again for several; all by default.")
@click.option(
    "--form",
    type=click.Choice(["csv", "geojson", "grid-geojson", "phases", "jsonld"]),
    default="csv",
    help="geojson is WGS 84; grid-geojson the site grid; phases the phase table; jsonld the order as linked data.",
)
@click.option("--public", is_flag=True, help="Leave out places and names of people.")
@restricted_option
@as_json
def give(site: Path, folder: Path, kinds: tuple[str, ...], form: str, public: bool, restricted: bool, json_out: bool) -> None:
    """Write the record's tables into FOLDER, with a data dictionary. What is kept back is named."""
    with open_site(site, read_only=True) as store:
        given = give_out(store.record(), folder, kinds=kinds, form=form, restricted=restricted, public=public)
    answer = {"files": [str(path) for path in given.files], "withheld": list(given.withheld)}
    emit(answer, "\n".join([*(f"Wrote {path}" for path in given.files), *given.withheld]), json_out=json_out)
