"""When each context was formed, as one sheet: latest on top, earlier years on the left, certainty as line quality."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from baulk.dating.calibration import Piece
from baulk.dating.posterior import EventDate
from baulk.dating.years import counted, year_in_words
from baulk.drawing.edges import notched
from baulk.drawing.labels import tag_form
from baulk.drawing.look import LINES, Appearance, appearance_of, context_title
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Scene, Shape, Spot, Stroke, Text, rectangle
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.drawing.year_axis import YearAxis, axis_over
from baulk.errors import shorten
from baulk.record import WITHHELD_WORD, Context, SiteRecord

__all__ = ["INNER", "MOST_LINES", "OUTER", "DateLine", "dates_drawing", "told_pieces"]

INNER, OUTER = 0.68, 0.95
"""Levels of the two ranges that are drawn."""

MOST_LINES = 120
"""Contexts drawn on one sheet at most, so that it stays readable."""

_WIDTH, _LABEL, _LENS, _ROW = 190.0, 20.0, 6.4, 11.4
_RIM = Stroke("date rim", 0.25)
_PRIOR = Stroke("prior", 0.16)
_INNER, _OUTER, _OPEN = LINES["firm"], LINES["broken"], LINES["dotted"]
_TICK = Stroke("bound", 0.5)
_CROSSED = Stroke("contradicted", 0.7, (0.9, 0.5))
_TRACE = 0.02
"""Share of the highest chance below which a year is hardly likely: the axis need not hold it."""
_SLIVER = 0.005
_NO_SOIL = "#B9B0A4"
_LIGHT = 0.72
"""How far a prior is lightened towards paper."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class DateLine:
    """What one lane of the drawing shows.

    Parameters
    ----------
    context : str
        Id.
    tpq, taq : int or None
        Calendar years of the bounds.
    tpq_by, taq_by : str
        What set each.
    date : EventDate or None
        What a chronology makes of it; None where none was worked out.
    """

    context: str
    tpq: int | None = None
    taq: int | None = None
    tpq_by: str = ""
    taq_by: str = ""
    date: EventDate | None = None

    @cached_property
    def inner(self) -> tuple[Piece, ...]:
        """The range at the lower level, in as many pieces as it takes."""
        return () if self.date is None else told_pieces(self.date, INNER)

    @cached_property
    def outer(self) -> tuple[Piece, ...]:
        """The range at the higher level."""
        return () if self.date is None else told_pieces(self.date, OUTER)

    @property
    def contradicted(self) -> bool:
        """Whether it would have to be later than it can be."""
        return self.tpq is not None and self.taq is not None and self.tpq > self.taq


def told_pieces(date: EventDate, level: float) -> tuple[Piece, ...]:
    """Return the pieces of a range worth telling: those of less than half a per cent are left out, as noise of the draws."""
    pieces = date.pieces(level)
    return tuple(piece for piece in pieces if piece.share >= _SLIVER) or pieces


def dates_drawing(
    record: SiteRecord, lines: Sequence[DateLine], *, name: str = "dates", heading: str = "Dates: latest on top",
    facts: Sequence[tuple[str, str | None]] = (), notes: Sequence[str] = (), restricted: bool = False,
    withheld: Collection[str] = (),
) -> Scene:  # fmt: skip
    """Return the dates of contexts as a drawing.

    Parameters
    ----------
    record : SiteRecord
        As the viewer may have it: where numbers, kinds and soil colours come from.
    lines : sequence of DateLine
        Latest first, as they stand down the sheet; at most `MOST_LINES` are drawn and the note says how many are left out.
    name, heading : str
        Short name, and what the sheet is called.
    facts, notes : sequence
        What the title block and the notes say besides.
    restricted : bool
        True when the sheet shows records that are not for the public.
    withheld : collection of str
        Ids of contexts of which no more than number and kind is shown.
    """
    drawn = lines[:MOST_LINES]
    sheet = Sheet(record, _WIDTH, Title(heading, tuple(facts), RESTRICTED_WARNING if restricted else ""), 1.0)
    axis = axis_over(_years_of(drawn), MARGIN + _LABEL, _WIDTH - 2 * MARGIN - _LABEL - 2)
    top = sheet.top + 2.4 * sheet.letters.small
    foot = top + _ROW * max(1, len(drawn))
    body: list[Shape] = axis.rules(top, foot, sheet.letters)
    for place, line in enumerate(drawn):
        body.append(_lane(record, line, axis, top + _ROW * place, sheet, withheld))
    sheet.notes += [*_what_is_seen(drawn, axis), *notes]
    if len(lines) > len(drawn):
        sheet.notes.append(f"{len(lines) - len(drawn)} earlier contexts are not drawn on this sheet; the table lists them.")
    if not lines:
        sheet.notes.append("No context is on record yet.")
    described = f"Dates of {len(drawn)} contexts, one under the other, latest on top; years run to the right."
    return sheet.finish(name, body, foot + 2.0 * sheet.letters.small, scale=0.0, north=False, described=described)


