"""Panels beside the aids to dating: a radiocarbon age on its curve, ceramics and pipe bores as counts beside their mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.dating.calibration import Calibrated
from baulk.dating.curve import Curve
from baulk.dating.mean_ceramic import MeanCeramicDate
from baulk.dating.years import counted, year_in_words, years_in_words
from baulk.drawing.look import LINES
from baulk.drawing.paper import Letters, round_step, steps_within
from baulk.drawing.safe_text import wrapped
from baulk.drawing.scene import Area, Group, Line, Shape, Spot, Stroke, Text, rectangle
from baulk.drawing.sheet import Sheet
from baulk.drawing.year_axis import YearAxis
from baulk.errors import shorten

__all__ = ["CarbonDrawn", "bores_panel", "carbon_panel", "ceramics_panel"]

Floats = NDArray[np.float64]
_CURVE = Stroke("curve", 0.3)
_BAND = "#DDD6CA"
_CLAY = "#9C6B4A"
_LIGHT_CLAY = "#E2D2C4"
_RIM = Stroke("count rim", 0.2)
_MEAN = Stroke("mean", 0.55, (1.6, 0.8))
_FRAME = Stroke("faint frame", 0.15)
_HIGH, _LENS = 44.0, 10.0
_BAR, _BORE = 4.6, 30.0
_MOST_TYPES = 24


@dataclass(frozen=True, eq=False)
class CarbonDrawn:
    """A radiocarbon age with the curve that it is read on."""

    name: str
    date: Calibrated
    curve: Curve


def carbon_panel(one: CarbonDrawn, axis: YearAxis, top: float, sheet: Sheet) -> tuple[list[Shape], float]:
    """Return an age on its curve, with the date that it gives below, and where the panel ends.

    Notes
    -----
    Years as everywhere from left to right; radiocarbon years before 1950 up the page. The band of the curve is one standard
    deviation of its own error; the flat band is the age with one standard deviation.
    """
    letters, left = sheet.letters, axis.left
    cal_bp, ages, errors = one.curve.yearly()
    years = (1950 - cal_bp).astype(np.float64)
    inside = (years >= axis.begin) & (years <= axis.end)
    age, error = one.date.age, one.date.error
    if not inside.any():
        return [Text(f"{one.name}: the curve has no year on this axis.", Spot(left, top + 4), letters.small)], top + 6
    low = min(float((ages - errors)[inside].min()), age - 2.5 * error)
    high = max(float((ages + errors)[inside].max()), age + 2.5 * error)

    def down(value: float) -> float:
        return top + _HIGH * (high - value) / (high - low)

    shapes: list[Shape] = [Area((rectangle(left, top, axis.width, _HIGH),), stroke=_FRAME)]
    band = (rectangle(left, down(age + error), axis.width, down(age - error) - down(age + error)),)
    shapes.append(Group((Area(band, _BAND),), f"{age:g} ± {error:g} BP", role="age", name=f"{age:g}±{error:g}"))
    shapes += _curve(one.curve, axis, years[inside], (ages[inside], errors[inside]), down, sheet)
    shapes += _age_scale(low, high, down, left, letters)
    shapes += _date_below(one.date, axis, top + _HIGH, sheet)
    shapes += _named(
        f"{one.name}: {age:g} ± {error:g} BP on {one.curve.name} ({one.curve.version})", left, top, axis.width, letters
    )
    return [Group(tuple(shapes), f"{one.name}: {one.date.words}", role="carbon", name=one.name)], top + _HIGH + _LENS + 2


def _named(words: str, left: float, top: float, width: float, letters: Letters) -> Iterator[Shape]:
    """Yield what the panel shows, in lines above it."""
    lines = wrapped(shorten(words, 200), letters.small, width)
    for place, line in enumerate(lines):
        yield Text(line, Spot(left, top - 1.0 - 1.3 * letters.small * (len(lines) - 1 - place)), letters.small, bold=not place)


def _curve(
    curve: Curve, axis: YearAxis, years: Floats, held: tuple[Floats, Floats], down: Callable[[float], float], sheet: Sheet
) -> Iterator[Shape]:
    ages, errors = held
    falling = np.argsort(years)
    across = [axis.at(float(year)) for year in years[falling]]
    upper = [Spot(place, down(float(value))) for place, value in zip(across, (ages + errors)[falling], strict=True)]
    lower = [Spot(place, down(float(value))) for place, value in zip(across, (ages - errors)[falling], strict=True)]
    middle = tuple(Spot(place, down(float(value))) for place, value in zip(across, ages[falling], strict=True))
    stroke = sheet.key.other_line(_CURVE, f"curve, with one standard deviation: {curve.name} {curve.version}")
    yield Group((Area(((*upper, *lower[::-1]),), "#C9C2B6"), Line((middle,), stroke)), curve.title, role="curve")


def _age_scale(low: float, high: float, down: Callable[[float], float], left: float, letters: Letters) -> Iterator[Shape]:
    for value in steps_within(low, high, round_step(high - low, 5)):
        yield Text(f"{value:g} BP", Spot(left - 1.2, down(value) + 0.35 * letters.small), letters.small, "end")
        yield Line(((Spot(left - 0.8, down(value)), Spot(left, down(value))),), _FRAME)


def _date_below(date: Calibrated, axis: YearAxis, top: float, sheet: Sheet) -> Iterator[Shape]:
    """Yield the date under the curve: a lens as high as each year is likely, and the pieces at 95 per cent."""
    inside = np.flatnonzero((date.years >= axis.begin) & (date.years <= axis.end - 1))
    middle, foot = top + 0.55 * _LENS, top + _LENS
    share = date.probability / date.probability.max()
    spots = [(axis.at(date.years[place] + 0.5), 0.42 * _LENS * float(share[place])) for place in inside]
    if len(spots) > 1:
        upper = tuple(Spot(across, middle - high) for across, high in spots)
        lower = tuple(Spot(across, middle + high) for across, high in reversed(spots))
        yield Group((Area(((*upper, *lower),), _CLAY, stroke=_RIM),), role="carbon-date")
    stroke = sheet.key.other_line(LINES["broken"], "broken: in these years at about 95 per cent")
    for piece in date.pieces():
        run = (Spot(axis.at(counted(piece.begin)), foot + 1.2), Spot(axis.at(counted(piece.end) + 1), foot + 1.2))
        said = f"{year_in_words(piece.begin)} to {year_in_words(piece.end)}, {100 * piece.share:.0f} %"
        yield Group((Line((run,), stroke),), said, role="carbon-piece", name=said)


def ceramics_panel(found: MeanCeramicDate, axis: YearAxis, top: float, sheet: Sheet) -> tuple[list[Shape], float]:
    """Return each type as a bar over its years of making, as high as it is many, beside the mean; and where the panel ends."""
    letters = sheet.letters
    order = sorted(range(len(found.types)), key=lambda place: (-(found.types[place].begin or 0), found.types[place].name))
    most = float(found.counts.max())
    shapes: list[Shape] = [
        Text(
            "Ceramics by years of making, as high as they are many, and their mean", Spot(axis.left, top), letters.small, bold=True
        )
    ]
    down = top + 1.5
    for place in order[:_MOST_TYPES]:
        one, count = found.types[place], float(found.counts[place])
        begin, end = axis.at(counted(one.begin or 1)), axis.at(counted(one.end or 1) + 1)
        high = max(0.5, _BAR * count / most)
        bar = Area((rectangle(begin, down + (_BAR - high) / 2, end - begin, high),), _LIGHT_CLAY, stroke=_RIM)
        words = f"{count:g} {one.name}"
        label = Text(words, Spot(begin + 0.8, down + _BAR / 2 + 0.36 * letters.small), letters.small, halo=True)
        said = f"{words}, {years_in_words(one.begin, one.end)}"
        shapes.append(Group((bar, label), said, role="ceramic", name=one.name))
        down += _BAR + 0.8
    if len(order) > _MOST_TYPES:
        sheet.notes.append(f"{len(order) - _MOST_TYPES} older types are not drawn; they are in the mean.")
    shapes.append(_mean_line(axis.at(found.year), top + 0.8, down, f"mean {found.year:.1f}", sheet))
    sheet.notes += [f"Left out of the mean: {one}." for one in found.left_out]
    return shapes, down + 2.2 * letters.small


def bores_panel(stems: Mapping[float, int], mean: float, left: float, top: float, sheet: Sheet) -> tuple[list[Shape], float]:
    """Return the stems of each bore as bars beside the mean bore, and where the panel ends.

    Parameters
    ----------
    stems : mapping of float to int
        Stems by bore in sixty-fourths of an inch.
    mean : float
        Their mean bore.
    left, top : float
        Where the panel begins on the sheet.
    """
    letters = sheet.letters
    low, high = min(4.0, *stems), max(9.0, *stems)
    wide = 60.0

    def at(bore: float) -> float:
        return left + wide * (high + 0.5 - bore) / (high - low + 1)

    most, foot = max(stems.values()), top + 2.0 + _BORE
    shapes: list[Shape] = [
        Text("Pipe stems by bore, wide (early) on the left, and their mean", Spot(left, top), letters.small, bold=True),
        Line(((Spot(left, foot), Spot(left + wide, foot)),), _FRAME),
    ]
    step = wide / (high - low + 1)
    for bore, count in sorted(stems.items()):
        tall = (_BORE - 4) * count / most
        bar = Area((rectangle(at(bore) - 0.3 * step, foot - tall, 0.6 * step, tall),), _LIGHT_CLAY, stroke=_RIM)
        number = Text(str(count), Spot(at(bore), foot - tall - 0.8), letters.small, "middle")
        shapes.append(Group((bar, number), f"{count} stems of {bore:g}/64 inch", role="bore", name=f"{bore:g}"))
    for bore in range(int(low), int(high) + 1):
        shapes.append(Text(f"{bore}/64", Spot(at(bore), foot + 1.3 * letters.small), letters.small, "middle"))
    shapes.append(_mean_line(at(mean), top + 1.5, foot + 1.6 * letters.small, f"mean {mean:.2f}", sheet))
    return shapes, foot + 4 * letters.small


def _mean_line(across: float, top: float, foot: float, words: str, sheet: Sheet) -> Group:
    stroke = sheet.key.other_line(_MEAN, "mean: no date by itself")
    text = Text(words, Spot(across, foot + 1.2 * sheet.letters.small), sheet.letters.small, "middle", bold=True, halo=True)
    return Group((Line(((Spot(across, top), Spot(across, foot)),), stroke, cased=True), text), words, role="mean", name=words)
