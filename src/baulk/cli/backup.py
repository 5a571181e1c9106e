"""`baulk backup` copies a site file while it is in use."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, site_argument
from baulk.store import open_site

__all__ = ["backup"]


@click.command()
@site_argument
@click.argument("target", type=path_name)
@as_json
def backup(site: Path, target: Path, json_out: bool) -> None:
    """Copy SITE to TARGET, whole and verified, also while others use it. Photos lie in the .files folder: copy that too."""
    with open_site(site, read_only=True) as store:
        store.backup(target)
        revision = store.revision()
    emit({"backup": str(target), "revision": revision}, f"Backed up to {target}, {revision} changes, checked.", json_out=json_out)
