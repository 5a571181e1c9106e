"""`baulk weigh`: what was it, what speaks for it, what would overturn it, and what to do next."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import click

from baulk.cli.options import as_json, by, emit, pen_of, restricted_option, site_argument
from baulk.cli.weigh_answers import answer_of, changes_answer, next_answer, overturn_answer, table_csv, why_answer
from baulk.cli.weigh_begin import (
    accept_lines,
    begin_question,
    own_folder,
    patterns_answer,
    patterns_words,
    propose_answer,
    propose_words,
)
from baulk.cli.weigh_words import changes_words, next_words, overturn_words, scale_words, why_words, words_of
from baulk.drawing.readings_answer import percent
from baulk.errors import InputError
from baulk.exchange.pattern_folder import pattern_named
from baulk.reading.plan import DAY
from baulk.reading.scale import CANNOT_SAY, SCALE
from baulk.record import RESTRICTED_NOTICE, Change, HybridTime, Question, SiteRecord, View, record_for, view_of
from baulk.store import Store, open_site
from baulk.work.asked import questions_of
from baulk.work.begin import known_patterns
from baulk.work.weigh import WeighedQuestion, questions_withheld, weighed_question
from baulk.work.weigh_past import changes_of_mind, record_then, records_of_question

__all__ = ["weigh"]


@click.command()
@site_argument
@click.argument("question", required=False)
@click.option("--why", "asked", flag_value="why", help="Every piece of evidence with its weights, and the answer without it.")
@click.option(
    "--overturn", "asked", flag_value="overturn", help="What would have to fall; the answer under other treatments and priors."
)
@click.option("--next", "asked", flag_value="next", help="What to look at next, what is lost at backfill first, and a plan.")
@click.option("--changes", "asked", flag_value="changes", help="Changes of mind, from the log.")
@click.option(
    "--then", "then", default="", metavar="DAY", help="The question as it stood at the end of that day, beside the one of now."
)
@click.option("--patterns", "asked", flag_value="patterns", help="The patterns from which a question can be begun.")
@click.option("--begin", default="", metavar="PATTERN", help="Begin a question from a pattern; with --about.")
@click.option("--about", multiple=True, metavar="CONTEXT", help="With --begin: a context that it is about; again for several.")
@click.option(
    "--propose", "asked", flag_value="propose", help="What the record says to the question's pattern, and what it cannot tell yet."
)
@click.option(
    "--accept", multiple=True, metavar="LINE[=ANSWER]", help="Accept a line as evidence: as the record says, or yes, no, a value."
)
@by
@click.option("--scale", is_flag=True, help="The printed scale of words.")
@click.option("--treatment", default="", help="Count common causes in another way: least expected, shared, in full.")
@click.option("--hours", default=DAY, show_default=True, type=click.FloatRange(min=0.1), help="Hours that a plan may take.")
@click.option("--form", type=click.Choice(["words", "csv"]), default="words", help="The table as CSV: one row a cell.")
@restricted_option
@as_json
@click.pass_context
def weigh(
    ctx: click.Context, site: Path, question: str | None, asked: str | None, then: str, begin: str, about: tuple[str, ...],
    accept: tuple[str, ...], person: str, scale: bool, treatment: str, hours: float, form: str, restricted: bool, json_out: bool,
) -> None:  # fmt: skip
    """Weigh the readings of QUESTION; without it, list the questions. Ends with 1 when possible human remains call for care."""
    view = view_of(restricted=restricted)
    if scale or asked == "patterns":
        known = known_patterns(own_folder(site))
        emit(*((_scale(), scale_words()) if scale else (patterns_answer(known), patterns_words(known))), json_out=json_out)
        return
    if begin or accept:
        emit(*_written(site, question, begin, about, accept, person, view), json_out=json_out)
        return
    with open_site(site, read_only=True) as store:
        whole = store.record()
        seen = record_for(whole, view)
        if question is None:
            emit(*_listed(whole, seen, view), json_out=json_out)
            return
        known = known_patterns(own_folder(site))
        found = weighed_question(whole, seen, question, treatment=treatment, hours=hours, patterns=known)
        if form == "csv":
            click.echo(table_csv(found), nl=False)
            return
        answer, words = _one(store, whole, found, asked or ("changes" if then else ""), then, view)
    emit(answer, "\n".join([*_banner(found, view), words]), json_out=json_out)
    ctx.exit(1 if found.caution else 0)


def _written(
    site: Path, question: str | None, begin: str, about: tuple[str, ...], accept: tuple[str, ...], person: str, view: View
) -> tuple[dict[str, Any], str]:  # fmt: skip
    """Begin a question, or accept lines of its pattern."""
    folder = own_folder(site)
    with open_site(site) as store:
        if begin:
            pattern = pattern_named(begin, folder if folder.is_dir() else None)
            return begin_question(store, pen_of(person), pattern, about)
        if question is None:
            raise click.UsageError("--accept takes lines of one question: name it, as in: baulk weigh SITE.gpkg 3 --accept dry.")
        seen = record_for(store.record(), view)
        return accept_lines(store, pen_of(person), seen, seen.numbered(Question, question), accept, folder)


def _one(
    store: Store, whole: SiteRecord, found: WeighedQuestion, asked: str, then: str, view: View
) -> tuple[dict[str, Any], str]:  # fmt: skip
    """Return what was asked of a question, as JSON and in words."""
    if asked == "changes":
        histories = _histories(store, records_of_question(whole, found.asked.held.id))
        visible = found.asked.record.by_id
        changes = tuple(one for one in changes_of_mind(whole, histories) if one.record in visible)
        before = _then(whole, histories, found, then, view) if then else None
        return changes_answer(found, changes, before), changes_words(found, changes, before)
    if asked == "propose":
        return propose_answer(found.asked.record, found.proposals), propose_words(found.asked.record, found.proposals)
    makers = {"why": (why_answer, why_words), "overturn": (overturn_answer, overturn_words), "next": (next_answer, next_words)}
    to_answer, to_words = makers.get(asked, (answer_of, words_of))
    return to_answer(found), to_words(found)


def _histories(store: Store, records: tuple[str, ...]) -> dict[str, list[Change]]:
    wanted, held = set(records), defaultdict[str, list[Change]](list)
    for change in store.changes():
        if change.record in wanted:
            held[change.record].append(change)
    return held


def _then(whole: SiteRecord, histories: dict[str, list[Change]], found: WeighedQuestion, day: str, view: View) -> WeighedQuestion:
    early = record_for(record_then(whole, histories, _end_of(day)), view)
    return weighed_question(whole, early, found.asked.held.id)


def _end_of(day: str) -> str:
    """Return the last moment of a day here, as the log writes times."""
    try:
        following = date.fromisoformat(day) + timedelta(days=1)
    except ValueError:
        raise InputError(f"“{day}” is no day. A day is written year-month-day, as in 2026-05-14.") from None
    start = datetime.combine(following, time()).astimezone()
    return str(HybridTime(int(start.timestamp() * 1000) - 1, 999_999))


def _banner(found: WeighedQuestion, view: View) -> list[str]:
    return [f"{RESTRICTED_NOTICE}."] if view is View.RESTRICTED and found.argument.care.readings else []


def _listed(whole: SiteRecord, seen: SiteRecord, view: View) -> tuple[dict[str, Any], str]:
    """Return the questions with their leaders."""
    rows: list[dict[str, Any]] = []
    lines: list[str] = []
    for question in questions_of(seen):
        try:
            found = weighed_question(whole, seen, question.id)
        except InputError as fault:
            rows.append({"question": question.number, "asks": question.asks, "leader": None, "share": None, "says": str(fault)})
            lines.append(f"{question.number or '?'}  {question.asks or ''}\n     cannot be weighed yet: {fault}")
            continue
        weighed = found.argument.weighed
        leader, share = weighed.question.readings[weighed.leader].name, float(weighed.posterior[weighed.leader])
        rows.append(
            {
                "question": question.number,
                "asks": question.asks,
                "leader": leader,
                "share": round(share, 6),
                "says": found.argument.says,
            }
        )
        care = "  CAUTION: possible human remains" if found.caution else ""
        lines.append(f"{question.number or '?'}  {question.asks or ''}\n     “{leader}”, {percent(share)}{care}")
    withheld = questions_withheld(whole, view)
    if withheld:
        lines.append(f"{withheld} {'question is' if withheld == 1 else 'questions are'} withheld; --restricted shows them.")
    if not lines:
        lines.append("The site asks no question yet.")
    return {"questions": rows, "withheld": withheld}, "\n".join(lines)


def _scale() -> dict[str, Any]:
    return {
        "scale": [
            {"word": word.word, "low": word.low, "middle": word.middle, "high": word.high, "meaning": word.meaning}
            for word in (*SCALE, CANNOT_SAY)
        ]
    }
