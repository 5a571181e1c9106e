"""The parts of a chronology: likelihoods, hard bounds through the order, boundaries of phases, how chains are judged."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.dating.calibration import calibrate
from baulk.dating.chains import run_chains
from baulk.dating.chronology import date_events, usual_variations
from baulk.dating.evidence import CarbonDate, CarbonLimit, Documented, Evidence, FindMade, NoneLater, YearWithError
from baulk.dating.intrusion import Disturbance
from baulk.dating.likelihood import cells_of, likelihood_of
from baulk.dating.mixing import bulk_draws, mixing_of, r_hat, tail_draws
from baulk.dating.model import Phase, PhaseLink, SpanPrior, Suppositions, chronology_of
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import nodes_of
from baulk.dating.sampling import Sampling
from baulk.dating.tables import tables_of
from baulk.dating.window import Window
from baulk.errors import InputError, NotSettled, OrderError

WINDOW = Window(1600, 1949)
HOUSE = Suppositions()


def yearly(one: Evidence, window: Window = WINDOW, suppositions: Suppositions = HOUSE) -> np.ndarray:
    """Return the likelihood of each year of a window."""
    return likelihood_of(one, window, suppositions).yearly


def test_a_find_rises_over_its_years_of_making_from_the_chance_of_intrusion() -> None:
    """Before its making only intrusion explains it; after, nothing stands against it; half-way half does."""
    found = yearly(FindMade(0, "find", 1700, 1799, Disturbance.MODERATE))
    chance = HOUSE.intrusion.chance(Disturbance.MODERATE)
    assert np.allclose(found[:100], chance)
    assert np.allclose(found[200:], 1.0)
    assert found[149] == pytest.approx(chance + (1 - chance) * 0.495)
    assert yearly(FindMade(0, "coin", 1700))[99:101].tolist() == [HOUSE.intrusion.chance(Disturbance.NONE), 1.0]


def test_absence_falls_after_the_latest_find_and_is_left_out_on_demand() -> None:
    """Up to the end of the year nothing speaks; after it the likelihood falls to the chance of moved soil; without it, none."""
    one = NoneLater(0, "none", 30, 1790)
    found = yearly(one)
    assert (found[:191] == 1).all()
    assert (np.diff(found[191:]) <= 0).all() and (np.diff(found[191:230]) < 0).all()
    assert found[-1] == pytest.approx(HOUSE.discard.redeposited, rel=0.01)
    assert (yearly(one, suppositions=Suppositions(absence=False)) == 1).all()


def test_radiocarbon_is_the_calibrated_date_with_a_floor_of_doubt() -> None:
    """Without doubt the likelihood is proportional to the calibration; doubt adds an even floor of its own mass."""
    window = Window(1300, 1950)
    plain = yearly(CarbonDate(0, "s", 500, 30, doubt=0.0), window)
    held = calibrate(500, 30)
    expected = held.probability[(held.years >= 1300) & (held.years <= 1950)]
    assert np.allclose(plain / plain.sum(), expected / expected.sum())
    doubted = yearly(CarbonDate(0, "s", 500, 30, doubt=0.1), window)
    assert doubted.min() == pytest.approx(0.1 / len(doubted))
    assert doubted.sum() == pytest.approx(1.0, abs=1e-3)


def test_old_wood_dates_its_deposit_later_by_the_lag() -> None:
    """With a lag of 40 years the mean of the event lies about 40 years after that of the sample."""
    window = Window(1300, 1950)
    years = window.first + 0.5 + np.arange(window.cells)
    means = [
        float((found * years).sum() / found.sum())
        for found in (
            yearly(CarbonDate(0, "s", 500, 30, doubt=0.0), window),
            yearly(CarbonDate(0, "s", 500, 30, 40.0, 0.0), window),
        )
    ]
    assert means[1] - means[0] == pytest.approx(40, abs=3)


def test_a_limit_allows_the_years_in_which_the_curve_lies_below_it() -> None:
    """“<200” allows 1700 and 1830, and hardly 1640, when the curve stood above 200."""
    found = yearly(CarbonLimit(0, "s", 200.0, doubt=0.0))
    assert found[100] > 0.99 and found[230] > 0.99 and found[40] < 0.01
    late = yearly(CarbonLimit(0, "s", 200.0), Window(1900, 1999))
    assert late[-1] == pytest.approx(1.0)


def test_evidence_that_cannot_be_is_refused_in_words() -> None:
    """Turned years, no finds, errors of 0 are each refused with the name of the evidence."""
    wrong: tuple[tuple[Evidence, str], ...] = (
        (FindMade(0, "find 3", 1800, 1700), "find 3: years from 1800 to 1700 are given"),
        (NoneLater(0, "none", 0, 1790), "What is absent counts only among finds"),
        (YearWithError(0, "lamp", 1700, 0.0), "A year with an error has one above 0"),
        (CarbonDate(0, "s", 500, 0.0), "An error and a lag are above 0"),
    )
    for one, words in wrong:
        with pytest.raises(InputError, match=words):
            yearly(one)


def test_a_window_that_cuts_a_date_off_is_refused_and_a_firm_one_says_what_it_cuts() -> None:
    """A date that reaches past the window is refused; a firm window tells the share; one that lies outside is refused even so."""
    one = CarbonDate(0, "sample 4", 150, 25)
    with pytest.raises(InputError, match="Bounds that are too narrow make dates look surer than they are"):
        yearly(one, Window(1600, 1899))
    firm = Window(1600, 1899, firm=True)
    (note,) = tables_of(chronology_of(["1"], [], [], [one], firm), HOUSE).notes
    assert note.startswith("The window, 1600 to 1899, cuts off") and "sample 4" in note
    with pytest.raises(InputError, match="cuts off 100 per cent of find 9"):
        yearly(FindMade(0, "find 9", 1950), firm)


def test_cells_of_several_years_hold_their_mean() -> None:
    """Ten years in a cell: a find made from the middle of a cell counts half there."""
    found = cells_of(yearly(FindMade(0, "coin", 1705)), 10)
    assert found[10] == pytest.approx((1 + HOUSE.intrusion.chance(Disturbance.NONE)) / 2)


def test_hard_bounds_go_through_the_order_and_a_contradiction_is_told() -> None:
    """A firm date above one that is later by document leaves nothing: both documents and their events are named."""
    pair = [Documented(0, "map of 1700", None, 1700), Documented(1, "lease of 1750", 1750)]
    with pytest.raises(InputError, match=r"Nothing is left for 10\d: it is of 1750 or later by lease of 1750 \(102\).*map of 1700"):
        date_events(chronology_of(["101", "102"], [0], [1], pair, WINDOW), seed=1)
    allowed = date_events(chronology_of(["101", "102"], [1], [0], pair, WINDOW), seed=1)
    assert allowed.of("101").within(1600, 1700) == pytest.approx(1.0)


def test_loops_and_nothing_are_refused() -> None:
    """A loop, relations against the phases, a phase abutting two on one side, and no event at all are refused."""
    with pytest.raises(OrderError, match="A chronology needs an order without loops"):
        date_events(chronology_of(["1", "2"], [0, 1], [1, 0], [], WINDOW), seed=1)
    phases = (Phase("I", (0,)), Phase("II", (1,)))
    with pytest.raises(OrderError, match="needs an order without loops"):
        date_events(chronology_of(["1", "2"], [0], [1], [], WINDOW, phases=phases, links=[PhaseLink(1, 0)]), seed=1)
    three = (*phases, Phase("III", (2,)))
    links = [PhaseLink(1, 0, abutting=True), PhaseLink(2, 0, abutting=True)]
    with pytest.raises(InputError, match="A phase abuts two others on the same side"):
        date_events(chronology_of(["1", "2", "3"], [], [], [], WINDOW, phases=three, links=links), seed=1)
    with pytest.raises(InputError, match="A chronology without an event is given"):
        date_events(chronology_of([], [], [], [], WINDOW), seed=1)


def test_what_does_not_fit_into_memory_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tables and draws have a cap, and the refusal says what to give instead."""
    made = chronology_of(["1", "2"], [0], [1], [YearWithError(0, "y", 1700, 10)], WINDOW)
    monkeypatch.setattr("baulk.dating.chains.MOST_CHANCES", 100)
    with pytest.raises(InputError, match="or keep fewer draws"):
        date_events(made, seed=1)
    monkeypatch.setattr("baulk.dating.tables.MOST_VALUES", 100)
    with pytest.raises(InputError, match="Give the window a larger step"):
        date_events(made, seed=1)


