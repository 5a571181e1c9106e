"""`baulk merge`: bring two copies of a site together."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from baulk.cli.options import as_json, emit, path_name, site_argument
from baulk.record import KINDS, Difference, SiteRecord, label_of
from baulk.store import open_site
from baulk.work.merge import Merged, merge_copies

__all__ = ["merge"]


@click.command()
@site_argument
@click.argument("other", type=path_name, metavar="OTHER.gpkg")
@as_json
@click.pass_context
def merge(ctx: click.Context, site: Path, other: Path, json_out: bool) -> None:
    """Take every change of OTHER, a copy of the same site, into SITE. Nothing is dropped.

    Fields changed on both sides, and numbers that both sides gave, are listed. Ends with 1 if there are any.
    """
    with open_site(other, read_only=True) as source, open_site(site) as store:
        merged = merge_copies(store, source)
    emit(_answer(merged), "\n".join(_words(merged)), json_out=json_out)
    ctx.exit(1 if merged.differences or merged.shared else 0)


def _answer(merged: Merged) -> dict[str, Any]:
    record = merged.record
    return {
        "taken": merged.taken,
        "revision": merged.revision,
        "differences": [
            {
                "record": f"{one.kind} {record.label(one.record)}",
                "id": one.record,
                "field": label_of(KINDS[one.kind], one.field),
                "values": [{"value": write.value, "person": write.person, "time": write.time} for write in one.writes],
            }
            for one in merged.differences
        ],
        "shared_numbers": [{"kind": one.kind, "number": one.number, "ids": list(one.ids)} for one in merged.shared],
    }


def _words(merged: Merged) -> list[str]:
    lines = [f"{merged.taken} changes taken in; {len(merged.differences)} differences to settle."]
    for one in merged.differences:
        values = " / ".join(f"{write.value} ({write.person})" for write in one.writes)
        lines.append(f"  {_named(merged.record, one)}: {values}")
        lines.append(f"    settle with: baulk set SITE.gpkg {one.record} {one.field} VALUE")
    if merged.shared:
        lines.append(f"{len(merged.shared)} numbers were given on both sides; give all but one of each another number:")
    for same in merged.shared:
        lines.append(f"  {KINDS[same.kind].TITLE} {same.number}: {', '.join(same.ids)}")
        lines.append(f"    settle with: baulk set SITE.gpkg {same.ids[-1]} number NEW_NUMBER")
    return lines


def _named(record: SiteRecord, difference: Difference) -> str:
    return f"{difference.kind} {record.label(difference.record)}, {label_of(KINDS[difference.kind], difference.field)}"
