"""`baulk open`: the workbench in the browser, on this machine only."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import restricted_option, site_argument
from baulk.record import view_of
from baulk.server.serve import serve
from baulk.work.study import study_source

__all__ = ["open_command"]


@click.command("open")
@site_argument
@click.option("--port", default=0, help="Port; a free one by default.")
@click.option("--browser/--no-browser", default=True, help="Whether to open the page in your browser.")
@restricted_option
def open_command(site: Path, port: int, browser: bool, restricted: bool) -> None:
    """Serve a read-only workbench of SITE on this machine, for the crew: burials are withheld unless asked for."""
    serve(
        study_source(site),
        view=view_of(restricted=restricted),
        port=port,
        open_browser=browser,
        announce=lambda url: click.echo(f"Workbench: {url}  (stop with Ctrl+C)"),
    )
