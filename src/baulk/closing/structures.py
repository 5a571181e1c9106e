"""Rules on masonry: construction cut, description, mortar and bricks kept."""

from __future__ import annotations

from baulk.closing.blank import listed, unanswered
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown
from baulk.record import Context, Element, Sample

__all__ = ["RULES"]

_SAID = ("material", "bond", "bonding_agent", "joint", "faces")
_DRY = ("none (dry)", "earth")


def _construction_cuts(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("structure"), lambda context: _judge_construction(facts, context))


def _judge_construction(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a structure?")
    if context.construction_cut is None:
        absence = context.absences.get("construction_cut", "")
        if absence.startswith("not done"):
            return fails(f"the construction cut of {name} was not looked for ({absence})")
        return passes() if absence else fails(f"nobody says whether {name} has a construction cut")
    cut = facts.record.get(Context, context.construction_cut)
    if cut is None or cut.kind is None:
        return unknown(f"the construction cut of {name} is given as {facts.label(context.construction_cut)}: is that a cut?")
    if cut.kind != "cut":
        return fails(f"the construction cut of {name} is given as {cut.number}, which is a {cut.kind}")
    if not facts.fills(cut.id) and cut.is_blank("open_because"):
        return fails(f"cut {cut.number}, in which {name} stands, has no backfill on record")
    return passes()


def _described(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("structure"), lambda context: _judge_described(facts, context))


def _judge_described(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a structure?")
    wanting = unanswered(context, _SAID)
    if not facts.levels(context.id):
        wanting.append("levels")
    needed = int(facts.limits.pieces_measured)
    pieces = facts.record.pointing_at(Element, "context", context.id)
    measured = context.measured_pieces or sum(piece.length is not None for piece in pieces)
    if "measured_pieces" in context.absences and not context.absences["measured_pieces"].startswith("not done"):
        measured = needed
    if measured < needed and not 0 < len(pieces) <= measured:
        wanting.append(f"{needed} pieces measured (there are {measured})")
    return fails(f"{name} has no {listed(wanting)}") if wanting else passes()


def _samples_kept(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("structure"), lambda context: _judge_samples(facts, context))


def _judge_samples(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None or context.bonding_agent is None or context.material is None:
        return unknown(f"{name}: without kind, material and bonding agent nobody can tell which samples are due")
    due = set() if context.bonding_agent in _DRY else {"mortar"}
    if context.material == "brick":
        due.add("brick")
    if not due:
        return skips()
    taken = {sample.type for sample in facts.record.pointing_at(Sample, "context", context.id)}
    missing = sorted(due - taken)
    return fails(f"no {listed(missing)} sample of {name}") if missing else passes()


RULES = (
    Rule(
        "B19",
        "Every structure has its construction cut and the backfill of that cut on record, or “not visible” after looking for it.",
        "The date of a wall rests on it.",
        Severity.LOST,
        "structures",
        "Clean along the foot of the structure in plan and wall; enter the cut and its fill, or “not visible”.",
        "from memory; published study of building recording",
        _construction_cuts,
        blocks=True,
    ),
    Rule(
        "B28",
        "Every structure has material, pieces measured, bond, bonding agent, joints, faces and levels.",
        "It is buried again, and lifting it is loss.",
        Severity.LOST,
        "structures",
        "Fill in what is missing beside the structure itself; measure at least ten pieces.",
        "published masonry prompt sheet; Preservation Brief 35; the count is common practice, no source",
        _described,
        blocks=True,
    ),
    Rule(
        "B29",
        "A mortar sample of every mortared structure and a whole brick of every brick one are kept.",
        "Mortar and brick are the only evidence of a build that can be held again.",
        Severity.LOST,
        "structures",
        "Take the sample, label it inside and out and enter it; where it must not be taken, waive the rule with the reason.",
        "scope of published finds guidance; from memory",
        _samples_kept,
    ),
)
