"""Properties of the grid calculations that hold for every input."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from baulk.errors import MeasureError
from baulk.grid.booking_check import check_printed
from baulk.grid.control import fit_control
from baulk.grid.corners import fit_corners
from baulk.grid.layout import Taped, lay_out
from baulk.grid.length_format import feet_and_inches, format_feet, format_feet_inches, format_metres
from baulk.grid.lengths import from_metres, parse_length, to_metres
from baulk.grid.levels import Booking, reduce_by_instrument_height, reduce_by_rise_and_fall
from baulk.grid.misclosure import MisclosureLimit, close_run, share_out
from baulk.grid.points import GridPoint, Level
from baulk.grid.tapes import two_tapes
from baulk.grid.transform import Similarity
from baulk.quantities import LengthUnit

UNITS = st.sampled_from(list(LengthUnit))
FEET = st.sampled_from([LengthUnit.FOOT, LengthUnit.SURVEY_FOOT])
LENGTHS = st.floats(-1000, 1000)
READINGS = st.integers(0, 4000).map(lambda millimetres: millimetres / 1000)
BEARINGS = st.floats(0, 360, exclude_max=True)


@st.composite
def level_books(draw):
    """A run that may be reduced: a backsight, intermediate sights and turning points in any order, a foresight."""
    middle = [
        Booking(f"p{n}", backsight=draw(READINGS), foresight=draw(READINGS))
        if draw(st.booleans())
        else Booking(f"p{n}", intermediate=draw(READINGS))
        for n in range(draw(st.integers(0, 12)))
    ]
    return [Booking("BM", backsight=draw(READINGS)), *middle, Booking("end", foresight=draw(READINGS))]


@st.composite
def similarities(draw):
    """A place of a site grid such as surveys give."""
    return Similarity(draw(st.floats(-1e6, 1e6)), draw(st.floats(-1e7, 1e7)), draw(st.floats(0.99, 1.01)), draw(BEARINGS))


@st.composite
def control(draw):
    """At least three site points to the millimetre, spread over a few metres or more."""
    whole = st.integers(-100_000, 100_000).map(lambda millimetres: millimetres / 1000)
    site = np.array(draw(st.lists(st.tuples(whole, whole), min_size=3, max_size=8, unique=True)))
    assume(np.ptp(site, axis=0).max() > 2.0)
    return site


def _answer(call):
    """Return what `call` gives, or None and what its refusal says; any other error goes on up."""
    try:
        return call(), ""
    except MeasureError as fault:
        return None, str(fault)


@given(LENGTHS, FEET)
def test_feet_and_inches_round_trip(metres, unit):
    """What is written in feet and inches is read back within half a sixteenth of an inch."""
    written = format_feet_inches(metres, unit=unit)
    assert parse_length(written, own=unit).metres == pytest.approx(metres, abs=0.3048006097 / 12 / 32 + 1e-12)
    parts = feet_and_inches(metres, unit=unit)
    assert 0 <= parts.inches < 12
    assert 0 <= parts.fraction < 1


@given(LENGTHS, FEET)
def test_writing_what_was_read_changes_nothing(metres, unit):
    """A length on a sixteenth is written and read without change, however often."""
    written = format_feet_inches(metres, unit=unit)
    assert format_feet_inches(parse_length(written, own=unit).metres, unit=unit) == written


@given(LENGTHS)
def test_decimals_round_trip(metres):
    """Metres to the millimetre and feet to the hundredth come back within half the last place."""
    assert parse_length(format_metres(metres), own=LengthUnit.FOOT).metres == pytest.approx(metres, abs=0.0005 + 1e-9)
    assert parse_length(format_feet(metres), own=LengthUnit.METRE).metres == pytest.approx(metres, abs=0.005 * 0.3048 + 1e-9)


@given(st.text(max_size=80), UNITS)
def test_any_text_is_read_or_refused_in_words(text, own):
    """Whatever is typed gives a finite length or one sentence, never another error."""
    length, said = _answer(lambda: parse_length(text, own=own))
    assert 40 < len(said) < 400 if length is None else math.isfinite(length.metres)


@given(st.lists(st.floats(-1e6, 1e6) | st.just(math.nan), max_size=20), UNITS)
def test_columns_round_trip(values, unit):
    """A column turned into metres and back is the same, gaps and all."""
    assert from_metres(to_metres(values, unit), unit) == pytest.approx(np.array(values), rel=1e-12, nan_ok=True)


@given(level_books(), st.floats(-100, 3000))
def test_both_methods_agree(book, start):
    """Rise and fall and height of instrument give the same levels, and the sums agree with both."""
    steps = reduce_by_rise_and_fall(book, benchmark=Level(start))
    planes = reduce_by_instrument_height(book, benchmark=Level(start))
    assert steps.level == pytest.approx(planes.level, abs=1e-9)
    assert steps.check.agrees
    assert planes.check.agrees
    assert steps.set_up.tolist() == planes.set_up.tolist()


@given(level_books(), st.floats(-100, 100))
def test_a_higher_benchmark_lifts_every_level(book, lift):
    """Levels move with the benchmark and nothing else changes."""
    low = reduce_by_rise_and_fall(book, benchmark=Level(0.0))
    high = reduce_by_rise_and_fall(book, benchmark=Level(lift))
    assert high.level - low.level == pytest.approx(np.full(len(book), lift), abs=1e-9)
    assert high.rise == pytest.approx(low.rise, nan_ok=True)


@given(level_books())
def test_a_run_read_backwards_goes_down_where_it_went_up(book):
    """The same readings booked from the end to the beginning give the same levels."""
    forth = reduce_by_rise_and_fall(book, benchmark=Level(50.0))
    turned = [dataclasses.replace(line, backsight=line.foresight, foresight=line.backsight) for line in reversed(book)]
    back = reduce_by_rise_and_fall(turned, benchmark=Level(float(forth.level[-1])))
    assert back.level[::-1] == pytest.approx(forth.level, abs=1e-9)


@given(level_books(), st.integers(-30, 30))
def test_sharing_out_closes_the_run(book, off):
    """After sharing out the last level is the known one, the first is untouched, and no point moves by more than the misclosure."""
    run = reduce_by_rise_and_fall(book, benchmark=Level(10.0))
    known = Level(float(run.level[-1]) - off / 1000)
    shared = share_out(run, close_run(run, closing=known, limit=MisclosureLimit(fixed=0.031)))
    assert shared[0] == run.level[0]
    assert shared[-1] == pytest.approx(known, abs=1e-12)
    assert np.abs(shared - run.level).max() <= abs(off) / 1000 + 1e-12


def _printed(book):
    """The book with rises, falls and levels worked out and printed."""
    run = reduce_by_rise_and_fall(book, benchmark=Level(10.0))
    steps = zip(run.rise, run.fall, run.level, strict=True)
    return [
        dataclasses.replace(line, rise=rise, fall=fall, level=level) for line, (rise, fall, level) in zip(book, steps, strict=True)
    ]


@given(level_books())
def test_a_page_worked_right_has_no_fault(book):
    """No fault is found on a page that was worked right."""
    assert check_printed(reduce_by_rise_and_fall(_printed(book), benchmark=Level(10.0))) == ()


READERS = st.sampled_from([reduce_by_rise_and_fall, reduce_by_instrument_height])
HOSTILE = st.floats(allow_nan=True, allow_infinity=True)


@given(st.lists(st.builds(Booking, st.text(max_size=5), HOSTILE, HOSTILE, HOSTILE), max_size=6), HOSTILE, READERS)
def test_any_figures_are_reduced_or_refused_in_words(book, benchmark, reduce):
    """Whatever figures are given, a run is reduced to finite levels or refused with a sentence."""
    run, said = _answer(lambda: reduce(book, benchmark=Level(benchmark)))
    assert len(said) > 40 if run is None else np.isfinite(run.level).all()


@given(HOSTILE, HOSTILE, HOSTILE, HOSTILE)
def test_any_tapes_are_solved_or_refused_in_words(apart, northing, first, second):
    """Whatever tapes are given, both points are finite or the tapes are refused with a sentence."""
    found, said = _answer(lambda: two_tapes(GridPoint(0, 0), GridPoint(apart, northing), from_first=first, from_second=second))
    assert len(said) > 40 if found is None else math.isfinite(found.left.position.easting)


@given(level_books(), st.data())
def test_any_one_slip_is_found_once(book, data):
    """One reading, step or level changed on a printed page gives exactly one fault, at its line or the next."""
    page = _printed(book)
    place = data.draw(st.integers(1, len(page) - 1))
    line = page[place]
    columns = [name for name in ("backsight", "intermediate", "foresight", "level") if not math.isnan(getattr(line, name))]
    column = data.draw(st.sampled_from(columns))
    off = data.draw(st.integers(2, 900).map(lambda millimetres: millimetres / 1000)) * data.draw(st.sampled_from([1, -1]))
    page[place] = dataclasses.replace(line, **{column: getattr(line, column) + off})
    faults = check_printed(reduce_by_rise_and_fall(page, benchmark=Level(10.0)))
    assert len(faults) == 1
    assert faults[0].line == place + (2 if column == "backsight" else 1)


@given(st.floats(0.3, 20), st.floats(0.3, 20), BEARINGS, LENGTHS, LENGTHS)
def test_a_unit_keeps_its_shape_wherever_it_lies(width, depth, bearing, easting, northing):
    """Sides and diagonals between the corners are those of the design, anticlockwise, at any place and bearing."""
    layout = lay_out(GridPoint(easting, northing), width=width, depth=depth, bearing=bearing)
    corners = layout.corners
    ends = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
    assert [math.dist(corners[a], corners[b]) for a, b in ends] == pytest.approx(layout.lengths, abs=1e-9)
    sides = np.roll(corners, -1, axis=0)
    area = 0.5 * float((corners[:, 0] * sides[:, 1] - corners[:, 1] * sides[:, 0]).sum())
    assert area == pytest.approx(width * depth, rel=1e-6, abs=1e-6)


@given(st.floats(1, 10), st.floats(1, 10), BEARINGS, st.lists(st.floats(-0.01, 0.01), min_size=6, max_size=6))
def test_the_fit_of_corners_does_not_depend_on_the_place(width, depth, bearing, errors):
    """Residuals of taped lines are the same wherever and however the unit lies."""
    here = lay_out(GridPoint(0, 0), width=width, depth=depth)
    there = lay_out(GridPoint(512.0, 731.0), width=width, depth=depth, bearing=bearing)
    taped = Taped(*(here.lengths + np.array(errors)))
    assert fit_corners(here, taped).residuals == pytest.approx(fit_corners(there, taped).residuals, abs=1e-6)


@given(st.floats(1, 20), st.floats(-5, 25), st.floats(0.5, 20), BEARINGS, LENGTHS, LENGTHS)
def test_two_tapes_reach_both_points(apart, along, off, bearing, easting, northing):
    """Both points lie at the taped distances, one on each hand, however the marks lie; their uncertainty turns with them."""
    turn = math.radians(bearing)

    def put(ahead, left):
        return GridPoint(
            easting + ahead * math.cos(turn) - left * math.sin(turn), northing + ahead * math.sin(turn) + left * math.cos(turn)
        )

    first, second = put(0, 0), put(apart, 0)
    tapes = {"from_first": math.hypot(along, off), "from_second": math.hypot(along - apart, off)}
    found = two_tapes(first, second, **tapes)
    for fix, hand in ((found.left, 1), (found.right, -1)):
        expected = put(along, hand * off)
        assert (fix.position.easting, fix.position.northing) == pytest.approx((expected.easting, expected.northing), abs=1e-5)
    plain = two_tapes(GridPoint(0, 0), GridPoint(apart, 0), **tapes).left
    assert found.left.semi_major == pytest.approx(plain.semi_major, rel=1e-5)
    assert found.left.semi_minor == pytest.approx(plain.semi_minor, rel=1e-5)


@given(similarities(), control())
def test_forward_and_inverse_undo_each_other(operation, site):
    """A position taken to the projected grid and back is the same."""
    assert operation.inverse(operation.forward(site)) == pytest.approx(site, abs=1e-6)


@given(similarities(), control())
def test_exact_control_gives_the_operation_back(operation, site):
    """Control points without error give back the operation they were made with, and no suspect."""
    projected = operation.forward(site)
    fit = fit_control(site, projected)
    assert fit.similarity.forward(site) == pytest.approx(projected, abs=1e-5)
    assert fit.similarity.scale == pytest.approx(operation.scale, rel=1e-6)
    assert fit.sd_of_unit_weight < 1e-5
    assert fit.suspect is None


@given(similarities(), control(), st.lists(st.floats(-0.05, 0.05), min_size=16, max_size=16))
def test_residuals_do_not_depend_on_the_place(operation, site, errors):
    """Moving the whole projected grid changes the shift and leaves residuals and scale alone."""
    projected = operation.forward(site) + np.array(errors).reshape(8, 2)[: len(site)]
    here, there = fit_control(site, projected), fit_control(site, projected + np.array([1000.0, -500.0]))
    assert here.residuals == pytest.approx(there.residuals, abs=1e-6)
    assert here.similarity.scale == pytest.approx(there.similarity.scale, rel=1e-9)
    assert np.abs(here.residuals.sum(axis=0)).max() < 1e-6
