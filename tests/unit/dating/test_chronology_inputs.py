"""What goes into a chronology: windows, suppositions, events; what is refused, and what the settings say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from baulk.dating.discard import Discard
from baulk.dating.evidence import FindMade
from baulk.dating.intrusion import Disturbance, Intrusion
from baulk.dating.model import Phase, PhaseLink, Suppositions, chronology_of
from baulk.dating.sampling import Sampling
from baulk.dating.window import Window
from baulk.errors import InputError, NotSettled

WINDOW = Window(1650, 1899)


def test_a_window_has_a_cell_for_every_year_and_none_for_the_year_0() -> None:
    """From 2 BC to AD 2 there are four years, counted without a gap."""
    window = Window(-2, 2)
    assert (window.cells, window.first, window.words) == (4, -1.0, "2 BC to 2")
    assert window.years.tolist() == [-1, 0, 1, 2]
    assert Window(1650, 1899, 10).cells == 25


def test_a_window_that_is_turned_or_too_fine_is_refused() -> None:
    """Years must rise, and a window of 30,000 years needs larger cells."""
    with pytest.raises(InputError, match="begins before it ends"):
        Window(1900, 1650)
    with pytest.raises(InputError, match="Give a larger step"):
        Window(-28000, 1950)
    assert Window(-28000, 1950, 5).cells == 5990


def test_the_chance_of_intrusion_grows_with_disturbance() -> None:
    """Each grade multiplies the odds; the words name the figures and that they are a house setting."""
    chances = [Intrusion(0.05, 2.0).chance(grade) for grade in Disturbance]
    odds = np.array(chances) / (1 - np.array(chances))
    assert np.allclose(odds[1:] / odds[:-1], 2.0)
    assert "0.355 (heavy). House setting, no source." in Intrusion().words
    for wrong in ((0.0, 3.0), (1.0, 3.0), (0.1, 0.5)):
        with pytest.raises(InputError, match="disturbance never makes it smaller"):
            Intrusion(*wrong)


def test_the_discard_curve_is_what_its_equation_says() -> None:
    """By hand: after 15 years 0.8 (1 - 1/e) + 0.2 (1 - exp(-0.15)) of finds are younger; ten finds and none younger are as rare."""
    discard = Discard(together=1.0)
    share = 0.8 * (1 - np.exp(-1)) + 0.2 * (1 - np.exp(-0.15))
    assert float(discard.younger_than(15.0)) == pytest.approx(share)
    assert float(discard.none_later(15.0, finds=10)) == pytest.approx(0.1 + 0.9 * (1 - share) ** 10)
    assert float(discard.none_later(15.0, finds=10, recognised=0.5)) == pytest.approx(0.1 + 0.9 * (1 - share / 2) ** 10)
    assert float(discard.moved(15.0, finds=10)) == pytest.approx(0.1 / (0.1 + 0.9 * (1 - share) ** 10))
    assert float(Discard(together=5.0).none_later(15.0, finds=10)) == pytest.approx(0.1 + 0.9 * (1 - share) ** 2)
    assert discard.none_later([-3.0, 0.0], finds=10).tolist() == [1.0, 1.0]


def test_a_find_is_the_more_likely_residual_the_older_it_is() -> None:
    """Of one made 10 to 20 years before burial few are residual, of 150 to 160 nearly all; of one made after it none."""
    discard = Discard()
    chances = discard.residual([10.0, 50.0, 150.0], [20.0, 60.0, 160.0])
    assert (np.diff(chances) > 0).all()
    assert chances[0] < 0.1
    assert chances[2] > 0.9
    assert float(discard.residual(-20.0, -5.0)) == 0.0
    fresh, old = np.exp(-10 / 15) - np.exp(-20 / 15), np.exp(-10 / 100) - np.exp(-20 / 100)
    assert chances[0] == pytest.approx(0.2 * old / (0.2 * old + 0.8 * fresh))


def test_a_discard_curve_in_per_cent_is_refused() -> None:
    """A share of 20 for 20 per cent is caught, and so is a lag of 0."""
    wrongs: tuple[dict[str, float], ...] = (
        {"residual_share": 20.0}, {"lag": 0.0}, {"redeposited": 1.0}, {"together": 0.5},
    )  # fmt: skip
    for wrong in wrongs:
        with pytest.raises(InputError, match="entered in per cent"):
            Discard(**wrong)


def test_a_chronology_names_what_is_not_there() -> None:
    """Places outside, columns of unequal length, one name twice, one event in two phases and links to nothing are refused."""
    for given, words in (
        ({"later": [0, 1]}, "Each relation has one of each"),
        ({"events": ["101", "101"]}, "Two events are called “101”"),
        ({"evidence": [FindMade(7, "coin", 1799)]}, "Event 7 is named by a relation"),
        ({"phases": [Phase("I", (0,)), Phase("II", (0, 1))]}, "Event 0 belongs to two phases"),
        ({"phases": [Phase("I", (0,))], "links": [PhaseLink(1, 0)]}, "A link names a phase that is not there"),
    ):
        fields: dict[str, Any] = {"events": ["101", "102"], "later": [0], "earlier": [1], "evidence": [], "window": WINDOW, **given}
        with pytest.raises(InputError, match=words):
            chronology_of(**fields)
    with pytest.raises(InputError, match="There is no event “103”"):
        chronology_of(["101"], [], [], [], WINDOW).place("103")


def test_suppositions_are_told_in_sentences() -> None:
    """Every supposition has its sentence; leaving out absence says so."""
    assert len(Suppositions().words) == 4
    assert "The absence of later finds is left out." in Suppositions(absence=False).words


def test_too_few_chains_are_refused() -> None:
    """Two chains cannot show that they agree."""
    with pytest.raises(InputError, match="Four chains show whether they agree"):
        Sampling(chains=2)


def test_chains_that_do_not_agree_say_what_to_try() -> None:
    """The refusal names the figures, and that two pieces of evidence may exclude each other."""
    with pytest.raises(NotSettled, match=r"R̂ 1\.3.*the chains have not settled|the chains have not settled.*R̂ 1\.3") as caught:
        raise NotSettled("Largest R̂ 1.3 (104).")
    assert "Set one of them aside and see." in str(caught.value)
