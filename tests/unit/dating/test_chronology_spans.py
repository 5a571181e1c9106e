"""How the spans of two lots of events stand to each other: chances from joint draws, in whole years."""

from __future__ import annotations

import pytest

from baulk.dating.chronology import date_events
from baulk.dating.evidence import Documented, Evidence, YearWithError
from baulk.dating.model import chronology_of
from baulk.dating.posterior import Dates
from baulk.dating.spans import Standing, standing_of, standings_between
from baulk.dating.window import Window
from baulk.errors import InputError

NAMES = ["yard", "drain", "wall", "ash"]


@pytest.fixture(scope="module")
def dates() -> Dates:
    """Return a yard of 1740-1749 and a drain of 1750, a wall of 1790-1799 and ash about 1745; nothing relates them."""
    evidence: list[Evidence] = [
        Documented(0, "lease", 1740, 1749), Documented(1, "bill", 1750, 1750), Documented(2, "plan", 1790, 1799),
        YearWithError(3, "coin", 1745, 3),
    ]  # fmt: skip
    return date_events(chronology_of(NAMES, [], [], evidence, Window(1700, 1849, firm=True)), seed=3)


def test_firm_spans_stand_as_their_years_do(dates: Dates) -> None:
    """What ends in 1750 precedes what begins in 1790, and the other way round; no other way is possible."""
    found = standings_between(dates, ["yard", "drain"], ["wall"])
    assert [(standing, chance.value) for standing, chance in found.chances] == [(Standing.PRECEDES, 1.0)]
    assert found.shared.value == 0
    assert 38 <= found.between[0] < found.between[4] <= 49
    ((back, chance),) = standings_between(dates, ["wall"], ["yard", "drain"]).chances
    assert (back, chance.value) == (Standing.PRECEDED_BY, 1.0)


def test_the_year_after_is_no_gap(dates: Dates) -> None:
    """A yard of 1749 meets a drain of 1750: a tenth of the draws, since 1740 to 1749 are even; in the rest a gap lies between."""
    chances = dict(standings_between(dates, ["yard"], ["drain"]).chances)
    assert set(chances) == {Standing.PRECEDES, Standing.MEETS}
    assert chances[Standing.MEETS].value == pytest.approx(0.1, abs=4 * chances[Standing.MEETS].standard_error + 0.02)


def test_the_chances_add_up_and_turn_round(dates: Dates) -> None:
    """All ways of ash and yard together make 1, and asked the other way round each has the chance of its converse."""
    one, other = (standings_between(dates, *lots).chances for lots in ((["ash"], ["yard", "drain"]), (["yard", "drain"], ["ash"])))
    places = list(Standing)
    assert sum(chance.value for _, chance in one) == pytest.approx(1)
    back = {places.index(standing): chance.value for standing, chance in other}
    for standing, chance in one:
        assert back[12 - places.index(standing)] == chance.value
    assert {Standing.DURING, Standing.PRECEDES} <= {standing for standing, _ in one}


def test_spans_that_make_no_sense_are_refused(dates: Dates) -> None:
    """An empty lot, an event in both, and a span that ends before it begins are each answered with what to do."""
    for first, second in (([], ["wall"]), (["yard"], ["yard", "wall"])):
        with pytest.raises(InputError, match="Two lots of events of which one is empty, or which share an event, are given"):
            standings_between(dates, first, second)
    with pytest.raises(InputError, match="A span that ends before it begins is given"):
        standing_of([1700], [1700], [1710], [1720])
