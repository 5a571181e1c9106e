"""Rules on finds, samples and how they were recovered."""

from __future__ import annotations

import re

from baulk.closing.blank import counted, listed
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import Context, Find, FollowUp, Sample, terms_of

__all__ = ["RULES"]

_LOOSE = ("spoil heap", "unstratified")
_DATING = ("radiocarbon", "timber", "mortar")


def _bags(facts: UnitFacts) -> Verdict:
    return ask_each(facts.record.all(Find), lambda find: _judge_bag(facts, find))


def _judge_bag(facts: UnitFacts, find: Find) -> Answer:
    name = f"find {find.number or 'without a number'}"
    held = facts.record.get(Context, find.context)
    if find.context is None and find.recovery not in _LOOSE:
        return fails(f"{name} has no context")
    if find.context is not None and held is None:
        return fails(f"{name} names a context that is not on record")
    if held is not None and held.void is not None:
        return fails(f"{name} names context {held.number}, which is void")
    return unknown(f"{name} was not counted") if find.is_blank("count") else passes()


def _recovery(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("deposit", "fill"), lambda context: _judge_recovery(facts, context))


def _judge_recovery(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if facts.left_undug(context):
        return skips()
    if context.kind is None:
        return unknown(f"the kind of {name} is blank: was soil dug from it?")
    if context.is_blank("sieved") or context.absences.get("sieved", "").startswith("not done"):
        return fails(f"nobody says how much of {name} was sieved")
    if facts.unit.is_blank("recovery") or facts.unit.is_blank("mesh"):
        return unknown(f"{name}: the mesh, or how finds were recovered, is blank for the unit")
    return passes()


def _volumes(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("deposit", "fill"), lambda context: _judge_volume(facts, context))


def _judge_volume(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    if facts.left_undug(context) or context.absences.get("litres") == "not applicable":
        return skips()
    computed = _computed_litres(facts, context)
    if context.litres is None or context.dug is None or computed is None:
        return unknown(f"{name}: buckets, share dug, outline or thickness is blank")
    off = 100 * (context.litres - computed) / computed
    if abs(off) > facts.limits.volume_share:
        return fails(f"{context.litres:.0f} litres were counted from {name}, {computed:.0f} computed ({off:+.0f} percent)")
    return passes()


def _computed_litres(facts: UnitFacts, context: Context) -> float | None:
    shape = facts.plan_shapes.get(context.id)
    tops, bases = facts.levels(context.id, "top"), facts.levels(context.id, "base")
    if tops and bases:
        thickness = sum(level.level or 0.0 for level in tops) / len(tops) - sum(level.level or 0.0 for level in bases) / len(bases)
    elif context.thickness_min is not None and context.thickness_max is not None:
        thickness = (context.thickness_min + context.thickness_max) / 2
    else:
        return None
    if shape is None or thickness <= 0 or not context.dug:
        return None
    return float(shape.area) * thickness * facts.metres**3 * 1000 * context.dug / 100


_CLAUSE_END = re.compile(r"[;.\n]|, ")
_CONDITION = re.compile(r"\bif\b|\b(?:where|when|should)\s+(?:any|found|met|present|seen|there)\b")
_NO_MORTAR = ("none (dry)", "earth")


def _samples(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_plan(facts)), *(((sample.id,), _judge_sample(sample)) for sample in facts.samples)])


def _judge_plan(facts: UnitFacts) -> Answer:
    plan = facts.unit.sampling_plan
    if plan is None:
        absence = facts.unit.absences.get("sampling_plan", "")
        return passes() if absence == "not applicable" else unknown("the sampling plan of the unit is blank")
    clauses = _CLAUSE_END.split(plan.lower())
    named = _kinds_named(" ; ".join(clause for clause in clauses if not _CONDITION.search(clause)))
    conditional = [kind for kind in _kinds_named(" ; ".join(clauses)) if kind not in named]
    taken = {sample.type for sample in facts.samples}
    met = {kind: _was_met(facts, kind) for kind in conditional if kind not in taken}
    missing = [kind for kind in (*named, *(kind for kind, seen in met.items() if seen)) if kind not in taken]
    if missing:
        return fails(f"the sampling plan names {listed([*named, *conditional])}; not taken: {listed(missing)}")
    if open_ones := [kind for kind, seen in met.items() if seen is None]:
        return unknown(
            f"the sampling plan asks for {listed(open_ones)} if any is met; none was taken, and nobody says whether it was met"
        )
    if named or conditional:
        return passes()
    return unknown("the sampling plan names no kind of sample that can be looked for")


def _kinds_named(words: str) -> list[str]:
    return [kind for kind in terms_of("sample_type").terms if kind != "other" and re.search(rf"\b{kind}\b", words)]


def _was_met(facts: UnitFacts, kind: str) -> bool | None:
    """Tell whether a material that was to be sampled if met was met; None when the record cannot tell."""
    if kind != "mortar":
        return None
    agents = [context.bonding_agent for context in facts.of_kind("structure")]
    if any(agent is not None and agent not in _NO_MORTAR for agent in agents):
        return True
    return None if any(agent is None for agent in agents) else False


def _judge_sample(sample: Sample) -> Answer:
    name = f"sample {sample.number or 'without a number'}"
    if sample.labelled is False:
        return fails(f"{name} is not labelled inside and out")
    if sample.labelled is None or sample.is_blank("containers"):
        return unknown(f"{name}: nobody says whether it is labelled, or in how many containers it is")
    return passes()