def test_chains_that_have_not_settled_tell_nothing() -> None:
    """Two histories far apart and almost without a bridge: with few sweeps allowed the dates are refused, by name."""
    evidence: list[Evidence] = [
        *(YearWithError(place, "early", 1640, 3, doubt=1e-9) for place in range(8)),
        *(YearWithError(place, "late", 1900, 3, doubt=1e-9) for place in range(8)),
    ]
    made = chronology_of([str(one) for one in range(8)], range(1, 8), range(7), evidence, WINDOW)
    few = Sampling(kept=100, sweeps_each=1, most_sweeps=300, least_draws=400)
    with pytest.raises(NotSettled, match="The dates are not told: the chains have not settled"):
        date_events(made, seed=3, sampling=few)


def test_abutting_phases_share_a_boundary_and_weights_count_what_lies_inside() -> None:
    """Two abutting phases have three boundaries between them; the site divides by these and by the events of no phase."""
    phases = (Phase("I", (0, 1)), Phase("II", (2,)))
    made = chronology_of(
        ["1", "2", "3", "4"], [1], [0], [], WINDOW, phases=phases, links=[PhaseLink(1, 0, abutting=True)]
    )  # fmt: skip
    nodes = nodes_of(made, tables_of(made, HOUSE), HOUSE)
    assert nodes.start[2] == nodes.end[1]
    assert nodes.weight.tolist() == [4.0, 2.0, 1.0]
    assert nodes.names[4:] == ("start of the site", "end of the site", "end of I", "end of II", "start of I")
    flat = nodes_of(made, tables_of(made, HOUSE), Suppositions(span=SpanPrior.FLAT))
    assert flat.weight.tolist() == [0.0, 0.0, 0.0]


