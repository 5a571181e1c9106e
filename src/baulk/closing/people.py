"""Rules on human remains, visitors, safety and the second reader."""

from __future__ import annotations

from baulk.closing.blank import listed
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Answered, Rule, Severity, Verdict, ask_each, fails, passes, unknown, verdict
from baulk.record import Burial, Context, DayEntry, Notice, Visit

__all__ = ["RULES"]


def _notified(facts: UnitFacts) -> Verdict:
    answers: list[Answered] = [((burial.id,), _judge_notified(facts, burial)) for burial in facts.burials]
    logged = {context for burial in facts.burials for context in burial.contexts or ()}
    for find in facts.finds:
        if find.material == "human bone" and not facts.burials:
            answers.append(((find.id,), fails(f"find {find.number or ''} is human bone and the burial log is empty")))
    for context in facts.contexts:
        if context.cut_function == "grave" and context.id not in logged:
            answers.append(((context.id,), unknown(f"{facts.label(context.id)} may be a grave and is not in the burial log")))
    return verdict(answers)


def _judge_notified(facts: UnitFacts, burial: Burial) -> Answer:
    name = f"possible burial {burial.number or ''}".strip()
    notices = facts.record.pointing_at(Notice, "burial", burial.id)
    if not notices:
        return fails(f"{name}: nobody is on record as notified")
    if any(not notice.is_blank("answer") and notice.to and notice.day and notice.by for notice in notices):
        return passes()
    if all(notice.is_blank("answer") for notice in notices):
        return fails(f"{name}: {len(notices)} notified, no answer of an authority on record")
    return unknown(f"{name}: of the notice answered, who was told, when or by whom is blank")


def _covered(facts: UnitFacts) -> Verdict:
    return ask_each(facts.burials, _judge_covered)


def _judge_covered(burial: Burial) -> Answer:
    name = f"possible burial {burial.number or ''}".strip()
    if burial.left_exposed:
        return fails(f"{name} is left exposed")
    if burial.left_exposed is None or burial.steps is None:
        return unknown(f"{name}: nobody says whether it is covered, or which steps were taken")
    wanting = [label for field, label in (("cover", "cover"), ("ring", "outline")) if burial.is_blank(field)]
    if "left in place" in burial.steps and wanting:
        return fails(f"{name} is left in place without {listed(wanting)} on record")
    return passes()


def _loose_bone(facts: UnitFacts) -> Verdict:
    return ask_each(facts.burials, _judge_loose)


def _judge_loose(burial: Burial) -> Answer:
    name = f"possible burial {burial.number or ''}".strip()
    if burial.is_blank("loose_bone"):
        return unknown(f"{name}: nobody says whether loose bone was found")
    if burial.loose_bone and burial.is_blank("loose_bone_plan"):
        return fails(f"{name}: {burial.loose_bone} pieces of loose bone without a plan for their return")
    return passes()


def _visited(facts: UnitFacts) -> Verdict:
    visits = facts.record.pointing_at(Visit, "unit", facts.unit.id)
    if not visits:
        return verdict([((facts.unit.id,), unknown("no visit is on record, and nobody says whether one was offered"))])
    answers = [_judge_visit(visit) for visit in visits]
    best = next((place for place, answer in enumerate(answers) if answer == passes()), 0)
    return verdict([((visits[best].id,), answers[best])])


def _judge_visit(visit: Visit) -> Answer:
    if visit.who is None or visit.day is None or visit.answer is None:
        return unknown("a visit is on record without who, when or the answer")
    if visit.answer == "no answer":
        return fails("the agency or owner was asked and has not answered")
    return passes()


def _safe_depth(facts: UnitFacts) -> Verdict:
    if not facts.days:
        return verdict([((facts.unit.id,), unknown("no diary day gives the depth of the unit"))])
    return ask_each(facts.days, lambda day: _judge_day(facts, day))


def _judge_day(facts: UnitFacts, day: DayEntry) -> Answer:
    limits = facts.limits
    if day.depth is None:
        return unknown(f"{day.day or 'a day without a date'}: the depth at the end of the day is blank")
    depth = day.depth * facts.metres + 1e-9
    if depth < limits.egress_depth or not facts.unit.is_blank("protection"):
        return passes()
    words = (
        f"{day.day or 'a day without a date'}: {day.depth * facts.metres:.2f} m deep, and no protection or inspection is on record"
    )
    return (
        fails(words)
        if depth >= limits.protection_depth
        else unknown(f"{words}; a way out is asked for from {limits.egress_depth:.2f} m")
    )


def _walked_over(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_walked(facts, context))


def _judge_walked(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.checked_by is None or context.checked_on is None:
        return fails(f"{name} was not read against the ground by a second person")
    if context.recorded_by is None:
        return unknown(f"{name} was checked; who recorded it is blank, so whether that is a second person is not known")
    if context.checked_by.strip().casefold() == context.recorded_by.strip().casefold():
        return fails(f"{name} was checked by the person who recorded it")
    return passes()


RULES = (
    Rule(
        "B60",
        "Every possible human find is in the burial log with who was notified, when, and an authority's answer.",
        "It is the law in most places, and it is owed.",
        Severity.LOST,
        "possible burials",
        "Stop, cover, and notify the coroner or medical examiner and the state archaeologist now; enter their answer.",
        "published state statutes and federal guidance",
        _notified,
        blocks=True,
        restricted=True,
    ),
    Rule(
        "B61",
        "No human remains are left exposed; what is left in place is covered and its extent is on record.",
        "Dignity, and a warning to the next digger.",
        Severity.LOST,
        "possible burials",
        "Cover it, and enter cover and extent seen; do not dig to prove it.",
        "policy statement on burial sites, read",
        _covered,
        blocks=True,
        restricted=True,
    ),
    Rule(
        "B62",
        "Loose human bone is counted, and it is said where it is and how it will be returned.",
        "It belongs to someone.",
        Severity.RECOVERABLE,
        "possible burials",
        "Count it, keep it apart, and write down the plan for its return.",
        "from memory",
        _loose_bone,
        restricted=True,
    ),
    Rule(
        "B63",
        "The agency, curator or owner saw the open unit or declined to.",
        "Agencies ask for the chance to visit.",
        Severity.PRACTICE,
        "visits",
        "Ring them, and enter name, day and answer.",
        "published state guidance",
        _visited,
    ),
    Rule(
        "B64",
        "On every day the depth is on record and, from the depth at which it is asked for, how the sides were protected.",
        "Sides fall in without warning.",
        Severity.PRACTICE,
        "diary days",
        "Enter the depth of the day and how the sides were kept and inspected; your competent person and local code decide.",
        "29 CFR 1926 Subpart P",
        _safe_depth,
    ),
    Rule(
        "B66",
        "A second person read every context's record against the ground.",
        "It is the last independent check.",
        Severity.LOST,
        "contexts",
        "Walk the unit with a second person, context by context, and let them sign.",
        "published recording manuals",
        _walked_over,
        blocks=True,
    ),
)
