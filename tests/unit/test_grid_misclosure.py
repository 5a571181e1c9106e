"""The misclosure of a run: judged, shared out, and its likely cause."""

import math

import pytest

from baulk.errors import MeasureError
from baulk.grid.levels import Booking, reduce_by_rise_and_fall
from baulk.grid.misclosure import HOUSE_LIMIT, MisclosureLimit, close_run, share_out, suspect_readings
from baulk.grid.points import Level


def _loop(off=0.0, first=1.432):
    """A loop of two set-ups (Otter Weir, invented) that closes when `off` is 0 and `first` is 1.432."""
    book = [
        Booking("nail", backsight=first),
        Booking("peg", intermediate=1.876),
        Booking("TP", foresight=1.655, backsight=1.201),
        Booking("nail", foresight=0.978 + off),
    ]
    return reduce_by_rise_and_fall(book, benchmark=Level(21.450))


@pytest.mark.parametrize(("off", "within"), [(0.0, True), (-0.007, True), (0.007, True), (-0.0072, False), (0.0072, False)])
def test_the_house_limit(off, within):
    """Two set-ups may miss by 5 mm·√2 = 7.07 mm, either way, and no more."""
    closure = close_run(_loop(off), closing=Level(21.450))
    assert closure.within is within
    assert closure.misclosure == pytest.approx(-off)
    assert closure.allowed == pytest.approx(0.005 * math.sqrt(2))


def test_the_statement_names_the_limit_and_its_source():
    """The report's sentence gives the misclosure, the limit and where the limit comes from."""
    assert close_run(_loop(-0.004), closing=Level(21.450)).statement == (
        "The run of 2 set-ups misses the known level of nail by +4.0 mm, within the limit of 7.1 mm: "
        "5 mm·√(number of set-ups) (house setting; from memory, common practice, no source)."
    )


def test_a_fixed_limit():
    """A fixed limit does not grow with the set-ups; both kinds add up."""
    assert MisclosureLimit(fixed=0.01).allowed(9) == pytest.approx(0.01)
    assert MisclosureLimit(fixed=0.01, per_root_set_up=0.005).allowed(9) == pytest.approx(0.025)
    assert str(MisclosureLimit(fixed=0.01)) == "10 mm (set by the site)"


@pytest.mark.parametrize("parts", [(0.0, 0.0), (-0.01, 0.02), (math.nan, 0.0), (math.inf, 0.0)])
def test_a_limit_without_sense(parts):
    """A limit that nothing or everything passes is refused."""
    with pytest.raises(MeasureError, match=r"A limit is a length above zero: give a fixed one"):
        MisclosureLimit(*parts)


@pytest.mark.parametrize("closing", [None, math.nan])
def test_an_unknown_closing_level_is_cannot_tell(closing):
    """Without a known last level nobody can tell whether the run closes, and it is not called a pass."""
    closure = close_run(_loop(), closing=closing)
    assert closure.within is None
    assert math.isnan(closure.misclosure)
    assert closure.statement.startswith(
        "Cannot tell whether the run of 2 set-ups closes: the last point, nail, has no known level."
    )
    with pytest.raises(MeasureError, match=r"cannot be shared out: the last point has no known level\. Close the run first\."):
        share_out(_loop(), closure)
    assert suspect_readings(_loop(), closure) == ()


def test_an_infinite_closing_level():
    """An infinite closing level is refused."""
    with pytest.raises(MeasureError, match=r"The level of nail is given as inf m, which is no level on the earth\."):
        close_run(_loop(), closing=Level(math.inf))


def test_equal_shares():
    """Each set-up takes an equal share: half at the turning point, the whole at the end, nothing at the benchmark."""
    run = _loop(-0.006)
    shared = share_out(run, close_run(run, closing=Level(21.450)))
    assert shared - run.level == pytest.approx([0.0, -0.003, -0.003, -0.006])
    assert shared[-1] == pytest.approx(21.450)


def test_a_mistake_is_not_shared_out():
    """A misclosure outside the limit is refused, in words."""
    run = _loop(-0.090)
    with pytest.raises(MeasureError) as caught:
        share_out(run, close_run(run, closing=Level(21.450)))
    assert str(caught.value) == (
        "The misclosure of +90.0 mm is outside the limit of 7.1 mm. A misclosure this large is a mistake, not chance, and is not "
        "shared out: find the reading, or level again."
    )


def test_exchanged_digits_are_found():
    """A backsight booked 1.342 for 1.432 is among the few readings named, with the right figure."""
    run = _loop(first=1.342)
    found = suspect_readings(run, close_run(run, closing=Level(21.450)))
    assert (1, "backsight", 1.342, 1.432) in [(s.line, s.column, s.given, s.would_close) for s in found]
    assert found[0].reason == "the backsight 1.342 with two digits exchanged, 1.432, would close the run."
    assert len(found) <= 2


def test_a_whole_decimetre_is_found_but_not_placed():
    """A decimetre misread is recognised, and the book is not made to say where."""
    run = _loop(first=1.332)
    (found,) = suspect_readings(run, close_run(run, closing=Level(21.450)))
    assert found.column == "any backsight or foresight"
    assert "close to one whole decimetre" in found.reason


def test_no_slip_explains_every_misclosure():
    """Negative control: a misclosure that no common slip explains names nothing, and a run that closes neither."""
    run = _loop(0.0437)
    assert suspect_readings(run, close_run(run, closing=Level(21.450))) == ()
    assert suspect_readings(_loop(), close_run(_loop(), closing=Level(21.450))) == ()


def test_the_house_limit_says_where_it_comes_from():
    """The default limit carries its mark."""
    assert "from memory" in HOUSE_LIMIT.source
