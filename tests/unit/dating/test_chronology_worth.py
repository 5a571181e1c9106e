"""What a next piece of work is expected to do for a date, and that what cannot help is told not to."""

from __future__ import annotations

import pytest

from baulk.dating.candidates import Candidate, CarbonSample, MoreFinds, NextUnit, Question, SherdsLookedAt
from baulk.dating.chronology import date_events, sensitivity
from baulk.dating.discard import Discard
from baulk.dating.evidence import CarbonDate, Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.intrusion import Disturbance
from baulk.dating.model import Suppositions, chronology_of
from baulk.dating.posterior import Dates
from baulk.dating.window import Window
from baulk.dating.worth import rank_candidates
from baulk.errors import InputError

WINDOW = Window(1300, 1900, firm=True)
LAMPS = ((0, "low", 1600), (1, "middle", 1400), (2, "high", 1660), (0, "low again", 1605))


@pytest.fixture(scope="module")
def dates() -> Dates:
    """Return two layers known to a century or two, and a third that nothing ties to them but the site."""
    evidence: list[Evidence] = [
        YearWithError(0, "lamp", 1450, 60), YearWithError(1, "lamp 2", 1500, 60), FindMade(1, "jug", 1350, 1550),
        YearWithError(2, "y", 1600, 5),
    ]  # fmt: skip
    return date_events(chronology_of(["1", "2", "3"], [1], [0], evidence, WINDOW), seed=4)


def test_a_better_sample_narrows_more_and_one_elsewhere_hardly_at_all(dates: Dates) -> None:
    """A sharp sample of the layer itself beats a rough one, which beats one of a layer that is known to ten years already."""
    samples = [
        CarbonSample("sharp", "1", 1.0, error=15, doubt=0.01), CarbonSample("rough", "1", 1.0, error=120, doubt=0.01),
        CarbonSample("elsewhere", "3", 1.0),
    ]  # fmt: skip
    found = rank_candidates(dates, Question("1"), samples, seed=1, outcomes=60)
    assert [one.candidate.name for one in found] == ["sharp", "rough", "elsewhere"]
    assert found[0].narrowing > 60
    assert abs(found[2].narrowing) < 0.1 * found[2].now
    assert "the range of" in found[0].words and "for one of cost" in found[0].words


def test_the_expected_range_is_that_of_dating_anew(dates: Dates) -> None:
    """One sample's range after its result, by dating the site anew with it, averages what was expected, over made results."""
    sample = CarbonSample("s", "1", 1.0, error=25, doubt=0.05)
    (worth,) = rank_candidates(dates, Question("1"), [sample], seed=2, outcomes=100)
    made, widths = dates.chronology, []
    for age in (300, 350, 400, 450, 500, 600):
        evidence = [*made.evidence, CarbonDate(0, "s", age, 25, doubt=0.05)]
        after = date_events(chronology_of(made.events, made.later, made.earlier, evidence, WINDOW), seed=1).of("1")
        widths.append(after.quantile(0.975) - after.quantile(0.025))
    assert min(widths) * 0.8 < worth.least and worth.most < max(widths) * 1.2
    assert min(widths) < worth.expected < max(widths)


def test_finds_narrow_and_a_unit_that_the_layer_does_not_reach_does_nothing(dates: Dates) -> None:
    """More finds of the layer narrow its date; a unit where it never goes on leaves the range exactly as it is."""
    ways: list[Candidate] = [
        MoreFinds("sieve", "2", 1.0, 15, 30.0),
        NextUnit("north", "2", 1.0, 0.0, 15),
        SherdsLookedAt("look", ("jug",), 1.0, 10.0),
    ]
    found = {one.candidate.name: one for one in rank_candidates(dates, Question("2"), ways, seed=3, outcomes=60)}
    assert found["north"].narrowing == 0.0
    assert found["sieve"].narrowing > 20
    assert found["look"].narrowing > -2
    apart = rank_candidates(dates, Question("2", "1"), ways[:1], seed=3, outcomes=60)[0]
    assert apart.now != found["sieve"].now


