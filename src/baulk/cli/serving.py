"""Serving a site: what `baulk open` and `baulk demo --open` share."""

from __future__ import annotations

from pathlib import Path
from threading import Thread

import click

from baulk.errors import StoreError
from baulk.record import View
from baulk.server.serve import serve
from baulk.server.tokens import Gate
from baulk.work.office import SiteOffice

__all__ = ["serve_site"]


def serve_site(site: Path, *, view: View = View.CREW, port: int = 0, browser: bool = True, days: int = 30) -> None:
    """Serve the workbench of a site on this machine until it is interrupted."""
    with SiteOffice(site) as office:
        Thread(target=office.warm, daemon=True).start()  # the page comes at once; the first answer waits for a large site
        serve(
            office.study,
            view=view,
            port=port,
            open_browser=browser,
            announce=lambda url: click.echo(f"Workbench: {url}  (stop with Ctrl+C)"),
            office=office,
            gate=_gate(office, view, days),
        )


def _gate(office: SiteOffice, view: View, days: int) -> Gate | None:
    """Return the gate by which devices join; None, and say why, when the site can only be read here."""
    why = office.why_not
    if not why:
        try:
            return Gate.beside(office.path, view=view, days=days)
        except StoreError as refusal:
            why = str(refusal)
    click.echo(f"Opened for reading only: nothing can be recorded here. {why}", err=True)
    return None
