"""Waivers, readiness, the day's list, many units at once."""

from __future__ import annotations

import pytest

from baulk.closing import PROFILES, check_site, check_unit, only_while_open, profile_from_text
from baulk.errors import UnknownRecord
from baulk.record import Context, Level, Relation, SiteRecord, Unit, Waiver, build
from baulk.sequence.from_record import relations_from
from baulk.sequence.order import order_of
from tests.closing.breaking import adds, leaves_out, record_with, sets, sets_all, together

FADED = sets("1006", colour_moist=None)
WAIVER = {"id": "w", "unit": "unit", "rule": "B26", "who": "A. Bell", "day": "2026-05-15", "why": "rain, light gone"}


def test_the_complete_record_is_ready() -> None:
    """Nothing stands in the way of filling in the complete unit."""
    result = check_unit(record_with(), "unit")
    assert result.ready
    assert result.in_the_way == ()
    assert result.profile == "house"


@pytest.mark.parametrize("change", [FADED, sets("backfill", token=None)], ids=["fails", "cannot tell"])
def test_a_rule_of_the_stop_list_blocks_when_it_fails_or_nobody_can_tell(change) -> None:
    """One failure, or one missing answer, on the stop-list keeps the unit open."""
    result = check_unit(record_with(change), "unit")
    assert not result.ready
    assert len(result.in_the_way) == 1


def test_a_rule_off_the_stop_list_does_not_block() -> None:
    """A failure that is no matter of the stop-list is shown and does not keep the unit open."""
    result = check_unit(record_with(sets("visit", answer="no answer")), "unit")
    assert result.finding("B63").outcome == "fail"
    assert result.ready


def test_what_stands_in_the_way_is_sorted_lost_for_good_first() -> None:
    """Rules of the worst severity lead, failures before the unknown, whatever their numbers."""
    lighter = profile_from_text('name = "x"\n[severity]\nB12 = "recoverable"')
    record = record_with(FADED, sets("r10061007", sheet="later's sheet"), sets("backfill", token=None))
    result = check_unit(record, "unit", profile=lighter)
    assert [found.rule.id for found in result.in_the_way] == ["B26", "B67", "B12"]


def test_a_waiver_sets_a_failure_aside_and_is_printed() -> None:
    """A waived failure no longer blocks, is counted as waived, and says who, when and why."""
    result = check_unit(record_with(FADED, adds(Waiver, **WAIVER)), "unit")
    found = result.finding("B26")
    assert found.outcome == "waived"
    assert result.ready
    assert found.count("waived") == 1
    assert found.says == "Of 6 layers and fills, 1 is waived."
    assert found.waiver_words == ("Waived by A. Bell on 2026-05-15: rain, light gone.",)
    assert [waived.rule.id for waived in result.waived] == ["B26"]
    assert found.records == ()


@pytest.mark.parametrize(("blank", "word"), [("who", "no name"), ("why", "no reason")])
def test_a_waiver_without_name_or_reason_does_not_count(blank: str, word: str) -> None:
    """Without who or why the failure still blocks, and the waiver is listed with what it lacks."""
    result = check_unit(record_with(FADED, adds(Waiver, **{**WAIVER, blank: None})), "unit")
    assert result.finding("B26").outcome == "fail"
    assert not result.ready
    (refused,) = result.refused_waivers
    assert refused[1] == f"The waiver of B26 has {word}, so it does not count: enter who decided and why."


def test_what_a_finding_says_quotes_no_names_or_free_words() -> None:
    """Names, ties, plans and reasons of waivers stay out of the sentence that public pages print."""
    told = record_with(
        FADED,
        adds(Waiver, **{**WAIVER, "why": "possible grave below"}),
        sets("unit", ties="by the yew over the vault", sampling_plan="as agreed with Ms Vane"),
        sets("bm2", status="destroyed"),
        sets("backfill", copies="at Ms Vane's"),
        sets("1006", checked_by="AB", colour_moist=None),
    )
    said = " ".join(found.says for found in check_unit(told, "unit").findings)
    assert not [word for word in ("grave", "Bell", "yew", "Vane", "AB") if word in said]


def test_an_undated_waiver_counts_and_says_so() -> None:
    """A waiver with name and reason counts without a date, and the missing date is printed."""
    found = check_unit(record_with(FADED, adds(Waiver, **{**WAIVER, "day": None})), "unit").finding("B26")
    assert found.outcome == "waived"
    assert found.waiver_words == ("Waived by A. Bell, no date given: rain, light gone.",)


