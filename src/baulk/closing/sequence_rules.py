"""Rules on the order: both sides entered, no loops, no floating contexts, cuts with their fills, numbers."""

from __future__ import annotations

from itertools import pairwise

from baulk.closing.blank import counted, listed, named_relation
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Answered, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import SAME, Context, Relation, number_faults
from baulk.sequence.cuts_and_fills import cuts_anything, cuts_of_fill

__all__ = ["RULES"]

_SIDES = {"later's sheet": {1}, "earlier's sheet": {2}, "both sheets": {1, 2}}


def _both_sides(facts: UnitFacts) -> Verdict:
    entered: dict[frozenset[str], set[int]] = {}
    for relation in facts.relations:
        for side in _SIDES.get(relation.sheet or "", set()):
            # A relation "same as" has no later and earlier: each context's own sheet is one side.
            entered.setdefault(_pair(relation), set()).add(side)
    return ask_each(facts.relations, lambda relation: _judge_sides(facts, relation, entered.get(_pair(relation), set())))


def _pair(relation: Relation) -> frozenset[str]:
    direction = "" if relation.how in SAME else f" {relation.later}"
    return frozenset({relation.later, relation.earlier, direction})


def _judge_sides(facts: UnitFacts, relation: Relation, sides: set[int]) -> Answer:
    name = named_relation(facts, relation)
    if sides >= {1, 2}:
        return passes()
    if relation.sheet is None:
        return unknown(f"{name}: nobody says on which sheets it was entered")
    missing = [context for side, context in ((1, relation.later), (2, relation.earlier)) if side not in sides]
    return fails(f"{name} is not entered on the sheet of {listed([facts.label(context) for context in missing])}")


def _no_loops(facts: UnitFacts) -> Verdict:
    selves = {relation.later for relation in facts.relations if relation.later == relation.earlier}
    related = {side for relation in facts.relations for side in (relation.later, relation.earlier)}
    return verdict(_loop_answer(facts, context, selves, related) for context in facts.contexts)


def _loop_answer(facts: UnitFacts, context: Context, selves: set[str], related: set[str]) -> Answered:
    name = facts.label(context.id)
    if context.id in selves:
        return (context.id,), fails(f"{name} is recorded as later than itself")
    if context.id in facts.order.in_loop:
        loop = facts.order.in_loop[context.id]
        path = " over ".join(facts.label(step) for step in loop)
        first = facts.label(loop[0])
        return tuple(dict.fromkeys((context.id, *loop))), fails(f"{first} is recorded as earlier than itself: {path}")
    if context.id not in related:
        return (context.id,), unknown(f"{name} has no relations, so no loop through it could be seen")
    return (context.id,), passes()


def _not_floating(facts: UnitFacts) -> Verdict:
    tops = [context for context in facts.contexts if not facts.order.has_above(context.id)]
    return ask_each(facts.contexts, lambda context: _judge_floating(facts, context, len(tops)))


def _judge_floating(facts: UnitFacts, context: Context, tops: int) -> Answer:
    name = facts.label(context.id)
    ground = context.deposit_type in ("topsoil", "turf") or context.kind == "disturbance"
    if not facts.order.has_above(context.id) and tops > 1 and not ground:
        return fails(f"nothing is recorded above {name}, and it is not the only context at the top ({tops} are)")
    if facts.order.has_below(context.id) or context.natural or context.dug == 0:
        return passes()
    if context.kind in (None, "deposit") and context.natural is None:
        return unknown(f"nothing is recorded below {name}, and nobody says whether it is natural")
    return fails(f"nothing is recorded below {name}, and it is not natural")


def _cuts_proved(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("cut"), lambda context: _judge_cut(facts, context))


