"""Jurisdiction profiles: those that come with Baulk, and those read from text."""

from __future__ import annotations

import pytest

from baulk.closing import HOUSE, PROFILE_RULES, PROFILES, RULES, Severity, check_unit, profile_from_text, profile_named
from baulk.errors import FieldError, UnknownRecord
from tests.closing.breaking import leaves_out, record_with, sets

TWO_WALLS = "US state profile: two contiguous walls"


def test_the_house_profile_asks_every_rule() -> None:
    """Without a name the house rules are followed."""
    assert profile_named(None) is HOUSE
    assert profile_named("  ") is HOUSE
    assert profile_named("HOUSE").rules == RULES


def test_an_unknown_profile_is_refused_with_near_names() -> None:
    """A name that is nearly right is answered with the right one."""
    with pytest.raises(UnknownRecord, match=r"There is no jurisdiction profile “hous”\. Did you mean house\?"):
        profile_named("hous")


def test_two_contiguous_walls_pass_and_opposite_ones_fail() -> None:
    """Two walls that meet at a corner satisfy the profile; two that face each other, or one, do not."""
    profile = PROFILES[TWO_WALLS]
    meeting = check_unit(record_with(), "unit", profile=profile)
    facing = check_unit(record_with(sets("west", face="south")), "unit", profile=profile)
    one = check_unit(record_with(leaves_out("west")), "unit", profile=profile)
    nameless = check_unit(record_with(sets("west", face=None)), "unit", profile=profile)
    assert meeting.finding("P01").outcome == "pass"
    assert "do not meet at a corner" in facing.finding("P01").says
    assert "1 of 2 walls are drawn" in one.finding("P01").says
    assert nameless.finding("P01").outcome == "cannot tell"
    assert meeting.finding("B35") is None


def test_sterile_depth_is_asked_of_the_lowest_deposit() -> None:
    """Twenty centimetres without finds below the last finds: dug deep enough passes, too little or with finds fails."""
    profile = PROFILES[TWO_WALLS]
    outcomes = {
        name: check_unit(record_with(*changes), "unit", profile=profile).finding("P02").outcome
        for name, changes in {
            "deep": (),
            "shallow": (sets("1007", thickness_max=0.15),),
            "blank": (sets("1007", thickness_max=None),),
            "with finds": (sets("f2", context="1007"),),
        }.items()
    }
    assert outcomes == {"deep": "pass", "shallow": "fail", "blank": "cannot tell", "with finds": "fail"}


@pytest.mark.parametrize(("mesh", "outcome"), [(6.35, "pass"), (6.4, "fail"), (None, "cannot tell")])
def test_the_mesh_is_held_against_a_quarter_of_an_inch(mesh: float | None, outcome: str) -> None:
    """1/4 inch is 6.35 mm: that passes, anything wider fails."""
    record = record_with(sets("unit", mesh=mesh))
    assert check_unit(record, "unit", profile=PROFILES[TWO_WALLS]).finding("P03").outcome == outcome


@pytest.mark.parametrize(("scale", "outcome"), [(20, "pass"), (50, "fail"), (None, "cannot tell")])
def test_the_scale_of_plans_is_asked_where_the_profile_adds_it(scale: float | None, outcome: str) -> None:
    """1:20 passes, 1:50 is too small, a blank cannot be told."""
    record = record_with(sets("d1", scale=scale))
    assert check_unit(record, "unit", profile=PROFILES["Smallest drawing scales"]).finding("P04").outcome == outcome
    assert check_unit(record, "unit").finding("P04") is None


def test_the_profile_that_the_site_names_is_followed() -> None:
    """The site's own field chooses the profile."""
    result = check_unit(record_with(sets("site", profile=TWO_WALLS)), "unit")
    assert result.profile == TWO_WALLS
    assert result.finding("P03") is not None


def test_a_profile_is_read_from_text() -> None:
    """Add, drop, stop-list, severity and figures are taken over from the text."""
    profile = profile_from_text(
        'name = "Ours"\nsource = "county"\nadd = ["P04"]\ndrop = ["B63"]\nblock = ["B02"]\nfree = ["B70"]\n'
        '[severity]\nB05 = "good practice"\n[limits]\nplan_scale = 10\n'
    )
    assert profile.name == "Ours"
    assert "B63" not in profile.rules
    assert profile.rules["P04"] is PROFILE_RULES["P04"]
    assert profile.rules["B02"].blocks
    assert not profile.rules["B70"].blocks
    assert profile.rules["B05"].severity is Severity.PRACTICE
    assert check_unit(record_with(), "unit", profile=profile).finding("P04").outcome == "fail"
    assert RULES["B05"].severity is Severity.RECOVERABLE


def test_figures_of_a_profile_change_the_outcome() -> None:
    """A wider tolerance lets pass what the house tolerance does not."""
    record = record_with(sets("unit", diagonals=(2.828, 2.860)))
    wide = profile_from_text('name = "x"\n[limits]\ncorner_tolerance = 0.05')
    assert check_unit(record, "unit").finding("B01").outcome == "fail"
    assert check_unit(record, "unit", profile=wide).finding("B01").outcome == "pass"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("name = ", "It cannot be read as TOML"),
        ("", "jurisdiction profile: name is given as “None”. Every profile has a name"),
        ('name = "x"\ndorp = ["B35"]', "dorp is given as “['B35']”. A profile has no such key. Did you mean drop?"),
        ('name = "x"\ndrop = ["B00"]', "drop is given as “B00”. There is no such rule that the record can answer."),
        ('name = "x"\nadd = ["B42"]', "add is given as “B42”. There is no such rule that the record can answer."),
        ('name = "x"\ndrop = "B35"', "drop is given as “B35”. It is a list of rule numbers"),
        ('name = "x"\nblock = ["P01"]', "block is given as “P01”. The profile does not ask this rule: add it first."),
        ('name = "x"\nbased_on = "elsewhere"', "based_on is given as “elsewhere”. It is one of: house;"),
        ('name = "x"\n[severity]\nB05 = "bad"', "severity.B05 is given as “bad”. A severity is one of: lost for good;"),
        (
            'name = "x"\n[severity]\nB99 = "good practice"',
            "severity.B99 is given as “good practice”. The profile does not ask such a rule.",
        ),
        ('name = "x"\nseverity = 1', "severity is given as “1”. It is a table"),
        (
            'name = "x"\n[limits]\nsterile = 0.2',
            "limits.sterile is given as “0.2”. There is no such limit. Did you mean sterile_depth?",
        ),
        (
            'name = "x"\n[limits]\nsterile_depth = "deep"',
            "limits.sterile_depth is given as “deep”. It is a number, 0 or more: metres",
        ),
        ('name = "x"\n[limits]\nsterile_depth = -1', "limits.sterile_depth is given as “-1”. It is a number, 0 or more"),
        ('name = "x"\n[limits]\nsterile_depth = nan', "limits.sterile_depth is given as “nan”. It is a number, 0 or more"),
        ('name = "x"\n[limits]\nsterile_depth = true', "limits.sterile_depth is given as “True”. It is a number, 0 or more"),
        ('name = "x"\nlimits = 3', "limits is given as “3”. It is a table"),
    ],
)
def test_a_faulty_text_is_refused_by_key(text: str, says: str) -> None:
    """Each fault names its key, what was given, and what belongs there."""
    with pytest.raises(FieldError) as refusal:
        profile_from_text(text)
    assert says in str(refusal.value)
    assert str(refusal.value).endswith("Mend the text and read it again.")
