"""`baulk take`: take tables in, all or nothing."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, by, emit, path_name, pen_of, site_argument, step
from baulk.store import open_site
from baulk.work.take import take as take_in

__all__ = ["take"]


@click.command()
@site_argument
@click.argument("place", type=path_name, metavar="TABLE_OR_FOLDER")
@click.option("--kind", default="", help="What the rows are (context, relation, level …); taken from the file's name by default.")
@click.option("--map", "mapping", type=path_name, default=None, help="Mapping file for another office's columns.")
@click.option("--encoding", default="", help="Encoding of the table; worked out by default.")
@click.option("--try", "try_only", is_flag=True, help="Check everything and write nothing.")
@click.option(
    "--skip-repeats",
    is_flag=True,
    help="Leave out relations, levels, contacts, outlines and staff readings that the site holds already; else they are refused.",
)
@by
@as_json
def take(
    site: Path,
    place: Path,
    kind: str,
    mapping: Path | None,
    encoding: str,
    try_only: bool,
    skip_repeats: bool,
    person: str,
    json_out: bool,
) -> None:
    """Take a CSV or XLSX table, or a folder of them, into SITE. One bad row and nothing is taken."""
    step(f"Reading and checking {place.name}")
    with open_site(site) as store:
        taken = take_in(
            store,
            pen_of(person),
            place,
            kind=kind,
            mapping=mapping,
            encoding=encoding,
            try_only=try_only,
            skip_repeats=skip_repeats,
        )
    total = sum(taken.counts.values())
    answer = {"taken": dict(taken.counts), "notes": list(taken.notes), "written": not try_only, "revision": taken.revision}
    lines = [f"{'Would take' if try_only else 'Took'} {total} records:"]
    lines += [f"  {count:>7} {name}" for name, count in taken.counts.items()]
    lines += ["Notes:", *(f"  {note}" for note in taken.notes)] if taken.notes else []
    emit(answer, "\n".join(lines), json_out=json_out)
