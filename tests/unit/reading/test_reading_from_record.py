"""Rules that read the record: what they see, what they look for and do not find, and what they cannot tell."""

from __future__ import annotations

import pytest

from baulk.reading.finding import Finding
from baulk.reading.from_record import MEASURES, RULES, evidence_from_record, rule_words
from baulk.reading.subject import mentions
from baulk.record import Burial, Context, Element, Find, Relation, Site, SiteRecord
from tests.unit.reading.made_site import BASE, every_piece, yard


def read(rule: str, record: SiteRecord, *about: str) -> Finding:
    """Return what one rule reads."""
    (found,) = evidence_from_record(record, about, [rule])
    assert found.rule == rule
    return found


SEEN = [
    ("pieces_upright", ["s"], True, "8 of 8 recorded pieces lie on edge or on end."),
    ("laid_dry", ["s"], True, "8 of 8 recorded pieces lie dry."),
    ("old_mortar", ["s"], False, "0 of 8 recorded pieces bear a skin of old mortar."),
    ("one_course", ["s"], True, "9 stands 1 course high."),
    ("soft_fired", ["s"], True, "8 of 8 recorded pieces are soft, low-fired brick."),
    ("worn_tops", ["s"], True, "8 of 8 recorded pieces are worn on top."),
    ("on_old_ground", ["s"], True, "18 (old ground) lies sealed directly beneath 9."),
    ("in_construction_cut", ["s"], False, "No cut for 9 is to be seen."),
    ("bonded_rubble", ["s"], False, "No rubble is recorded in 8 on it."),
    ("bedding_beneath", ["s"], True, "10 beds it."),
    ("cut_away", ["s"], True, "It is cut by 14."),
    ("plan_rectangular", ["cut"], True, "14 is rectangular in plan."),
    ("plan_round", ["cut"], False, "14 is rectangular in plan, not round."),
    ("plan_long", ["cut"], False, "14 is rectangular in plan, not linear."),
    ("runs_east_west", ["cut"], True, "The long axis of 14 bears 88° from grid north."),
    ("mixed_fill", ["cut"], True, "Fill 15 is told as mixed."),
    ("quick_backfill", ["cut"], True, "15 was thrown in."),
    ("nails_in_fill", ["cut"], True, "Nails are recorded in 15."),
    ("fill_texture_step", ["cut"], True, "Fill 15 is silt loam, 18 is loam."),
    ("pointed_base", ["hole"], True, "The base shape of 21 is tapered point."),
    ("flat_base", ["hole"], False, "The base shape of 21 is tapered point."),
    ("void_near", ["hole"], True, "22 tells of a void or a decayed root: pieces beside it may have sunk."),
    ("dark_soil", ["old"], True, "18 is 10YR 3/2."),
    ("dark_soil", ["top"], False, "8 is 10YR 4/3."),
    ("gradual_base", ["old"], True, "The boundary below 18 is gradual."),
    ("sealed_above", ["old"], True, "10, 8 lies over it."),
    ("firm_top", ["old"], True, "18 is told to have a trodden top."),
    ("tip_lines", ["top"], True, "8 is told to have tip lines or lenses."),
    ("mixed_lumps", ["top"], True, "8 is told to have lumps of other soils."),
    ("building_rubble", ["top"], True, "8 holds building rubble."),
    ("roots_in_fill", ["hole"], True, "22 is told to have traces of roots or wood."),
    ("building_rubble", ["old"], False, "No building rubble worth the name is recorded in 18."),
    ("waste_held", ["old"], True, "18 holds refuse."),
]


@pytest.mark.parametrize(("rule", "about", "seen", "says"), SEEN, ids=[f"{rule}-{about[0]}" for rule, about, _, _ in SEEN])
def test_what_the_record_says(rule: str, about: list[str], seen: bool, says: str) -> None:
    """Each sighting of the yard, in its words, resting on records that exist."""
    record = yard()
    found = read(rule, record, *about)
    assert (found.seen, found.says) == (seen, says)
    assert found.records and all(identity in record.by_id for identity in found.records)
    assert found.test == ""


