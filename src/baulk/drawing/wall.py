"""The drawing of one wall of a unit: layers as they show in the face, seen from inside, with levels at both sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

from baulk.drawing.labels import Places, tag_form, tag_size
from baulk.drawing.paper import Frame, level_text, unit_word
from baulk.drawing.plan_ground import Laid, label_spots
from baulk.drawing.scene import Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import RESTRICTED_WARNING, Sheet, Title, withheld_notes
from baulk.drawing.wall_face import contact_groups, contact_runs, face_groups, laid_on_face
from baulk.drawing.wall_frame import WINDS, end_groups, framed, level_scales
from baulk.drawing.withheld import follows
from baulk.errors import InputError, UnknownRecord, shorten
from baulk.record import Contact, Position, SiteRecord, Unit, Wall, WallOutline, withheld_contexts

__all__ = ["facing_of", "wall_drawing"]

_STRING = Stroke("string line", 0.2, (0.5, 0.5))
_GROUND = Stroke("ground line", 0.6)


@dataclass(frozen=True)
class _Face:
    """What of a wall is to be drawn: its outlines and contacts, and how many were left out."""

    outlines: tuple[WallOutline, ...]
    contacts: tuple[Contact, ...]
    withheld: int
    giving_away: int
    held: bool


def wall_drawing(record: SiteRecord, wall_id: str, *, scale: float = 10, restricted: bool = False, public: bool = False) -> Scene:
    """Return the drawing of one wall.

    Parameters
    ----------
    record, wall_id
        The site's record and the id of the wall.
    scale
        10 for 1:10.
    restricted
        True to draw burials and what would give one away; the sheet then says that it is restricted.
    public
        True to write no grid position and no person's name.

    Raises
    ------
    UnknownRecord
        When there is no such wall.
    InputError
        When nothing drawn on it is on record.
    MeasureError
        When the scale cannot be used.
    """
    wall = record.get(Wall, wall_id)
    if wall is None:
        raise UnknownRecord("wall", wall_id, [found.number or found.id for found in record.all(Wall)])
    face = _face(record, wall, restricted=restricted)
    frame, width = _frame(record, wall, face, scale)
    sheet = Sheet(record, width, _title(record, wall, scale, public=public, held=face.held), frame.millimetres)
    letters = sheet.letters
    top = sheet.top + (4.6 if public else 7.0) * letters.small
    frame = Frame(frame.left, top, frame.west, frame.north, frame.span, frame.rise, frame.millimetres)
    laid = laid_on_face(record, face.outlines, frame)
    runs = contact_runs(face.contacts, laid, frame)
    shapes: list[Shape] = [
        *face_groups(laid, runs, sheet.key),
        *contact_groups(record, laid, runs, sheet.key),
        *_frame_lines(wall, frame, sheet),
        *level_scales(frame, sheet),
        *end_groups(wall, frame, letters, public=public),
        *_numbers(laid, sheet),
    ]
    sheet.notes += withheld_notes(face.withheld, face.giving_away)
    bottom = frame.top + frame.height + 1.5 * letters.small
    described = f"Seen from inside the unit, looking {facing_of(wall) or 'in a direction not recorded'}."
    return sheet.finish(f"wall {wall.number or wall.id}", shapes, bottom, scale=scale, north=False, described=described)


def facing_of(wall: Wall) -> str | None:
    """Return where someone who stands in the unit and sees this face looks: ``north`` and so on; None when it cannot be told.

    The face's recorded name is taken; without it, the wall's ends tell: from its left end to its right end one's view is a
    quarter turn anticlockwise.
    """
    if wall.face:
        return wall.face
    if not wall.ends or wall.ends[0] == wall.ends[-1]:
        return None
    left, right = wall.ends[0], wall.ends[-1]
    bearing = degrees(atan2(right.easting - left.easting, right.northing - left.northing)) - 90
    return WINDS[round(bearing % 360 / 45) % 8]


def _face(record: SiteRecord, wall: Wall, *, restricted: bool) -> _Face:
    outlines = tuple(outline for outline in record.pointing_at(WallOutline, "wall", wall.id) if outline.ring)
    contacts = record.pointing_at(Contact, "wall", wall.id)
    burials = withheld_contexts(record)
    if restricted:
        return _Face(outlines, contacts, 0, 0, any(outline.context in burials for outline in outlines))
    hidden = [outline for outline in outlines if outline.context in burials]
    shapes = [outline.ring for outline in hidden if outline.ring]
    shown = [outline for outline in outlines if outline.context not in burials]
    kept = tuple(
        outline
        for outline in shown
        if not (outline.ring and follows(outline.ring, shapes, record.metres, edges=outline.edges or ()))
    )
    left_out = burials | ({outline.context for outline in shown} - {outline.context for outline in kept})
    of_kept = tuple(contact for contact in contacts if contact.later not in left_out and contact.earlier not in left_out)
    return _Face(kept, of_kept, len({outline.context for outline in hidden}), len(shown) - len(kept), held=False)


def _frame(record: SiteRecord, wall: Wall, face: _Face, scale: float) -> tuple[Frame, float]:
    runs: list[Sequence[Position]] = [outline.ring or () for outline in face.outlines]
    runs += [contact.line or () for contact in face.contacts] + [wall.surface_line or (), wall.base_line or ()]
    spots = [spot for run in runs for spot in run]
    if not spots:
        raise InputError(
            f"Wall {shorten(wall.number or wall.id)} has nothing to draw: no ground line, limit below or outline of a context is "
            "on record, or all of them are restricted. Enter what the face shows as (distance, level), then draw again."
        )
    length = 0.0
    if wall.ends:
        length = hypot(wall.ends[-1].easting - wall.ends[0].easting, wall.ends[-1].northing - wall.ends[0].northing)
    left, right = min(0.0, *(spot[0] for spot in spots)), max(length, *(spot[0] for spot in spots))
    levels = [spot[1] for spot in spots] + ([wall.string_level] if wall.string_level is not None else [])
    return framed(record, (left, right), (min(levels), max(levels)), scale)


def _title(record: SiteRecord, wall: Wall, scale: float, *, public: bool, held: bool) -> Title:
    unit = record.get(Unit, wall.unit)
    facing = facing_of(wall)
    heading = f"Unit {shorten((unit.number if unit else None) or '?', 20)}: {facing + ' wall' if facing else 'wall'}"
    people: tuple[tuple[str, str | None], ...] = (("Drawn by", wall.drawn_by), ("Checked by", wall.checked_by))
    facts = (
        ("Scale", f"1:{scale:g} on paper"),
        ("Seen looking", facing),
        ("Levels in", "metres" if unit_word(record.length_unit) == "m" else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
        ("Wall", wall.number),
        *(() if public else people),
        ("Date", wall.drawn_on),
    )
    return Title(heading, facts, RESTRICTED_WARNING if held else "")


def _frame_lines(wall: Wall, frame: Frame, sheet: Sheet) -> list[Shape]:
    """Return the ground line, the limit of excavation below and at both ends, and the string line."""
    shapes: list[Shape] = []
    if wall.surface_line:
        stroke = sheet.key.other_line(_GROUND, "ground surface")
        shapes.append(Group((Line((frame.spots(wall.surface_line),), stroke),), "Ground surface", role="ground-line"))
    if wall.base_line:
        stroke = sheet.key.line("limit of excavation")
        shapes.append(Group((Line((frame.spots(wall.base_line),), stroke, cased=True),), "Limit of excavation", role="limit"))
    if wall.string_level is not None:
        letters = sheet.letters
        left, right = frame.spot((frame.west, wall.string_level)), frame.spot((frame.west + frame.span, wall.string_level))
        words = f"string {level_text(wall.string_level)}"
        stroke = sheet.key.other_line(_STRING, "string line, with its level")
        label = Text(
            words, Spot((left.across + right.across) / 2, left.down - 0.5 * letters.small), letters.small, "middle", halo=True
        )
        shapes.append(
            Group((Line(((left, right),), stroke, cased=True), label), f"String line at {words[7:]}", role="string", name=words[7:])
        )
    return shapes


def _numbers(laid: Sequence[Laid], sheet: Sheet) -> list[Shape]:
    places, size = Places(), sheet.letters.number
    shapes: list[Shape] = []
    crowded: list[str] = []
    for one in sorted(laid, key=lambda one: one.seen.area if one.context.kind != "cut" else 0.0):
        if one.seen.is_empty:
            continue
        width, height = tag_size(one.number, size)
        spot = places.take_first(label_spots(one, width, height), width, height)
        if spot is None:
            crowded.append(one.number)
        else:
            shapes.append(sheet.key.tag(one.number, tag_form(one.context.kind), spot, size))
    if crowded:
        sheet.notes.append(f"Numbers that found no room: {', '.join(sorted(crowded))}.")
    return shapes
