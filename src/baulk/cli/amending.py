"""What the correcting commands share: the reason, and how the changes made are told."""

from __future__ import annotations

from typing import Any

import click

from baulk.record import KINDS, SiteRecord, label_of
from baulk.work.amend import Amended

__all__ = ["amended_words", "reason", "told"]

reason = click.option("--why", default="", help="Why; it is kept with the change.")


def told(made: Amended) -> dict[str, Any]:
    """Return the changes made as JSON."""
    return {
        "revision": made.revision,
        "changes": [
            {"id": one.id, "kind": one.kind, "record": one.record, "field": one.field, "value": one.value, "replaced": one.replaced}
            for one in made.changes
        ],
    }


def amended_words(record: SiteRecord, made: Amended) -> str:
    """Return the changes made in words."""
    if not made.changes:
        return "Nothing was changed: that is what stands there already."
    lines = []
    for one in made.changes:
        kind = KINDS[one.kind]
        name = f"{kind.TITLE} {record.label(one.record)}".replace(f"{kind.TITLE} {kind.TITLE} ", f"{kind.TITLE} ")
        if one.creates:
            lines.append(f"Added {name}.")
        else:
            lines.append(f"{name}, {label_of(kind, one.field)}: {_value(one.replaced)} → {_value(one.value)}")
    return "\n".join([*lines, f"Revision {made.revision}. Take the last one back with: baulk undo SITE.gpkg"])


def _value(value: Any) -> str:
    if value is None:
        return "(blank)"
    return str(value["absent"]) if isinstance(value, dict) and set(value) == {"absent"} else str(value)