def test_a_waiver_of_an_unknown_rule_is_refused() -> None:
    """A waiver that names no rule of the check is listed and sets nothing aside."""
    result = check_unit(record_with(adds(Waiver, **{**WAIVER, "rule": "B99"})), "unit")
    assert "names rule “B99”, which the closing check does not have" in result.refused_waivers[0][1]


def test_a_waiver_of_one_record_leaves_the_others() -> None:
    """A waiver that lists records covers those and no other failure of the same rule."""
    record = record_with(FADED, sets("1008", texture=None), adds(Waiver, **WAIVER, records=("1006",)))
    found = check_unit(record, "unit").finding("B26")
    assert found.outcome == "fail"
    assert found.records == ("1008",)
    assert found.count("waived") == 1


def test_a_waiver_of_another_unit_does_nothing_here() -> None:
    """A waiver counts in its own unit only; one without a unit counts in all."""
    elsewhere = check_unit(record_with(FADED, adds(Waiver, **{**WAIVER, "unit": "other"})), "unit")
    everywhere = check_unit(record_with(FADED, adds(Waiver, **{**WAIVER, "unit": None})), "unit")
    assert elsewhere.finding("B26").outcome == "fail"
    assert everywhere.finding("B26").outcome == "waived"


def test_a_waiver_changes_nothing_about_a_rule_that_passes() -> None:
    """A rule that passes stays passed and is not counted as waived."""
    result = check_unit(record_with(adds(Waiver, **WAIVER)), "unit")
    assert result.finding("B26").outcome == "pass"
    assert result.waived == ()


def test_the_days_list_holds_follow_ups_and_what_is_lost() -> None:
    """Open follow-ups lost at backfill, or that do not say, come first; then the rules that are lost for good."""
    tasks = only_while_open(record_with(FADED, sets("visit", answer="no answer"), sets("1006", reasons=None)), "unit")
    assert [task.source for task in tasks] == ["1", "4", "B26", "B30"]
    assert tasks[0].do == "slot to the north"
    assert tasks[2].blocks
    assert not tasks[3].blocks


def test_the_days_list_of_a_complete_unit_holds_its_follow_ups_alone() -> None:
    """With every rule passed only the open questions are left."""
    assert [task.source for task in only_while_open(record_with(), "unit")] == ["1", "4"]


def test_findings_on_human_remains_are_marked_restricted() -> None:
    """The rules that may name human remains carry the mark that keeps them out of public outputs."""
    result = check_unit(record_with(), "unit")
    assert [found.rule.id for found in result.findings if found.rule.restricted] == ["B60", "B61", "B62"]


def test_an_unknown_unit_is_refused_in_words() -> None:
    """Asking for a unit that is not on record says so."""
    with pytest.raises(UnknownRecord, match="There is no unit “unti”"):
        check_unit(record_with(), "unti")


def test_a_profile_the_site_names_in_vain_is_said() -> None:
    """A profile that nobody knows leaves the house rules in force, and the result says so."""
    result = check_unit(record_with(sets("site", profile="Some county")), "unit")
    assert result.profile == "house"
    assert "There is no jurisdiction profile “Some county”" in result.notes[0]
    assert result.notes[0].endswith("The house rules were followed.")


def test_an_order_worked_out_before_gives_the_same_findings() -> None:
    """Handing in the order changes nothing but the work."""
    loop = adds(Relation, id="bad", later="1007", earlier="1001", how="overlies", sheet="both sheets", certainty="firm")
    for record in (record_with(), record_with(loop)):
        assert check_unit(record, "unit", order_of(relations_from(record).relations)) == check_unit(record, "unit")


def test_a_loop_is_shown_by_its_shortest_way_round() -> None:
    """The loop names the contexts on it, and the context that stands on it is blamed first."""
    loop = adds(Relation, id="bad", later="1007", earlier="1006", how="overlies", sheet="both sheets", certainty="firm")
    found = check_unit(record_with(loop), "unit").finding("B13")
    words = {detail.records[0]: detail.says for detail in found.details}
    assert words == {"1006": words["1006"], "1007": words["1006"], "1008": words["1006"], **words}
    assert "is recorded as earlier than itself: " in words["1007"]
    assert "1002" not in words
    assert found.says.count("itself") == 1


def test_a_context_later_than_one_it_is_the_same_as_is_a_loop() -> None:
    """“Same as” and “overlies” between the same two contexts contradict each other."""
    clash = adds(Relation, id="bad", later="1006", earlier="1008", how="overlies", sheet="both sheets", certainty="firm")
    found = check_unit(record_with(clash), "unit").finding("B13")
    assert {detail.records[0] for detail in found.details} == {"1006", "1008"}


