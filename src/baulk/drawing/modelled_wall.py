"""The modelled ground behind the lines of a drawn wall, with how far the two lie apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.edges import edge_runs
from baulk.drawing.labels import Places, places_around, tag_form, tag_size
from baulk.drawing.look import Appearance, appearance_of, context_title, line_for
from baulk.drawing.paper import Frame, Letters, unit_word
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title
from baulk.drawing.wall import facing_of
from baulk.drawing.wall_frame import end_groups, framed, level_scales
from baulk.errors import shorten
from baulk.ground.drawn_wall import WallDifference
from baulk.ground.section import Section
from baulk.record import Context, SiteRecord, Wall, WallOutline

__all__ = ["ModelledFace", "modelled_wall_drawing"]

_MODEL = Stroke("modelled", 0.25, (1.2, 0.7), "#6A4A7D")
_APART = Stroke("difference", 0.55, (), "#B3400E")
_TOLD_FROM = 10.0
"""Differences of less than so many millimetres stand in the table alone: a pencil line at 1:10 is as wide; no source."""


@dataclass(frozen=True, slots=True, eq=False)
class ModelledFace:
    """A drawn wall with the model on its line.

    Parameters
    ----------
    wall : Wall
        The wall.
    section : Section
        The modelled ground along it, metres from its left end.
    differences : tuple of WallDifference
        Drawn less modelled.
    outlines : tuple of WallOutline
        What is drawn on it.
    painted : tuple of str
        Ids of the section's contexts, earliest first.
    held : bool
        Whether the sheet is restricted.
    """

    wall: Wall
    section: Section
    differences: tuple[WallDifference, ...]
    outlines: tuple[WallOutline, ...]
    painted: tuple[str, ...]
    held: bool = False


def modelled_wall_drawing(record: SiteRecord, face: ModelledFace, *, scale: float = 10, public: bool = False) -> Scene:
    """Return the sheet of a wall as drawn over the ground as modelled.

    Parameters
    ----------
    record : SiteRecord
        The site's record.
    face : ModelledFace
        What is to be drawn; what a viewer may not see is not in it.
    scale : float
        10 for 1:10.
    public : bool
        True to write no grid position.

    Raises
    ------
    MeasureError
        When the scale cannot be used.
    """
    along, levels = _extent(record, face)
    frame, width = framed(record, along, levels, scale)
    sheet = Sheet(record, width, _title(record, face, scale), frame.millimetres)
    letters = sheet.letters
    top = sheet.top + (4.6 if public else 7.0) * letters.small
    frame = Frame(frame.left, top, frame.west, frame.north, frame.span, frame.rise, frame.millimetres)
    places = Places()
    models, tags = _models(record, face, frame, sheet, places)
    body: list[Shape] = [
        *models, *_drawn_lines(record, face, frame, sheet), *_apart(record, face, frame, sheet, places), *tags,
        *level_scales(frame, sheet), *end_groups(face.wall, frame, letters, public=public),
    ]  # fmt: skip
    table, bottom = _table(record, face, frame.top + frame.height + 2 * letters.small, letters)
    sheet.notes += _notes(record, face)
    name = f"modelled {face.wall.number or face.wall.id}"
    said = f"The modelled ground behind the drawn wall, looking {facing_of(face.wall) or 'in a direction not recorded'}."
    return sheet.finish(name, [*body, *table], bottom, scale=scale, north=False, described=said)


def _extent(record: SiteRecord, face: ModelledFace) -> tuple[tuple[float, float], tuple[float, float]]:
    spots = [spot for outline in face.outlines for spot in outline.ring or ()]
    model = np.concatenate([face.section.top.ravel(), face.section.base.ravel()]) / record.metres
    model = model[np.isfinite(model)]
    levels = [spot[1] for spot in spots] + ([float(model.min()), float(model.max())] if model.size else [])
    along = [spot[0] for spot in spots] + [0.0, float(face.section.distance[-1]) / record.metres]
    return (min(along), max(along)), (min(levels), max(levels))


def _title(record: SiteRecord, face: ModelledFace, scale: float) -> Title:
    wall = face.wall
    facing = facing_of(wall)
    heading = f"Unit {shorten(record.label(wall.unit), 20)}: {facing + ' wall' if facing else 'wall'}, drawn and modelled"
    facts = (
        ("Scale", f"1:{scale:g} on paper"),
        ("Seen looking", facing),
        ("Levels in", "metres" if unit_word(record.length_unit) == "m" else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
        ("Wall", wall.number),
        ("Differences", "drawn less modelled, millimetres"),
    )
    return Title(heading, facts, RESTRICTED_WARNING if face.held else "")


def _runs(there: NDArray[np.bool_]) -> Iterator[slice]:
    """Yield each unbroken run of places, of two and more."""
    steps = np.diff(np.concatenate([[0], there.astype(np.int8), [0]]))
    for start, end in zip(np.flatnonzero(steps == 1).tolist(), np.flatnonzero(steps == -1).tolist(), strict=True):
        if end - start > 1:
            yield slice(start, end)


def _line(record: SiteRecord, face: ModelledFace, frame: Frame, heights: NDArray[np.float64]) -> list[tuple[Spot, ...]]:
    rows = np.column_stack([face.section.distance, heights]) / record.metres
    return [frame.spots(rows[run].tolist()) for run in _runs(np.isfinite(heights))]


def _models(record: SiteRecord, face: ModelledFace, frame: Frame, sheet: Sheet, places: Places) -> tuple[list[Shape], list[Shape]]:
    """Return the modelled bodies, earliest beneath, and their number tags."""
    section = face.section
    shapes: list[Shape] = []
    tags: list[Shape] = []
    for identity in face.painted:
        row = section.contexts.index(identity)
        context = record.get(Context, identity) or Context(id=identity)
        number, look = context.number or "?", appearance_of(context)
        plain = Appearance(look.fill, "", light_texture=False, says=look.says)
        inner: list[Shape] = []
        both = np.isfinite(section.top[row]) & np.isfinite(section.base[row])
        if context.kind != "cut":
            inner += [Area((ring,), look.fill or "paper") for ring in _bodies(record, face, frame, row, both)]
        edges = [*_line(record, face, frame, section.top[row]), *_line(record, face, frame, section.base[row])]
        if edges:
            stroke = sheet.key.other_line(_MODEL, "top or base as modelled")
            inner.append(Line(tuple(edges), stroke))
            if context.kind != "cut":
                sheet.key.ground(plain, number)
        if inner:
            shapes.append(Group(tuple(inner), context_title(context, number), identity, "modelled", number))
            tags += _tag(record, face, frame, sheet, places, row, number, context.kind)
    return shapes, tags


def _bodies(record: SiteRecord, face: ModelledFace, frame: Frame, row: int, there: NDArray[np.bool_]) -> Iterator[tuple[Spot, ...]]:
    section = face.section
    for run in _runs(there):
        upper = np.column_stack([section.distance[run], section.top[row, run]])
        lower = np.column_stack([section.distance[run], np.minimum(section.base[row, run], section.top[row, run])])
        yield frame.spots((np.vstack([upper, lower[::-1]]) / record.metres).tolist())


def _tag(
    record: SiteRecord, face: ModelledFace, frame: Frame, sheet: Sheet, places: Places, row: int, number: str, kind: str | None
) -> list[Shape]:
    section, size = face.section, sheet.letters.number
    middle = (section.top[row] + section.base[row]) / 2 / record.metres
    there = np.flatnonzero(np.isfinite(middle))
    thick = (section.top[row, there] - section.base[row, there]) if there.size else np.zeros(0)
    off = np.abs(there - there.mean()) if there.size else np.zeros(0)
    best = there[np.lexsort((off, -np.round(thick, 2)))].tolist()
    width, height = tag_size(number, size)
    spots = (frame.spot((float(section.distance[place]) / record.metres, float(middle[place]))) for place in best)
    spot = places.take_first(spots, width, height)
    return [] if spot is None else [sheet.key.tag(number, tag_form(kind), spot, size)]


def _drawn_lines(record: SiteRecord, face: ModelledFace, frame: Frame, sheet: Sheet) -> Iterator[Shape]:
    for outline in face.outlines:
        runs = edge_runs(frame.spots(outline.ring or ()), list(outline.edges or ()))
        lines = tuple(Line((run,), sheet.key.line(line_for(kind)), cased=True) for kind, run in runs)
        yield Group(
            lines, f"{record.label(outline.context)} as drawn", outline.context or "", "drawn", record.label(outline.context)
        )


def _apart(record: SiteRecord, face: ModelledFace, frame: Frame, sheet: Sheet, places: Places) -> Iterator[Shape]:
    """Yield a line from the model to the drawing where a surface is furthest off, with the millimetres."""
    section, letters = face.section, sheet.letters
    for one in face.differences:
        if abs(one.largest) < _TOLD_FROM:
            continue
        place = int(np.nanargmax(np.abs(one.millimetres)))
        heights = section.top if one.surface == "top" else section.base
        model = float(heights[section.contexts.index(one.context), place])
        at = one.at / record.metres
        ends = tuple(frame.spots([(at, level / record.metres) for level in (model, model + one.largest / 1000)]))
        inner: list[Shape] = [Line((ends,), sheet.key.other_line(_APART, "furthest apart, mm"), cased=True)]
        words = _signed(one.largest)
        width, height = shown_width(words, letters.small) + 0.2 * letters.small, 1.1 * letters.small
        spot = places.take_first(places_around(ends[1], width, height, 0.5 * letters.small), width, height)
        if spot is not None:
            inner.append(Text(words, Spot(spot.across, spot.down + 0.36 * letters.small), letters.small, "middle", halo=True))
        number = record.label(one.context)
        told = f"The {one.surface} of {number} is drawn {words} mm from the model"
        yield Group(tuple(inner), told, one.context, "difference", f"{number} {one.surface}")


def _signed(value: float) -> str:
    return f"{value:+.0f}".replace("-", "−").replace("+0", "0").replace("−0", "0")


def _table(record: SiteRecord, face: ModelledFace, top: float, letters: Letters) -> tuple[list[Shape], float]:
    """Return the differences as a table, one row a context, and where it ends."""
    by_context: dict[str, dict[str, WallDifference]] = {}
    for one in face.differences:
        by_context.setdefault(one.context, {})[one.surface] = one
    if not by_context:
        return [], top
    unit = unit_word(record.length_unit)
    columns = (MARGIN, MARGIN + 7 * letters.small, MARGIN + 27 * letters.small)
    rows = [("Context", "Top, drawn less modelled, mm", "Base, drawn less modelled, mm")]
    for identity, of_it in by_context.items():
        top_cell, base_cell = (_cell(record, of_it.get(surface), unit) for surface in ("top", "base"))
        rows.append((record.label(identity), top_cell, base_cell))
    shapes: list[Shape] = []
    down = top
    for place, row in enumerate(rows):
        down += 1.5 * letters.small
        texts = tuple(
            Text(words, Spot(across, down), letters.small, bold=place == 0) for across, words in zip(columns, row, strict=True)
        )
        shapes.append(Group(texts, role="difference-row", name=row[0]))
    return shapes, down + 0.5 * letters.small


def _cell(record: SiteRecord, one: WallDifference | None, unit: str) -> str:
    if one is None:
        return "cannot tell"
    return f"mean {_signed(one.mean)}; {_signed(one.largest)} at {one.at / record.metres:.2f} {unit}"


def _notes(record: SiteRecord, face: ModelledFace) -> list[str]:
    notes = [
        f"A difference of {_TOLD_FROM:.0f} mm and more is marked where it is largest; it stands for the drawing less the model."
    ]
    drawn = {one.context for one in face.outlines}
    for missing, words in (
        (drawn - set(face.section.contexts), "Drawn on the wall and not modelled"),
        ({one for one in face.section.contexts if _is_on(face.section, one)} - drawn, "Modelled here, with no outline shown"),
    ):
        if missing:
            notes.append(f"{words}: {', '.join(sorted(record.label(one) for one in missing))}.")
    return notes


def _is_on(section: Section, context: str) -> bool:
    row = section.contexts.index(context)
    return bool(np.isfinite(section.top[row]).any() or np.isfinite(section.base[row]).any())