def _years_of(lines: Sequence[DateLine]) -> Iterator[float | None]:
    """Yield the years that the axis has to hold: bounds, ranges, and where a density is more than a trace."""
    for line in lines:
        yield from (None if year is None else float(counted(year)) for year in (line.tpq, line.taq))
        for piece in line.outer:
            yield from (float(counted(piece.begin)), float(counted(piece.end)))
        if line.date is not None:
            seen = line.date.years[line.date.probability > _TRACE * line.date.probability.max()]
            yield from (float(seen[0]), float(seen[-1] + line.date.step))


def _lane(record: SiteRecord, line: DateLine, axis: YearAxis, top: float, sheet: Sheet, withheld: Collection[str]) -> Group:
    context = record.get(Context, line.context)
    assert context is not None  # lines are made from this record
    look = Appearance(None, "", False, WITHHELD_WORD) if line.context in withheld else appearance_of(context)
    middle = top + 1.0 + _LENS / 2
    foot = top + 1.7 + _LENS
    shapes: list[Shape] = list(_label(context, look, middle, sheet))
    if line.date is not None:
        shapes += _lenses(look, line.date, axis, middle, sheet)
    shapes += _ranges(line, axis, foot, sheet)
    shapes += _ticks(line, axis, top + 1.0, foot, sheet)
    words = _set_by(line)
    size = min(sheet.letters.small, 2.1)
    if words:
        shapes.append(Text(_fitted(words, size, axis.width), Spot(axis.left, foot + 2.3), size, halo=True))
    return Group(tuple(shapes), _spoken(context, look, line), line.context, role="dated", name=context.number or "")