def test_every_draw_keeps_the_order_the_phases_and_the_window() -> None:
    """In no draw is a relation, a boundary or a hard bound broken, by more than the last figure of a kept draw."""
    rng = np.random.default_rng(5)
    lower = rng.integers(0, 29, 45)
    upper = np.minimum(lower + rng.integers(1, 6, 45), 29)
    phases = (Phase("I", tuple(range(15))), Phase("II", tuple(range(15, 30))))
    evidence: list[Evidence] = [
        YearWithError(3, "y", 1700, 15),
        Documented(20, "map", 1750, 1780),
        FindMade(25, "find", 1790, 1810),
    ]
    made = chronology_of(
        [str(one) for one in range(30)], upper, lower, evidence, WINDOW, phases=phases, links=[PhaseLink(1, 0)]
    )  # fmt: skip
    tables = tables_of(made, HOUSE)
    nodes = nodes_of(made, tables, HOUSE)
    run = run_chains(setting_of(nodes, tables, 1), nodes, Sampling(), np.random.default_rng(1), cells=WINDOW.cells)
    draws = run.draws.reshape(-1, nodes.count)
    for node in range(nodes.count):
        below = nodes.below.contexts[nodes.below.starts[node] : nodes.below.starts[node + 1]]
        for other in below.tolist():
            assert (draws[:, node] >= draws[:, other] - 1e-4).all()
    assert draws.min() >= 0 and draws.max() <= WINDOW.length
    assert (draws[:, 20] >= 150).all() and (draws[:, 20] <= 181).all()
    assert np.allclose(run.chances.sum(axis=1), 1.0)


def test_the_same_seed_gives_the_same_figures_and_another_does_not() -> None:
    """Chance comes from the seed alone, though the chains run side by side."""
    made = chronology_of(["1", "2"], [0], [1], [YearWithError(0, "y", 1700, 10)], WINDOW)
    one, same, other = (date_events(made, seed=seed).draws for seed in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_mixing_is_judged_as_a_second_implementation_judges_it() -> None:
    """R̂, bulk and tail of made chains, against arviz-stats 0.8.0 (`array_stats.rhat`, `ess` bulk and tail at 5 and 95 per cent)."""
    expected = {
        0.0: (1.0003378426385772, 3926.116904360444, 4027.6939473544007),
        0.3: (1.0233271012795373, 228.61617978488175, 3103.335346881317),
        0.9: (1.0133167374484013, 187.57288387396892, 566.8887519700398),
        -0.5: (1.0000455705908033, 14408.23996531185, 3767.407688603054),
        0.99: (1.244834117237356, 12.030296869826145, 26.7674250419414),
    }
    rng = np.random.default_rng(0)
    for correlation, (ratio, bulk, tail) in expected.items():
        made = rng.normal(size=(4, 1000))
        for place in range(1, 1000):
            made[:, place] = correlation * made[:, place - 1] + np.sqrt(1 - correlation**2) * made[:, place]
        if correlation == 0.3:
            made = made + np.arange(4)[:, None] * 0.2
        if correlation == 0.9:
            made = np.exp(made)
        assert (r_hat(made), bulk_draws(made), tail_draws(made)) == pytest.approx((ratio, bulk, tail), rel=1e-9)


def test_chains_that_stand_still_are_caught() -> None:
    """Chains stuck in different places have an infinite R̂; a quantity that never varies passes."""
    stuck = np.repeat(np.arange(4.0)[:, None], 100, axis=1)
    assert r_hat(stuck) == np.inf
    assert bulk_draws(stuck) <= 8
    assert r_hat(np.zeros((4, 100))) == 1.0
    ratio, _bulk, _tail = mixing_of(np.stack([stuck, np.zeros((4, 100))], axis=2).astype(np.float32))
    assert ratio.tolist() == [np.inf, 1.0]


def test_the_usual_variations_change_one_thing_each() -> None:
    """Nine variations, each with other settings than the house's, absence turned round in one."""
    found = usual_variations(HOUSE)
    assert len(found) == 9
    assert all(one != HOUSE for one in found.values())
    assert not found["without the absence of later finds"].absence
