"""Rules on filling in: liner, support, material, copies of the record."""

from __future__ import annotations

import re
from collections.abc import Callable

from baulk.closing.blank import listed, unanswered
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, fails, passes, unknown, verdict
from baulk.record import Backfill

__all__ = ["RULES"]


def _backfill_says(facts: UnitFacts, judge: Callable[[Backfill], Answer]) -> Verdict:
    backfill = facts.backfill
    if backfill is None:
        return verdict(
            [((facts.unit.id,), unknown("there is no backfill record yet: enter what is to be laid and with what it is filled"))]
        )
    return verdict([((backfill.id,), judge(backfill))])


def _liner(facts: UnitFacts) -> Verdict:
    return _backfill_says(facts, _judge_liner)


def _judge_liner(backfill: Backfill) -> Answer:
    if backfill.liner == "none" or backfill.absences.get("liner"):
        return fails("no liner is laid: the next digger will not see the edge")
    wanting = unanswered(backfill, ("liner", "liner_level", "token"))
    if any("not done" in words for words in wanting):
        return fails(f"no {listed(wanting)}")
    return unknown(f"blank: {listed(wanting)}") if wanting else passes()


def _support(facts: UnitFacts) -> Verdict:
    standing = [context for context in facts.contexts if context.kind in ("structure", "surface")]
    if not standing or all(context.left_in_place is False for context in standing):
        return Verdict()
    if not any(context.left_in_place for context in standing):
        blank = next(context for context in standing if context.left_in_place is None)
        return verdict([((blank.id,), unknown(f"nobody says whether {facts.label(blank.id)} stays in the ground"))])
    return _backfill_says(facts, _judge_support)


def _judge_support(backfill: Backfill) -> Answer:
    absence = backfill.absences.get("support", "")
    if absence.startswith("not done"):
        return fails(f"masonry or a surface stays in the ground without support ({absence})")
    return unknown("how masonry or surfaces are cushioned is blank") if backfill.is_blank("support") else passes()


def _material(facts: UnitFacts) -> Verdict:
    return _backfill_says(facts, _judge_material)


def _judge_material(backfill: Backfill) -> Answer:
    if backfill.is_blank("material"):
        return fails("nobody says what the unit is filled with, and from where")
    wanting = unanswered(backfill, ("imported", "volume", "compacted", "reinstated"))
    return unknown(f"blank: {listed(wanting)}") if wanting else passes()


def _copies(facts: UnitFacts) -> Verdict:
    return verdict([((facts.backfill.id if facts.backfill else facts.unit.id,), _judge_copies(facts))])


def _judge_copies(facts: UnitFacts) -> Answer:
    backfill, needed = facts.backfill, int(facts.limits.copies_needed)
    absence = backfill.absences.get("copies", "") if backfill else ""
    if absence:
        return fails(f"no copies of the record ({absence})")
    said = backfill.copies if backfill and backfill.copies else (facts.days[-1].copied if facts.days else None)
    if said is None:
        return unknown("where the copies of the record are is blank")
    places = [place for place in re.split(r"[;,\n]|\band\b", said) if place.strip()]
    return passes() if len(places) >= needed else fails(f"copies of the record are kept at {len(places)} place of {needed}")


RULES = (
    Rule(
        "B67",
        "A liner is laid with a dated token, and its level is on record.",
        "The next digger sees the edge of what was dug.",
        Severity.LOST,
        "backfill",
        "Lay cloth or fabric over base and sides with a coin of the year, level it, and enter all three.",
        "published field reports",
        _liner,
        blocks=True,
    ),
    Rule(
        "B68",
        "Masonry and surfaces that stay in the ground are cushioned or supported.",
        "Fill crushes what is fragile.",
        Severity.LOST,
        "backfill",
        "Stack loose stones, lay sand or fine soil over masonry and surfaces, and enter it.",
        "published field report",
        _support,
    ),
    Rule(
        "B69",
        "The fill is on record: what it is, from where, whether brought in, how much, how compacted, and the surface put back.",
        "It settles, and it shows in later digging and in radar.",
        Severity.RECOVERABLE,
        "backfill",
        "Enter the material, its source, the volume, the compaction and the surface.",
        "published field reports; the volume is common practice, no source",
        _material,
    ),
    Rule(
        "B70",
        "Copies of all records are kept at two places at least.",
        "A week of sheets has been lost to rain.",
        Severity.LOST,
        "copies",
        "Copy the site file and the photos to a second place off the site today, and enter both places.",
        "published archive guidance",
        _copies,
        blocks=True,
    ),
)
