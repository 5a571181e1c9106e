"""Lengths written for a reader."""

import math
from fractions import Fraction

import pytest

from baulk.errors import MeasureError
from baulk.grid.length_format import (
    FeetInches,
    feet_and_inches,
    format_feet,
    format_feet_inches,
    format_length,
    format_metres,
)
from baulk.quantities import LengthUnit


@pytest.mark.parametrize(
    ("inches", "written"),
    [
        (84.8528, "7 ft 0 7/8 in"),
        (11.98, "1 ft 0 in"),  # 16/16 and then 12 in are carried
        (11.96, "0 ft 11 15/16 in"),
        (23.97, "2 ft 0 in"),
        (4.99, "0 ft 5 in"),
        (0.0, "0 ft 0 in"),
        (-18.0, "-1 ft 6 in"),
        (-0.01, "0 ft 0 in"),
        (0.5, "0 ft 0 1/2 in"),
    ],
)
def test_sixteenths_are_carried(inches, written):
    """A length is rounded to the nearest sixteenth; sixteen make an inch and twelve inches a foot."""
    assert format_feet_inches(inches * 0.0254) == written


def test_a_half_part_goes_up():
    """Half of the finest part is rounded upwards, exactly."""
    assert feet_and_inches(0.3048 * 0.125, parts=1) == FeetInches(0, 2, Fraction(0))  # 1.5 in
    assert feet_and_inches(3.048 * 0.0625, parts=1) == FeetInches(0, 8, Fraction(0))  # 7.5 in


def test_tenths_are_written_as_tenths():
    """The same length is 10.40 ft in tenths and 10 ft 4 13/16 in on an inch tape."""
    assert format_feet(3.16992) == "10.40 ft"
    assert format_feet_inches(3.16992) == "10 ft 4 13/16 in"


def test_the_site_s_own_quantity():
    """A length is written in the quantity that the site keeps."""
    assert format_length(2.5, LengthUnit.METRE) == "2.500 m"
    assert format_length(3.16992, LengthUnit.FOOT) == "10.40 ft"
    assert format_length(1200 / 3937, LengthUnit.SURVEY_FOOT) == "1.00 ft"


def test_no_minus_before_zero():
    """A length that rounds to zero has no sign."""
    assert format_metres(-0.0001) == "0.000 m"
    assert format_feet(-0.0001) == "0.00 ft"
    assert format_metres(-0.001) == "-0.001 m"


@pytest.mark.parametrize("write", [format_metres, format_feet, format_feet_inches])
def test_what_was_not_measured(write):
    """NaN is written as not measured, never as a number."""
    assert write(math.nan) == "not measured"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: feet_and_inches(1.0, unit=LengthUnit.METRE), "Feet and inches are asked for in metres. Say which foot"),
        (lambda: format_feet(1.0, unit=LengthUnit.METRE), "Feet are asked for in metres. Say which foot"),
        (lambda: feet_and_inches(1.0, parts=10), "An inch is to be cut into 10 parts. A tape shows 1, 2, 4, 8 or 16"),
        (lambda: feet_and_inches(math.inf), "The length is given as inf. Only a measured length can be written"),
    ],
)
def test_what_cannot_be_written(call, message):
    """A request without sense is refused in words."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert message in str(caught.value)
