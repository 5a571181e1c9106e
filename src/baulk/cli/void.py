"""`baulk void`: make a record void; it keeps its number."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.amending import amended_words, told
from baulk.cli.options import as_json, by, emit, pen_of, site_argument
from baulk.store import open_site
from baulk.work.amend import make_void

__all__ = ["void"]


@click.command()
@site_argument
@click.argument("record")
@click.option("--why", default="", help="The reason; a void record is kept with it.")
@by
@as_json
def void(site: Path, record: str, why: str, person: str, json_out: bool) -> None:
    """Make RECORD void (context:123, relation:109:113, or an id). Nothing is deleted, and its number is never used again."""
    with open_site(site) as store:
        made = make_void(store, pen_of(person), record, why)
        emit(told(made), amended_words(store.record(), made), json_out=json_out)
