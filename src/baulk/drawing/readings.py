"""The table of weights: readings across, evidence down, bars of decibans, groups bracketed, the range of the answer below.

A bar to the right of its axis speaks for the reading, one to the left against it. What is counted is filled; a piece whose group is
counted as one voice is an open bar. A cell that nobody filled in is an empty box.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from baulk.drawing.paper import round_step
from baulk.drawing.readings_answer import answer_strip, prior_strip
from baulk.drawing.readings_frame import AGAINST, FOR, RULE, TableFrame
from baulk.drawing.readings_rows import piece_row, voice_row
from baulk.drawing.safe_text import wrapped
from baulk.drawing.scene import Group, Line, Scene, Shape, Spot, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.errors import shorten
from baulk.reading.weigh import Weighed
from baulk.record import SiteRecord

__all__ = ["Beside", "readings_drawing"]

_MOST_TESTS = 6


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands on the sheet beside the weights.

    Parameters
    ----------
    marks : mapping-like of str to str
        The short mark of each piece of evidence and reading by id, as in 1.03 or 1A.
    set_aside : tuple of (str, str)
        Mark with words, and reason, of evidence that is in the table and does not count.
    tests : tuple of (str, bool, float)
        What was not done yet, whether it is lost at backfill, and its hours; in the order in which to do it.
    notes : tuple of str
        What could not be used.
    caution : str
        Stands above all else where a reading means human remains; empty for none.
    about : str
        The contexts it is about.
    conclusion : str
        What the director concluded; empty for none.
    """

    marks: dict[str, str]
    set_aside: tuple[tuple[str, str], ...] = ()
    tests: tuple[tuple[str, bool, float], ...] = ()
    notes: tuple[str, ...] = ()
    caution: str = ""
    about: str = ""
    conclusion: str = ""


def readings_drawing(
    record: SiteRecord, weighed: Weighed, beside: Beside, *, name: str = "readings", restricted: bool = False
) -> Scene:  # fmt: skip
    """Draw a weighed question on one sheet.

    Parameters
    ----------
    record : SiteRecord
        Where the heading comes from.
    weighed : Weighed
        The question, weighed.
    beside : Beside
        What stands beside the weights.
    name : str
        Short name of the drawing.
    restricted : bool
        True where a reading means human remains and the sheet may show it: it then says that it is not for the public.
    """
    question = weighed.question
    heading = f"Question {question.number}: weights of evidence" if question.number else "Weights of evidence"
    facts = (
        ("Question", question.asks),
        ("About", beside.about or None),
        ("Common causes", weighed.treatment.meaning),
        ("Concluded", beside.conclusion or None),
    )
    frame = _frame(weighed)
    sheet = Sheet(record, frame.width, Title(heading, facts, RESTRICTED_WARNING if restricted else ""), 1.0)
    body, down = _above(frame, weighed, beside, sheet.top + frame.letters.small)
    rows, foot = _rows(frame, weighed, beside, down)
    body += [_axes(frame, weighed, down, foot), *rows]
    answers, down = answer_strip(frame, weighed, foot)
    scale, down = _scale(frame, down)
    missing = _missing(frame, beside, down)
    body += [answers, scale, *missing]
    down = max(_feet(missing))
    _note(sheet, weighed, beside)
    leader, rival = (question.readings[place].name for place in (weighed.leader, weighed.rival))
    told = f"{len(question.evidence)} pieces of evidence under {len(question.readings)} readings; “{leader}” leads, next “{rival}”."
    return sheet.finish(name, body, down + 1.0, scale=0.0, north=False, described=told)


def _above(frame: TableFrame, weighed: Weighed, beside: Beside, down: float) -> tuple[list[Shape], float]:
    """Return what stands above the rows: the caution, the question, the readings and their priors, and where they end."""
    body: list[Shape] = []
    if beside.caution:
        shapes, down = _words(frame, beside.caution, down, bold=True)
        body.append(Group(shapes, beside.caution, role="caution"))
    shapes, down = _words(frame, weighed.question.asks, down)
    body.append(Group(shapes, role="question"))
    head, down = _head(frame, weighed, beside, down + 1.0)
    priors, down = prior_strip(frame, weighed, down)
    return [*body, head, priors], down


def _rows(frame: TableFrame, weighed: Weighed, beside: Beside, down: float) -> tuple[list[Shape], float]:
    """Return the rows of evidence, groups below their pieces, and where they end."""
    body: list[Shape] = []
    for row, pieces in enumerate(weighed.rows.pieces):
        first = down
        for piece in pieces:
            drawn, down = piece_row(frame, weighed, beside.marks, piece, down, counted=len(pieces) == 1)
            body.append(drawn)
        if len(pieces) > 1:
            drawn, down = voice_row(frame, weighed, row, first, down)
            body.append(drawn)
    return body, down


def _frame(weighed: Weighed) -> TableFrame:
    """Return where columns stand; the longest bar takes its half of a column."""
    most = max([float(np.abs(weighed.weights).max(initial=0.0)), float(np.abs(weighed.piece_weights).max(initial=0.0)), 3.0])
    return TableFrame(len(weighed.question.readings), most, weighed.order)


def _words(frame: TableFrame, words: str, down: float, *, bold: bool = False) -> tuple[tuple[Shape, ...], float]:
    size = frame.letters.plain
    lines = wrapped(words, size, frame.width - 2 * MARGIN)
    shapes = tuple(
        Text(line, Spot(MARGIN, down + size * (1.0 + 1.35 * place)), size, bold=bold) for place, line in enumerate(lines)
    )
    return shapes, down + size * (0.6 + 1.35 * len(lines))


