"""Rules that the house does not ask and that some jurisdictions do; a profile adds them."""

from __future__ import annotations

from baulk.closing.blank import counted, listed
from baulk.closing.facts import PLANS, UnitFacts
from baulk.closing.photos import faces_of
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.closing.sections import drawn_faces
from baulk.record import Context, Drawing, Find

__all__ = ["RULES"]

_ROUND = ("north", "east", "south", "west")


def _some_walls(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_walls(facts))])


def _judge_walls(facts: UnitFacts) -> Answer:
    needed, drawn = int(facts.limits.walls_to_draw), drawn_faces(facts)
    words = f"{len(drawn)} of {needed} walls are drawn"
    if len(drawn) < needed:
        blank = any(wall.face is None for wall in facts.walls) or not faces_of(facts)
        return unknown(f"{words}; a wall does not say which face it is") if blank else fails(words)
    if not facts.limits.walls_contiguous or any(_run(drawn, start, needed) for start in range(4)):
        return passes()
    return fails(f"the walls drawn ({listed(sorted(drawn))}) do not meet at a corner; {needed} that do are asked for")


def _run(drawn: frozenset[str], start: int, length: int) -> bool:
    return all(_ROUND[(start + step) % 4] in drawn for step in range(length))


def _sterile(facts: UnitFacts) -> Verdict:
    lowest = [context for context in facts.contexts if context.kind == "deposit" and not facts.order.has_below(context.id)]
    if facts.unit.stop_reason == "burial":
        return Verdict()  # no deeper digging is asked for where there may be a grave
    if not lowest:
        return verdict([((facts.unit.id,), unknown("which deposit is the lowest cannot be told from the relations"))])
    return ask_each(lowest, lambda context: _judge_sterile(facts, context))


def _judge_sterile(facts: UnitFacts, context: Context) -> Answer:
    name, needed = facts.label(context.id), facts.limits.sterile_depth
    finds = facts.record.pointing_at(Find, "context", context.id)
    if finds:
        return fails(
            f"{name}, the lowest, holds {counted(len(finds), 'find')}: {needed * 100:.0f} cm without finds below them are asked for"
        )
    if context.thickness_max is None:
        return unknown(f"{name}: how deep it was dug is blank")
    dug = context.thickness_max * facts.metres
    return (
        passes()
        if dug >= needed - 1e-9
        else fails(f"{name} was dug {dug * 100:.0f} cm without finds; {needed * 100:.0f} cm are asked for")
    )


def _mesh(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_mesh(facts))])


def _opening(millimetres: float) -> str:
    """Return an opening of a sieve in millimetres and inches."""
    return f"{millimetres:g} mm ({millimetres / 25.4:.3g} in)"


def _judge_mesh(facts: UnitFacts) -> Answer:
    mesh, widest = facts.unit.mesh, facts.limits.largest_mesh
    if mesh is None:
        return unknown("the mesh of the sieve is blank")
    return passes() if mesh <= widest + 1e-9 else fails(f"the mesh is {_opening(mesh)}; {_opening(widest)} is the widest allowed")


def _scales(facts: UnitFacts) -> Verdict:
    return ask_each(facts.drawings, lambda drawing: _judge_scale(facts, drawing))


def _judge_scale(facts: UnitFacts, drawing: Drawing) -> Answer:
    name = f"drawing {drawing.number or 'without a number'}"
    if drawing.kind is None or drawing.scale is None:
        return unknown(f"{name}: its kind or scale is blank")
    if drawing.kind not in (*PLANS, "section", "profile"):
        return skips()
    smallest = facts.limits.plan_scale if drawing.kind in PLANS else facts.limits.section_scale
    return passes() if drawing.scale <= smallest else fails(f"{name} is drawn at 1:{drawing.scale:g}; 1:{smallest:g} is asked for")


RULES = (
    Rule(
        "P01",
        "As many walls of the unit are drawn as the jurisdiction asks for, meeting at a corner where it asks for that.",
        "The agency asks for it.",
        Severity.LOST,
        "units",
        "Clean, string and draw another wall.",
        "published state guidance",
        _some_walls,
        blocks=True,
    ),
    Rule(
        "P02",
        "The lowest deposit was dug without finds for as deep as the jurisdiction asks.",
        "It shows that nothing lies deeper.",
        Severity.LOST,
        "lowest deposits",
        "Dig on in the lowest deposit, if only in a corner, and enter how deep.",
        "published state guidance",
        _sterile,
    ),
    Rule(
        "P03",
        "The mesh of the sieve is no wider than the jurisdiction allows.",
        "A wider mesh loses small finds.",
        Severity.LOST,
        "units",
        "Sieve what is left through the finer mesh, or explain the wider one to the agency.",
        "published state guidance",
        _mesh,
    ),
    Rule(
        "P04",
        "Plans and sections are drawn at the scale that the jurisdiction asks for, or larger.",
        "Detail cannot be added later.",
        Severity.LOST,
        "drawings",
        "Draw it again at the larger scale while the unit is open.",
        "published drawing standards",
        _scales,
    ),
)
