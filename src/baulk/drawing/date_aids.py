"""All aids to the date of one context on one drawing: years side by side, and the counts and curves behind them below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from baulk.dating.aid import DateAid
from baulk.dating.calibration import Piece
from baulk.dating.mean_ceramic import MeanCeramicDate
from baulk.dating.pipes import mean_bore
from baulk.dating.years import counted
from baulk.drawing.date_panels import CarbonDrawn, bores_panel, carbon_panel, ceramics_panel
from baulk.drawing.dates import DateLine
from baulk.drawing.look import LINES
from baulk.drawing.safe_text import wrapped
from baulk.drawing.scene import Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.drawing.year_axis import YearAxis, axis_over
from baulk.errors import shorten
from baulk.record import SiteRecord

__all__ = ["AidsDrawn", "aids_drawing"]

_WIDTH, _LABEL, _ROW = 190.0, 50.0, 7.0
_SPAN, _OFF = LINES["firm"], LINES["dotted"]
_MIDDLE = Stroke("middle", 0.6)
_BOUND = Stroke("bound", 0.5)


@dataclass(frozen=True, eq=False)
class AidsDrawn:
    """What there is to be drawn of one context.

    Parameters
    ----------
    bounds : DateLine
        Its bounds, and its date by the chronology where there is one.
    aids : tuple of DateAid
        What each aid says.
    ceramics : MeanCeramicDate or None
        Behind the mean ceramic date.
    stems : mapping of float to int
        Stems by bore; empty where none were measured.
    carbon : tuple of CarbonDrawn
        Radiocarbon ages with their curves.
    """

    bounds: DateLine
    aids: tuple[DateAid, ...]
    ceramics: MeanCeramicDate | None = None
    stems: Mapping[float, int] = field(default_factory=dict)
    carbon: tuple[CarbonDrawn, ...] = ()


def aids_drawing(
    record: SiteRecord, number: str, given: AidsDrawn, *, name: str = "aids", notes: Sequence[str] = (),
    facts: Sequence[tuple[str, str | None]] = (), restricted: bool = False,
) -> Scene:  # fmt: skip
    """Return the aids to the date of one context, side by side over the same years.

    Parameters
    ----------
    record : SiteRecord
        As the viewer may have it.
    number : str
        The context, for the heading.
    given : AidsDrawn
        What is drawn.
    name : str
        Short name of the drawing.
    notes, facts : sequence
        What is to be known besides, and what the title block says.
    restricted : bool
        True when the sheet shows records that are not for the public.
    """
    warning = RESTRICTED_WARNING if restricted else ""
    sheet = Sheet(record, _WIDTH, Title(f"{shorten(number, 20)}: aids to its date, side by side", tuple(facts), warning), 1.0)
    axis = axis_over(_years(given), MARGIN + _LABEL, _WIDTH - 2 * MARGIN - _LABEL - 2)
    top = sheet.top + 2.4 * sheet.letters.small
    rows: list[Shape] = [_bounds_row(given.bounds, axis, top, sheet)]
    down = top + _ROW
    pieces = {f"radiocarbon ({one.name})": one.date.pieces() for one in given.carbon}
    for aid in given.aids:
        row, high = _aid_row(aid, axis, down, sheet, pieces.get(aid.name, ()))
        rows.append(row)
        down += high
    body = [*axis.rules(top, down, sheet.letters), *rows]
    down += 4.0 * sheet.letters.small
    for panel, foot in _panels(given, axis, down, sheet):
        body += panel
        down = foot + 3.0
    sheet.notes += [*_notes(given), *notes]
    told = f"{len(given.aids)} aids to the date of {number}, one under the other over the same years; earlier on the left."
    return sheet.finish(name, body, down, scale=0.0, north=False, described=told)


def _years(given: AidsDrawn) -> Iterator[float | None]:
    """Yield the years that the axis has to hold; the far ends of a date that runs on for millennia are left off."""
    for year in (given.bounds.tpq, given.bounds.taq):
        yield None if year is None else float(counted(year))
    for aid in given.aids:
        yield from (aid.begin, aid.end, aid.middle)
    if given.ceramics is not None:
        for one in given.ceramics.types:
            yield from (float(counted(year)) for year in (one.begin, one.end) if year is not None)


def _bounds_row(line: DateLine, axis: YearAxis, top: float, sheet: Sheet) -> Group:
    middle = top + _ROW / 2
    label = Text("bounds by the order", Spot(MARGIN, middle + 0.36 * sheet.letters.small), sheet.letters.small, bold=True)
    shapes: list[Shape] = [label]
    if line.tpq is not None or line.taq is not None:
        begin = axis.left if line.tpq is None else axis.at(counted(line.tpq))
        end = axis.right if line.taq is None else axis.at(counted(line.taq))
        stroke = sheet.key.other_line(_OFF, "dotted: bounds alone, or outside of what the aid holds for")
        shapes.append(Line(((Spot(begin, middle), Spot(end, middle)),), stroke))
    for year, way in ((line.tpq, 1.0), (line.taq, -1.0)):
        if year is not None:
            shapes.append(_post(axis.at(counted(year)), middle, way, sheet))
    said = [f"{line.tpq} or later: {line.tpq_by}"] if line.tpq is not None else []
    said += [f"{line.taq} or earlier: {line.taq_by}"] if line.taq is not None else []
    return Group(tuple(shapes), "; ".join(said) or "no bound", role="aid", name="bounds")


def _post(across: float, middle: float, way: float, sheet: Sheet) -> Line:
    sheet.key.other_line(_BOUND, "post: bound, its barbs point to the years that it leaves")
    barbs = ((Spot(across, down), Spot(across + 1.1 * way, down)) for down in (middle - 2.2, middle + 2.2))
    return Line(((Spot(across, middle - 2.3), Spot(across, middle + 2.3)), *barbs), _BOUND, cased=True)


def _aid_row(aid: DateAid, axis: YearAxis, top: float, sheet: Sheet, pieces: Sequence[Piece]) -> tuple[Group, float]:
    """Return the lane of one aid, and how high it is; a date in several pieces is drawn in these."""
    letters = sheet.letters
    lines = wrapped(shorten(aid.name, 80), letters.small, _LABEL - 2)
    high = max(_ROW, 1.35 * letters.small * len(lines) + 1.5)
    middle = top + high / 2
    first = middle + 0.36 * letters.small - 0.65 * letters.small * (len(lines) - 1)
    shapes: list[Shape] = [
        Text(words, Spot(MARGIN, first + 1.3 * letters.small * place), letters.small, faint=not aid.in_validity)
        for place, words in enumerate(lines)
    ]
    shapes += _pieces(pieces, axis, middle, sheet) if pieces else _span(aid, axis, middle, sheet)
    if aid.begin is None and aid.end is None and aid.middle is None:
        shapes.append(Text("says nothing here", Spot(axis.left + 1, middle + 0.36 * letters.small), letters.small, faint=True))
    return Group(tuple(shapes), aid.words, role="aid", name=aid.name), high


def _pieces(pieces: Sequence[Piece], axis: YearAxis, middle: float, sheet: Sheet) -> Iterator[Shape]:
    stroke = sheet.key.other_line(LINES["broken"], "broken: in these years at about 95 per cent")
    runs = ((Spot(axis.at(counted(one.begin)), middle), Spot(axis.at(counted(one.end) + 1), middle)) for one in pieces)
    yield Line(tuple(runs), stroke)


def _span(aid: DateAid, axis: YearAxis, middle: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the years of an aid as a line, open where it leaves no end, and its one year as an upright stroke."""
    stroke = _SPAN if aid.in_validity else _OFF
    words = "firm: years that an aid leaves, within what it holds for"
    if not aid.in_validity:
        words = "dotted: bounds alone, or outside of what the aid holds for"
    if aid.begin is not None or aid.end is not None:
        sheet.key.other_line(stroke, words)
        begin = axis.left if aid.begin is None else axis.at(aid.begin)
        end = axis.right if aid.end is None else axis.at(aid.end + 1)
        yield Line(((Spot(begin, middle), Spot(end, middle)),), stroke)
        for across, way, year in ((begin, 1.0, aid.begin), (end, -1.0, aid.end)):
            if year is not None and (aid.begin is None) != (aid.end is None):
                yield _post(across, middle, way, sheet)
    if aid.middle is not None:
        if aid.in_validity:
            sheet.key.other_line(_MIDDLE, "upright stroke: the one year of a formula or a mean; no date by itself")
        else:
            sheet.key.other_line(stroke, words)
        across = axis.at(aid.middle)
        upright = (Spot(across, middle - 1.8), Spot(across, middle + 1.8))
        yield Line((upright,), _MIDDLE if aid.in_validity else stroke, cased=True)


def _panels(given: AidsDrawn, axis: YearAxis, top: float, sheet: Sheet) -> Iterator[tuple[list[Shape], float]]:
    down = top
    if given.ceramics is not None:
        panel, down = ceramics_panel(given.ceramics, axis, down, sheet)
        yield panel, down
        down += 3.0
    if given.stems:
        panel, down = bores_panel(given.stems, mean_bore(list(given.stems), list(given.stems.values())), axis.left, down, sheet)
        yield panel, down
        down += 3.0
    for one in given.carbon:
        panel, down = carbon_panel(one, axis, down + 2.0 * sheet.letters.small, sheet)
        yield panel, down
        down += 3.0


def _notes(given: AidsDrawn) -> Iterator[str]:
    off = [aid.name for aid in given.aids if not aid.in_validity]
    if off:
        yield f"Outside of what they hold for, so not to be used: {', '.join(off)}."
    if given.aids:
        yield "No aid is a bound unless it is a terminus; each has its limits, which the table beside it tells."
