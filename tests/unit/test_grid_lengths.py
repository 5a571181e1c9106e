"""Lengths read from text, and whole columns turned into metres."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.lengths import LengthForm, from_metres, parse_length, to_metres
from baulk.quantities import LengthUnit

M, FT, FT_US = LengthUnit.METRE, LengthUnit.FOOT, LengthUnit.SURVEY_FOOT


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("2.5 m", 2.5),
        ("250 cm", 2.5),
        ("2500 mm", 2.5),
        ("2.5m", 2.5),
        ("  2.5  metres ", 2.5),
        ("2500 millimeters", 2.5),
        ("-0.35 m", -0.35),
        ("−0.35 m", -0.35),
        ("+0.35 m", 0.35),
        (".5 m", 0.5),
        ("2.5", 2.5),
    ],
)
def test_metric_lengths(text, metres):
    """Metres, centimetres and millimetres are read, with the sign and the spacing people write."""
    length = parse_length(text, own=M)
    assert length.metres == metres
    assert (length.form, length.unit, length.written) == (LengthForm.METRES, M, text)


@pytest.mark.parametrize(
    ("text", "inches", "form"),
    [
        ("10.4 ft", 124.8, LengthForm.DECIMAL_FEET),
        ("10.4'", 124.8, LengthForm.DECIMAL_FEET),
        ("10 feet", 120, LengthForm.DECIMAL_FEET),
        ("10.4", 124.8, LengthForm.DECIMAL_FEET),
        ("7 ft 0 7/8 in", 84.875, LengthForm.FEET_INCHES),
        ("10' 4 3/4\"", 124.75, LengthForm.FEET_INCHES),
        ("10' 4 3/4''", 124.75, LengthForm.FEET_INCHES),
        ("10′ 4¾″", 124.75, LengthForm.FEET_INCHES),
        ("10'-4\"", 124, LengthForm.FEET_INCHES),
        ("10 ft, 4 in", 124, LengthForm.FEET_INCHES),
        ("10 ft 4.8 in", 124.8, LengthForm.FEET_INCHES),
        ("10 ft. 4 in.", 124, LengthForm.FEET_INCHES),
        ("10 ft 3/4 in", 120.75, LengthForm.FEET_INCHES),
        ("84 13/16 in", 84.8125, LengthForm.FEET_INCHES),
        ("1/16 inch", 0.0625, LengthForm.FEET_INCHES),
        ("-1 ft 6 in", -18, LengthForm.FEET_INCHES),
    ],
)
def test_lengths_in_feet(text, inches, form):
    """Feet with tenths and feet with inches are read as what they are, and the form says which."""
    length = parse_length(text, own=FT)
    assert length.metres == pytest.approx(inches * 0.0254, abs=1e-15)
    assert length.form is form
    assert length.unit is FT


@pytest.mark.parametrize(
    ("text", "own", "unit"),
    [
        ("10 ft", M, FT),
        ("10 ft", FT, FT),
        ("10 ft", FT_US, FT_US),
        ("10", FT_US, FT_US),
        ("10 ft_us", M, FT_US),
        ("10 US ft", FT, FT_US),
        ("10 survey feet", FT, FT_US),
        ("10 ft 6 in", FT_US, FT_US),
    ],
)
def test_which_foot(text, own, unit):
    """The word "ft" is the site's own foot, the international one on a metric site; a survey foot may always be named."""
    assert parse_length(text, own=own).unit is unit


def test_the_survey_foot_is_longer():
    """2,000,000 survey feet lie 1.2192 m beyond as many international feet."""
    assert parse_length("2000000", own=FT_US).metres - parse_length("2000000", own=FT).metres == pytest.approx(1.2192, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "10.4'6",
            "The length is given as “10.4'6”. After the feet stands a number that may be inches or tenths; tenths of a foot "
            "and inches are different. Write 10 ft 4 in for inches, or 10.4 ft for tenths.",
        ),
        ("10' 4", "may be inches or tenths"),
        ("10 ft 4", "may be inches or tenths"),
        (
            "10.4 ft 6 in",
            "The length is given as “10.4 ft 6 in”. 10.4 ft is already in tenths, and inches follow; tenths of a foot and "
            "inches are not mixed in one length. Write either 10.4 ft or 10 ft 4 3/4 in.",
        ),
        ("10 ft 14 in", "14 in beside feet is a foot or more; beside feet the inches run from 0 to below 12."),
        ("10 ft 12 in", "Carry the twelve inches into the feet."),
        ("4 1/3 in", "1/3 in is not a fraction of a tape"),
        ("4 5/4 in", "5/4 in is not a fraction of a tape"),
        ("4 1/0 in", "1/0 in is not a fraction of a tape"),
        ("4 1/32 in", "halves, quarters, eighths and sixteenths"),
        ("4.5 1/2 in", "The inches have both decimals and a fraction. Write 4.5 in or 4 1/2 in."),
        ("2,5 m", "A comma may stand for decimals or for thousands; here it is not taken for either. Write decimals with a point."),
        ("3 1/2", "This is no length that can be read. Write 2.50 m, 250 cm, 10.4 ft or 10 ft 4 3/4 in."),
        ("about 2 m", "This is no length that can be read."),
        ("1e3 m", "This is no length that can be read."),
        ("nan", "This is no length that can be read."),
        ("inf m", "This is no length that can be read."),
        ("٣ m", "This is no length that can be read."),
        ("2 m; DROP", "This is no length that can be read."),
        ("   ", "The length is blank. Give a number with its quantity, such as 2.50 m, or leave the field out."),
        ("9" * 10_000, "This is too long for a length."),
    ],
)
def test_what_is_refused(text, message):
    """A text that could mean two lengths, or none, is refused with what was given and what to write."""
    with pytest.raises(MeasureError) as caught:
        parse_length(text, own=FT)
    assert message in str(caught.value)
    assert len(str(caught.value)) < 400


def test_columns_to_metres_and_back():
    """A column in feet becomes metres and comes back, and what was not measured stays so."""
    metres = to_metres([[5.0, math.nan], [10.0, 0.0]], FT)
    assert metres.shape == (2, 2)
    assert metres[1, 0] == pytest.approx(3.048)
    assert np.isnan(metres[0, 1])
    assert from_metres(metres, FT)[0, 0] == pytest.approx(5.0)


@pytest.mark.parametrize("turn", [to_metres, from_metres])
def test_an_infinite_length_is_refused(turn):
    """An infinite length is refused with its place in the column."""
    with pytest.raises(MeasureError, match=r"Number 2 of the lengths is infinite\. A length has an end: look up the figure"):
        turn([1.0, math.inf], M)
