"""Cautions of a unit: they follow its depth and its record, and never clear it."""

from __future__ import annotations

import pytest

from baulk.closing import DEFER, cautions
from baulk.errors import UnknownRecord
from baulk.record import DayEntry
from tests.closing.breaking import leaves_out, record_with, sets, sets_all

FOOT = 0.3048
NO_REMAINS = leaves_out("burial", "notice")


def _topics(*changes) -> list[str]:
    return [caution.topic for caution in cautions(record_with(NO_REMAINS, *changes), "unit")]


def test_a_shallow_unit_still_has_cautions() -> None:
    """No depth clears a unit: cave-in, spoil and inspection are always shown."""
    assert _topics() == ["cave-in", "spoil", "inspection"]


@pytest.mark.parametrize(("feet", "egress"), [(3.9, False), (4.0, True)])
def test_the_way_out_is_asked_for_from_four_feet(feet: float, egress: bool) -> None:
    """Below 4 ft no caution on egress, from 4 ft on there is one."""
    assert ("egress" in _topics(sets("unit", depth=feet * FOOT), sets_all(DayEntry, depth=None))) is egress


@pytest.mark.parametrize(("feet", "words"), [(4.99, "is not safe by itself"), (5.0, "must be sloped, shored or shielded")])
def test_protection_is_asked_for_from_five_feet(feet: float, words: str) -> None:
    """Below 5 ft a competent person judges; from 5 ft the sides are protected."""
    found = cautions(record_with(NO_REMAINS, sets("unit", depth=feet * FOOT)), "unit")
    assert words in found[0].says
    assert "never taken for stable (never Type A)" in found[0].says


@pytest.mark.parametrize(("feet", "engineer"), [(20.0, False), (20.1, True)])
def test_an_engineer_is_asked_for_below_twenty_feet(feet: float, engineer: bool) -> None:
    """Deeper than 20 ft the protection is designed by an engineer."""
    assert ("engineer" in _topics(sets("unit", depth=feet * FOOT))) is engineer


def test_without_a_depth_every_caution_that_hangs_on_it_is_shown() -> None:
    """A blank depth is no shallow depth."""
    blank = _topics(sets("unit", depth=None), sets_all(DayEntry, depth=None))
    assert blank == ["cave-in", "cave-in", "egress", "spoil", "inspection"]


def test_the_deepest_day_counts() -> None:
    """A diary day deeper than the unit's own depth raises the caution."""
    assert "egress" in _topics(sets("day2", depth=1.3))


def test_a_site_in_feet_is_measured_in_feet() -> None:
    """A depth of 5 in a record kept in feet is 5 ft, and feet stand before metres; in one kept in metres they stand after."""
    found = cautions(record_with(NO_REMAINS, sets("site", length_unit="ft"), sets("unit", depth=5)), "unit")
    assert "The unit is 5.0 ft (1.52 m) deep" in found[0].says
    spoil = [next(one.says for one in cautions(record, "unit") if one.topic == "spoil") for record in (
        record_with(NO_REMAINS, sets("site", length_unit="ft")), record_with(NO_REMAINS),
    )]  # fmt: skip
    assert "at least 2.0 ft (0.61 m) from" in spoil[0] and "at least 0.61 m (2.0 ft) from" in spoil[1]


def test_human_remains_come_first_and_are_restricted() -> None:
    """A possible burial, bone, or a cut called a grave brings stop, cover, notify, before everything else."""
    for changes in (
        (sets("burial", contexts=("1006",)),),
        (NO_REMAINS, sets("f2", material="human bone")),
        (NO_REMAINS, sets("1004", cut_function="grave")),
    ):
        first = cautions(record_with(*changes), "unit")[0]
        assert first.topic == "human remains"
        assert first.restricted
        assert "stop work" in first.says
        assert "notify the coroner" in first.says
        assert "Leave in place; do not dig to prove it" in first.says


@pytest.mark.parametrize(
    ("length", "width", "bearing", "like"),
    [(2.0, 0.8, 80, True), (2.0, 0.8, 45, False), (2.0, 1.5, 90, False), (2.0, 0.4, 90, False), (0.8, 2.0, 100, True)],
)
def test_a_cut_of_the_shape_of_a_grave_is_taken_for_one(length: float, width: float, bearing: float, like: bool) -> None:
    """Two to three times as long as wide and within 30 degrees of east-west; our synthesis, not published."""
    change = sets("1004", length=length, width=width, orientation=bearing)
    assert ("human remains" in _topics(change)) is like


def test_the_stop_radius_is_the_sites_own() -> None:
    """There is no national figure: the caution quotes the site's setting or asks for one."""
    grave = sets("1004", cut_function="grave")
    assert "set the distance for your site" in cautions(record_with(NO_REMAINS, grave), "unit")[0].says
    assert (
        "within 15 m, as set for this site"
        in cautions(record_with(NO_REMAINS, grave, sets("site", stop_radius=15)), "unit")[0].says
    )


def test_every_caution_has_a_source_and_defers() -> None:
    """No caution stands without where it comes from, and the sentence that defers is there to be shown."""
    assert all(caution.source and caution.records for caution in cautions(record_with(), "unit"))
    assert DEFER == "Defer to your competent person and local code. This is a caution and no legal advice."


def test_an_unknown_unit_is_refused() -> None:
    """Cautions for a unit that is not on record are refused in words."""
    with pytest.raises(UnknownRecord, match="There is no unit “9”"):
        cautions(record_with(), "9")
