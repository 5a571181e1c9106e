"""A levels book held against itself."""

import dataclasses
import math

import pytest

from baulk.grid.booking_check import PrintedSums, check_printed, check_printed_sums
from baulk.grid.levels import Booking, reduce_by_rise_and_fall
from baulk.grid.points import Level

# Otter Weir, invented; every figure agrees.
PAGE = [
    Booking("nail", backsight=1.500, level=20.000),
    Booking("A", intermediate=1.200, rise=0.300, level=20.300),
    Booking("B", intermediate=1.700, fall=0.500, level=19.800),
    Booking("TP", foresight=1.100, backsight=1.400, rise=0.600, level=20.400),
    Booking("C", intermediate=1.650, fall=0.250, level=20.150),
    Booking("nail", foresight=1.800, fall=0.150, level=20.000),
]


def _faults(page, benchmark=20.0):
    return check_printed(reduce_by_rise_and_fall(page, benchmark=Level(benchmark)))


def _changed(place, **figures):
    return [dataclasses.replace(line, **figures) if at == place else line for at, line in enumerate(PAGE)]


def test_a_good_page_has_no_fault():
    """A page whose figures agree is passed without a word, and so is one that prints nothing but readings."""
    assert _faults(PAGE) == ()
    bare = [dataclasses.replace(line, rise=math.nan, fall=math.nan, level=math.nan) for line in PAGE]
    assert _faults(bare) == ()


@pytest.mark.parametrize(
    ("place", "figures", "column", "computed", "words"),
    [
        (1, {"rise": 0.310}, "rise", 0.300, "a rise of 0.310 is printed. Work the step again."),
        (2, {"rise": 0.500, "fall": math.nan}, "rise", 0.500, "it is printed as a rise, though the level is right."),
        (2, {"level": 18.900}, "level", 19.800, "this one figure was copied wrong."),
        (5, {"level": 20.010}, "level", 20.000, "work the levels again from here."),
        (1, {"intermediate": 1.210}, "intermediate sight", 1.200, "1.200 would agree with both."),
        (
            3,
            {"foresight": 1.010},
            "foresight",
            1.100,
            "a foresight of 1.100 here, or an intermediate sight of 1.610 at line 3, would agree",
        ),
    ],
)
def test_one_slip_is_named_once_at_its_line(place, figures, column, computed, words):
    """One slip gives one fault, at its own line, with the figure that would agree."""
    (fault,) = _faults(_changed(place, **figures))
    assert (fault.line, fault.column) == (place + 1, column)
    assert fault.computed == pytest.approx(computed)
    assert words in str(fault)


def test_a_slip_that_the_levels_carry_on():
    """A level worked wrong and carried on is named once, where it began."""
    page = [*PAGE[:3], *(dataclasses.replace(line, level=line.level + 0.1) for line in PAGE[3:])]
    (fault,) = _faults(page)
    assert (fault.line, fault.column) == (4, "level")
    assert str(fault) == (
        "line 4 (TP): a level of 20.500 is printed, but the line before and the readings give 20.400. "
        "The lines after it carry the slip on: work the levels again from here."
    )


def test_two_slips_are_both_named():
    """Two slips at different lines are named each."""
    page = _changed(1, rise=0.310)
    page[4] = dataclasses.replace(page[4], fall=0.520)
    assert [fault.line for fault in _faults(page)] == [2, 5]


def test_levels_printed_only_here_and_there():
    """Where some lines print no level, the step reaches back to the last that does."""
    page = [dataclasses.replace(line, level=math.nan) if at in (1, 2, 4) else line for at, line in enumerate(PAGE)]
    assert _faults(page) == ()
    page[5] = dataclasses.replace(page[5], level=20.020)
    assert [fault.line for fault in _faults(page)] == [6]


def test_another_benchmark():
    """A page that starts from another level than the benchmark's is named at its first line and nowhere else."""
    (fault,) = _faults(PAGE, benchmark=20.1)
    assert "a level of 20.000 is printed for the first point, but its known level is given as 20.100." in str(fault)


def test_the_sums_at_the_foot():
    """A wrong sum is named with the right one; sums that are not printed are not checked."""
    run = reduce_by_rise_and_fall(PAGE, benchmark=Level(20.0))
    assert check_printed_sums(run, PrintedSums(2.9, 2.9, 0.9, 0.9)) == ()
    assert check_printed_sums(run, PrintedSums()) == ()
    (fault,) = check_printed_sums(run, PrintedSums(backsights=2.8))
    assert str(fault).startswith("foot of the page: ΣBS is printed as 2.800, the lines above give 2.900, 0.100 apart")
