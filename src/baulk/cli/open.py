"""`baulk open`: the workbench in the browser, on this machine, and for the devices of the site's network when that is asked for."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import restricted_option, site_argument, step
from baulk.cli.serving import Serving, serve_site
from baulk.record import view_of

__all__ = ["open_command"]


@click.command("open")
@site_argument
@click.option("--port", default=0, help="Port; the site's own by default, the same at every start.")
@click.option("--browser/--no-browser", default=True, help="Whether to open the page in your browser.")
@click.option("--days", default=30, type=click.IntRange(1, 365), help="For how many days a device that joins may send.")
@click.option("--network", is_flag=True, help="Let tablets and phones of the site's own network join, over TLS.")
@click.option("--address", default="", help="This machine's address in that network; found by itself.")
@restricted_option
def open_command(site: Path, port: int, browser: bool, days: int, network: bool, address: str, restricted: bool) -> None:
    """Serve the workbench of SITE, to look and to record: burials are withheld unless asked for.

    Only this machine is answered, unless --network is given. A device that joins gives the code that is shown.
    """
    step(f"Reading {site}")
    serve_site(site, Serving(view_of(restricted=restricted), port, browser, days, network, address))
