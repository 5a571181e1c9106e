"""`baulk open`: the workbench in the browser, on this machine only."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import restricted_option, site_argument
from baulk.cli.serving import serve_site
from baulk.record import view_of

__all__ = ["open_command"]


@click.command("open")
@site_argument
@click.option("--port", default=0, help="Port; a free one by default.")
@click.option("--browser/--no-browser", default=True, help="Whether to open the page in your browser.")
@click.option("--days", default=30, type=click.IntRange(1, 365), help="For how many days a device that joins may send.")
@restricted_option
def open_command(site: Path, port: int, browser: bool, days: int, restricted: bool) -> None:
    """Serve the workbench of SITE on this machine, for the crew: burials are withheld unless asked for."""
    serve_site(site, view=view_of(restricted=restricted), port=port, browser=browser, days=days)
