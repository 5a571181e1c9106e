"""Reduction of a levels book and its refusals."""

import math

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.grid.levels import (
    Booking,
    awaits_closing_sight,
    reduce_by_instrument_height,
    reduce_by_rise_and_fall,
    reduce_open_run,
)
from baulk.grid.points import Level

BOTH = pytest.mark.parametrize("reduce", [reduce_by_rise_and_fall, reduce_by_instrument_height])

# Otter Weir, invented: from the nail in the lock wall over one turning point to the unit and back.
BOOK = [
    Booking("lock nail", backsight=1.432),
    Booking("peg A", intermediate=1.876),
    Booking("turning point", foresight=1.655, backsight=1.201),
    Booking("sett 1004", intermediate=1.340),
    Booking("lock nail", foresight=0.979),
]


@BOTH
def test_a_run_with_a_turning_point(reduce):
    """Levels, heights of instrument and set-ups follow the book, and the sums agree."""
    run = reduce(BOOK, benchmark=Level(21.450))
    assert run.level == pytest.approx([21.450, 21.006, 21.227, 21.088, 21.449])
    assert run.instrument[1:] == pytest.approx([22.882, 22.882, 22.428, 22.428])
    assert run.set_up.tolist() == [0, 1, 1, 2, 2]
    assert run.set_ups == 2
    assert run.check.agrees
    assert run.bookings[3].line == 4


def test_rises_and_falls():
    """Each step stands in one column, the other is 0, and the first line has neither."""
    run = reduce_by_rise_and_fall(BOOK, benchmark=Level(21.450))
    assert np.isnan(run.rise[0])
    assert run.rise[1:] == pytest.approx([0, 0.221, 0, 0.361])
    assert run.fall[1:] == pytest.approx([0.444, 0, 0.139, 0])


def test_height_of_instrument_has_no_rises():
    """The height-of-instrument method has no columns of rise and fall and does not make any up."""
    run = reduce_by_instrument_height(BOOK, benchmark=Level(21.450))
    assert np.isnan(run.rise).all()
    assert math.isnan(run.check.sum_rises)


def test_the_notes_say_what_is_unchecked():
    """Each method says how far its sums check an intermediate sight."""
    assert reduce_by_rise_and_fall(BOOK, benchmark=Level(0)).notes == (
        "Intermediate sights: 2. Each is read once only: the sums prove the reduction, but nothing checks the reading.",
    )
    assert reduce_by_instrument_height(BOOK, benchmark=Level(0)).notes == (
        "Intermediate sights: 2. Each is read once only: it enters no sum, so nothing checks its reading or its reduction.",
    )
    assert reduce_by_rise_and_fall([BOOK[0], BOOK[-1]], benchmark=Level(0)).notes == ()


def test_an_inverted_staff():
    """A staff held upside down on a vault is booked negative and gives a level above the instrument."""
    book = [Booking("BM", backsight=1.5), Booking("crown", intermediate=-0.7), Booking("BM", foresight=1.5)]
    assert reduce_by_rise_and_fall(book, benchmark=Level(10.0)).level[1] == pytest.approx(12.2)


def test_a_reading_longer_than_a_staff_is_doubted():
    """A reading of 14.96 is kept but doubted at its line."""
    book = [Booking("BM", backsight=1.5), Booking("C", foresight=14.96)]
    assert reduce_by_rise_and_fall(book, benchmark=Level(10.0)).notes == (
        "line 2 (C): foresight 14.960 is longer than a staff of 5 m: is the decimal point in its place?",
    )


def test_the_result_cannot_be_written_to():
    """A reduced run is frozen, its arrays too."""
    run = reduce_by_rise_and_fall(BOOK, benchmark=Level(0))
    with pytest.raises(ValueError, match="read-only"):
        run.level[0] = 1.0


@BOTH
@pytest.mark.parametrize("benchmark", [None, math.nan, math.inf])
def test_no_benchmark(reduce, benchmark):
    """A run without the level of its first point is refused."""
    with pytest.raises(
        MeasureError, match=r"The level run has no benchmark\. Levels are heights above a known point: give the level"
    ):
        reduce(BOOK, benchmark=benchmark)


@BOTH
@pytest.mark.parametrize(("book", "count"), [([], "no line"), (BOOK[:1], "one line")])
def test_too_short_a_run(reduce, book, count):
    """A run of fewer than two lines is refused."""
    with pytest.raises(MeasureError, match=f"The level run has {count}. A run needs a backsight and at least one foresight"):
        reduce(book, benchmark=Level(0))


