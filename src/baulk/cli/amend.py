"""`baulk amend`: correct many records from a table."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.amending import amended_words, reason, told
from baulk.cli.options import as_json, by, emit, path_name, pen_of, site_argument
from baulk.store import open_site
from baulk.work.amend import amend_from_table

__all__ = ["amend"]


@click.command()
@site_argument
@click.argument("table", type=path_name)
@click.option("--kind", default="", help="What the rows are; taken from the file's name by default.")
@click.option("--encoding", default="", help="Encoding of the table; worked out by default.")
@reason
@by
@as_json
def amend(site: Path, table: Path, kind: str, encoding: str, why: str, person: str, json_out: bool) -> None:
    """Correct records of SITE from TABLE: each row names one by its number or id, and its filled cells are what is to stand there.

    A blank cell leaves its field alone. site.csv fills in the site itself. One bad row and nothing is changed.
    """
    with open_site(site) as store:
        made = amend_from_table(store, pen_of(person), table, kind=kind, why=why or None, encoding=encoding)
        emit(told(made), amended_words(store.record(), made), json_out=json_out)