def test_a_void_context_is_not_asked() -> None:
    """A void record keeps its number and no rule asks it; a find booked to it is found."""
    record = record_with(sets("1009", void="one and the same as 1005"))
    result = check_unit(record, "unit")
    assert not any("1009" in detail.records for found in result.findings for detail in found.details if found.rule.id == "B26")
    assert result.finding("B25").outcome == "pass"


def test_lengths_in_feet_are_held_against_the_same_limits() -> None:
    """The same ground recorded in feet gives the same outcomes: limits are kept in metres."""
    foot = 0.3048
    metres = Level(id="a", context="1001", surface="base", easting=100.5, northing=201.15, level=9.8)
    record = record_with(
        sets("site", length_unit="ft"),
        sets("unit", corners=((0, 0), (5, 0), (5, 5), (0, 5)), design_width=5, design_length=5, sides=(5, 5, 5, 5.05)),
    )
    assert metres.level == 9.8
    found = check_unit(record, "unit").finding("B01")
    assert found.outcome == "fail"
    assert f"DA {1000 * 0.05 * foot:+.0f} mm" in found.says


def test_a_possible_burial_of_unknown_place_is_shown_in_every_unit() -> None:
    """While nobody can tell where a possible burial lies, no unit is free of it; once placed elsewhere this unit is."""
    placeless = record_with(sets("burial", ring=None, left_exposed=True))
    away = record_with(sets("burial", ring=((150, 250), (151, 250), (151, 251)), left_exposed=True))
    assert check_unit(placeless, "unit").finding("B61").outcome == "fail"
    assert check_unit(away, "unit").finding("B61").outcome == "not applicable"


def test_human_bone_without_a_burial_log_fails() -> None:
    """A bag of human bone while the burial log is empty is a failure, not a gap."""
    record = record_with(leaves_out("burial", "notice"), sets("f2", material="human bone"))
    assert "find 2 is human bone and the burial log is empty" in check_unit(record, "unit").finding("B60").says


def test_a_possible_grave_is_never_asked_to_be_dug() -> None:
    """What only digging would show is not asked of a possible burial, nor a probe where a burial stopped the dig."""
    undug = {"dug": None, "sieved": None, "litres": None}
    blank = {"depth": None, "break_base": None, "side_slope": None, "side_shape": None, "base_shape": None, "break_top": None}
    bare = (
        sets("1004", **blank),
        sets("1005", thickness_max=None, thickness_min=None, boundary=None, **undug),
        sets("1009", key_context=True, **undug),
        leaves_out("l1004base0", "l1004base1", "l1004base2", "l1005base0", "l1005base1", "pafter", "pduring", "d3"),
        sets("unit", stop_reason="burial"),
        sets("d2", stage="before"),
    )
    asked = {"B06", "B26", "B27", "B32", "B34", "B41", "B46", "B53", "B54", "B56"}
    grave = check_unit(record_with(*bare, sets("burial", contexts=("1004", "1005", "1009"))), "unit")
    pit = check_unit(record_with(*bare, sets("unit", stop_reason="time")), "unit")
    sterile = check_unit(record_with(*bare), "unit", profile=PROFILES["US state profile: two contiguous walls"])
    assert asked & {found.rule.id for found in grave.findings if found.outcome in ("fail", "cannot tell")} == set()
    assert asked & {found.rule.id for found in pit.findings if found.outcome in ("fail", "cannot tell")} == asked
    assert sterile.finding("P02").outcome == "not applicable"


def test_a_later_find_below_that_was_looked_at_passes() -> None:
    """A follow-up on the layer is what tells that the spot was looked at."""
    late = sets("f2", begin=1850)
    looked = sets("q1", contexts=("1006",), state="answered")
    assert check_unit(record_with(late, leaves_out("q4")), "unit").finding("B58").outcome == "fail"
    assert check_unit(record_with(late, leaves_out("q4"), looked), "unit").finding("B58").outcome == "pass"


def test_a_site_of_many_units_is_checked_unit_by_unit() -> None:
    """Every unit has its own result in order of number, the same as when it is asked for alone."""
    record = record_with(adds(Unit, id="u2", number="2"), adds(Context, id="2001", number="2001", kind="deposit", units=("u2",)))
    results = check_site(record)
    assert [result.unit for result in results] == ["unit", "u2"]
    assert results[0] == check_unit(record, "unit")
    assert results[1] == check_unit(record, "u2")
    assert results[1].finding("B26").records == ("2001",)


def test_many_units_are_checked_without_a_quadratic_step() -> None:
    """Ten times the units cost about ten times the calls of the record's look-ups, not a hundred times."""
    small, large = _counted(20), _counted(200)
    assert large < 12 * small


