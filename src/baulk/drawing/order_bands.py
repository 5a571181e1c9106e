"""Phases as bands behind the order."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered import Layout
from baulk.drawing.scene import Group, Line, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, Sheet
from baulk.record import Context

__all__ = ["band_shapes", "phases_of"]

_RULE = Stroke("phase", 0.2, (1.0, 1.0))


def phases_of(members: Sequence[Sequence[Context]]) -> NDArray[np.int64]:
    """Return the phase of each group, 0 where none is given; a group whose members differ has none."""
    phases = np.zeros(len(members), dtype=np.int64)
    for place, group in enumerate(members):
        given = {member.phase for member in group if member.phase}
        if len(given) == 1:
            phases[place] = given.pop()
    return phases


def band_shapes(layout: Layout, phases: NDArray[np.int64], move: Spot, height: float, sheet: Sheet) -> list[Shape]:
    """Return a rule above each phase and its name at the left, where the rows keep the phases apart.

    Where phases share a row, because the order contradicts them, no band is drawn and a note says so.
    """
    given = [int(phase) for phase in np.unique(phases[phases > 0])[::-1]]
    if not given:
        return []
    spans = [(int(layout.row[phases == phase].min()), int(layout.row[phases == phase].max())) for phase in given]
    if any(upper[1] >= lower[0] for upper, lower in pairwise(spans)):
        sheet.notes.append("Phases are not shown as bands: the phases given contradict the order, or leave too much open.")
        return []
    shapes: list[Shape] = []
    right = move.across + layout.width + 3
    for place, (phase, (first, last)) in enumerate(zip(given, spans, strict=True)):
        top = move.down + float(layout.row_top[first])
        foot = move.down + float(layout.row_top[last]) + height
        parts: list[Shape] = [Text(f"Phase {phase}", Spot(MARGIN + 7, (top + foot) / 2 + 0.9), 2.6, bold=True)]
        if place:
            rule = top - 2.2
            parts.append(Line(((Spot(MARGIN + 7, rule), Spot(right, rule)),), _RULE))
        shapes.append(Group(tuple(parts), f"Phase {phase}", role="phase", name=str(phase)))
    return shapes