OTHERWISE = [
    ("pieces_upright", yard(every_piece(attitude="flat")), ["s"], False),
    ("pieces_upright", yard({**every_piece(attitude=None), "s": {"attitude": "on end"}}), ["s"], True),
    ("laid_dry", yard(every_piece(mortar="bedding")), ["s"], False),
    ("laid_dry", yard({**every_piece(mortar=None), "s": {"bonding_agent": "lime mortar"}}), ["s"], False),
    ("old_mortar", yard({f"p{place}": {"mortar": "clinging remnant"} for place in range(3)}), ["s"], True),
    ("one_course", yard({"s": {"courses": 4}}), ["s"], False),
    ("soft_fired", yard(every_piece(firing="hard")), ["s"], False),
    ("worn_tops", yard(every_piece(wear="none")), ["s"], False),
    ("on_old_ground", yard({"old": {"deposit_type": "demolition"}}), ["s"], False),
    ("in_construction_cut", yard({"s": {"construction_cut": "cut"}}), ["s"], True),
    ("in_construction_cut", yard(more=(Relation(id="in", later="s", earlier="hole", how="fills"),)), ["s"], True),
    ("bonded_rubble", yard({"top": {"inclusions": "frequent mortared brick"}}), ["s"], True),
    ("bonded_rubble", yard({"top": {"deposit_type": "collapse"}}), ["s"], True),
    ("bedding_beneath", yard({"bed": {"deposit_type": "layer", "title": "Sand"}}), ["s"], False),
    ("cut_away", yard(without=("r3",)), ["s"], False),
    ("plan_long", yard({"cut": {"length": 4.0}}), ["cut"], True),
    ("runs_east_west", yard({"cut": {"orientation": 20.0}}), ["cut"], False),
    ("runs_east_west", yard({"cut": {"orientation": 262.0}}), ["cut"], True),
    ("mixed_fill", yard({"fill": {"description": "Clean unmixed sand.", "inclusions": "none"}}), ["cut"], False),
    ("quick_backfill", yard(), ["hole"], False),
    ("nails_in_fill", yard({"fill": {"inclusions": "none", "dug": 50.0}}), ["cut"], False),
    ("nails_in_fill", yard(more=(Find(id="n", number="9", context="fill", object="coffin nail"),)), ["cut"], True),
    ("fill_texture_step", yard({"fill": {"texture": "loam"}}), ["cut"], False),
    ("bone_or_coffin", yard(more=(Find(id="b", number="9", context="fill", material="human bone"),)), ["cut"], True),
    (
        "bone_or_coffin",
        yard(
            more=(
                Context(id="w", number="30", kind="timber", timber_type="coffin"),
                Relation(id="o", later="w", earlier="cut", how="fills"),
            )
        ),
        ["cut"],
        True,
    ),
    (
        "drain_in_cut",
        yard(
            more=(
                Context(id="d", number="32", kind="structure", structure_type="drain"),
                Relation(id="o", later="d", earlier="cut", how="fills"),
            )
        ),
        ["cut"],
        True,
    ),
    ("drain_in_cut", yard({"cut": {"base_shape": "flat", "section_share": "half"}}), ["cut"], False),
    ("runs_east_west", yard({"cut": {"orientation": 50.0}}, more=(Site(id="site", grid_rotation=30.0),)), ["cut"], True),
    ("waste_held", yard({"old": {"inclusions": "rare glass drips"}}), ["old"], False),
    ("gradual_base", yard(), ["top"], False),
    ("burnt_place", yard({"old": {"formation": "burnt"}}), ["old"], True),
    (
        "void_near",
        yard(
            more=(
                Context(id="root", number="31", kind="disturbance", disturbance_type="roots"),
                Relation(id="o", later="root", earlier="s", how="cuts"),
            )
        ),
        ["s"],
        True,
    ),
]


@pytest.mark.parametrize(("rule", "record", "about", "seen"), OTHERWISE, ids=[f"{n}-{one[0]}" for n, one in enumerate(OTHERWISE)])
def test_another_record_says_otherwise(rule: str, record: SiteRecord, about: list[str], seen: bool) -> None:
    """The negative control of each rule: with the field changed the answer turns."""
    assert read(rule, record, *about).seen is seen


