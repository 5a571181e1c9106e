"""Lengths as they are written on a sheet: metres, feet and tenths, feet and inches; read, turned and written.

A tape marked in tenths of a foot and one marked in inches lie in the same bag. The two are never mixed here:
"10.4 ft" is ten feet and four tenths (10 ft 4.8 in), "10 ft 4 in" is ten feet and four inches.

References
----------
Feet: see `baulk.quantities`. Fractions of an inch down to 1/16: common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

import numpy as np
from numpy.typing import ArrayLike

from baulk.errors import MeasureError, shorten
from baulk.grid.points import Floats
from baulk.quantities import LengthUnit, Metre, metres_per

__all__ = ["EXACT_METRES", "Length", "LengthForm", "from_metres", "parse_length", "to_metres"]

EXACT_METRES = {
    LengthUnit.METRE: Fraction(1),
    LengthUnit.FOOT: Fraction(3048, 10000),
    LengthUnit.SURVEY_FOOT: Fraction(1200, 3937),
}
"""One of each quantity in metres, exactly; `baulk.quantities` has the same as floats."""

_LONGEST_TEXT = 60
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_MARKS = str.maketrans({"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "\u00a0": " ", "\u2009": " "})

_NUMBER = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_FOOT_WORDS = r"ft_us|ftus|usft|us survey (?:ft|foot|feet)|us ft|survey (?:ft|foot|feet)|ft|foot|feet|'"
_INCH_WORDS = r'in|inch|inches|"'
_METRIC_LINE = re.compile(rf"({_NUMBER})\s*(m|cm|mm|met(?:re|er)s?|centimet(?:re|er)s?|millimet(?:re|er)s?)\.?")
_FEET_LINE = re.compile(rf"({_NUMBER})\s*({_FOOT_WORDS})\.?")
_INCHES = rf"(?:(?P<inch>{_NUMBER})(?:\s+(?P<top>[0-9]+)/(?P<bottom>[0-9]+))?|(?P<only_top>[0-9]+)/(?P<only_bottom>[0-9]+))"
_FEET_INCHES_LINE = re.compile(rf"(?:(?P<feet>{_NUMBER})\s*(?P<foot>{_FOOT_WORDS})\.?\s*[,-]?\s*)?{_INCHES}\s*(?:{_INCH_WORDS})\.?")
_INCH_MARK_MISSING = re.compile(rf"(?:{_NUMBER})\s*(?:{_FOOT_WORDS})\.?\s*-?\s*[0-9].*")


class LengthForm(StrEnum):
    """How a length was written; tenths and inches are different forms and never turn into each other unasked."""

    METRES = "metres"
    DECIMAL_FEET = "feet and decimal parts"
    FEET_INCHES = "feet and inches"


@dataclass(frozen=True, slots=True)
class Length:
    """A length that was read from text.

    Parameters
    ----------
    metres : Metre
        The length in metres, rounded once from the exact value.
    form : LengthForm
        How it was written.
    unit : LengthUnit
        The metre or the foot it was written in.
    written : str
        The text as given.
    """

    metres: Metre
    form: LengthForm
    unit: LengthUnit
    written: str


def parse_length(text: str, *, own: LengthUnit) -> Length:
    """Read one length as it was written.

    Parameters
    ----------
    text : str
        Metres ("2.5 m", "250 cm", "2500 mm"), feet and tenths ("10.4 ft"), feet and inches ("7 ft 0 7/8 in",
        "10' 4 3/4"", "10 ft 4.8 in"), inches ("84 13/16 in"), or a bare number in the site's own quantity.
    own : LengthUnit
        The site's own quantity: what a bare number is in, and which foot "ft" is. On a site kept in metres "ft" is
        the international foot. "ft_us", "US ft" and "survey ft" always say the US survey foot.

    Returns
    -------
    Length

    Raises
    ------
    MeasureError
        The text is blank, mixes tenths with inches, lacks its inch mark, holds a comma, a fraction that no tape
        shows, twelve inches or more beside feet, or is no length.

    Examples
    --------
    >>> parse_length("10.4 ft", own=LengthUnit.FOOT).metres
    3.16992
    >>> parse_length("10 ft 4.8 in", own=LengthUnit.FOOT).metres
    3.16992
    >>> parse_length("2.5", own=LengthUnit.METRE).metres
    2.5
    """
    if not text.strip():
        raise MeasureError("The length is blank. Give a number with its quantity, such as 2.50 m, or leave the field out.")
    if len(text) > _LONGEST_TEXT:
        raise _refused(text, "This is too long for a length.")
    sign, body = _prepared(text)
    if "," in body and not re.search(r"(?:ft|'|feet|foot)\.?\s*,", body):
        raise _refused(
            text,
            "A comma may stand for decimals or for thousands; here it is not taken for either.",
            "Write decimals with a point",
        )
    exact, form, unit = _read(text, body, own)
    return Length(Metre(float(sign * exact)), form, unit, text)


def _prepared(text: str) -> tuple[int, str]:
    """Return the sign and the lower-case text with one kind of mark for feet, for inches and for fractions."""
    body = text.translate(_MARKS).replace("''", '"')
    for sign_mark, plain in _VULGAR.items():
        body = body.replace(sign_mark, f" {plain}")
    body = " ".join(body.lower().split())
    if body.startswith(("-", "+")):
        return (-1 if body[0] == "-" else 1), body[1:].lstrip()
    return 1, body


def _read(text: str, body: str, own: LengthUnit) -> tuple[Fraction, LengthForm, LengthUnit]:
    """Return the exact metres, the form and the unit of one prepared text."""
    if re.fullmatch(_NUMBER, body):
        form = LengthForm.METRES if own is LengthUnit.METRE else LengthForm.DECIMAL_FEET
        return Fraction(body) * EXACT_METRES[own], form, own
    if metric := _METRIC_LINE.fullmatch(body):
        word = metric[2]
        parts = 100 if word.startswith("c") else 1000 if word.startswith(("mm", "milli")) else 1
        return Fraction(metric[1]) / parts, LengthForm.METRES, LengthUnit.METRE
    if feet := _FEET_LINE.fullmatch(body):
        unit = _foot(feet[2], own)
        return Fraction(feet[1]) * EXACT_METRES[unit], LengthForm.DECIMAL_FEET, unit
    if inches := _FEET_INCHES_LINE.fullmatch(body):
        unit = _foot(inches["foot"] or "ft", own)
        whole = Fraction(inches["feet"] or 0) + _inches(text, inches) / 12
        return whole * EXACT_METRES[unit], LengthForm.FEET_INCHES, unit
    if _INCH_MARK_MISSING.fullmatch(body):
        raise _refused(
            text,
            "After the feet stands a number that may be inches or tenths; tenths of a foot and inches are different.",
            "Write 10 ft 4 in for inches, or 10.4 ft for tenths",
        )
    raise _refused(text, "This is no length that can be read.")


def _foot(word: str, own: LengthUnit) -> LengthUnit:
    """Return which foot `word` says on a site that keeps its lengths in `own`."""
    if "us" in word or "survey" in word or own is LengthUnit.SURVEY_FOOT:
        return LengthUnit.SURVEY_FOOT
    return LengthUnit.FOOT


def _inches(text: str, found: re.Match[str]) -> Fraction:
    """Return the exact inches of a feet-and-inches text, refusing what no tape shows."""
    feet, inch = found["feet"], found["inch"] or "0"
    top, bottom = found["top"] or found["only_top"], found["bottom"] or found["only_bottom"]
    if feet and "." in feet:
        raise _refused(
            text,
            f"{feet} ft is already in tenths, and inches follow; tenths of a foot and inches are not mixed in one length.",
            "Write either 10.4 ft or 10 ft 4 3/4 in",
        )
    if "." in inch and found["top"]:
        raise _refused(text, "The inches have both decimals and a fraction.", "Write 4.5 in or 4 1/2 in")
    if top and (int(bottom) not in {2, 4, 8, 16} or int(top) >= int(bottom)):
        raise _refused(
            text,
            f"{top}/{bottom} in is not a fraction of a tape: halves, quarters, eighths and sixteenths below one inch are.",
            "Write 4 3/16 in",
        )
    inches = Fraction(inch) + (Fraction(int(top), int(bottom)) if top else 0)
    if feet is not None and inches >= 12:
        raise _refused(
            text,
            f"{inch} in beside feet is a foot or more; beside feet the inches run from 0 to below 12.",
            "Carry the twelve inches into the feet",
        )
    return inches


def _refused(text: str, why: str, next_step: str = "Write 2.50 m, 250 cm, 10.4 ft or 10 ft 4 3/4 in") -> MeasureError:
    """Return the error for a text that cannot be taken as a length."""
    return MeasureError(f"The length is given as “{shorten(text)}”. {why} {next_step}.")


def to_metres(values: ArrayLike, unit: LengthUnit) -> Floats:
    """Return lengths in metres.

    Parameters
    ----------
    values : array_like
        Lengths in `unit`, of any shape; NaN (not measured) stays NaN.
    unit : LengthUnit
        The quantity the lengths are in; feet are in decimal parts.

    Returns
    -------
    numpy.ndarray
        The same shape, in metres.

    Raises
    ------
    MeasureError
        A value is infinite.

    Examples
    --------
    >>> to_metres([5.0, 10.0], LengthUnit.FOOT).tolist()
    [1.524, 3.048]
    """
    given = np.asarray(values, dtype=np.float64)
    _refuse_infinite(given)
    return given * metres_per(unit)


def from_metres(values: ArrayLike, unit: LengthUnit) -> Floats:
    """Return lengths in `unit` from metres; the other way of `to_metres`, with the same rules."""
    given = np.asarray(values, dtype=np.float64)
    _refuse_infinite(given)
    return given / metres_per(unit)


def _refuse_infinite(values: Floats) -> None:
    """Raise MeasureError when any of `values` is infinite."""
    if np.isinf(values).any():
        place = int(np.flatnonzero(np.isinf(values).ravel())[0]) + 1
        raise MeasureError(
            f"Number {place} of the lengths is infinite. A length has an end: look up the figure, or leave it blank."
        )