def _counted(units: int) -> int:
    """Return how many Python calls the check of a site of so many units makes."""
    import sys

    entities = []
    for unit in range(units):
        entities.append(build(Unit, {"id": f"u{unit}", "number": f"{unit}", "corners": ((0, 0), (1, 0), (1, 1), (0, 1))}))
        for place in range(4):
            entities.append(
                build(Context, {"id": f"{unit}.{place}", "number": f"{unit}.{place}", "kind": "deposit", "units": (f"u{unit}",)})
            )
        entities += [
            build(Relation, {"id": f"r{unit}.{place}", "later": f"{unit}.{place}", "earlier": f"{unit}.{place + 1}"})
            for place in range(3)
        ]
    record = SiteRecord.of(entities)
    calls = 0

    def count(_frame: object, event: str, _argument: object) -> None:
        nonlocal calls
        calls += event == "call"

    sys.setprofile(count)
    try:
        check_site(record)
    finally:
        sys.setprofile(None)
    return calls


@pytest.mark.parametrize(
    "change",
    [
        sets("unit", corners=((100, 200), (102, 202), (102, 200), (100, 202))),
        sets("unit", corners=((100, 200), (101, 201), (102, 202))),
        sets("unit", corners=((100, 200), (102, 200), (102, 202), (101, 203), (100, 202))),
        sets("unit", opening_levels=(), base_levels=(), walls_with_layers=(), sides=(), diagonals=()),
        sets("unit", design_width=-2, sides=(-1, 0, 2, 2)),
        sets("o1006", ring=((100, 200), (101, 202), (101, 200), (100, 202))),
        sets("o1006", ring=((100, 200), (100.5, 201), (101, 202))),
        sets("burial", ring=((101, 201), (101.5, 201.5), (102, 202))),
        sets("run1", limit=-0.01),
        sets("s2", intermediate=None),
        sets("north", ends=((100, 202), (100, 202))),
        sets("1003", construction_cut="1003"),
        sets("1004", fill_of="1004"),
        sets("r10061007", later="nowhere"),
        sets("1006", units=()),
        leaves_out("site"),
    ],
)
def test_odd_records_are_answered_and_never_raise(change) -> None:
    """Crossed or flat outlines, empty lists, wrong signs and dangling references give an outcome for every rule."""
    result = check_unit(record_with(change), "unit")
    assert len(result.findings) == 67


def test_what_encloses_nothing_is_not_drawn() -> None:
    """A flat outline, a wall of no length and a cut that fills itself are no evidence."""
    flat = check_unit(record_with(sets("o1006", ring=((100, 200), (100.5, 201), (101, 202)))), "unit")
    short = check_unit(record_with(sets("north", ends=((100, 202), (100, 202)))), "unit")
    own = check_unit(
        record_with(
            leaves_out("r10051004", "r10091004"),
            sets("1005", fill_of=None),
            sets("1009", fill_of=None),
            sets("1004", fill_of="1004"),
        ),
        "unit",
    )
    assert "1006 has no outline in plan" in flat.finding("B33").says
    assert "both ends of wall W-north have the same grid position" in short.finding("B36").says
    assert "1004 has no fill and no reason for it" in own.finding("B15").says


def test_together_applies_each_change() -> None:
    """The helper that joins changes applies both."""
    record = record_with(together(FADED, sets("visit", answer="no answer")))
    assert [found.rule.id for found in check_unit(record, "unit").findings if found.outcome == "fail"] == ["B26", "B63"]


@pytest.mark.parametrize(("plan", "outcome"), [("bulk; mortar if any is met", "pass"), ("bulk; mortar", "fail")])
def test_mortar_to_be_sampled_if_met_is_not_asked_where_all_is_dry(plan: str, outcome: str) -> None:
    """A dry structure has no mortar to sample: the plan's “if any” asks for none, a plain word does."""
    record = record_with(sets_all(Context, bonding_agent="none (dry)"), sets("unit", sampling_plan=plan), leaves_out("m1"))
    assert check_unit(record, "unit").finding("B55").outcome == outcome


def test_the_bearing_of_grid_north_is_not_asked_for_when_it_is_on_record() -> None:
    """What mends B10 names the bearing only when the bearing is what is missing."""
    untied = check_unit(record_with(sets("site", crs=None)), "unit").finding("B10")
    assert untied.outcome == "fail"
    assert "grid north" not in f"{untied.says} {untied.mend}"
    turned = check_unit(record_with(sets("site", grid_rotation=None)), "unit").finding("B10")
    assert "the bearing of site grid north is not on record; enter it" in turned.says
