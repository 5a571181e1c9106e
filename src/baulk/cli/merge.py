"""`baulk merge`: bring two copies of a site together."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, site_argument
from baulk.record import KINDS, Difference, SiteRecord, label_of
from baulk.store import open_site

__all__ = ["merge"]


@click.command()
@site_argument
@click.argument("other", type=path_name, metavar="OTHER.gpkg")
@as_json
@click.pass_context
def merge(ctx: click.Context, site: Path, other: Path, json_out: bool) -> None:
    """Take every change of OTHER into SITE. Nothing is dropped; fields changed on both sides are listed. Ends with 1 if any are."""
    with open_site(other, read_only=True) as source:
        changes = list(source.changes())
    with open_site(site) as store:
        before = store.revision()
        after = store.append(changes, merging=True)
        record = store.record()
    shown = [difference for difference in record.differences if difference.kind in KINDS]
    lines = [f"{after - before} changes taken in; {len(shown)} differences to settle."]
    lines += [f"  {_named(record, one)}: {' / '.join(f'{write.value} ({write.person})' for write in one.writes)}" for one in shown]
    differences = [
        {
            "record": f"{one.kind} {record.label(one.record)}",
            "field": label_of(KINDS[one.kind], one.field),
            "values": [{"value": write.value, "person": write.person, "time": write.time} for write in one.writes],
        }
        for one in shown
    ]
    emit({"taken": after - before, "revision": after, "differences": differences}, "\n".join(lines), json_out=json_out)
    ctx.exit(1 if shown else 0)


def _named(record: SiteRecord, difference: Difference) -> str:
    return f"{difference.kind} {record.label(difference.record)}, {label_of(KINDS[difference.kind], difference.field)}"
