"""The phase table as CSV: one row a context, to be kept with the archive."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from baulk.exchange.protection import protected
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.phase_table import PhaseLine

__all__ = ["PHASE_TABLE_HEADERS", "give_phase_table"]

PHASE_TABLE_HEADERS = ("id", "context", "phase", "earliest", "latest", "earliest_from", "latest_from", "conflict")


def give_phase_table(known: ContextRelations, lines: Sequence[PhaseLine]) -> str:
    """Return the phase table as CSV (RFC 4180, lines end in CR LF).

    Parameters
    ----------
    known : ContextRelations
        The contexts of the table.
    lines : sequence of PhaseLine
        The table.

    Returns
    -------
    str
        ``id`` and ``context`` (its number); ``phase`` given, 1 the earliest; ``earliest`` and ``latest`` that the order leaves
        open, and the numbers of the contexts whose phase set them; ``conflict`` in words. A blank cell: nothing is known.
    """

    def name(context: int | None) -> str:
        return "" if context is None else protected(known.relations.name(context))

    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(PHASE_TABLE_HEADERS)
    for line in lines:
        phases = ("" if phase is None else phase for phase in (line.given, line.earliest, line.latest))
        origin = (name(line.earliest_from), name(line.latest_from))
        rows.writerow((known.contexts[line.context], name(line.context), *phases, *origin, protected(line.conflict)))
    return text.getvalue()
