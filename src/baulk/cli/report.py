"""`baulk report`: the unit report as HTML and PDF."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, site_argument, step
from baulk.record import Unit, View
from baulk.store import open_site
from baulk.work.report import work_out_dates, write_report
from baulk.work.study import Study

__all__ = ["report"]


@click.command()
@site_argument
@click.argument("unit")
@click.option("--to", "folder", type=path_name, default=Path(), help="Folder for both files.")
@click.option("--public", is_flag=True, help="The public version: places, names and burials withheld, and listed as withheld.")
@click.option("--dates", is_flag=True, help="Work out the chronology first, so that the dating argument holds it.")
@as_json
def report(site: Path, unit: str, folder: Path, public: bool, dates: bool, json_out: bool) -> None:
    """Write the report of UNIT."""
    step("Working out order, closing check and drawings")
    with open_site(site, read_only=True) as store:
        study = Study(store.record())
    entity = study.record.numbered(Unit, unit)
    if dates:
        step("Working out the chronology, with and without the absence of later finds")
        work_out_dates(study, View.PUBLIC if public else View.RESTRICTED)
    html, pdf = write_report(study, entity.id, folder, public=public, written=date.today().isoformat())
    emit({"html": str(html), "pdf": str(pdf), "public": public}, f"Wrote {html}\nWrote {pdf}", json_out=json_out)