def test_work_that_costs_nothing_or_looks_at_nothing_is_refused(dates: Dates) -> None:
    """A cost of 0, too few outcomes, a find that is not there."""
    with pytest.raises(InputError, match="give every candidate a cost above 0"):
        rank_candidates(dates, Question("1"), [CarbonSample("s", "1", 0.0)], seed=1)
    with pytest.raises(InputError, match="but no find of that name has years of making here"):
        rank_candidates(dates, Question("1"), [SherdsLookedAt("look", ("plate",), 1.0)], seed=1)
    with pytest.raises(InputError, match="There is no event “9”"):
        rank_candidates(dates, Question("1"), [NextUnit("east", "9", 1.0, 0.0, 3)], seed=1)


def test_a_nail_too_late_looks_intrusive_and_a_very_old_pipe_residual() -> None:
    """In a layer firmly of the eighteenth century, with burrows, a wire nail is doubted; a pipe of 1620 is old for it."""
    evidence: list[Evidence] = [
        YearWithError(0, "lamp", 1740, 5), FindMade(0, "nail", 1850, None, Disturbance.MODERATE), FindMade(0, "pipe", 1600, 1620),
        FindMade(0, "cup", 1720, 1740),
    ]  # fmt: skip
    dates = date_events(chronology_of(["1"], [], [], evidence, WINDOW), seed=1)
    nail, pipe, cup = dates.finds
    assert nail.intrusive > 0.99 and "looks intrusive" in nail.words
    assert pipe.residual > 0.9 and "looks residual" in pipe.words
    assert "sits well" in cup.words
    assert [one.name for one in dates.out_of_place] == ["nail", "pipe"]


def test_the_absence_of_later_finds_makes_the_difference_it_is_said_to() -> None:
    """A brown layer under one of 1880: without absence any year from its sherds on will do, with it far less those after 1850."""
    evidence: list[Evidence] = [
        FindMade(0, "sherd", 1762, 1800),
        NoneLater(0, "none of 40 later than 1800", 40, 1800),
        YearWithError(1, "map", 1880, 3),
    ]
    dates = date_events(chronology_of(["brown", "top"], [1], [0], evidence, WINDOW), seed=1)
    (other,) = sensitivity(dates, {"without": Suppositions(absence=False)})
    late = dates.within("brown", 1850, 1890).value
    assert late < 0.3
    assert other.dates.within("brown", 1850, 1890).value > late + 0.15
    (moved,) = dates.moved
    assert moved.supposed == 0.1 < moved.moved
    sure = sensitivity(dates, {"never moved": Suppositions(discard=Discard(redeposited=0.0))})[0].dates
    assert sure.within("brown", 1850, 1890).value < 0.02
    assert dates.before("brown", "top").value == 1.0 and dates.before("brown", "top").words == "above 99 per cent"
    low, _, middle, _, high = dates.apart("top", "brown")
    assert 0 <= low < middle < high


def test_a_year_can_be_before_our_era_and_no_year_0_is_told() -> None:
    """Ranges around the change of era are told in calendar years, none of them 0."""
    dates = date_events(
        chronology_of(["1"], [], [], [YearWithError(0, "y", 0.5, 3.0)], Window(-100, 100)), seed=1
    )  # fmt: skip
    (piece,) = dates.of("1").pieces(0.95)
    assert piece.begin < 0 < piece.end
    assert "BC" in dates.of("1").words
    assert dates.of("1").quantile(0.5) in {-2, -1, 1}
    with pytest.raises(InputError, match=r"such as 0\.95"):
        dates.of("1").pieces(1.5)


def test_a_sample_against_the_order_is_the_one_that_is_doubted() -> None:
    """Of three lamps in a row the one that is 200 years too old for its place is told; a document that cannot be is too."""
    evidence: list[Evidence] = [
        *(YearWithError(place, name, year, 10, 0.05) for place, name, year in LAMPS),
        Documented(2, "map", None, 1500, 0.1),
    ]
    dates = date_events(chronology_of(["1", "2", "3"], [1, 2], [0, 1], evidence, WINDOW), seed=1)
    out = {one.name: one.out for one in dates.samples}
    assert out["middle"] > 0.9 and out["map"] > 0.9
    assert max(out["low"], out["high"], out["low again"]) < 0.05
    assert "does not go with its event" in dates.samples[1].words and "goes with its event" in dates.samples[0].words
