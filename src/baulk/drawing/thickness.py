"""The thickness of one context over its outline: shaded steps, contours, and the levels behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from baulk.drawing.labels import Places
from baulk.drawing.look import LINES
from baulk.drawing.paper import Frame, Letters, level_text, millimetres_per, round_step, unit_word
from baulk.drawing.plan_points import Point, corner_groups, point_groups
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.errors import shorten
from baulk.ground.contours import contour_lines
from baulk.ground.thickness import Cells, ThicknessMap
from baulk.ground.volume import Volume
from baulk.record import Context, Level, SiteRecord, Unit

__all__ = ["Thickness", "thickness_drawing"]

_NARROWEST = 118.0
_STEPS = 6
_THIN, _THICK = (0xF6, 0xEF, 0xDC), (0x5E, 0x7F, 0x7A)
_CONTOUR = Stroke("contour", 0.22)
_HATCH = Stroke("extrapolated", 0.12)
_HATCH_APART = 1.7


@dataclass(frozen=True, slots=True, eq=False)
class Thickness:
    """What is known of the thickness of a context.

    Parameters
    ----------
    context, unit : str
        Ids.
    ground : shapely Polygon or MultiPolygon
        Its outline inside the unit, metres.
    map : ThicknessMap
        Thickness by cell, metres; it may reach over the outline.
    volume : Volume or None
        None when it has none.
    levels : tuple of Level
        The levels of top and base that it rests on.
    says : tuple of str
        What else is to be told of it.
    held : bool
        Whether the sheet is restricted.
    """

    context: str
    unit: str
    ground: BaseGeometry
    map: ThicknessMap
    volume: Volume | None
    levels: tuple[Level, ...] = ()
    says: tuple[str, ...] = ()
    held: bool = False


def thickness_drawing(record: SiteRecord, found: Thickness, *, scale: float = 20, public: bool = False) -> Scene:
    """Return the sheet of the thickness of a context.

    Parameters
    ----------
    record : SiteRecord
        The site's record.
    found : Thickness
        What is to be drawn; what a viewer may not see is not in it.
    scale : float
        20 for 1:20.
    public : bool
        True to write no grid position.

    Raises
    ------
    MeasureError
        When the scale cannot be used.
    """
    unit, context = record.get(Unit, found.unit), record.get(Context, found.context)
    frame, width = _frame(record, unit, found, scale)
    sheet = Sheet(record, width, _title(record, found, scale), frame.millimetres)
    letters = sheet.letters
    frame = Frame(frame.left, sheet.top + 5.6 * letters.small, frame.west, frame.north, frame.span, frame.rise, frame.millimetres)
    places = Places()
    points = [point for level in found.levels for point in _point(record, level, frame)]
    marks, crowded = point_groups(points, places, sheet.key, letters)
    lines, labels = _contours(record, found, frame, sheet, places)
    body: list[Shape] = [
        *_shades(record, found, frame, sheet), *_hatch(record, found, frame, sheet), *lines,
        *_edges(record, unit, found, context, frame, sheet), *labels, *marks,
        *(corner_groups(unit, frame, sheet.key, letters, public=public) if unit else ()),
    ]  # fmt: skip
    sheet.notes += _notes(found, crowded)
    number = (context.number if context else None) or found.context
    bottom = frame.top + frame.height + 5.4 * letters.small
    return sheet.finish(f"thickness {number}", body, bottom, scale=scale, north=True, described=_described(record, found, number))


def _frame(record: SiteRecord, unit: Unit | None, found: Thickness, scale: float) -> tuple[Frame, float]:
    west, south, east, north = (side / record.metres for side in found.ground.bounds)
    for corner in (unit.corners if unit else None) or ():
        west, east = min(west, corner.easting), max(east, corner.easting)
        south, north = min(south, corner.northing), max(north, corner.northing)
    millimetres = millimetres_per(record.length_unit, scale)
    inner = (east - west) * millimetres
    width = max(_NARROWEST, inner + 2 * MARGIN)
    for _ in range(3):  # the side margins hold letters whose size depends on the width
        width = max(_NARROWEST, inner + 2 * (MARGIN + 4.2 * Letters.for_width(width).small))
    return Frame((width - inner) / 2, 0.0, west, north, east - west, north - south, millimetres), width


def _in_words(record: SiteRecord, metres: float) -> str:
    """Return a thickness as the sheet writes it: whole millimetres, or hundredths of a foot.

    Notes
    -----
    A site in feet levels to hundredths of a foot (3 mm); common practice, no source.
    """
    return f"{1000 * metres:.0f} mm" if _is_metric(record) else f"{metres / record.metres:.2f} ft"


def _is_metric(record: SiteRecord) -> bool:
    return unit_word(record.length_unit) == "m"


def _per_metre(record: SiteRecord) -> float:
    """Return how many of what contours are labelled in make a metre: millimetres, or feet."""
    return 1000.0 if _is_metric(record) else 1 / record.metres


def _title(record: SiteRecord, found: Thickness, scale: float) -> Title:
    heading = f"Unit {shorten(record.label(found.unit), 20)}: thickness of {shorten(record.label(found.context), 20)}"
    inside = _inside(found)
    deviation = found.map.deviation[inside & np.isfinite(found.map.deviation)]
    facts = (
        ("Scale", f"1:{scale:g} on paper"),
        ("Volume", _volume_words(record, found.volume)),
        ("Mean thickness", _in_words(record, found.volume.mean_thickness) if found.volume else None),
        ("Standard error of a thickness", _error_words(record, deviation) if deviation.size else None),
        ("Thickness in", "millimetres" if _is_metric(record) else "feet and hundredths"),
        ("Levels in", "metres" if _is_metric(record) else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
        ("Cells", f"{_cell_words(record, found.map.cells)} square"),
    )
    return Title(heading, facts, RESTRICTED_WARNING if found.held else "")


def _cell_words(record: SiteRecord, cells: Cells) -> str:
    return _in_words(record, cells.size)


def _volume_words(record: SiteRecord, volume: Volume | None) -> str | None:
    if volume is None:
        return "cannot tell"
    if _is_metric(record):
        return f"{volume.litres:.0f} ± {1000 * volume.half_width:.0f} litres (95 %)"
    cubic = record.metres**3
    return f"{volume.cubic_metres / cubic:.1f} ± {volume.half_width / cubic:.1f} ft³ (95 %)"


def _error_words(record: SiteRecord, deviation: NDArray[np.float64]) -> str:
    return f"{_in_words(record, float(np.median(deviation)))} as a rule, {_in_words(record, float(deviation.max()))} at most"


def _inside(found: Thickness) -> NDArray[np.bool_]:
    """Return which cells have their middle in the outline and a thickness."""
    places = found.map.cells.places
    inside = shapely.contains_xy(found.ground, places[:, 0], places[:, 1]).reshape(found.map.thickness.shape)
    held: NDArray[np.bool_] = inside & np.isfinite(found.map.thickness)
    return held


def _steps(record: SiteRecord, found: Thickness) -> list[float]:
    """Return the limits of the steps of shading in what contours are labelled in; one step when it is even to a millimetre.

    A step is no finer than the standard error of a thickness: a finer contour would show what nobody knows.
    """
    inside = _inside(found)
    values = found.map.thickness[inside] * _per_metre(record)
    if not values.size:
        return []
    low, high = float(values.min()), float(values.max())
    if high - low < 0.001 * _per_metre(record):
        return [low, high]
    error = float(np.nanmedian(found.map.deviation[inside])) * _per_metre(record)
    step = max(round_step(high - low, _STEPS), round_step(error, 1) if error > 0 else 0.0)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return [round(place * step, 9) for place in range(first, last + 1)]


def _boxes(cells: Cells, wanted: NDArray[np.bool_], ground: BaseGeometry) -> BaseGeometry:
    """Return the ground inside an outline that some cells take up."""
    row, column = np.nonzero(wanted)
    half = cells.size / 2
    east, north = cells.eastings[column], cells.northings[row]
    joined = shapely.union_all(shapely.box(east - half, north - half, east + half, north + half))
    return shapely.intersection(joined, ground)


def _rings(record: SiteRecord, ground: BaseGeometry, frame: Frame) -> tuple[tuple[Spot, ...], ...]:
    polygons = [part for part in shapely.get_parts(ground) if part.geom_type == "Polygon" and part.area > 0]
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return tuple(frame.spots(shapely.get_coordinates(ring)[:-1] / record.metres) for ring in rings)


def _shade(place: int, count: int) -> str:
    share = place / max(count - 1, 1)
    return "#" + "".join(f"{round(thin + share * (thick - thin)):02X}" for thin, thick in zip(_THIN, _THICK, strict=True))


def _shades(record: SiteRecord, found: Thickness, frame: Frame, sheet: Sheet) -> Iterator[Shape]:
    limits = _steps(record, found)
    values = found.map.thickness * _per_metre(record)
    sign = "mm" if _is_metric(record) else "ft"
    for place, (low, high) in enumerate(pairwise(limits)):
        first, last = place == 0, place == len(limits) - 2
        wanted = ((values >= low) | first) & ((values < high) | last) & np.isfinite(values)
        rings = _rings(record, _boxes(found.map.cells, wanted, found.ground), frame)
        if rings:
            words = f"{low:g} to {high:g} {sign}" if len(limits) > 2 else _in_words(record, low / _per_metre(record))
            fill = sheet.key.shade(_shade(place, len(limits) - 1), words)
            yield Group((Area(rings, fill),), f"{words} thick", role="thickness", name=words)


def _hatch(record: SiteRecord, found: Thickness, frame: Frame, sheet: Sheet) -> list[Shape]:
    """Return hatching over what is carried beyond the outermost levels."""
    ground = _boxes(found.map.cells, found.map.extrapolated & np.isfinite(found.map.thickness), found.ground)
    if ground.is_empty:
        return []
    apart = _HATCH_APART * 2**0.5 / frame.millimetres * record.metres
    west, south, east, north = ground.bounds
    starts = np.arange(floor((west - north) / apart), ceil((east - south) / apart) + 1) * apart
    lines = shapely.linestrings([((start + south, south), (start + north, north)) for start in starts])
    parts = [part for part in shapely.get_parts(shapely.intersection(lines, ground)) if part.geom_type.endswith("LineString")]
    runs = tuple(frame.spots(shapely.get_coordinates(each) / record.metres) for part in parts for each in shapely.get_parts(part))
    stroke = sheet.key.other_line(_HATCH, "hatched: outside the outermost levels")
    return [Group((Line(runs, stroke),), "Outside the outermost levels", role="extrapolated")]


def _contours(record: SiteRecord, found: Thickness, frame: Frame, sheet: Sheet, places: Places) -> tuple[list[Shape], list[Shape]]:
    """Return the contours, and apart from them their labels, which lie above all lines."""
    lines: list[Shape] = []
    labels: list[Shape] = []
    inner = shapely.buffer(found.ground, 1e-9)
    for value in _steps(record, found)[1:-1]:
        drawn = contour_lines(found.map.cells, found.map.thickness, value / _per_metre(record))
        if not drawn:
            continue
        kept = shapely.line_merge(shapely.intersection(shapely.union_all([shapely.LineString(run) for run in drawn]), inner))
        parts = [part for part in shapely.get_parts(kept) if part.geom_type == "LineString" and part.length > 0]
        if not parts:
            continue
        runs = tuple(frame.spots(shapely.get_coordinates(part) / record.metres) for part in parts)
        words = f"{value:g}"
        stroke = sheet.key.other_line(_CONTOUR, "line of equal thickness")
        lines.append(Group((Line(runs, stroke),), f"Thickness {words}", role="contour", name=words))
        label = _label(words, max(runs, key=len), places, sheet.letters)
        labels += [] if label is None else [label]
    return lines, labels


def _label(words: str, run: Sequence[Spot], places: Places, letters: Letters) -> Shape | None:
    """Return the value of a contour on the line, where it finds room."""
    width, height = shown_width(words, letters.small) + 0.2 * letters.small, 1.1 * letters.small
    order = sorted(range(len(run)), key=lambda place: abs(place - len(run) // 2))
    spot = places.take_first((run[place] for place in order), width, height)
    if spot is None:
        return None
    text = Text(words, Spot(spot.across, spot.down + 0.36 * letters.small), letters.small, "middle", halo=True)
    return Group((text,), role="contour-label", name=words)


def _edges(
    record: SiteRecord, unit: Unit | None, found: Thickness, context: Context | None, frame: Frame, sheet: Sheet
) -> Iterator[Shape]:
    if unit is not None and unit.corners:
        line = Line((frame.spots(unit.corners),), sheet.key.line("limit of excavation"), closed=True)
        yield Group((line,), f"Limit of unit {unit.number or '?'}", unit.id, "unit")
    number = (context.number if context else None) or "?"
    rings = _rings(record, found.ground, frame)
    stroke = sheet.key.other_line(Stroke("outline", LINES["firm"].width), f"outline of {number}")
    yield Group((Line(rings, stroke, closed=True, cased=True),), f"Outline of {number}", found.context, "outline", number)


def _point(record: SiteRecord, level: Level, frame: Frame) -> Iterator[Point]:
    if level.level is not None and level.positions():
        sign = "level on base" if level.surface == "base" else "level on top"
        words = level_text(level.level)
        yield frame.spot(level.positions()[0]), sign, words, f"Level {words}, {sign[6:]} of {record.label(level.context)}", level.id


def _notes(found: Thickness, crowded: int) -> list[str]:
    notes = [*found.says]
    if found.volume is not None:
        notes += [f"{note[:1].upper()}{note[1:]}." for note in found.volume.notes]
    if not np.isfinite(found.map.thickness).any():
        notes.append("No part of the outline lies near enough to levels of top and base: the thickness cannot be told.")
    else:
        notes.append("Steps are no finer than the standard error of a thickness.")
    if crowded:
        notes.append(f"{crowded} {'level' if crowded == 1 else 'levels'} found no room beside the sign; see the registers.")
    return notes


def _described(record: SiteRecord, found: Thickness, number: str) -> str:
    values = found.map.thickness[_inside(found)]
    if not values.size:
        return f"Seen from above: {number}, its thickness cannot be told."
    low, high = _in_words(record, float(values.min())), _in_words(record, float(values.max()))
    return f"Seen from above: {number} is {low} to {high} thick; volume {_volume_words(record, found.volume)}."