def _label(context: Context, look: Appearance, middle: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the box with the number: in its soil colour for a deposit, open and notched for a cut."""
    left, top, wide, high = MARGIN, middle - _LENS / 2, _LABEL - 4.0, _LENS
    if context.kind == "cut":
        sheet.key.cut_line()
        run = (Spot(left, top), Spot(left + 1, top + high), Spot(left + wide - 1, top + high), Spot(left + wide, top))
        yield from notched(run, LINES["firm"], right=False)
    else:
        yield Area((rectangle(left, top, wide, high),), look.fill or "paper", look.texture, _RIM, look.light_texture)
        if tag_form(context.kind) == "structure":
            yield Area((rectangle(left + 0.7, top + 0.7, wide - 1.4, high - 1.4),), stroke=Stroke("order inner", 0.15))
    number = context.number or "?"
    size = min(3.0, 3.0 * (wide - 2) / max(1.0, shown_width(number, 3.0)))
    yield Text(number, Spot(left + wide / 2, middle + size * 0.36), size, "middle", bold=True, halo=True)


def _lenses(look: Appearance, date: EventDate, axis: YearAxis, middle: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the prior as a light lens with a thin rim and the posterior as a dark one, drawn to one measure."""
    most = float(max(date.prior.max(), date.probability.max())) or 1.0
    dark = look.fill or _NO_SOIL
    prior = _lens(date, date.prior / most, axis, middle)
    posterior = _lens(date, date.probability / most, axis, middle)
    if prior:
        rim = sheet.key.other_line(_PRIOR, "light lens: how likely by order and span alone, before what dates it")
        yield Group((Area((prior,), _lightened(dark), stroke=rim),), role="prior")
    if posterior:
        rim = sheet.key.other_line(_RIM, "dark lens: how likely after all evidence")
        yield Group((Area((posterior,), dark, look.texture, rim, look.light_texture),), role="posterior")


def _lens(date: EventDate, share: Floats, axis: YearAxis, middle: float) -> tuple[Spot, ...]:
    """Return a lens about the lane's middle whose half height is the share; what lies off the axis is cut off."""
    inside = np.flatnonzero((date.years >= axis.begin) & (date.years + date.step <= axis.end) & (share > _TRACE * share.max() / 4))
    if not len(inside):
        return ()
    first, last = int(inside[0]), int(inside[-1])
    spots = [(axis.at(date.years[place] + date.step / 2), _LENS / 2 * float(share[place])) for place in range(first, last + 1)]
    ends = Spot(axis.at(float(date.years[first])), middle), Spot(axis.at(float(date.years[last] + date.step)), middle)
    upper = [Spot(across, middle - high) for across, high in spots]
    lower = [Spot(across, middle + high) for across, high in reversed(spots)]
    return (ends[0], *upper, ends[1], *lower)


def _lightened(colour: str) -> str:
    parts = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return "#" + "".join(f"{round(part + _LIGHT * (255 - part)):02X}" for part in parts)


def _ranges(line: DateLine, axis: YearAxis, foot: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the ranges under the lens: firm at the lower level, broken at the higher; dotted where only bounds are known."""
    pieces = (("range-outer", line.outer, OUTER, _OUTER, "broken"), ("range-inner", line.inner, INNER, _INNER, "firm"))
    for role, held, level, stroke, quality in pieces:
        for piece in held:
            run = (Spot(axis.at(counted(piece.begin)), foot), Spot(axis.at(counted(piece.end) + 1), foot))
            said = f"{_piece(piece)}, {100 * piece.share:.0f} %"
            yield Group((Line((run,), stroke),), said, role=role, name=_piece(piece))
        if held:
            sheet.key.other_line(stroke, f"{quality}: in these years at {100 * level:.0f} per cent")
    if line.outer or (line.tpq is None and line.taq is None):
        return
    begin = axis.left if line.tpq is None else axis.at(counted(line.tpq))
    end = axis.right if line.taq is None else axis.at(counted(line.taq))
    stroke = sheet.key.other_line(_CROSSED, "contradicted: later than it can be") if line.contradicted else _OPEN
    if not line.contradicted:
        sheet.key.other_line(_OPEN, "dotted: between the bounds; how likely is not worked out")
    yield Group((Line(((Spot(begin, foot), Spot(end, foot)),), stroke),), _set_by(line), role="between-bounds")


def _ticks(line: DateLine, axis: YearAxis, top: float, foot: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the bounds as posts whose barbs point to the years that they leave."""
    for role, year, by, way in (("tpq", line.tpq, line.tpq_by, 1.0), ("taq", line.taq, line.taq_by, -1.0)):
        if year is None:
            continue
        sheet.key.other_line(_TICK, "post: bound, its barbs point to the years that it leaves")
        across = axis.at(counted(year))
        barbs = ((Spot(across, down), Spot(across + 1.1 * way, down)) for down in (top + 0.15, foot - 0.15))
        post = Line(((Spot(across, top), Spot(across, foot)), *barbs), _TICK, cased=True)
        side = "or later" if way > 0 else "or earlier"
        yield Group((post,), f"{year_in_words(year)} {side}: {by}", role=role, name=str(year))


def _piece(piece: Piece) -> str:
    return f"{year_in_words(piece.begin)} to {year_in_words(piece.end)}"


def _set_by(line: DateLine) -> str:
    said = []
    if line.tpq is not None:
        said.append(f"{year_in_words(line.tpq)} or later: {line.tpq_by}")
    if line.taq is not None:
        said.append(f"{year_in_words(line.taq)} or earlier: {line.taq_by}")
    return ("contradicted: " if line.contradicted else "") + "; ".join(said)


def _fitted(words: str, size: float, width: float) -> str:
    """Return words cut to a width."""
    while shown_width(words, size) > width and len(words) > 8:
        words = shorten(words, max(8, int(len(words) * 0.95)))
    return words


def _spoken(context: Context, look: Appearance, line: DateLine) -> str:
    number = context.number or "?"
    title = f"{number}: {context.kind or ''}; {look.says}" if look.says == WITHHELD_WORD else context_title(context, number)
    ranges = ", ".join(f"{_piece(piece)} ({100 * piece.share:.0f} %)" for piece in line.outer)
    return f"{title}; {f'most likely {ranges}; ' if ranges else ''}{_set_by(line) or 'no bound'}"


def _what_is_seen(lines: Sequence[DateLine], axis: YearAxis) -> Iterator[str]:
    """Yield notes on what the drawing cannot show."""
    if any(line.tpq is None and line.taq is None and line.date is None for line in lines):
        yield "A lane without a line has no bound: nothing dated lies in it, above it or below it."
    if any(line.date is not None and not axis.holds(line.date.years[-1] + line.date.step) for line in lines):
        yield "Lenses are cut off where hardly anything of them is left."
    if any(len(line.outer) > 1 for line in lines):
        yield "A date may lie in one of several ranges; the years between them are not likely."
