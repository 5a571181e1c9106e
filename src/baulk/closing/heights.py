"""Rules on levels: the levels book, opening and closing levels, and what lies above what."""

from __future__ import annotations

from datetime import date

from baulk.closing.blank import listed
from baulk.closing.facts import UnitFacts
from baulk.closing.levels_book import CheckedRun
from baulk.closing.rule import Answer, Answered, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.grid.length_format import format_difference
from baulk.record import Context, Level, LevelRun
from baulk.sequence.level_pairs import HeldLevels, TooHigh, hold_levels

__all__ = ["RULES"]

_BOTH = ("deposit", "fill", "cut")
_TOP_ONLY = ("structure", "surface", "timber")


def _datum_on_last_day(facts: UnitFacts) -> Verdict:
    return verdict([_judge_last_day(facts)])


def _judge_last_day(facts: UnitFacts) -> Answered:
    unit = facts.unit
    days = [entry.day for entry in facts.days if entry.day]
    last = unit.closed or (days[-1] if days else None)
    if last is None:
        return (unit.id,), unknown("the last day of the unit is not on record: neither a closing date nor a diary day")
    runs = facts.site.runs_by_day.get(last, ())
    if not runs:
        return (unit.id,), fails(f"no levels run is booked on the last day, {last}")
    answers = [(run, _judge_run(facts.site.checked_runs[run.id])) for run in runs]
    for run, answer in answers:
        if answer.outcome == "pass":
            return (run.id,), answer
    run, answer = answers[0]
    return (run.id,), answer


def _runs_close(facts: UnitFacts) -> Verdict:
    runs = facts.record.all(LevelRun)
    if not runs:
        return verdict([((facts.record.site.id,), unknown("no levels run is on record"))])
    return ask_each(runs, lambda run: _judge_run(facts.site.checked_runs[run.id], f"run {run.number or ''}: "))


def _judge_run(checked: CheckedRun, name: str = "") -> Answer:
    if checked.refused:
        return fails(f"{name}{checked.refused}")
    if checked.closure is not None and checked.closure.within is False:
        return fails(f"{name}{checked.closure.statement}")
    if checked.faults:
        return fails(f"{name}{'; '.join(str(fault) for fault in checked.faults[:3])}")
    if checked.closure is None:
        return unknown(f"{name}{checked.blank}")
    return unknown(f"{name}{checked.closure.statement}") if checked.closure.within is None else passes()


def _two_peg(facts: UnitFacts) -> Verdict:
    return ask_each(facts.record.all(LevelRun), lambda run: _judge_two_peg(facts, run))


def _judge_two_peg(facts: UnitFacts, run: LevelRun) -> Answer:
    if run.two_peg_on is None or run.day is None:
        return unknown(f"run {run.number or ''}: the day of the run or of its two-peg check is blank")
    age = (date.fromisoformat(run.day) - date.fromisoformat(run.two_peg_on)).days
    if 0 <= age <= facts.limits.two_peg_days:
        return passes()
    return fails(f"run {run.number or ''}: the two-peg check is {age} days from the run; {facts.limits.two_peg_days:g} are allowed")


def _opened_and_closed(facts: UnitFacts) -> Verdict:
    return ask_each(facts.of_kind(*_BOTH, *_TOP_ONLY), lambda context: _judge_surfaces(facts, context))


def _judge_surfaces(facts: UnitFacts, context: Context) -> Answer:
    tops, bases = facts.levels(context.id, "top"), facts.levels(context.id, "base")
    if tops and bases:
        return passes()
    if not tops:
        return fails(f"{facts.label(context.id)} has no level on its top")
    if context.kind in _TOP_ONLY:
        return _judge_left(facts, context)
    if facts.left_undug(context):
        return passes()
    if context.kind is None or (context.dug is None and context.kind != "cut"):
        return unknown(f"{facts.label(context.id)} has no level on its base, and nobody says whether it was dug")
    return fails(f"{facts.label(context.id)} has no level on its base")


def _judge_left(facts: UnitFacts, context: Context) -> Answer:
    if context.left_in_place:
        return passes()
    if context.left_in_place is None:
        return unknown(f"{facts.label(context.id)} has no level on its base, and nobody says whether it stays in the ground")
    return fails(f"{facts.label(context.id)} was lifted and has no level under it")


def _above_is_above(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_heights(facts, context))


def _by(facts: UnitFacts, found: TooHigh) -> str:
    return format_difference(found.by, facts.record.length_unit)


