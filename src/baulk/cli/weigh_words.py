"""What `baulk weigh` says in words."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime

from baulk.drawing.readings_answer import percent
from baulk.reading.grouping import Treatment
from baulk.reading.next_test import Observation
from baulk.reading.plan import Step
from baulk.reading.scale import CANNOT_SAY, SCALE
from baulk.work.begin import LINE
from baulk.work.weigh import WeighedQuestion
from baulk.work.weigh_past import ChangeOfMind

__all__ = ["changes_words", "next_words", "overturn_words", "said", "scale_words", "why_words", "words_of"]

_WIDE = 100
_COUNTED = {
    "question": ("question", "questions"), "reading": ("reading", "readings"),
    "evidence": ("piece of evidence", "pieces of evidence"), "test": ("test", "tests"),
}  # fmt: skip


def _folded(text: str, indent: str = "") -> str:
    return textwrap.fill(text, _WIDE, initial_indent=indent, subsequent_indent=indent)


def said(found: WeighedQuestion) -> list[str]:
    """Return what stands above every answer: the caution first, then the question."""
    lines = []
    if found.caution:
        lines += [_folded(f"CAUTION: {found.caution.says}"), ""]
    number = f"Question {found.asked.number}: " if found.asked.held.number else ""
    return [*lines, f"{number}{found.asked.question.asks}"]


def words_of(found: WeighedQuestion) -> str:
    """Return the answer: each reading with a bar of its share and range, then the paragraph."""
    weighed = found.argument.weighed
    lines = said(found)
    wide = max(len(reading.name) for reading in weighed.question.readings)
    for place in weighed.order:
        share, low, high = (float(held[place]) for held in (weighed.posterior, weighed.low, weighed.high))
        name = weighed.question.readings[place].name
        lines.append(f"  {name:<{wide}}  {_strip(low, share, high)}  {percent(share):>7}  {percent(low)} to {percent(high)}")
    lines += ["", _folded(found.argument.says), *_notes(found)]
    if found.asked.held.conclusion:
        lines += ["", _folded(f"Concluded: {found.asked.held.conclusion}")]
    return "\n".join(lines)


def _strip(low: float, share: float, high: float, wide: int = 24) -> str:
    """Return a line from 0 to 100 per cent with the range and the answer on it."""
    marks = ["·"] * wide
    for place in range(round(low * (wide - 1)), round(high * (wide - 1)) + 1):
        marks[place] = "─"
    marks[round(share * (wide - 1))] = "█"
    return "".join(marks)


def _notes(found: WeighedQuestion) -> Iterator[str]:
    notes = [*found.argument.weighed.prior.notes, *found.notes, *([found.care_says] if found.care_says else [])]
    if notes:
        yield ""
    for note in notes:
        yield _folded(f"Note: {note}")


def why_words(found: WeighedQuestion) -> str:
    """Return every piece with its words and weights, groups together, and what carries the answer."""
    weighed = found.argument.weighed
    lines = [words_of(found), "", "Evidence, in decibans for (+) or against (−) each reading:"]
    names = [found.mark(reading.id) or reading.name[:6] for reading in weighed.question.readings]
    lines.append(" " * 6 + "".join(f"{name:>8}" for name in names))
    for row, pieces in enumerate(weighed.rows.pieces):
        for piece in pieces:
            lines += _piece(found, piece, counted=len(pieces) == 1)
        if len(pieces) > 1:
            lines.append(f"    = {_numbers(weighed.weights[row])}  counted once: {weighed.rows.causes[row]}")
    lines += [f"  set aside: {one.saw} ({one.set_aside})" for one in found.asked.set_aside]
    lines += ["", "Without it:"]
    lines += [f"  {line}" for line in _influences(found)]
    return "\n".join([*lines, "", f"Common causes: {weighed.treatment.meaning}"])


def _piece(found: WeighedQuestion, place: int, *, counted: bool) -> list[str]:
    weighed = found.argument.weighed
    piece = weighed.question.evidence[place]
    mark = "  " if counted else " ("
    numbers = _numbers(weighed.piece_weights[place])
    lines = [_folded(f"{found.mark(piece.id)} {piece.told}".strip(), "  "), f"    {mark}{numbers}{'' if counted else ')'}"]
    said_cells = [
        f"{found.mark(reading.id) or reading.name}: {held.says}"
        for reading in weighed.question.readings
        if (held := piece.expected.get(reading.id)) is not None
    ]
    lines.append(_folded("; ".join(said_cells), "      ") if said_cells else "      nobody said how expected it is")
    lines += [_folded(f"{_name(found, reading)}: {why}", "        ") for reading, why in piece.notes.items()]
    cited = ", ".join(found.asked.record.label(one) for one in piece.records)
    tail = "; ".join(part for part in (f"rests on {cited}" if cited else "", piece.source) if part)
    return [*lines, *([_folded(tail, "        ")] if tail else [])]


def _name(found: WeighedQuestion, reading: str) -> str:
    return found.mark(reading) or next(one.name for one in found.asked.question.readings if one.id == reading)


def _numbers(weights: Iterable[float]) -> str:
    return "".join(f"{weight:+8.1f}" if abs(weight) >= 0.05 else f"{'0':>8}" for weight in weights)[2:]


def _influences(found: WeighedQuestion) -> Iterator[str]:
    weighed = found.argument.weighed
    for one in found.argument.influences:
        leader = weighed.question.readings[one.leader].name
        marks = ", ".join(found.mark(weighed.question.evidence[piece].id) or "?" for piece in one.pieces)
        what = f"all of “{one.cause}” ({marks})" if one.cause else marks
        lead = "keeps the lead" if one.keeps_lead else f"LOSES THE LEAD to “{leader}”"
        share = percent(float(one.posterior[weighed.leader]))
        yield f"{what}: “{weighed.question.readings[weighed.leader].name}” {lead}, {share}"


def overturn_words(found: WeighedQuestion) -> str:
    """Return what would overturn the answer, and what other treatments and priors say."""
    argument, weighed = found.argument, found.argument.weighed
    readings = weighed.question.readings
    lines = [words_of(found), "", "What would have to fall for another to draw level or lead:"]
    for one in argument.overturning:
        marks = [
            f"{found.mark(weighed.question.evidence[piece].id)} {weighed.question.evidence[piece].told}" for piece in one.pieces
        ]
        lines.append(f"  “{readings[one.rival].name}”:" + ("" if marks else " level as it is"))
        lines += [_folded(mark.strip(), "    ") for mark in marks]
    if not argument.overturning:
        lines.append("  nothing: the prior carries it")
    apart = argument.separation
    lines += ["", f"Closest rival: “{readings[apart.other].name}”, {apart.total:.1f} decibans behind."]
    lines.append(
        f"Every word may move {argument.holds_to:.0%} of the way to the end of its range, all against it, before the lead is lost."
    )
    lines += ["", "Counted in other ways:"]
    for treatment in argument.treatments:
        lines.append(f"  {_led(found, str(treatment.treatment), treatment.leader, float(treatment.posterior[treatment.leader]))}")
    lines += ["", "With other priors:"]
    lines += [f"  {_led(found, one.name, one.leader, float(one.posterior[one.leader]))}" for one in argument.priors]
    return "\n".join(lines)


def _led(found: WeighedQuestion, how: str, leader: int, share: float) -> str:
    return f"{how}: “{found.argument.weighed.question.readings[leader].name}” leads with {percent(share)}"


def next_words(found: WeighedQuestion) -> str:
    """Return the tests in the order in which to make them, and the plan."""
    lines = [*said(found), "", "What to do next, by what it is expected to tell an hour; what is lost at backfill first:"]
    for ranked in found.argument.tests:
        held = ranked.observation
        head = "LOST AT BACKFILL  " if held.lost_at_backfill else ""
        lines.append(_folded(f"{head}{_called(found, held)}", "  "))
        lines.append(f"    {held.hours:g} h, {ranked.bits:.2f} bits expected, {ranked.bits_per_hour:.2f} an hour")
        for name, chance, changes in zip(held.outcomes, ranked.likely, ranked.changes_lead, strict=True):
            lines.append(f"    {percent(chance):>7}  {name}{'  → another reading would lead' if changes else ''}")
        if ranked.cause_counted:
            lines.append("    evidence with the same cause counts already, so it may tell less")
    if not found.argument.tests:
        lines.append("  Nothing is listed. A pattern names what could be looked at: baulk weigh SITE --patterns")
    plan = found.argument.plan
    if plan.first is not None:
        lines += ["", f"A plan, {plan.hours:.1f} h expected, {plan.most_hours:g} h at most, {plan.bits:.2f} bits:"]
        lines += _steps(found, plan.first, "  ")
        lines.append(_folded(plan.says))
    return "\n".join([*lines, *_notes(found)])


def _called(found: WeighedQuestion, test: Observation) -> str:
    """Return what a test is called: its mark, or the line of the pattern that it would answer, and what to do."""
    line = next((one.line for one in found.proposals if f"{LINE}{one.line.id}" == test.id), None)
    if line is not None:
        return f"[{line.id}] {line.saw}? {test.does}"
    return f"{found.mark(test.id)} {test.does}".strip()


def _steps(found: WeighedQuestion, step: Step, indent: str) -> Iterator[str]:
    yield f"{indent}{_called(found, step.observation)}"
    for name, then in zip(step.observation.outcomes, step.then, strict=True):
        yield f"{indent}  if {name}:{' stop' if then is None else ''}"
        if then is not None:
            yield from _steps(found, then, f"{indent}    ")


def changes_words(found: WeighedQuestion, changes: tuple[ChangeOfMind, ...], then: WeighedQuestion | None) -> str:
    """Return the changes of mind, and two states side by side."""
    lines = [*said(found), "", "Changes of mind, earliest first:"]
    lines += [_folded(line, "  ") for line in _told(changes)]
    if then is not None:
        lines += ["", "Then and now:"]
        before = {one.id: float(then.argument.weighed.posterior[place]) for place, one in enumerate(then.asked.question.readings)}
        weighed = found.argument.weighed
        for place in weighed.order:
            reading = weighed.question.readings[place]
            was = percent(before[reading.id]) if reading.id in before else "not there"
            lines.append(f"  {reading.name}: {was} → {percent(float(weighed.posterior[place]))}")
    return "\n".join(lines)


def _told(changes: tuple[ChangeOfMind, ...]) -> Iterator[str]:
    """Yield one line a change; what one person entered new on one day in a row is one line."""
    entered: Counter[str] = Counter()
    for place, one in enumerate(changes):
        when, day = _when(one, "%Y-%m-%d %H:%M"), _when(one, "%Y-%m-%d")
        following = changes[place + 1] if place + 1 < len(changes) else None
        if one.field:
            yield f"{when}  {one.person}  {one.says}{f' ({one.why})' if one.why else ''}"
            continue
        entered[one.kind] += 1
        if following is None or following.field or (following.person, _when(following, "%Y-%m-%d")) != (one.person, day):
            counts = ", ".join(f"{count} {_COUNTED[kind][count > 1]}" for kind, count in entered.items())
            yield f"{when}  {one.person}  entered: {counts}"
            entered.clear()


def _when(one: ChangeOfMind, form: str) -> str:
    return datetime.fromtimestamp(one.milliseconds / 1000, UTC).strftime(form)


def scale_words() -> str:
    """Return the printed scale."""
    rows = [f"  {word.word:<16} {word.low:.2f} to {word.high:.2f}, used as {word.middle:.2f}" for word in (*SCALE, CANNOT_SAY)]
    return "\n".join(["How expected a sighting is, if the reading is true:", *rows, f"Treatments: {', '.join(Treatment)}"])