def _judge_cut(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a cut?")
    says = []
    if not facts.fills(context.id) and context.is_blank("open_because"):
        says.append("has no fill and no reason for it")
    proved = cuts_anything(facts.record, context.id)
    if proved is None:
        return unknown(f"{name}: the relation to what lies below does not say how")
    if not proved:
        says.append("cuts nothing on record")
    return fails(f"{name} {' and '.join(says)}") if says else passes()


def _fill_of_one(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("fill"), lambda context: _judge_fill(facts, context))


def _judge_fill(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a fill?")
    cuts = cuts_of_fill(facts.record, context)
    if not cuts:
        return fails(f"{name} belongs to no cut")
    if len(cuts) > 1:
        return fails(f"{name} is recorded as filling {listed(sorted(facts.label(cut) for cut in cuts))}: a fill has one cut")
    held = facts.record.get(Context, next(iter(cuts)))
    if held is None or held.kind is None:
        return unknown(f"{name} fills {facts.label(next(iter(cuts)))}, of which nobody says what it is")
    if held.kind not in ("cut", "structure"):
        return fails(f"{name} is recorded as filling {facts.label(held.id)}, which is a {held.kind}")
    return passes()


def _fills_ordered(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("cut"), lambda context: _judge_fill_order(facts, context))


def _judge_fill_order(facts: UnitFacts, cut: Context) -> Answer:
    order = facts.order
    fills = [fill for fill in facts.fills(cut.id) if order.knows(fill)]
    if len(fills) < 2:
        return skips()
    looped = [fill for fill in fills if fill in order.in_loop]
    if looped:
        return unknown(f"fills of {facts.label(cut.id)} lie in a loop: {listed([facts.label(fill) for fill in looped])}")
    fills.sort(key=order.rank)
    for upper, lower in pairwise(fills):
        if not order.same_time(upper, lower) and not order.below(upper, [lower]):
            return fails(
                f"{facts.label(upper)} and {facts.label(lower)}, both fills of {facts.label(cut.id)}, are not put in order"
            )
    return passes()


def _cut_from(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("cut"), lambda context: _judge_cut_from(facts, context))


def _judge_cut_from(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a cut?")
    if context.cut_from is None and "cut_from" not in context.absences:
        return fails(f"nobody says from which layer {name} was cut, or why that cannot be told")
    if context.cut_from is not None and context.is_blank("cut_from_shown"):
        return unknown(f"{name} was cut from {facts.label(context.cut_from)}, but no wall or section is named that shows it")
    return passes()


def _numbers(facts: UnitFacts) -> Verdict:
    contexts = facts.record.all(Context, void=True)
    if not contexts:
        return Verdict()
    site = (facts.record.site.id,)
    faults = number_faults(facts.record, Context)
    held: dict[str, list[str]] = {}
    for context in contexts:
        if context.number is not None:
            held.setdefault(context.number, []).append(context.id)
    answers: list[Answered] = [
        (tuple(held[number]), fails(f"the number {number} is used {len(held[number])} times")) for number in faults.twice
    ]
    if faults.skipped:
        answers.append(
            (site, fails(f"numbers skipped without a void record: {listed([str(number) for number in faults.skipped])}"))
        )
    if faults.blank:
        answers.append((site, unknown(f"without a number: {counted(faults.blank, 'context')}")))
    return verdict(answers or [(site, passes())])


RULES = (
    Rule(
        "B12",
        "Each relation is entered from both sides: on the sheet of the later and on that of the earlier context.",
        "Two entries made apart are a check on each other.",
        Severity.LOST,
        "relations",
        "Read the other context's sheet against the ground and enter the relation there as well.",
        "published recording manual",
        _both_sides,
        blocks=True,
    ),
    Rule(
        "B13",
        "No context is recorded as earlier than itself, once contexts that are the same are merged.",
        "A loop means that one observation is wrong; only the open hole can say which.",
        Severity.LOST,
        "contexts",
        "Look at each relation of the loop in the ground and mend the one that is wrong or belongs to another context.",
        "from memory (law of superposition)",
        _no_loops,
        blocks=True,
    ),
    Rule(
        "B14",
        "Every context except the natural and the ground surface has something above it and something below it.",
        "A floating context has no place in the order.",
        Severity.LOST,
        "contexts",
        "Find what lies above and below in plan or wall and enter it; mark the natural as natural.",
        "published recording manuals",
        _not_floating,
    ),
    Rule(
        "B15",
        "Every cut has a fill, or a reason for having none, and cuts something.",
        "A cut that cuts nothing is unproved.",
        Severity.LOST,
        "cuts",
        "Clean the edge and see what it cuts and what fills it, then enter both relations.",
        "published archives; our judgement",
        _cuts_proved,
        blocks=True,
    ),
    Rule(
        "B16",
        "Every fill belongs to exactly one cut or structure.",
        "A fill without its cut cannot be dated by it.",
        Severity.LOST,
        "fills",
        "Say which cut the fill belongs to; if it lies in two, give each part its own number.",
        "published archives",
        _fill_of_one,
    ),
    Rule(
        "B17",
        "The fills of one cut are put in order.",
        "The history of the feature is in its fills.",
        Severity.LOST,
        "cuts with several fills",
        "See in the half-section which fill lies on which and enter it.",
        "from memory",
        _fills_ordered,
    ),
    Rule(
        "B18",
        "For every cut it is said from which layer it was cut and where that is seen, or why it cannot be told.",
        "The layer it was cut from dates the feature.",
        Severity.LOST,
        "cuts",
        "Follow the edge of the cut up the wall and enter the layer at whose top it ends, and the wall.",
        "from memory",
        _cut_from,
        blocks=True,
    ),
    Rule(
        "B25",
        "No context number is used twice or skipped; void numbers are kept with their reason.",
        "Numbers used twice lose finds, levels and drawings.",
        Severity.RECOVERABLE,
        "contexts",
        "Give one of the two a new number on every sheet, bag and drawing; enter a skipped number as void, with the reason.",
        "published recording manuals",
        _numbers,
        whole_site=True,
    ),
)