def _head(frame: TableFrame, weighed: Weighed, beside: Beside, down: float) -> tuple[Group, float]:
    """Return the names of the readings over their columns, likeliest first."""
    size = frame.letters.small
    columns = []
    for place in weighed.order:
        reading = weighed.question.readings[place]
        lines = wrapped(reading.name, size, frame.column - 2.0)
        columns.append((place, reading, lines))
    rows = max(len(lines) for _, _, lines in columns)
    shapes: list[Shape] = []
    foot = down + size * (1.3 * (rows + 1) + 0.4)
    for place, reading, lines in columns:
        axis = frame.axis(place)
        mark = beside.marks.get(reading.id, "")
        parts: list[Shape] = [Text(mark, Spot(axis, down + size), size, "middle", bold=True)] if mark else []
        parts += [
            Text(line, Spot(axis, down + size * (1.0 + 1.3 * (row + 1))), size, "middle", bold=place == weighed.leader)
            for row, line in enumerate(lines)
        ]
        shapes.append(Group(tuple(parts), reading.name, record=reading.id, role="reading", name=mark))
    return Group(tuple(shapes), role="readings"), foot


def _axes(frame: TableFrame, weighed: Weighed, top: float, foot: float) -> Group:
    """Return the axis of every column and the faint lines of its scale."""
    shapes: list[Shape] = []
    step = round_step(frame.most, 2)
    for place in weighed.order:
        axis = frame.axis(place)
        faint = [axis + side * frame.length(step) for side in (-1, 1)]
        shapes.append(Line(tuple((Spot(across, top), Spot(across, foot)) for across in faint), RULE["faint"]))
        shapes.append(Line(((Spot(axis, top), Spot(axis, foot)),), RULE["axis"]))
    return Group(tuple(shapes), role="axes")


def _scale(frame: TableFrame, down: float) -> tuple[Group, float]:
    """Return the key of the bars: how long 10 decibans, or the step, are, and which side is which."""
    size = frame.letters.small
    step = round_step(frame.most, 2)
    axis = MARGIN + frame.label / 2
    middle = down + 2.2 * size
    bars = (frame.bar(axis, step, middle), frame.bar(axis, -step, middle))
    ratio = 10 ** (step / 10)
    words = (
        Text(f"for: {step:g} decibans, {ratio:.3g} times as much", Spot(axis + frame.length(step) + 2, middle + 0.36 * size), size),
        Text("against", Spot(axis - frame.length(step) - 2, middle + 0.36 * size), size, "end"),
    )
    told = f"Scale of the bars: {step:g} decibans to either side"
    return Group((*bars, *words), told, role="bar-scale", name=f"{step:g}"), down + 4.0 * size


def _missing(frame: TableFrame, beside: Beside, down: float) -> list[Group]:
    """Return two columns: what was not done yet, and what is in the table without counting."""
    half = (frame.width - 3 * MARGIN) / 2
    tests = [f"{'LOST AT BACKFILL: ' if lost else ''}{does} ({hours:g} h)" for does, lost, hours in beside.tests[:_MOST_TESTS]]
    if len(beside.tests) > _MOST_TESTS:
        tests.append(f"and {len(beside.tests) - _MOST_TESTS} more")
    aside = [f"{what}: set aside, {why}" for what, why in beside.set_aside]
    return [
        _list(frame, "Not done yet, what tells most first", tests or ["Nothing is listed."], Spot(MARGIN, down), half, "tests"),
        _list(frame, "In the table without counting", aside or ["Nothing."], Spot(2 * MARGIN + half, down), half, "set-aside"),
    ]


def _list(frame: TableFrame, heading: str, items: Sequence[str], corner: Spot, width: float, role: str) -> Group:
    size = frame.letters.small
    down = corner.down + size
    shapes: list[Shape] = [Text(heading, Spot(corner.across, down), size, bold=True)]
    for item in items:
        for place, line in enumerate(wrapped(shorten(item, 220), size, width - size)):
            down += 1.4 * size
            shapes.append(Text(line, Spot(corner.across + (size if place else 0.0), down), size))
    return Group(tuple(shapes), role=role)


def _feet(groups: Sequence[Group]) -> list[float]:
    return [shape.spot.down for group in groups for shape in group.shapes if isinstance(shape, Text)]


def _note(sheet: Sheet, weighed: Weighed, beside: Beside) -> None:
    sheet.key.shade(FOR, "speaks for the reading, to the right of its axis; counted")
    sheet.key.shade(AGAINST, "speaks against it, to the left; counted")
    if any(len(pieces) > 1 for pieces in weighed.rows.pieces):
        sheet.key.other_line(RULE["open"], "one of several pieces with one cause: the filled bar below them is counted")
    sheet.key.other_line(RULE["range"], "least to most that the answer can be over the ranges of all words and numbers")
    if weighed.question.blanks:
        sheet.key.other_line(RULE["blank"], "nobody said how expected it is: counts as “cannot say”")
    sheet.notes += [*weighed.prior.notes, *beside.notes]
    sheet.notes.append(
        "A weight is set against the average of all readings before the evidence. The range assumes the words to be right within "
        "their printed ranges, and none of it is better than the words themselves."
    )
