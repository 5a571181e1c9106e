"""`baulk set`: correct one field of one record."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.amending import amended_words, reason, told
from baulk.cli.options import as_json, by, emit, pen_of, site_argument
from baulk.store import open_site
from baulk.work.amend import set_field

__all__ = ["set_command"]


@click.command("set")
@site_argument
@click.argument("record")
@click.argument("field")
@click.argument("value")
@reason
@by
@as_json
def set_command(site: Path, record: str, field: str, value: str, why: str, person: str, json_out: bool) -> None:
    """Write VALUE into FIELD of RECORD: site, context:109, relation:109:113 (later, earlier), or a record's id.

    VALUE is written as in a table: a length may say its quantity, "not visible" and "not done: reason" say that it is absent on
    purpose. Where two people had written different values unseen, this settles the difference. The old value stays in the history.
    """
    with open_site(site) as store:
        made = set_field(store, pen_of(person), record, field, value, why=why or None)
        emit(told(made), amended_words(store.record(), made), json_out=json_out)
