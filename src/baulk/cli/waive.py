"""`baulk waive`: set a rule of the closing check aside, with who and why."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from baulk.cli.amending import amended_words, told
from baulk.cli.options import as_json, by, emit, pen_of, site_argument
from baulk.store import open_site
from baulk.work.amend import waive as set_aside

__all__ = ["waive"]


@click.command()
@site_argument
@click.argument("unit")
@click.argument("rule")
@click.option("--who", required=True, help="Name of the one who decided.")
@click.option("--why", required=True, help="The reason; both are printed in the report.")
@click.option("--day", default="", help="Day of the decision; today by default.")
@click.option("--record", "records", multiple=True, help="Only for this record (context:114); again for several; all by default.")
@by
@as_json
def waive(
    site: Path, unit: str, rule: str, who: str, why: str, day: str, records: tuple[str, ...], person: str, json_out: bool
) -> None:
    """Set RULE (such as B35) aside for UNIT. The closing check then says waived, and the report prints who and why."""
    when = day or date.today().isoformat()
    with open_site(site) as store:
        made = set_aside(store, pen_of(person), unit, rule, who=who, why=why, day=when, records=records)
        emit(told(made), amended_words(store.record(), made), json_out=json_out)
