"""`baulk weigh`: the patterns, a question begun from one, and what the record proposes as evidence."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from baulk.errors import InputError
from baulk.reading.pattern import Pattern
from baulk.record import Context, Question, SiteRecord
from baulk.record.withholding import reads_as_remains
from baulk.store import Store
from baulk.work.begin import NewRecord, Proposal, accepted, begun, known_patterns, next_question_number, proposals
from baulk.work.pen import Pen

__all__ = ["accept_lines", "begin_question", "own_folder", "patterns_answer", "patterns_words", "propose_answer", "propose_words"]

_WIDE = 100


def own_folder(site: Path) -> Path:
    """Return the folder in which a user's own patterns lie: ``patterns`` beside the site file."""
    return site.parent / "patterns"


def _folded(text: str, indent: int) -> str:
    return textwrap.fill(text, _WIDE, initial_indent=" " * indent, subsequent_indent=" " * indent)


def patterns_answer(held: Mapping[str, Pattern]) -> dict[str, Any]:
    """Return the patterns."""
    return {
        "patterns": [
            {
                "name": one.name, "title": one.title, "asks": one.asks, "readings": [reading.name for reading in one.readings],
                "lines": len(one.lines), "own": one.from_user,
            }
            for one in held.values()
        ]
    }  # fmt: skip


def patterns_words(held: Mapping[str, Pattern]) -> str:
    """Return the patterns, one a paragraph."""
    lines = []
    for one in held.values():
        own = "  (your own)" if one.from_user else ""
        lines.append(f"{one.name:<16} {one.title}; {len(one.lines)} sightings{own}")
        lines.append(
            textwrap.fill(
                ", ".join(reading.name for reading in one.readings), _WIDE, initial_indent="    ", subsequent_indent="    "
            )
        )
    return "\n".join([*lines, "", "Begin a question with: baulk weigh SITE.gpkg --begin NAME --about CONTEXT"])


def begin_question(store: Store, pen: Pen, pattern: Pattern, about: Sequence[str]) -> tuple[dict[str, Any], str]:
    """Write a question begun from a pattern, and say what to do next.

    Raises
    ------
    InputError
        When no context is named.
    """
    record = store.record()
    if not about:
        raise InputError("Nothing says what the question is about. Name its contexts, as in: --about 109 --about 110.")
    contexts = [record.numbered(Context, number).id for number in about]
    number = next_question_number(record)
    made = begun(pattern, contexts, number, pen.new_id)
    revision = _write(store, pen, made)
    words = [f"Question {number}: {pattern.asks}", *(f"  {one.values['number']}  {one.values['name']}" for one in made[1:])]
    if any(reading.burial or reads_as_remains(reading.name) for reading in pattern.readings):
        words.append(
            "One of its readings is a possible grave: the question is withheld from crew and public; ask with --restricted. If a "
            "grave is possible now: stop, cover, notify."
        )
    words.append(f"See what the record says to it: baulk weigh SITE.gpkg {number} --propose")
    return {"question": number, "id": made[0].id, "revision": revision}, "\n".join(words)


def propose_answer(record: SiteRecord, found: Sequence[Proposal]) -> dict[str, Any]:
    """Return the lines that nobody answered yet, with what the record says."""
    return {
        "proposals": [
            {
                "line": one.line.id, "saw": one.line.saw, "seen": one.seen, "value": one.value, "says": one.says,
                "contexts": [record.label(context) for context in one.contexts], "cause": one.line.cause,
                "does": one.line.does, "hours": one.line.hours, "lost_at_backfill": one.line.lost_at_backfill,
                "source": one.line.source,
                "expected": {record.label(reading): words for reading, words in one.expected.items()},
            }
            for one in found
        ]
    }  # fmt: skip


def propose_words(record: SiteRecord, found: Sequence[Proposal]) -> str:
    """Return what the record says to the lines of the pattern, and what it cannot tell yet."""
    told, open_lines = [one for one in found if one.told], [one for one in found if not one.told]
    lines = [
        "The record says; accept what you stand by with --accept LINE (or --accept all):"
        if told
        else "The record proposes nothing."
    ]
    for one in told:
        seen = f"{one.value:.4g}" if one.value is not None else "there" if one.seen else "not there"
        lines.append(f"  {one.line.id:<16} {seen}: {one.line.saw}")
        cited = ", ".join(record.label(context) for context in one.contexts)
        lines.append(
            textwrap.fill(
                f"{one.says}{f' (see {cited})' if cited else ''}", _WIDE, initial_indent=" " * 19, subsequent_indent=" " * 19
            )
        )
    if open_lines:
        lines += ["", "It cannot tell yet; answer with --accept LINE=yes, =no or =VALUE:"]
    for one in open_lines:
        head = "LOST AT BACKFILL  " if one.line.lost_at_backfill else ""
        lines.append(f"  {one.line.id:<16} {one.line.saw}?")
        lines.append(
            textwrap.fill(
                f"{head}{one.line.does} ({one.line.hours:g} h)", _WIDE, initial_indent=" " * 19, subsequent_indent=" " * 19
            )
        )
    return "\n".join(lines)


def accept_lines(
    store: Store, pen: Pen, record: SiteRecord, question: Question, lines: Sequence[str], folder: Path
) -> tuple[dict[str, Any], str]:  # fmt: skip
    """Write the lines that a person accepts as evidence.

    Raises
    ------
    InputError
        When the question has no pattern, it has no such line open, or the answer is neither yes, no nor a number.
    """
    known = known_patterns(folder)
    if question.pattern not in known:
        raise InputError(
            f"Question {question.number} was not begun from a pattern that is known here, so it has no lines to accept."
        )
    found = {one.line.id: one for one in proposals(record, question, known[question.pattern])}
    wanted = [one.line.id for one in found.values() if one.told] if "all" in lines else list(lines)
    written = []
    for words in wanted:
        name, _, said = words.partition("=")
        if name not in found:
            raise InputError(f"Question {question.number} has no open line “{name}”. Open are: {', '.join(found) or 'none'}.")
        made = accepted(store.record(), question, found[name], pen.new_id, _answered(said))
        _write(store, pen, made)
        written.append(f"{made[0].values['number']} {made[0].values['saw']}")
    answer = {"question": question.number, "accepted": written, "revision": store.revision()}
    return answer, "\n".join([f"Accepted as evidence of question {question.number}:", *(f"  {one}" for one in written)])


def _answered(said: str) -> bool | float | None:
    words = said.strip().casefold()
    if not words:
        return None
    if words in ("yes", "no"):
        return words == "yes"
    try:
        return float(words)
    except ValueError:
        raise InputError(
            f"“{said}” is no answer to a line. Write yes, no, or the value measured, as in: --accept axes=12."
        ) from None


def _write(store: Store, pen: Pen, made: Sequence[NewRecord]) -> int:
    pen.catch_up(store)
    return store.append([pen.create(one.kind, one.values, record=one.id) for one in made])
