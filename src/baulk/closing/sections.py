"""Rules on the drawn walls of the unit."""

from __future__ import annotations

import shapely
from shapely import LineString

from baulk.closing.blank import listed, unanswered
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Answered, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import Drawing, Wall

__all__ = ["RULES", "drawn_faces"]


def drawn_faces(facts: UnitFacts) -> frozenset[str]:
    """Return the faces of the unit that are drawn: shapes are on record for the wall, or a section drawing names it."""
    return frozenset(
        wall.face
        for wall in facts.walls
        if wall.face is not None
        and (facts.on_wall(wall.id) or any(found.kind == "section" for found in facts.record.pointing_at(Drawing, "wall", wall.id)))
    )


def _walls_drawn(facts: UnitFacts) -> Verdict:
    unit = facts.unit
    if not unit.walls_with_layers:
        absence = unit.absences.get("walls_with_layers", "")
        if absence in ("not applicable", "not visible"):
            return verdict([((unit.id,), passes())])
        return verdict([((unit.id,), unknown("nobody says in which walls of the unit layers can be seen"))])
    drawn = drawn_faces(facts)
    walls = {wall.face: wall.id for wall in facts.walls}
    answers: list[Answered] = [
        ((walls.get(face, unit.id),), passes() if face in drawn else fails(f"the {face} wall shows layers and is not drawn"))
        for face in unit.walls_with_layers
    ]
    return verdict(answers)


def _placed(facts: UnitFacts) -> Verdict:
    return ask_each(facts.walls, lambda wall: _judge_placed(facts, wall))


def _judge_placed(facts: UnitFacts, wall: Wall) -> Answer:
    name = _named(wall)
    wanting = unanswered(wall, ("ends", "string_level"))
    if wanting or wall.ends is None:
        return fails(f"{name} has no {listed(wanting) or 'ends'}")
    if wall.ends[0] == wall.ends[-1]:
        return fails(f"both ends of {name} have the same grid position")
    if facts.area is None:
        return unknown(f"{name}: the corners of the unit are blank, so its ends cannot be held beside them")
    away = max(facts.area.boundary.distance(shapely.Point(end)) for end in (wall.ends[0], wall.ends[-1])) * facts.metres
    if away > facts.limits.place_tolerance:
        return fails(f"an end of {name} lies {away:.2f} m from the side of the unit")
    return passes()


def _named(wall: Wall) -> str:
    return f"wall {wall.number}" if wall.number else f"the {wall.face or 'unnamed'} wall"


def _all_numbered(facts: UnitFacts) -> Verdict:
    return ask_each(facts.walls, lambda wall: _judge_numbered(facts, wall))


def _judge_numbered(facts: UnitFacts, wall: Wall) -> Answer:
    name = _named(wall)
    shapes = facts.on_wall(wall.id)
    if not shapes:
        return skips()
    blank = sum(shape.context is None for shape in shapes)
    if blank:
        return fails(f"{blank} of {len(shapes)} shapes on {name} carry no context number")
    if wall.ends is None:
        return unknown(f"{name}: its ends are blank, so what touches it in plan is not known")
    shown = {shape.context for shape in shapes}
    line = LineString(wall.ends).buffer(facts.limits.touch_distance / facts.metres, cap_style="flat")
    least = facts.limits.wall_touch * 2 * facts.limits.touch_distance / facts.metres**2
    missing = [
        context
        for context, shape in facts.plan_shapes.items()
        if context not in shown and shape.intersection(line).area > least / 2
    ]
    if missing:
        return fails(f"{listed([facts.label(context) for context in missing])} touch {name} in plan and are not on its drawing")
    undrawn = [context for context in facts.context_ids - shown if context not in facts.plan_shapes]
    if undrawn:
        return unknown(f"{name}: {len(undrawn)} contexts have no outline in plan, so whether they reach it is not known")
    return passes()


def _depths_agree(facts: UnitFacts) -> Verdict:
    return ask_each(facts.walls, lambda wall: _judge_depths(facts, wall))


def _judge_depths(facts: UnitFacts, wall: Wall) -> Answer:
    name, unit, metres = _named(wall), facts.unit, facts.metres
    if wall.surface_line is None or wall.ends is None or not unit.corners or len(unit.opening_levels or ()) < len(unit.corners):
        return unknown(f"{name}: its ground line, its ends, or the corners and opening levels of the unit are blank")
    if wall.base_line is None or not unit.base_levels:
        return unknown(f"{name}: its limit below, or the base levels of the unit, are blank")
    tolerance = facts.limits.section_tolerance
    heights = list(zip(unit.corners, unit.opening_levels or (), strict=False))
    for end, drawn in ((wall.ends[0], wall.surface_line[0][1]), (wall.ends[-1], wall.surface_line[-1][1])):
        here = shapely.Point(end)
        _, opening = min(heights, key=lambda corner: here.distance(shapely.Point(corner[0])))
        by = (drawn - opening) * metres
        if abs(by) > tolerance:
            return fails(f"the ground at an end of {name} is drawn {by * 1000:+.0f} mm from the opening level of that corner")
    lowest = min(level for _, level in wall.base_line)
    over, under = (lowest - max(unit.base_levels)) * metres, (min(unit.base_levels) - lowest) * metres
    if max(over, under) > tolerance:
        return fails(
            f"the foot of {name} is drawn {max(over, under) * 1000:.0f} mm {'above' if over > under else 'below'} the base levels"
        )
    return passes()


RULES = (
    Rule(
        "B35",
        "Every wall in which layers can be seen is drawn, or it is said why not.",
        "The wall is the proof.",
        Severity.LOST,
        "walls of the unit",
        "Clean, string and draw the wall, and enter its shapes.",
        "published state guidance asks for one or two walls; all walls is our judgement",
        _walls_drawn,
        blocks=True,
    ),
    Rule(
        "B36",
        "Both ends of every drawn wall have grid positions and the string line has a level.",
        "A floating section cannot be joined to anything.",
        Severity.LOST,
        "walls",
        "Measure both ends from the corners and level the string before it is taken down.",
        "published drawing standard",
        _placed,
        blocks=True,
    ),
    Rule(
        "B37",
        "Every shape on a drawn wall carries a context number, and every context that touches the wall in plan is on it.",
        "A layer without a number is in no register.",
        Severity.LOST,
        "walls",
        "Hold drawing and wall beside each other and number every layer and cut line.",
        "published drawing standard",
        _all_numbered,
        blocks=True,
    ),
    Rule(
        "B38",
        "The drawn ground line and foot of every wall agree with the opening and base levels.",
        "Catches a slack string.",
        Severity.LOST,
        "walls",
        "Tighten and level the string again, and measure both ends of the wall.",
        "practitioners' forum, read; the tolerance is our judgement",
        _depths_agree,
    ),
)
