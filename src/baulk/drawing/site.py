"""The plan of the whole site: units, control points, features and the site grid."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.drawing.edges import edge_runs
from baulk.drawing.labels import Places, places_around
from baulk.drawing.look import BURIAL, context_title, line_for
from baulk.drawing.paper import Frame, Letters, level_text, millimetres_per, round_step, steps_within, unit_word
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title, withheld_notes
from baulk.drawing.withheld import follows, hidden_rings
from baulk.errors import MeasureError, NothingToDraw, shorten
from baulk.record import Burial, Context, Outline, Position, SiteRecord, Station, Unit, withheld_contexts

__all__ = ["has_site_plan", "round_scale", "site_drawing"]

_WIDTH = 180.0
_ROUND_SCALES = (20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000, 20000, 50000, 100000)
_UNIT_EDGE = Stroke("unit", 0.45)
_TICK = Stroke("faint grid", 0.15)
_FEATURES = ("cut", "structure", "surface", "timber")


def has_site_plan(record: SiteRecord, *, restricted: bool = False) -> bool:
    """Tell whether anything with a place is on record, so that the plan of the site can be drawn."""
    hidden = frozenset[str]() if restricted else withheld_contexts(record)
    return any(True for _ in _places(record, hidden, restricted=restricted))


def site_drawing(record: SiteRecord, *, scale: float | None = None, restricted: bool = False, public: bool = False) -> Scene:
    """Return the plan of the site.

    Parameters
    ----------
    record
        The site's record.
    scale
        200 for 1:200; None for the largest round scale at which the site fits a sheet 180 mm wide.
    restricted
        True to draw burials and what would give one away; the sheet then says that it is restricted.
    public
        True to write no co-ordinate.

    Raises
    ------
    NothingToDraw
        When nothing with a place is on record.
    MeasureError
        When the scale cannot be used, or the site is too wide for any.
    """
    hidden = frozenset[str]() if restricted else withheld_contexts(record)
    places = list(_places(record, hidden, restricted=restricted))
    if not places:
        raise NothingToDraw(
            f"Site {shorten(record.site.code or record.site.name or '?')} has neither a unit with corners nor a control point on "
            "record: its plan needs at least one place on the site grid. Enter a unit's corners, then draw again."
        )
    west, east = min(place[0] for place in places), max(place[0] for place in places)
    south, north = min(place[1] for place in places), max(place[1] for place in places)
    if scale is None:
        scale = round_scale(max(east - west, north - south) * record.metres)
    millimetres = millimetres_per(record.length_unit, scale)
    letters = Letters.for_width(_WIDTH)
    side = MARGIN + 3.0 * letters.small
    width = max(_WIDTH, (east - west) * millimetres + 2 * side + 8 * letters.small)
    sheet = Sheet(record, width, _title(record, scale, held=restricted and bool(record.all(Burial))), millimetres)
    span = (width - 2 * side) / millimetres
    west = (west + east) / 2 - span / 2
    border = 6 * letters.small / millimetres
    rise = north - south + 2 * border
    frame = Frame(side, sheet.top + 2.4 * letters.small, west, north + border, span, rise, millimetres)
    body = [
        *_grid(frame, letters, public=public),
        *_features(record, frame, sheet, hidden),
        *(_burials(record, frame, sheet) if restricted else []),
        *_units_and_stations(record, frame, sheet, public=public),
    ]
    withheld = 0 if restricted else len(record.all(Burial)) + sum(context.id in hidden for context in record.all(Context))
    sheet.notes += withheld_notes(withheld, 0)
    bottom = frame.top + frame.height + 2.4 * letters.small
    described = f"{len(record.all(Unit))} units and {len(record.all(Station))} control points."
    return sheet.finish("site", body, bottom, scale=scale, north=True, described=described)


def round_scale(metres: float) -> float:
    """Return the largest round scale at which so many metres fit 150 mm of paper.

    Raises
    ------
    MeasureError
        When even the smallest scale is too large: a co-ordinate is then likely to be wrong.

    Examples
    --------
    >>> round_scale(12.0)
    100
    """
    for scale in _ROUND_SCALES:
        if metres * 1000 / scale <= 150:
            return scale
    raise MeasureError(
        f"The places on record lie {metres:,.0f} m apart. No site plan holds that: see which unit's corner or control point has a "
        "co-ordinate from another grid."
    )


def _places(record: SiteRecord, hidden: frozenset[str], *, restricted: bool) -> Iterator[Position]:
    for entity in (*record.all(Unit), *record.all(Station), *(record.all(Burial) if restricted else ())):
        yield from entity.positions()
    for outline in record.all(Outline):
        if outline.context not in hidden:
            yield from outline.positions()


def _title(record: SiteRecord, scale: float, *, held: bool) -> Title:
    facts = (
        ("Scale", f"1:{scale:g} on paper"),
        ("Lengths and levels in", "metres" if unit_word(record.length_unit) == "m" else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
        ("Carried out by", record.site.organisation),
    )
    return Title("Site plan", facts, RESTRICTED_WARNING if held else "")


def _grid(frame: Frame, letters: Letters, *, public: bool) -> list[Shape]:
    """Return the grid: a fine cross at each round position and, unless public, co-ordinates along two sides."""
    step = round_step(max(frame.span, frame.rise), 8)
    eastings = steps_within(frame.west, frame.west + frame.span, step)
    northings = steps_within(frame.north - frame.rise, frame.north, step)
    arm = 0.6 * letters.small
    crosses = []
    for easting in eastings:
        for northing in northings:
            spot = frame.spot((easting, northing))
            crosses.append((Spot(spot.across - arm, spot.down), Spot(spot.across + arm, spot.down)))
            crosses.append((Spot(spot.across, spot.down - arm), Spot(spot.across, spot.down + arm)))
    shapes: list[Shape] = [Line(tuple(crosses), _TICK)]
    if not public:
        for easting in eastings:
            spot = Spot(frame.spot((easting, frame.north)).across, frame.top - 0.6 * letters.small)
            shapes.append(Text(f"{level_text(easting)} E", spot, letters.small, "middle", faint=True))
        for northing in northings:
            spot = Spot(frame.left - 0.6 * letters.small, frame.spot((frame.west, northing)).down)
            shapes.append(Text(f"{level_text(northing)} N", spot, letters.small, "middle", faint=True, turn=-90))
    return [Group(tuple(shapes), role="grid")]


def _features(record: SiteRecord, frame: Frame, sheet: Sheet, hidden: frozenset[str]) -> list[Shape]:
    shapes: list[Shape] = []
    shapes_withheld = hidden_rings(record, hidden) if hidden else ()
    for context in record.all(Context):
        if context.kind not in _FEATURES or context.id in hidden:
            continue
        lines = [
            Line((run,), sheet.key.line(line_for(kind)))
            for outline in record.pointing_at(Outline, "context", context.id)
            if outline.ring and not follows(outline.ring, shapes_withheld, record.metres, edges=outline.edges or ())
            for kind, run in edge_runs(frame.spots(outline.ring), outline.edges or ())
        ]
        if lines:
            number = context.number or "no number"
            shapes.append(Group(tuple(lines), context_title(context, number), context.id, context.kind, number))
    return shapes


def _burials(record: SiteRecord, frame: Frame, sheet: Sheet) -> list[Shape]:
    return [
        Group(
            (Line((frame.spots(burial.ring),), sheet.key.other_line(BURIAL, "possible burial, restricted"), closed=True),),
            "Possible burial",
            burial.id,
            "burial",
        )
        for burial in record.all(Burial)
        if burial.ring
    ]


def _units_and_stations(record: SiteRecord, frame: Frame, sheet: Sheet, *, public: bool) -> list[Shape]:
    """Return units and control points, their names beside them where there is room."""
    letters, places = sheet.letters, Places()
    shapes: list[Shape] = []
    crowded = 0
    for station in record.all(Station):
        if station.positions():
            spot = frame.spot(station.positions()[0])
            places.take(spot, 1.7 * letters.small, 1.7 * letters.small)
    for unit in record.all(Unit):
        if not unit.corners:
            continue
        ring = frame.spots(unit.corners)
        name = f"unit {shorten(unit.number or '?', 16)}"
        stroke = sheet.key.other_line(_UNIT_EDGE, "excavation unit")
        centre = Spot(
            (min(s[0] for s in ring) + max(s[0] for s in ring)) / 2, (min(s[1] for s in ring) + max(s[1] for s in ring)) / 2
        )
        reach = (max(s[1] for s in ring) - min(s[1] for s in ring)) / 2 + 0.9 * letters.small
        label = _beside(name, [Spot(centre.across, centre.down + side * reach) for side in (-1, 1)], centre, letters.plain, places)
        crowded += label is None
        shapes.append(
            Group((Line((ring,), stroke, closed=True), *([label] if label else [])), f"Unit {unit.number or '?'}", unit.id, "unit")
        )
    for station in record.all(Station):
        if not station.positions():
            continue
        spot = frame.spot(station.positions()[0])
        level = "" if station.level is None else f" {level_text(station.level)}"
        name = f"{shorten(station.number or '?', 16)}{level}"
        label = _beside(name, [], spot, letters.small, places)
        crowded += label is None
        mark = sheet.key.mark("station", spot, 1.5 * letters.small, "control point, with its level")
        told = f"Control point {station.number or '?'}" + ("" if public or station.level is None else f" at{level}")
        shapes.append(Group((mark, *([label] if label else [])), told, station.id, "station"))
    if crowded:
        sheet.notes.append(f"{crowded} {'name' if crowded == 1 else 'names'} found no room.")
    return shapes


def _beside(words: str, first: list[Spot], spot: Spot, size: float, places: Places) -> Text | None:
    width, height = shown_width(words, size) + 0.3 * size, 1.15 * size
    centre = places.take_first([*first, *places_around(spot, width, height, 0.8 * size)], width, height)
    return Text(words, Spot(centre.across, centre.down + 0.36 * size), size, "middle", halo=True) if centre else None
