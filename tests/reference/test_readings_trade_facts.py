"""Facts of the trade about settings of brick and stone, each "common practice, no source", alone and entered together.

The expectations are those of the shipped pattern "setting", which anybody may override; what is tested is that its words say what
the trade says, and that a record of such a setting is read so.
"""

from __future__ import annotations

import pytest

from baulk.exchange.pattern_folder import pattern_named
from baulk.reading.argument import Argument, argue
from baulk.reading.from_record import evidence_from_record
from baulk.reading.pattern import COMMON_PRACTICE, begin
from baulk.reading.weigh import Weighed, weigh
from tests.unit.reading.made_site import yard

SETTING = pattern_named("setting")
TOGETHER = {
    "upright": True, "dry": True, "bonded-rubble": False, "old-mortar": False, "soft": True, "old-ground": True, "trench": False,
    "void": True,
}  # fmt: skip
"""On edge, dry, no bonded rubble, no skin of old mortar, soft, sealed old ground beneath, nothing cut, a void beside it."""


def weighed(**seen: bool) -> Weighed:
    """Return the pattern weighed with some sightings; underscores stand for dashes."""
    return weigh(begin(SETTING, seen={name.replace("_", "-"): value for name, value in seen.items()}).question)


def change(held: Weighed, reading: str) -> float:
    """Return by what factor the odds of a reading changed against the prior."""
    place = held.question.place(reading)
    after, before = float(held.posterior[place]), float(held.prior.shares[place])
    return (after / (1 - after)) / (before / (1 - before))


@pytest.mark.parametrize("reading", ["footing", "wall", "collapse"])
@pytest.mark.parametrize("fact", [{"upright": True}, {"dry": True}, {"bonded_rubble": False}])
def test_upright_dry_pieces_without_bonded_rubble_speak_against_masonry(reading: str, fact: dict[str, bool]) -> None:
    """On edge or end, dry, without bonded rubble: each against footing, wall and collapse (common practice, no source)."""
    assert change(weighed(**fact), reading) < 1


def test_faces_without_old_mortar_speak_against_reuse() -> None:
    """No skin of old mortar on any face: against pieces of a pulled-down wall (common practice, no source)."""
    assert change(weighed(old_mortar=False), "reused") < 0.2


def test_soft_pieces_speak_against_bearing_masonry_and_not_against_a_path() -> None:
    """Soft, low-fired pieces: against footing and wall, not against a path (common practice, no source)."""
    held = weighed(soft=True)
    assert change(held, "footing") < 1 and change(held, "wall") < 1 and change(held, "path") > 1


def test_old_ground_sealed_beneath_says_laid_on_open_ground() -> None:
    """An old ground surface directly beneath and no cut: for what is laid on the ground (common practice, no source)."""
    held = weighed(old_ground=True, trench=False)
    assert change(held, "path") > 1 and change(held, "yard") > 1
    assert change(held, "footing") < 1 and change(held, "wall") < 1


def test_a_rectangular_cut_with_mixed_fill_raises_a_grave() -> None:
    """Rectangular, mixed fill: "grave" rises, and burial care acts whatever leads (common practice, no source)."""
    pattern = pattern_named("rectangular-cut")
    held = argue(begin(pattern, seen={"rectangular": True, "mixed": True}).question)
    assert change(held.weighed, "grave") > 2
    assert held.care.acts
    lying = argue(begin(pattern, seen={"rectangular": True, "mixed": True, "east-west": True}).question)
    assert lying.weighed.question.readings[lying.weighed.leader].id == "grave"


def test_a_void_warns_that_pieces_have_sunk() -> None:
    """Where a root decayed the record's own rule says that pieces beside it may have sunk (common practice, no source)."""
    (found,) = evidence_from_record(yard(), ["hole"], ["void_near"])
    assert found.seen and "pieces beside it may have sunk" in found.says


def test_each_of_these_lines_says_that_it_has_no_source() -> None:
    """The mark stands on the lines themselves: "common practice, no source", beside a source where one backs a part."""
    marked = {line.id: line.source for line in SETTING.lines}
    for name in ("upright", "bonded-rubble", "old-mortar", "old-ground", "void", "trench"):
        assert COMMON_PRACTICE in marked[name], name


def together() -> Argument:
    """Return the facts entered together."""
    return argue(begin(SETTING, seen=TOGETHER).question)


def test_together_path_leads_and_footing_and_wall_trail() -> None:
    """Path leads; footing and wall are each below one in a hundred; the range is shown and told."""
    held = together().weighed
    names = [held.question.readings[place].id for place in held.order]
    assert names[0] == "path"
    for reading in ("footing", "wall", "collapse", "reused"):
        assert names.index(reading) > 4
        assert held.posterior[held.question.place(reading)] < 0.01
    lead = held.leader
    assert held.low[lead] < held.posterior[lead] < held.high[lead]
    assert "with every word anywhere in its range it lies between" in together().says


def test_taking_out_any_one_group_is_shown_to_keep_the_lead() -> None:
    """Every piece and every group is taken out in turn; each says which reading would lead then. Here path keeps the lead."""
    held = together()
    question = held.weighed.question
    causes = {piece.cause for piece in question.evidence}
    groups = {influence.cause for influence in held.influences if influence.cause}
    singles = {question.evidence[influence.pieces[0]].cause for influence in held.influences if len(influence.pieces) == 1}
    assert groups == {"how it was laid", "ground beneath"} and singles == causes
    for influence in held.influences:
        left = [piece for place, piece in enumerate(question.evidence) if place not in influence.pieces]
        again = weigh(type(question)(question.asks, question.readings, tuple(left)))
        assert influence.leader == again.leader
        assert influence.keeps_lead, [question.evidence[place].id for place in influence.pieces]


def test_a_group_can_be_shown_to_lose_the_lead() -> None:
    """The negative control: with a cut and old mortar seen as well, the lead hangs on a group, and that is shown."""
    seen = {"soft": True, "one-course": True, "worn": True, "trench": True, "bedding": False}
    held = argue(begin(SETTING, seen=seen).question)
    assert any(not influence.keeps_lead for influence in held.influences)


def test_the_record_itself_is_read_so() -> None:
    """A yard recorded so, weighed from what the rules read alone: path leads, footing and wall trail."""
    findings = evidence_from_record(yard(), ["s"])
    held = argue(begin(SETTING, findings, about=["s"]).question).weighed
    names = [held.question.readings[place].id for place in held.order]
    assert names[0] == "path"
    assert min(names.index("footing"), names.index("wall")) > 3
    cited = {identity for piece in held.question.evidence for identity in piece.records}
    assert {"s", "old", "top", "p0"} <= cited
