"""Laying out a unit and checking its sides and diagonals."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.layout import Taped, check_taped, lay_out, usual_size
from baulk.grid.points import GridPoint
from baulk.quantities import LengthUnit

TWO_METRES = lay_out(GridPoint(104.0, 212.0), width=2.0)
DIAGONAL = 2 * math.sqrt(2)
GOOD = {"ab": 2.0, "bc": 2.0, "cd": 2.0, "da": 2.0, "ac": DIAGONAL, "bd": DIAGONAL}


def test_corners_run_anticlockwise_from_the_nail():
    """A is the nail, B lies east of it, C and D to the north."""
    assert TWO_METRES.corners.tolist() == [[104, 212], [106, 212], [106, 214], [104, 214]]


def test_a_bearing_turns_clockwise():
    """At bearing 90 the side A–D runs east and the base line A–B south."""
    layout = lay_out(GridPoint(0, 0), width=2.0, depth=5.0, bearing=90)
    assert layout.corners == pytest.approx(np.array([[0, 0], [0, -2], [5, -2], [5, 0]]), abs=1e-12)


def test_a_unit_in_feet_on_a_grid_in_metres():
    """A 5 by 10 ft unit has its corners in metres."""
    layout = lay_out(GridPoint(0, 0), width=5, depth=10, unit=LengthUnit.FOOT)
    assert layout.corners[2] == pytest.approx([1.524, 3.048])


@pytest.mark.parametrize(
    ("side", "unit", "usual"),
    [(2.0, LengthUnit.METRE, True), (5.0, LengthUnit.FOOT, True), (10.0, LengthUnit.FOOT, True), (2.0, LengthUnit.FOOT, False)],
)
def test_usual_sizes(side, unit, usual):
    """Squares of 1, 2 and 5 m and of 5 and 10 ft are usual; others are dug too but are not in the list."""
    assert usual_size(side, unit) is usual


def test_six_good_tapes_pass():
    """Only all four sides and both diagonals make a pass."""
    check = check_taped(TWO_METRES, Taped(**GOOD))
    assert check.within is True
    assert check.statement == "All four sides and both diagonals agree with the design within 10 mm."


@pytest.mark.parametrize("line", list(GOOD))
def test_each_line_can_fail(line):
    """Negative control: any one line 15 mm off fails and is named with its amount."""
    check = check_taped(TWO_METRES, Taped(**(GOOD | {line: GOOD[line] + 0.015})))
    assert check.within is False
    assert f"Off the design by more than 10 mm: {line.upper()} +15 mm." in check.statement


def test_equal_diagonals_alone_are_cannot_tell():
    """Two diagonals as designed prove neither size nor shape."""
    check = check_taped(TWO_METRES, Taped(ac=DIAGONAL, bd=DIAGONAL))
    assert check.within is None
    assert check.out_of_square == pytest.approx(0.0)
    assert check.statement == (
        "Cannot tell: what is taped agrees within 10 mm, but AB, BC, CD, DA not taped, and equal diagonals alone prove neither "
        "size nor shape. Tape the rest."
    )


def test_equal_diagonals_of_a_wrong_rectangle_fail():
    """Equal diagonals of the designed length on a unit 1.9 by 2.096 m fail by the sides."""
    wide, deep = 1.9, math.sqrt(8 - 1.9**2)
    check = check_taped(TWO_METRES, Taped(wide, deep, wide, deep, DIAGONAL, DIAGONAL))
    assert check.within is False
    assert "AB -100 mm" in check.statement


def test_four_good_sides_are_not_enough():
    """A rhombus with good sides fails by its diagonals, and the statement says how far out of square it is."""
    turn = math.radians(89)
    bd, ac = (math.sqrt(8 - 8 * sign * math.cos(turn)) for sign in (1, -1))
    check = check_taped(TWO_METRES, Taped(2, 2, 2, 2, ac, bd))
    assert check.out_of_square == pytest.approx(-1.0)
    assert "The sides agree: the unit is 1.00° out of square at A." in check.statement
    assert check_taped(TWO_METRES, Taped(2, 2, 2, 2)).within is None


@pytest.mark.parametrize(
    ("taped", "words"),
    [
        (Taped(**(GOOD | {"bd": math.nan})), "but BD not taped, and five lines fix the unit but do not check it."),
        (Taped(ab=2.0, bc=2.0), "and the unit can still be out of square or size."),
        (Taped(), "Cannot tell: no line is taped. Tape the four sides and both diagonals."),
    ],
)
def test_what_is_not_taped_is_cannot_tell(taped, words):
    """A line that was not taped is never taken for good."""
    check = check_taped(TWO_METRES, taped)
    assert check.within is None
    assert words in check.statement


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lay_out(GridPoint(0, 0), width=0), "The unit is given as 0 by 0. Both sides are lengths above zero"),
        (lambda: lay_out(GridPoint(0, 0), width=2, depth=math.nan), "The unit is given as 2 by nan."),
        (lambda: lay_out(GridPoint(0, 0), width=2, bearing=math.inf), "The bearing of the unit is not a number."),
        (lambda: lay_out(GridPoint(math.nan, 0), width=2), "Number 1 of the corner of the unit is given as easting nan"),
        (lambda: Taped(ab=-2.0), "The taped line AB is given as -2 m. A taped length is above zero"),
        (lambda: Taped(bd=math.inf), "The taped line BD is given as inf m."),
        (lambda: check_taped(TWO_METRES, Taped(), tolerance=0), "The tolerance is given as 0 m. It is a length above zero"),
    ],
)
def test_what_is_refused(call, message):
    """A size, a bearing or a tape without sense is refused in words."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert message in str(caught.value)