def test_what_the_record_cannot_tell_comes_with_what_to_do() -> None:
    """Of a bare context no rule says yes or no, and none passes in silence: each says what is missing and what to do."""
    bare = SiteRecord.of([Context(id="x", number="1")])
    for found in evidence_from_record(bare, ["x"]):
        if found.rule == "cut_away":
            assert found.seen is False
            continue
        assert found.seen is None and found.value is None, found.rule
        assert found.says and found.test, found.rule


def test_a_share_that_is_neither_most_nor_few_cannot_be_told() -> None:
    """Four of eight on edge is no answer, and says so."""
    found = read("pieces_upright", yard({f"p{place}": {"attitude": "flat"} for place in range(4)}), "s")
    assert found.seen is None and "That is neither most nor few." in found.says and found.test


def test_no_bone_is_never_an_answer() -> None:
    """Neither an undug fill, nor a dug one, nor a burial log turns "no bone" into evidence against a grave."""
    logged = yard(more=(Burial(id="b", number="B1", contexts=("cut",)),))
    for record in (yard(), yard({"fill": {"dug": 100.0}}), logged):
        found = read("bone_or_coffin", record, "cut")
        assert found.seen is None and "stop, cover and notify" in found.test
    assert "burial log" in read("bone_or_coffin", logged, "cut").says
    assert read("nails_in_fill", yard({"fill": {"inclusions": "none"}}), "cut").seen is None


def test_an_undug_fill_cannot_be_told_to_hold_nothing() -> None:
    """No refuse and no rubble seen in a fill that nobody dug is no answer; in a dug one it is."""
    undug, dug = yard(), yard({"fill": {"dug": 50.0}})
    for rule in ("waste_held", "building_rubble"):
        assert read(rule, undug, "cut").seen is None and read(rule, undug, "cut").test
        assert read(rule, dug, "cut").seen is False


def test_a_drain_that_nobody_looked_for_cannot_be_told() -> None:
    """Where the base was not reached nothing is said of what lies in it."""
    assert read("drain_in_cut", yard(), "cut").seen is None


def test_measures_are_read_with_their_records() -> None:
    """Axes 40° to 96° in steps of 8°, finds of 1740 and 1762, and the nearer of two colours."""
    record = yard()
    axes = read("axes_spread", record, "s")
    # Angular deviation of the doubled angles, halved: close to the standard deviation of the axes, 8·√((64 − 1)/12) = 18.3.
    assert axes.value == pytest.approx(17.7, abs=0.5) and len(axes.records) == 8
    assert read("axes_spread", yard(without=("p4", "p5", "p6", "p7")), "s").value is None
    span = read("finds_span", record, "old")
    assert span.value == 22 and "not earlier than 1762" in span.says and span.records == ("f1", "f2")
    step = read("fill_colour_step", record, "cut")
    assert step.value is not None and step.value > 5 and set(step.records) == {"fill", "old"}
    wet = yard({f"p{place}": {"absorption": 18.0 + place} for place in range(3)})
    assert read("absorption", wet, "s").value == 19 and read("absorption", yard(), "s").value is None
    assert {rule for rule in RULES if rule in MEASURES} == MEASURES


def test_void_records_and_unknown_ids_are_left_out() -> None:
    """A void context says nothing, and an id that the record does not have is passed over."""
    assert read("plan_rectangular", yard({"cut": {"void": "given twice"}}), "cut", "nobody").seen is None


def test_every_rule_is_described_by_its_sentence() -> None:
    """What a rule reads can be shown to a person."""
    for name in RULES:
        assert rule_words(name).startswith(("Tell whether", "Measure")) and rule_words(name).endswith("."), name


def test_words_are_found_at_the_beginning_of_words_only() -> None:
    """Unmixed is not mixed, and nothing is found in nothing."""
    assert mentions("Unmixed clay", ["mixed"]) is None and mentions(None, ["mixed"]) is None
    assert mentions("with mortared brick", ["mortared"]) == "mortared"


def test_the_yard_of_these_tests_is_a_record() -> None:
    """Every reference of the made yard leads to one of its records."""
    for entity in BASE.values():
        for field in ("later", "earlier", "context", "fill_of"):
            assert getattr(entity, field, None) in (None, *BASE)
    assert isinstance(BASE["p0"], Element)
