"""What stands round the drawing of a face: scales of levels at both sides, and over each end which way it lies and where."""

from __future__ import annotations

from math import atan2, degrees, hypot

from baulk.drawing.paper import Frame, Letters, level_text, millimetres_per, position_text, round_step, steps_within
from baulk.drawing.scene import Group, Line, Shape, Spot, Stroke, Text
from baulk.drawing.sheet import MARGIN, Sheet
from baulk.record import SiteRecord, Wall

__all__ = ["WINDS", "end_groups", "framed", "level_scales"]

WINDS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
"""Where one looks, an eighth of a turn apart."""

_NARROWEST = 118.0
_LADDER = Stroke("level scale", 0.2)


def framed(record: SiteRecord, along: tuple[float, float], levels: tuple[float, float], scale: float) -> tuple[Frame, float]:
    """Return the frame of a face that reaches along and up so far (least and most), its top not set yet, and the sheet's width.

    Raises
    ------
    MeasureError
        When the scale cannot be used.
    """
    millimetres = millimetres_per(record.length_unit, scale)
    inner = (along[1] - along[0]) * millimetres
    width = _NARROWEST
    for _ in range(3):
        width = max(_NARROWEST, inner + 2 * (MARGIN + 5.4 * Letters.for_width(width).small))
    rise = levels[1] - levels[0]
    return Frame((width - inner) / 2, 0.0, along[0], levels[1], along[1] - along[0], rise, millimetres), width


def level_scales(frame: Frame, sheet: Sheet) -> list[Shape]:
    """Return a scale of levels at each side, its labels a round step apart and far enough to be read."""
    letters = sheet.letters
    step = round_step(frame.rise, 8)
    while step * frame.millimetres < 2 * letters.small:
        step = round_step(step * 1.01 * 2, 2)
    levels = steps_within(frame.north - frame.rise, frame.north, step)
    shapes: list[Shape] = []
    for across, side in ((frame.left - 1.2 * letters.small, -1), (frame.left + frame.width + 1.2 * letters.small, 1)):
        ends = (Spot(across, frame.top), Spot(across, frame.top + frame.height))
        ticks = []
        words: list[Shape] = []
        for level in levels:
            down = frame.spot((frame.west, level)).down
            ticks.append((Spot(across, down), Spot(across + side * 0.6 * letters.small, down)))
            spot = Spot(across + side * 0.9 * letters.small, down + 0.36 * letters.small)
            words.append(Text(level_text(level), spot, letters.small, "start" if side > 0 else "end"))
        shapes.append(Group((Line((ends, *ticks), _LADDER), *words), "Levels", role="level-scale"))
    return shapes


def end_groups(wall: Wall, frame: Frame, letters: Letters, *, public: bool) -> list[Shape]:
    """Return what stands over the two ends: their direction along the wall and, unless public, their grid positions."""
    if not wall.ends:
        return []
    sides = (
        (frame.spot((0.0, frame.north)), wall.ends[0], "start"),
        (
            frame.spot((hypot(wall.ends[-1][0] - wall.ends[0][0], wall.ends[-1][1] - wall.ends[0][1]), frame.north)),
            wall.ends[-1],
            "end",
        ),
    )
    shapes: list[Shape] = []
    towards = _end_words(wall)
    for (spot, position, anchor), word in zip(sides, towards, strict=True):
        words = (word,) if public else (word, *position_text(position))
        first = spot.down - (0.8 + 1.2 * len(words)) * letters.small
        texts: list[Shape] = [
            Text(line, Spot(spot.across, first + place * 1.2 * letters.small), letters.small, anchor, bold=place == 0)
            for place, line in enumerate(words)
        ]
        tick = Line(((Spot(spot.across, spot.down - 0.9 * letters.small), spot),), _LADDER)
        shapes.append(Group((tick, *texts), role="wall-end"))
    return shapes


def _end_words(wall: Wall) -> tuple[str, str]:
    if not wall.ends or wall.ends[0] == wall.ends[-1]:
        return "left end", "right end"
    left, right = wall.ends[0], wall.ends[-1]
    bearing = degrees(atan2(right.easting - left.easting, right.northing - left.northing)) % 360
    place = round(bearing / 45) % 8
    return WINDS[(place + 4) % 8], WINDS[place]
