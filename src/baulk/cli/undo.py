"""`baulk undo`: take a change back by a further change."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.amending import amended_words, told
from baulk.cli.options import as_json, by, emit, pen_of, site_argument
from baulk.store import open_site
from baulk.work.amend import undo as take_back

__all__ = ["undo"]


@click.command()
@site_argument
@click.option("--change", default="", help="Id of the change; the last one written by default.")
@by
@as_json
def undo(site: Path, change: str, person: str, json_out: bool) -> None:
    """Take the last change of SITE back, or the one named. The undoing is a change itself and can be undone."""
    with open_site(site) as store:
        made = take_back(store, pen_of(person), change)
        emit(told(made), amended_words(store.record(), made), json_out=json_out)
