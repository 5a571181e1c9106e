"""`baulk demo`: build the invented site, write its report, and serve it if asked."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, as_typed, emit, path_name, step
from baulk.cli.serving import Serving, serve_site
from baulk.record import Unit
from baulk.work.demo import build_demo
from baulk.work.report import write_report
from baulk.work.study import study_source

__all__ = ["demo"]


@click.command()
@click.argument("folder", type=path_name, default=Path("demo"))
@click.option("--open", "open_page", is_flag=True, help="Serve the workbench on this machine afterwards, for the crew.")
@click.option("--port", default=0, help="Port of the workbench; a free one by default.")
@click.option("--browser/--no-browser", default=True, help="Whether to open the page in your browser.")
@as_json
def demo(folder: Path, open_page: bool, port: int, browser: bool, json_out: bool) -> None:
    """Build Otter Weir, an invented site, in FOLDER (./demo), with a copy that has mistakes for the checks to find."""
    step("Building the invented site Otter Weir")
    sites = build_demo(folder)
    source = study_source(sites.good)
    step("Writing its report")
    unit = source().record.numbered(Unit, "1")
    written = write_report(source(), unit.id, folder)
    answer = {
        "site": str(sites.good), "with_mistakes": str(sites.mistaken), "report": [str(path) for path in written],
        "types": str(sites.types),
    }  # fmt: skip
    words = (
        f"Site:          {sites.good}\nWith mistakes: {sites.mistaken}\nReport:        {written[1]}\n"
        f"Types:         {sites.types} (an invented table of types of finds)\n\n"
        f"Try: {as_typed()} order {sites.mistaken}\n     {as_typed()} close {sites.good} 1\n"
        f"     {as_typed()} date {sites.good} --types {sites.types}"
    )
    emit(answer, words, json_out=json_out)
    if open_page:
        serve_site(sites.good, Serving(port=port, browser=browser))
