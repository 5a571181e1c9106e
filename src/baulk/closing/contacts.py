"""Rules on what touches what: walls drawn, plans that overlap, structures that meet, doubtful relations."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.closing.blank import named_relation
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Answered, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import Contact, Relation, Wall
from baulk.sequence.plan_pairs import overlapping_pairs, touching_pairs
from baulk.sequence.wall_contacts import ContactStanding, contact_standing

__all__ = ["RULES"]


def _same_has_basis(facts: UnitFacts) -> Verdict:
    return ask_each(facts.relations, lambda relation: _judge_same(facts, relation))


def _judge_same(facts: UnitFacts, relation: Relation) -> Answer:
    if relation.how is None:
        return unknown(f"{named_relation(facts, relation)}: is it “same as”?")
    if relation.how != "same as":
        return skips()
    return fails(f"{named_relation(facts, relation)} without a basis") if relation.is_blank("basis") else passes()


def _contacts_agree(facts: UnitFacts) -> Verdict:
    return verdict(answer for wall in facts.walls for answer in _contact_answers(facts, wall))


def _contact_answers(facts: UnitFacts, wall: Wall) -> Iterator[Answered]:
    contacts = facts.record.pointing_at(Contact, "wall", wall.id)
    if not contacts:
        yield (wall.id,), unknown(f"wall {wall.number or ''}: no contacts are noted, so the relations cannot be held beside it")
    for contact in contacts:
        yield (contact.id, contact.later, contact.earlier), _judge_contact(facts, contact, wall)


def _judge_contact(facts: UnitFacts, contact: Contact, wall: Wall) -> Answer:
    later, earlier = contact.later, contact.earlier
    words = f"wall {wall.number or ''} shows {facts.label(later)} over {facts.label(earlier)}"
    match contact_standing(facts.record, contact):
        case ContactStanding.AGREES:
            return passes()
        case ContactStanding.OPPOSITE:
            return fails(f"{words}; the relations say the opposite")
        case ContactStanding.UNSAID:
            return unknown(f"{words}; the relation on record does not say how")
        case ContactStanding.MISSING:
            return fails(f"{words}; no relation is on record between the two")


def _overlaps_related(facts: UnitFacts) -> Verdict:
    drawn = facts.plan_shapes
    near = _near_pairs(facts, facts.limits.overlap_area / facts.metres**2)
    answers: list[Answered] = []
    for context, others in near.items():
        related = facts.order.below(context, others) if others else frozenset()
        answers += [((context, other), _judge_overlap(facts, context, other)) for other in others if other not in related]
        if context in drawn and related == set(others):
            answers.append(((context,), passes()))
    undrawn = [context for context in facts.contexts if context.id not in drawn and context.kind != "disturbance"]
    answers += [((context.id,), unknown(f"{facts.label(context.id)} has no outline in plan")) for context in undrawn]
    return verdict(answers)


def _near_pairs(facts: UnitFacts, least: float) -> dict[str, list[str]]:
    """Return for each drawn context those whose outlines overlap it and that do not lead down to it: each pair once."""
    ids = [context for context in facts.plan_shapes if facts.order.knows(context)]
    shapes = [facts.plan_shapes[context] for context in ids]
    near: dict[str, list[str]] = {context: [] for context in ids}
    ranks = [facts.order.rank(context) for context in ids]
    for first, second in overlapping_pairs(shapes, least).tolist():
        higher, lower = (first, second) if ranks[first] <= ranks[second] else (second, first)
        near[ids[higher]].append(ids[lower])
    return near


def _judge_overlap(facts: UnitFacts, one: str, other: str) -> Answer:
    """Judge two contexts that overlap in plan where no path leads from the higher to the lower."""
    order = facts.order
    words = f"{facts.label(one)} and {facts.label(other)} overlap in plan and no relation or path leads from one to the other"
    if order.same_time(one, other) or one in order.in_loop or other in order.in_loop:
        return skips()
    tops = [[level.level or 0.0 for level in facts.levels(context)] for context in (one, other)]
    if not tops[0] or not tops[1]:
        return unknown(f"{words}; without levels on both nobody can tell whether they lie over each other")
    apart = abs(sum(tops[0]) / len(tops[0]) - sum(tops[1]) / len(tops[1])) * facts.metres
    if apart <= facts.limits.level_tolerance:
        return passes()
    return fails(f"{words}; their levels differ by {apart * 1000:.0f} mm")


def _structures_meet(facts: UnitFacts) -> Verdict:
    structures = [context for context in facts.contexts if context.kind == "structure"]
    if len(structures) < 2:
        return Verdict()
    shapes = facts.plan_shapes
    drawn = [context.id for context in structures if context.id in shapes]
    answers: list[Answered] = [
        ((context.id,), unknown(f"structure {facts.label(context.id)} has no outline in plan: what it meets is not known"))
        for context in structures
        if context.id not in shapes
    ]
    geometry = [shapes[context] for context in drawn]
    if len(drawn) < 2:
        return verdict(answers)
    reach = facts.limits.touch_distance / facts.metres
    for one, other in touching_pairs(geometry, reach).tolist():
        answers.append(((drawn[one], drawn[other]), _judge_junction(facts, drawn[one], drawn[other])))
    return verdict(answers)


def _judge_junction(facts: UnitFacts, one: str, other: str) -> Answer:
    held = [
        relation.how
        for later, earlier in ((one, other), (other, one))
        for relation in facts.record.pointing_at(Relation, "later", later)
        if relation.earlier == earlier
    ]
    words = f"structures {facts.label(one)} and {facts.label(other)} meet in plan"
    if any(held):
        return passes()
    if held:
        return unknown(f"{words}; the relation does not say whether they are bonded, abut or cut")
    return fails(f"{words}; nobody says whether they are bonded, abut, cut or overlie")


def _doubts_tried(facts: UnitFacts) -> Verdict:
    return ask_each(facts.relations, lambda relation: _judge_doubt(facts, relation))


def _judge_doubt(facts: UnitFacts, relation: Relation) -> Answer:
    name = named_relation(facts, relation)
    if relation.certainty is None:
        return unknown(f"{name}: how sure it is is blank")
    if relation.certainty == "firm":
        return passes()
    if relation.is_blank("basis"):
        return fails(f"{name} is {relation.certainty}, and nobody says what would settle it")
    return unknown(f"{name} is {relation.certainty}: was it tried?") if relation.is_blank("settled_by") else passes()


RULES = (
    Rule(
        "B20",
        "Wherever two structures meet it is said whether they are bonded, abut, cut or overlie.",
        "It tells which was built first.",
        Severity.LOST,
        "junctions of structures",
        "Clean the junction, look for through-going bond, and enter the relation.",
        "published study of building recording",
        _structures_meet,
    ),
    Rule(
        "B21",
        "Every “same as” carries its basis: seen to run on, or matched by character.",
        "A match across a gap is an inference.",
        Severity.LOST,
        "relations “same as”",
        "Say in the relation's basis how the match was made.",
        "published archives; the basis is our judgement",
        _same_has_basis,
    ),
    Rule(
        "B22",
        "Every contact drawn on a wall stands in the relations, the same way round.",
        "The drawing is independent evidence.",
        Severity.LOST,
        "contacts on walls",
        "Hold the drawing beside the wall, and mend the drawing or enter the relation.",
        "practitioners' forum, read",
        _contacts_agree,
    ),
    Rule(
        "B23",
        "Two contexts that overlap in plan at different levels have a path of relations between them.",
        "Else a relation was missed.",
        Severity.LOST,
        "contexts in plan",
        "See where the two come nearest and what lies between, and enter the relation; draw the outline that is missing.",
        "published recording manual: plans of one square are laid over each other",
        _overlaps_related,
    ),
    Rule(
        "B24",
        "Every doubtful relation says what would settle it and what was tried.",
        "It is the last chance to cut a slot.",
        Severity.LOST,
        "relations",
        "Cut a slot across the contact, or say why not; enter what was seen.",
        "practitioners' forum, read",
        _doubts_tried,
    ),
)
