"""Rules on plans and on the drawing register."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from baulk.closing.blank import listed, unanswered
from baulk.closing.facts import PLANS, UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import Context, Drawing, Photo

__all__ = ["RULES"]


def _base(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_base(facts))])


def _judge_base(facts: UnitFacts) -> Answer:
    unit, needed = facts.unit, int(facts.limits.base_levels_needed)
    if unit.base_levels is None and "base_levels" not in unit.absences:
        return unknown("the levels of the final base are blank")
    count = len(unit.base_levels or ())
    if count < needed:
        return fails(f"the final base has {count} levels of {needed} ({unit.absences.get('base_levels', 'entered')})")
    return _judge_base_plan(facts)


def _judge_base_plan(facts: UnitFacts) -> Answer:
    if any(drawing.kind == "base plan" for drawing in facts.drawings):
        return passes()
    if any(drawing.kind is None for drawing in facts.drawings):
        return unknown("the kind of a drawing is blank: is it the base plan?")
    return fails("no base plan is in the drawing register")


def _base_plan(facts: UnitFacts) -> Verdict:
    answer = _judge_base_plan(facts)
    if answer == passes() and facts.unit.is_blank("unexcavated"):
        answer = unknown("nobody says how much of the unit was left undug")
    return verdict([((facts.unit.id,), answer)])


def _each_planned(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_planned(facts, context))


def _judge_planned(facts: UnitFacts, context: Context) -> Answer:
    if context.kind == "disturbance" or facts.outlines(context.id):
        return skips() if context.kind == "disturbance" else passes()
    drawn = facts.record.pointing_at(Drawing, "contexts", context.id)
    if any(drawing.kind in PLANS for drawing in drawn):
        return passes()
    name = facts.label(context.id)
    if any(drawing.contexts is None for drawing in facts.plans) or any(drawing.kind is None for drawing in drawn):
        return unknown(f"{name} has no outline, and a drawing does not say what kind it is or which contexts it shows")
    return fails(f"{name} is on no plan")


def _plans_complete(facts: UnitFacts) -> Verdict:
    return ask_each(facts.plans, lambda drawing: _judge_plan(facts, drawing))


def _judge_plan(facts: UnitFacts, drawing: Drawing) -> Answer:
    name = f"drawing {drawing.number or 'without a number'}"
    wanting = unanswered(drawing, ("scale", "drawn_on", "drawn_by", "checked_by"))
    needed = int(facts.limits.grid_points_needed)
    if drawing.grid_points is not None and drawing.grid_points < needed:
        wanting.append(f"{needed} grid points (there are {drawing.grid_points})")
    if drawing.north is False:
        wanting.append("north arrow")
    if drawing.kind is None:
        return unknown(f"{name}: its kind is blank: is it a plan?")
    if wanting:
        return fails(f"{name} has no {listed(wanting)}")
    blank = unanswered(drawing, ("grid_points", "north"))
    return unknown(f"{name}: nobody says whether it has {listed(blank)}") if blank else passes()


def _features(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind("cut"), lambda context: _judge_feature(facts, context))


def _judge_feature(facts: UnitFacts, cut: Context) -> Answer:
    if facts.left_undug(cut):
        return skips()
    if cut.kind is None:
        return unknown(f"the kind of {facts.label(cut.id)} is blank: is it a cut?")
    parts = (cut.id, *facts.fills(cut.id))
    drawings = [drawing for part in parts for drawing in facts.record.pointing_at(Drawing, "contexts", part)]
    photos = [photo for part in parts for photo in facts.record.pointing_at(Photo, "contexts", part)]
    stages = {photo.stage for photo in photos} | {drawing.stage for drawing in drawings}
    missing = []
    if not any(drawing.kind in PLANS and drawing.stage == "before" for drawing in drawings):
        missing.append("plan before digging")
    if not any(drawing.kind in ("section", "profile") for drawing in drawings) and not _on_a_wall(facts, parts):
        missing.append("section or profile at half")
    if "after" not in stages:
        missing.append("plan or photo when empty")
    if not missing:
        return passes()
    if None in stages or any(drawing.kind is None for drawing in drawings):
        return unknown(f"{facts.label(cut.id)}: the kind or stage of a drawing or photo is blank; not found: {listed(missing)}")
    return fails(f"{facts.label(cut.id)} has no {listed(missing)}")


def _on_a_wall(facts: UnitFacts, parts: tuple[str, ...]) -> bool:
    return any(shape.context in parts for wall in facts.walls for shape in facts.on_wall(wall.id))


def _register(facts: UnitFacts) -> Verdict:
    return ask_each(facts.drawings, _judge_sheet)


def _judge_sheet(drawing: Drawing) -> Answer:
    if drawing.number is None:
        return unknown("a drawing has no number: is the register complete?")
    if drawing.file is None:
        return fails(f"drawing {drawing.number} is not scanned or photographed")
    return passes()


def _coverage(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_coverage(facts))])


def _judge_coverage(facts: UnitFacts) -> Answer:
    """Hold the ground drawn up to each phase, taken together with what was drawn before it, beside the unit."""
    if facts.area is None or not facts.plan_shapes:
        return unknown("the corners of the unit, or all outlines in plan, are blank")
    by_phase: dict[int, list[BaseGeometry]] = {}
    for context in facts.contexts:
        if context.id in facts.plan_shapes and context.phase is not None:
            by_phase.setdefault(context.phase, []).append(facts.plan_shapes[context.id])
    if not by_phase:
        return unknown("no context that is drawn in plan has a phase")
    allowed = (facts.unit.unexcavated or 0.0) + facts.limits.coverage_missing
    covered: BaseGeometry = shapely.Polygon()
    for phase in sorted(by_phase):
        covered = shapely.union_all([covered, *by_phase[phase]])
        bare = 100 * facts.area.difference(covered).area / facts.area.area
        if bare > allowed:
            words = f"plans up to phase {phase} leave {bare:.0f} percent of the unit bare; {allowed:.0f} percent are allowed"
            whole = all(context.id in facts.plan_shapes and context.phase is not None for context in facts.contexts)
            return fails(words) if whole else unknown(f"{words}, but contexts without outline or phase may lie there")
    return passes()


RULES = (
    Rule(
        "B08",
        "The final base of the unit has at least five levels and stands on a base plan.",
        "How deep it was dug is what the next digger needs.",
        Severity.LOST,
        "units",
        "Level the corners and the middle of the base, and draw the base plan.",
        "published state guidance; the number of levels is common practice, no source",
        _base,
        blocks=True,
    ),
    Rule(
        "B39",
        "Every context has a plan of its own or shares one.",
        "Its extent cannot be seen again.",
        Severity.LOST,
        "contexts",
        "Draw what is left of it, or list the context on the plan that shows it.",
        "published drawing standard; published recording manual",
        _each_planned,
        blocks=True,
    ),
    Rule(
        "B40",
        "Every plan has two grid points, north, scale, date, initials and a checker.",
        "Without them it cannot be placed or trusted.",
        Severity.LOST,
        "plans",
        "Complete the sheet beside the unit and let a second person check it.",
        "published drawing standards",
        _plans_complete,
    ),
    Rule(
        "B41",
        "Every feature has a plan before digging, a section or profile at half, and a plan or photo when empty.",
        "Each stage is seen once.",
        Severity.LOST,
        "cuts that were dug",
        "Draw and photograph the stage that is still to be seen, and enter the stages.",
        "published state guidance",
        _features,
    ),
    Rule(
        "B43",
        "A base plan shows the end of the dig, and it is said what was left undug.",
        "The next digger must know where the ground is untouched.",
        Severity.LOST,
        "units",
        "Draw the base plan with what was left and the lines of the sections.",
        "common practice, no source",
        _base_plan,
    ),
    Rule(
        "B44",
        "Every sheet of the drawing register has a number and is scanned or photographed.",
        "Sheets blow away.",
        Severity.RECOVERABLE,
        "drawings",
        "Photograph every sheet before leaving the site.",
        "published drawing standard; published archive guidance",
        _register,
    ),
    Rule(
        "B45",
        "Up to every phase the plans together cover the unit, but for what was left undug.",
        "Shows holes in what was drawn.",
        Severity.LOST,
        "units",
        "Draw the outlines that are missing, or say how much was left undug.",
        "our judgement",
        _coverage,
    ),
)
