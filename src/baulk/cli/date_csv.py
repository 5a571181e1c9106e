"""Dates as CSV: one row a context, lists joined by semicolons, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

import click

__all__ = ["contexts_csv"]

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""Signs with which a spreadsheet begins a formula: such a cell is quoted."""


def contexts_csv(answer: Mapping[str, Any]) -> str:
    """Return the contexts of an answer as CSV.

    Raises
    ------
    UsageError
        When the answer has no list of contexts.
    """
    rows = answer.get("contexts")
    if not isinstance(rows, list):
        raise click.UsageError("--form csv gives the list of contexts: ask for it alone, or with --model.")
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    heads = list(rows[0]) if rows else ["context"]
    table.writerow(heads)
    for row in rows:
        table.writerow([_cell(row[head]) for head in heads])
    return out.getvalue().rstrip("\n")


def _cell(held: Any) -> str:
    """Return a value as one cell: blank for none, ranges as "1799 to 1838 (95 %)", lists joined."""
    if held is None:
        return ""
    if isinstance(held, bool):
        return "yes" if held else "no"
    if isinstance(held, Mapping):
        return f"{held['begin']} to {held['end']} ({100 * held['share']:.0f} %)"
    if isinstance(held, list):
        return "; ".join(_cell(one) for one in held)
    text = str(held)
    return f"'{text}" if isinstance(held, str) and text[:1] in _FORMULA else text