def _judge_heights(facts: UnitFacts, context: Context) -> Answer:
    if context.kind == "disturbance":
        return skips()
    tops, bases = facts.levels(context.id, "top"), facts.levels(context.id, "base")
    own = _too_high(facts, tops, bases)
    compared = own.compared
    says = [f"its base is {_by(facts, one)} above its top at about the same point ({one.words})" for one in own.too_high]
    if context.kind != "cut":
        for under in _directly_below(facts, context):
            lower = facts.levels(under.id, "top")
            held = _too_high(facts, bases, lower)
            compared += held.compared
            says += [
                f"the top of {facts.label(under.id)} is {_by(facts, one)} above its base at about the same point ({one.words})"
                for one in held.too_high
            ]
    if says:
        return fails(f"{facts.label(context.id)}: {listed(says, 3)}")
    if not compared and not any(
        _too_high(facts, facts.levels(over, "base"), tops).compared for over in facts.site.overlain_by.get(context.id, ())
    ):
        return unknown(f"{facts.label(context.id)} has no two levels at about the same point to hold beside each other")
    return passes()


def _directly_below(facts: UnitFacts, context: Context) -> list[Context]:
    found = (facts.record.get(Context, under) for under in facts.site.overlain.get(context.id, ()))
    return [under for under in found if under is not None and under.kind != "cut"]


def _too_high(facts: UnitFacts, uppers: tuple[Level, ...], lowers: tuple[Level, ...]) -> HeldLevels:
    return hold_levels(uppers, lowers, facts.metres, facts.limits.closeness)


def _plan_levels(facts: UnitFacts) -> Verdict:
    return ask_each(
        [level for context in facts.contexts for level in facts.levels(context.id)], lambda level: _judge_plan_level(facts, level)
    )


def _judge_plan_level(facts: UnitFacts, level: Level) -> Answer:
    if "on_plan" in level.absences:
        return skips()
    name = f"a level on the {level.surface or 'surface'} of {facts.label(level.context)}"
    booked = (level.level or 0.0) * facts.metres
    reduced = facts.site.reduced.get(level.sight or "")
    tolerance = facts.limits.plan_level_tolerance + 1e-9
    if reduced is not None and abs(reduced - booked) > tolerance:
        return fails(f"{name} is entered {1000 * (booked - reduced):+.0f} mm from what its reading reduces to")
    if level.on_plan is None:
        return unknown(f"{name}: what the plan says is blank")
    if abs(level.on_plan * facts.metres - booked) > tolerance:
        return fails(f"{name} is {level.level:.3f} in the record and {level.on_plan:.3f} on the plan")
    return passes()


RULES = (
    Rule(
        "B03",
        "On the last day a levels run closes on a known mark within its limit.",
        "A moved peg shifts every level.",
        Severity.LOST,
        "units",
        "Set up the level, read the benchmark and close on it before anything is filled in.",
        "published levelling instructions; the last day is our judgement",
        _datum_on_last_day,
        blocks=True,
    ),
    Rule(
        "B04",
        "Every levels run closes within its limit, and the levels booked follow from the readings.",
        "An error of arithmetic or of the staff shifts whatever hangs on the run.",
        Severity.LOST,
        "levels runs",
        "Close a run that is still open on a known mark. Work any other again in the book; where no slip is found, level it again "
        "while the pegs stand.",
        "published levelling instructions",
        _runs_close,
        whole_site=True,
    ),
    Rule(
        "B05",
        "The level had a two-peg check not long before each run.",
        "An error of collimation grows with the length of the sight.",
        Severity.RECOVERABLE,
        "levels runs",
        "Make a two-peg check now and enter its day.",
        "published levelling instructions; the number of days is our judgement",
        _two_peg,
        whole_site=True,
    ),
    Rule(
        "B06",
        "Every context that was dug has opening and closing levels; what stays in the ground has levels on its top.",
        "Thickness and order cannot be rebuilt without them.",
        Severity.LOST,
        "contexts",
        "Level the surface that is missing while it can still be seen, in the wall if need be.",
        "published recording manual; common practice, no source",
        _opened_and_closed,
        blocks=True,
    ),
    Rule(
        "B07",
        "No base lies above its own top, and no lower context above the base of the one that overlies it, at about the same point.",
        "Catches exchanged digits while the hole is open.",
        Severity.LOST,
        "contexts",
        "Read the level again, or look for exchanged digits; if both levels are right, the relation is wrong.",
        "our judgement",
        _above_is_above,
    ),
    Rule(
        "B09",
        "Levels on the plans equal the levels in the record, and these follow from the levels book.",
        "Two copies drift apart.",
        Severity.LOST,
        "levels",
        "Look the level up in the book and mend whichever copy is wrong.",
        "published recording manual",
        _plan_levels,
    ),
)
