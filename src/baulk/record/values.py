"""The kinds of value that a field may hold, each checked once here.

A value is kept as plain JSON: text, number, yes/no, or lists of these. Dates are ISO 8601 text.
"""

from __future__ import annotations

import math
import re
from datetime import date
from typing import Annotated, NamedTuple

from pydantic import AfterValidator, Field, FiniteFloat

__all__ = [
    "Bearing", "Count", "Day", "FileMark", "Measure", "Munsell", "Path", "Percent", "Polygon", "Position",
    "Share", "YearNumber", "absent_words", "normal_munsell", "position_at",
]  # fmt: skip


def absent_words(text: str) -> str | None:
    """Return the tidy words when `text` says that a field is absent on purpose, else None.

    Examples
    --------
    >>> absent_words("Not done: rain")
    'not done: rain'
    >>> absent_words("not sandy") is None
    True
    """
    words = " ".join(text.split())
    lowered = words.lower()
    if lowered in ("not applicable", "not visible"):
        return lowered
    if lowered.startswith("not done:") and words[9:].strip():
        return f"not done: {words[9:].strip()}"
    return None


class Position(NamedTuple):
    """A position on the site grid, in the site's own quantity."""

    easting: float
    northing: float


def position_at(easting: float | None, northing: float | None) -> tuple[Position, ...]:
    """Return one position, or none where either number is not written."""
    return () if easting is None or northing is None else (Position(easting, northing),)


def _finite_positions(positions: tuple[Position, ...]) -> tuple[Position, ...]:
    for place, position in enumerate(positions, start=1):
        if not (math.isfinite(position.easting) and math.isfinite(position.northing)):
            raise ValueError(f"Position {place} is not a number: give easting and northing for every corner.")
    return positions


def _ring(positions: tuple[Position, ...]) -> tuple[Position, ...]:
    positions = _finite_positions(positions)
    if len(positions) > 1 and positions[0] == positions[-1]:
        positions = positions[:-1]
    if len(set(positions)) < 3:
        raise ValueError("A polygon needs at least three different corners.")
    return positions


def _path(positions: tuple[Position, ...]) -> tuple[Position, ...]:
    if len(_finite_positions(positions)) < 2:
        raise ValueError("A line needs at least two positions.")
    return positions


def _day(text: str) -> str:
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise ValueError("A date is written year-month-day and must exist in the calendar, as in 2026-05-14.") from None


def _year(year: int) -> int:
    if year == 0:
        raise ValueError("There is no year 0: 1 BC is -1 and is followed by AD 1.")
    if not -3_000_000 <= year <= 2200:
        raise ValueError("A year lies between 3,000,000 BC and AD 2200.")
    return year


_SHA_256 = re.compile(r"[0-9a-f]{64}")


def _file_mark(text: str) -> str:
    tidy = text.strip().lower()
    if not _SHA_256.fullmatch(tidy):
        raise ValueError(
            "A file is named by its SHA-256, 64 digits from 0 to 9 and a to f, and lies in the .files folder; "
            "the name it was taken under belongs under “file name”."
        )
    return tidy


_HUES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
_CHROMATIC = re.compile(r"^(\d{1,2}(?:\.\d+)?)\s*([A-Z]{1,2})\s*(\d(?:\.\d+)?|10)\s*/\s*(\d{1,2}(?:\.\d+)?)$")
_NEUTRAL = re.compile(r"^N\s*(10|\d(?:\.\d+)?)\s*(?:/\s*0?)?$")


def normal_munsell(text: str) -> str:
    """Return a Munsell notation in one spelling: ``10YR 4/3``, or ``N 3/0`` for a neutral.

    Raises
    ------
    ValueError
        When hue, value or chroma cannot be read or lie outside the colour book.

    Notes
    -----
    Hue order R, YR, Y, GY, G, BG, B, PB, P, RP; hue steps run to 10; value 0–10, values 2.5 and 8.5 occur in soil books; chroma
    0 with a hue is a neutral. Spellings ``N 3/`` and ``N 3/0`` are both in use.

    Examples
    --------
    >>> normal_munsell("10yr4/3"), normal_munsell("n3/")
    ('10YR 4/3', 'N 3/0')
    """
    tidy = text.strip().upper()
    neutral = _NEUTRAL.match(tidy)
    if neutral:
        return f"N {float(neutral[1]):g}/0"
    found = _CHROMATIC.match(tidy)
    if not found or found[2] not in _HUES:
        raise ValueError("A Munsell colour is hue value/chroma, as in 10YR 4/3 or N 3/0.")
    hue, value, chroma = float(found[1]), float(found[3]), float(found[4])
    if not 0 < hue <= 10 or not 0 <= value <= 10:
        raise ValueError("A Munsell hue step runs from above 0 to 10 and a value from 0 to 10, as in 10YR 4/3.")
    return f"{hue:g}{found[2]} {value:g}/{chroma:g}" if chroma else f"N {value:g}/0"


Day = Annotated[str, AfterValidator(_day)]
YearNumber = Annotated[int, AfterValidator(_year)]
FileMark = Annotated[str, AfterValidator(_file_mark)]
Munsell = Annotated[str, AfterValidator(normal_munsell)]
Measure = FiniteFloat
Count = Annotated[int, Field(ge=0)]
Percent = Annotated[FiniteFloat, Field(ge=0, le=100)]
Share = Annotated[FiniteFloat, Field(ge=0, le=1)]
Bearing = Annotated[FiniteFloat, Field(ge=0, le=360)]
Polygon = Annotated[tuple[Position, ...], AfterValidator(_ring)]
Path = Annotated[tuple[Position, ...], AfterValidator(_path)]
