"""Rules on description: layers, cuts, interpretation, disturbance, edges, and what lies below."""

from __future__ import annotations

from baulk.closing.blank import listed, states_all, unanswered
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown
from baulk.record import Context, Unit

__all__ = ["RULES"]

_LAYER = ("colour_moist", "texture", "compaction", "inclusions")
_CUT = (
    "plan_shape", "length", "width", "depth", "break_top", "break_base", "side_slope", "side_shape", "base_shape", "orientation",
    "truncated",
)  # fmt: skip
_CUT_SEEN = ("plan_shape", "length", "width", "orientation", "truncated")
"""What a cut shows that is not dug."""

_EDGES = ("boundary", "edge_north", "edge_east", "edge_south", "edge_west")


def _layers(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("deposit", "fill"), lambda context: _judge_layer(facts, context))


def _judge_layer(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a layer or a fill?")
    wanting = unanswered(context, _LAYER)
    if context.thickness_max is None and not facts.left_undug(context):
        wanting += unanswered(context, ("thickness_min",))
    if not facts.outlines(context.id):
        wanting += unanswered(context, ("length", "width"))
    return fails(f"{name} has no {listed(wanting)}") if wanting else passes()


def _cuts(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("cut"), lambda context: _judge_cut(facts, context))


def _judge_cut(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a cut?")
    wanting = unanswered(context, _CUT_SEEN if facts.left_undug(context) else _CUT)
    if wanting:
        return fails(f"{name} has no {listed(wanting)}")
    open_words = [field for field in ("plan_shape", "break_top", "break_base") if getattr(context, field) == "not known"]
    return unknown(f"{name}: {listed(open_words).replace('_', ' ')} not known") if open_words else passes()


def _interpretations(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_interpretation(facts, context))


def _judge_interpretation(facts: UnitFacts, context: Context) -> Answer:
    if context.interpretation is None:
        return unknown(f"{facts.label(context.id)} has no interpretation to be weighed")
    answer = states_all(context, ("reasons", "confidence", "alternatives"))
    return answer if answer == passes() else fails(f"{facts.label(context.id)} has {answer.says}")


def _disturbance(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("deposit", "fill", "disturbance"), lambda context: _judge_disturbance(facts, context))


def _judge_disturbance(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind == "disturbance":
        return fails(f"{name} does not say what disturbed the ground") if context.is_blank("disturbance_type") else passes()
    if not context.is_blank("contamination"):
        return passes()
    if context.reliability == "poor":
        return fails(f"{name} is called unreliable, and nobody says what disturbed it")
    return unknown(f"{name}: nobody says whether roots, burrows or pipes disturbed it")


def _edges_clear(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("deposit", "fill"), lambda context: _judge_edges(facts, context))


def _judge_edges(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: is it a layer or a fill?")
    wanting = unanswered(context, _EDGES[1:] if facts.left_undug(context) else _EDGES)
    return fails(f"{name}: no clarity of {listed(wanting)}") if wanting else passes()


def _edges_typed(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_edge_types(facts, context))


def _judge_edge_types(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if context.kind == "disturbance":
        return skips()
    outlines = facts.outlines(context.id)
    if not outlines:
        return unknown(f"{name} has no outline in plan, so its edges are not known")
    for outline in outlines:
        sides, typed = len(outline.ring or ()), len(outline.edges or ())
        if sides != typed:
            return fails(f"{name}: {typed} of {sides} edges say whether they were seen, cut away or the limit of excavation")
    return passes()


def _what_lies_below(facts: UnitFacts) -> Verdict:
    return ask_each((facts.unit,), lambda unit: _judge_below(facts, unit))


def _judge_below(facts: UnitFacts, unit: Unit) -> Answer:
    if unit.stop_reason is None:
        if "stop_reason" in unit.absences:
            return fails(f"why the unit went no deeper is not said ({unit.absences['stop_reason']})")
        return unknown("why the unit went no deeper is blank")
    if unit.stop_reason == "natural reached":
        natural = [context for context in facts.contexts if context.natural]
        if not natural:
            return fails("the natural is said to be reached, but no context is marked as natural")
        levelled = any(facts.levels(context.id) for context in natural)
        return passes() if levelled else fails("the natural is said to be reached, but it has no level")
    if unit.stop_reason == "burial":
        return passes()  # no probe is asked for where there may be a grave
    if unit.is_blank("probe"):
        return fails(f"the unit stopped for “{unit.stop_reason}”, and nobody says what a probe below met or why none was made")
    return passes()


RULES = (
    Rule(
        "B26",
        "Every layer and fill has colour, composition, compaction, inclusions, thickness and extent.",
        "It cannot be seen again.",
        Severity.LOST,
        "layers and fills",
        "Describe it from the wall, where it still stands, or from what was left undug.",
        "published archives and state guidance",
        _layers,
        blocks=True,
    ),
    Rule(
        "B27",
        "Every cut has shape in plan, dimensions, breaks of slope, sides, base, orientation and truncation.",
        "It cannot be seen again.",
        Severity.LOST,
        "cuts",
        "Fill in what is missing at the empty cut; write “not visible” where the ground does not show it.",
        "published archives; from memory",
        _cuts,
        blocks=True,
    ),
    Rule(
        "B30",
        "Every interpretation has its reasons, how sure it is, and at least one alternative or “not applicable”.",
        "The reasons are known only now.",
        Severity.LOST,
        "contexts",
        "Ask who dug it why it is taken for that, and what else it may be.",
        "practitioners' forum, read",
        _interpretations,
    ),
    Rule(
        "B31",
        "Disturbance is logged for every layer: roots, burrows, pipes, earlier digs, or none.",
        "It puts later things into earlier layers.",
        Severity.LOST,
        "layers, fills and disturbances",
        "Look for roots, burrows and mixing and enter them, or “none seen”.",
        "published state guidance",
        _disturbance,
    ),
    Rule(
        "B32",
        "The clarity of every edge of a layer, and of its boundary below, is stated.",
        "It bears on “same as” and on how far finds can be trusted.",
        Severity.LOST,
        "layers and fills",
        "Say of each edge whether it is clear, diffuse, not seen, cut away or beyond the limit.",
        "published archive",
        _edges_clear,
    ),
    Rule(
        "B33",
        "Every edge of every outline says what it is: seen, uncertain, cut away, limit of excavation.",
        "Else the unit's wall is read as the edge of a feature.",
        Severity.LOST,
        "contexts",
        "Walk round the outline and say of each edge what it is.",
        "from memory",
        _edges_typed,
    ),
    Rule(
        "B34",
        "The natural was reached and levelled, or it is said why not and what a probe below met.",
        "“Nothing deeper” is a claim.",
        Severity.LOST,
        "units",
        "Probe below the base and enter what it met, or why it was not done.",
        "published state guidance",
        _what_lies_below,
    ),
)
