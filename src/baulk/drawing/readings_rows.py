"""The rows of a table of weights: one piece of evidence, or what several with one cause say together."""

from __future__ import annotations

from collections.abc import Mapping

from baulk.drawing.readings_frame import RULE, TableFrame
from baulk.drawing.safe_text import wrapped
from baulk.drawing.scene import Area, Group, Line, Shape, Spot, Text, rectangle
from baulk.drawing.sheet import MARGIN
from baulk.errors import shorten
from baulk.reading.weigh import Weighed

__all__ = ["piece_row", "voice_row", "weight_words"]

_GAP = 1.2
_CLEAR = 0.05
"""Decibans below which a weight says nothing."""


def weight_words(weight: float) -> str:
    """Return a weight in words.

    Examples
    --------
    >>> weight_words(4.77), weight_words(-10.0), weight_words(0.01)
    ('4.8 decibans for', '10.0 decibans against', 'says nothing')
    """
    if abs(weight) < _CLEAR:
        return "says nothing"
    return f"{abs(weight):.1f} decibans {'for' if weight > 0 else 'against'}"


def piece_row(
    frame: TableFrame, weighed: Weighed, marks: Mapping[str, str], piece: int, down: float, *, counted: bool
) -> tuple[Group, float]:  # fmt: skip
    """Return the row of one piece and where it ends."""
    evidence, size = weighed.question.evidence[piece], frame.letters.small
    mark = marks.get(evidence.id, "")
    lines = wrapped(f"{mark} {shorten(evidence.told, 150)}".strip(), size, frame.label - 2.0)
    high = max(1.3 * size * len(lines), 3.2) + _GAP
    shapes: list[Shape] = [_rule(frame, down)]
    for place, line in enumerate(lines):
        indent = 0.0 if place == 0 else size
        shapes.append(Text(line, Spot(MARGIN + indent, down + _GAP / 2 + size * (0.95 + 1.3 * place)), size))
    for place, reading in enumerate(weighed.question.readings):
        weight = float(weighed.piece_weights[piece, place])
        held = evidence.expected.get(reading.id)
        middle = down + high / 2
        said = held.says if held is not None else "nobody said how expected it is"
        told = f"{mark or evidence.saw} under {reading.name}: {said}; {weight_words(weight)}"
        bar: Shape = frame.bar(frame.axis(place), weight, middle, counted=counted, high=2.6 if counted else 1.6)
        if held is None and not reading.none_of_these:
            box = rectangle(frame.axis(place) - 2.2, middle - 1.5, 4.4, 3.0)
            bar = Group((bar, Area((box,), stroke=RULE["blank"])), role="blank")
        shapes.append(Group((bar,), told, role="weight", name=f"{evidence.id} {reading.id}"))
    told = f"{mark} {evidence.told}".strip()
    return Group(tuple(shapes), told, record=evidence.id, role="evidence", name=mark), down + high


def voice_row(frame: TableFrame, weighed: Weighed, row: int, first: float, down: float) -> tuple[Group, float]:
    """Return the row of what a group counts, with the bracket over its pieces, and where it ends."""
    size, cause = frame.letters.small, weighed.rows.causes[row] or ""
    lines = wrapped(f"together: {shorten(cause, 60)}", size, frame.label - 4.0)
    high = max(1.3 * size * len(lines), 3.2) + _GAP
    shapes: list[Shape] = [
        Text(line, Spot(MARGIN + 2.0, down + size * (0.95 + 1.3 * place)), size, bold=True) for place, line in enumerate(lines)
    ]
    for place, reading in enumerate(weighed.question.readings):
        weight = float(weighed.weights[row, place])
        told = f"{cause} under {reading.name}: {weight_words(weight)}, counted once"
        shapes.append(
            Group(
                (frame.bar(frame.axis(place), weight, down + high / 2 - _GAP / 2),),
                told,
                role="weight",
                name=f"group {row} {reading.id}",
            )
        )
    foot, across = down + high - _GAP, frame.bracket
    ends = (Spot(across + 1.2, first + 0.6), Spot(across, first + 0.6), Spot(across, foot), Spot(across + 1.2, foot))
    shapes.append(Line((ends,), RULE["bracket"]))
    return Group(tuple(shapes), f"Counted together: {cause}", role="cause", name=cause), down + high


def _rule(frame: TableFrame, down: float) -> Line:
    return Line(((Spot(MARGIN, down), Spot(frame.width - MARGIN, down)),), RULE["row"])