@pytest.mark.parametrize(
    ("place", "line", "message"),
    [
        (
            0,
            Booking("lock nail", foresight=1.432),
            "line 1 (lock nail): the run starts with foresight; it starts with a backsight alone, on the benchmark. "
            "Book it in the backsight column.",
        ),
        (0, Booking("lock nail"), "line 1 (lock nail): the run starts with no reading; it starts with a backsight alone"),
        (
            4,
            Booking("lock nail", intermediate=0.979),
            "line 5 (lock nail): the run ends with intermediate sight; it ends with a foresight alone, so that the run closes. "
            "Read the staff on the benchmark again and book that foresight on a line of its own; "
            "only if this line is that sight does it belong in the foresight column.",
        ),
        (4, Booking("nail", foresight=1.0, backsight=1.0), "line 5 (nail): the run ends with backsight and foresight"),
        (1, Booking("peg A"), "line 2 (peg A): no staff reading; book the reading, or take the line out."),
        (
            1,
            Booking("peg A", backsight=1.0),
            "line 2 (peg A): a backsight without a foresight; the instrument was moved without a turning point.",
        ),
        (1, Booking("peg A", foresight=1.0), "line 2 (peg A): a foresight without a backsight, but the run goes on"),
        (
            1,
            Booking("peg A", intermediate=1.0, foresight=1.0),
            "line 2 (peg A): an intermediate sight beside a backsight or foresight; a point is either intermediate",
        ),
        (
            1,
            Booking("peg A", intermediate=math.inf),
            "line 2 (peg A): the intermediate sight is given as inf m, which no staff shows; look up the figure",
        ),
        (1, Booking("peg A", line=17), "line 17 (peg A): no staff reading"),
    ],
)
def test_a_line_that_cannot_be_right(place, line, message):
    """A line whose readings cannot be right is named with its number, its point and what to book."""
    book = [*BOOK[:place], line, *BOOK[place + 1 :]]
    with pytest.raises(MeasureError) as caught:
        reduce_by_rise_and_fall(book, benchmark=Level(0))
    assert str(caught.value).startswith("The level run cannot be reduced:\n")
    assert message in str(caught.value)


def test_every_bad_line_is_named():
    """All bad lines are named at once, the first twenty in full."""
    book = [BOOK[0], *[Booking(f"p{n}") for n in range(30)], BOOK[-1]]
    with pytest.raises(MeasureError) as caught:
        reduce_by_rise_and_fall(book, benchmark=Level(0))
    assert str(caught.value).count("no staff reading") == 20
    assert str(caught.value).endswith("… and 10 more")


@pytest.mark.parametrize("end", [Booking("setts", intermediate=1.7), Booking("peg", backsight=1.2, foresight=1.7)])
def test_an_open_run_is_reduced_as_far_as_it_goes(end):
    """A run without its closing sight keeps every level that the same run has once it is closed."""
    start = [Booking("nail", backsight=1.5), Booking("A", intermediate=1.2)]
    assert awaits_closing_sight([*start, end])
    reduced = reduce_open_run([*start, end], benchmark=Level(20.0))
    closed = reduce_by_rise_and_fall([*start, end, Booking("nail", foresight=1.5)], benchmark=Level(20.0))
    assert reduced.level.tolist() == closed.level[:3].tolist() == pytest.approx([20.0, 20.3, 19.8])
    assert reduced.check.agrees


@pytest.mark.parametrize("end", [Booking("nail", foresight=1.0), Booking("nail"), Booking("nail", backsight=1.0)])
def test_a_run_that_ended_or_cannot_be_right_awaits_nothing(end):
    """A foresight closes a run; no reading, or a lone backsight after the first line, is a fault and not a run still open."""
    assert not awaits_closing_sight([Booking("nail", backsight=1.5), end])
    assert not awaits_closing_sight([])


def test_an_open_run_hides_no_fault():
    """A line that cannot be right is refused in an open run too."""
    book = [Booking("nail", backsight=1.5), Booking("A"), Booking("setts", intermediate=1.7)]
    with pytest.raises(MeasureError, match="no staff reading; book the reading, or take the line out"):
        reduce_open_run(book, benchmark=Level(20.0))