def _key_contexts(facts: UnitFacts) -> Verdict:
    if facts.contexts and all(context.key_context is None for context in facts.contexts):
        return verdict([((facts.unit.id,), unknown("nobody says which contexts are key to the order or to a question"))])
    return ask_each((context for context in facts.contexts if context.key_context), lambda context: _judge_key(facts, context))


def _judge_key(facts: UnitFacts, context: Context) -> Answer:
    if context.id in facts.in_burials:
        return skips()
    dated = context.spot_begin is not None or any(
        find.begin is not None for find in facts.record.pointing_at(Find, "context", context.id)
    )
    kinds = {sample.type for sample in facts.record.pointing_at(Sample, "context", context.id)}
    if dated or kinds & set(_DATING):
        return passes()
    return fails(f"key context {facts.label(context.id)} has neither a dated find nor a radiocarbon, timber or mortar sample")


def _left_in_place(facts: UnitFacts) -> Verdict:
    return ask_each(facts.finds, _judge_left)


def _judge_left(find: Find) -> Answer:
    name = f"find {find.number or 'without a number'}"
    if find.status is None:
        return unknown(f"{name}: nobody says whether it was lifted")
    if find.status != "left in place":
        return passes()
    wanting = [field for field in ("easting", "northing", "level") if getattr(find, field) is None]
    return fails(f"{name} was left in place without {listed(wanting)}") if wanting else passes()


def _later_below(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_later_below(facts, context))


def _judge_later_below(facts: UnitFacts, context: Context) -> Answer:
    name = facts.label(context.id)
    finds = facts.record.pointing_at(Find, "context", context.id)
    if not finds:
        return skips()
    own = facts.site.latest_finds.get(context.id)
    if own is None:
        return unknown(f"{name} has {counted(len(finds), 'find')}, none dated")
    if context.id in facts.order.in_loop:
        return unknown(f"{name} lies in a loop, so what is below it is not known")
    year, below = facts.site.latest_below.get(context.id, (own, context.id))
    if year <= own or _looked_at(facts, context.id, below):
        return passes()
    return fails(
        f"{facts.label(below)}, below {name}, holds a find made in or after {year}, {name} none made later than in or after {own}"
    )


def _looked_at(facts: UnitFacts, *contexts: str) -> bool:
    return any(facts.record.pointing_at(FollowUp, "contexts", context) for context in contexts)


def _spoil_apart(facts: UnitFacts) -> Verdict:
    return ask_each(facts.finds, _judge_spoil)


def _judge_spoil(find: Find) -> Answer:
    name = f"find {find.number or 'without a number'}"
    if find.recovery is None:
        return unknown(f"{name}: how it was recovered is blank")
    return fails(f"{name} comes from the {find.recovery} and is booked to a layer") if find.recovery in _LOOSE else passes()


RULES = (
    Rule(
        "B52",
        "Every bag has a context that is on record and not void, and is counted.",
        "A find without its layer dates nothing.",
        Severity.LOST,
        "finds",
        "Look the bag's label up and mend the register; count the bags against it.",
        "published finds guidance",
        _bags,
        whole_site=True,
    ),
    Rule(
        "B53",
        "Every layer and fill that was dug states how much was sieved, and the unit its mesh and recovery.",
        "Otherwise the absence of finds means nothing.",
        Severity.LOST,
        "layers and fills",
        "Enter the share sieved from the diary; sieve what is still on the heap apart.",
        "published state guidance",
        _recovery,
        blocks=True,
    ),
    Rule(
        "B54",
        "The volume counted in buckets agrees with the volume computed from outline and levels.",
        "Densities rest on it, and it shows a missed spit.",
        Severity.LOST,
        "layers and fills",
        "Look for a missed bucket count, a wrong level or an outline that is too large.",
        "field seen in published archive; the check is our judgement",
        _volumes,
    ),
    Rule(
        "B55",
        "Every kind of sample in the plan was taken; every sample is labelled inside and out and counted.",
        "There is no second chance.",
        Severity.LOST,
        "samples and the plan",
        "Take the sample from the wall, label it twice and enter it.",
        "published guidance; published archive register",
        _samples,
        blocks=True,
    ),
    Rule(
        "B56",
        "Every key context has a dated find or a sample that could date it.",
        "Nobody can go back for it.",
        Severity.LOST,
        "key contexts",
        "Take charcoal, timber or mortar from the key context while it is open.",
        "from memory; published guidance",
        _key_contexts,
    ),
    Rule(
        "B57",
        "Every find left in place has a position.",
        "Else it is thought lost.",
        Severity.LOST,
        "finds",
        "Measure the position and enter it.",
        "published finds guidance",
        _left_in_place,
    ),
    Rule(
        "B58",
        "Where a lower layer holds a later find than a layer above it, the spot was looked at while open.",
        "It is an intrusive find, a missed cut, a wrong relation, or older finds in the upper layer.",
        Severity.LOST,
        "contexts with finds",
        "Look at the spot for a cut or burrow, and enter a follow-up on both layers with what was seen.",
        "published dating guides; the rule is our judgement",
        _later_below,
    ),
    Rule(
        "B59",
        "Finds from spoil and loose ground are kept apart from the layers.",
        "They would put later things into earlier layers.",
        Severity.RECOVERABLE,
        "finds",
        "Take the find off the layer and book it as unstratified.",
        "press report, read; our judgement",
        _spoil_apart,
    ),
)
