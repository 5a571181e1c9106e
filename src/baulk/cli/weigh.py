"""`baulk weigh`: what was it, what speaks for it, what would overturn it, and what to do next."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import click

from baulk.cli.options import as_json, emit, restricted_option, site_argument
from baulk.cli.weigh_answers import answer_of, changes_answer, next_answer, overturn_answer, table_csv, why_answer
from baulk.cli.weigh_words import changes_words, next_words, overturn_words, scale_words, why_words, words_of
from baulk.drawing.readings_answer import percent
from baulk.errors import InputError
from baulk.reading.plan import DAY
from baulk.reading.scale import CANNOT_SAY, SCALE
from baulk.record import RESTRICTED_NOTICE, Change, HybridTime, SiteRecord, View, record_for, view_of
from baulk.store import Store, open_site
from baulk.work.asked import questions_of
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
@click.option("--scale", is_flag=True, help="The printed scale of words.")
@click.option("--treatment", default="", help="Count common causes in another way: least expected, shared, in full.")
@click.option("--hours", default=DAY, show_default=True, type=click.FloatRange(min=0.1), help="Hours that a plan may take.")
@click.option("--form", type=click.Choice(["words", "csv"]), default="words", help="The table as CSV: one row a cell.")
@restricted_option
@as_json
@click.pass_context
def weigh(
    ctx: click.Context, site: Path, question: str | None, asked: str | None, then: str, scale: bool, treatment: str, hours: float,
    form: str, restricted: bool, json_out: bool,
) -> None:  # fmt: skip
    """Weigh the readings of QUESTION; without it, list the questions. Ends with 1 when possible human remains call for care."""
    if scale:
        emit(_scale(), scale_words(), json_out=json_out)
        return
    view = view_of(restricted=restricted)
    with open_site(site, read_only=True) as store:
        whole = store.record()
        seen = record_for(whole, view)
        if question is None:
            emit(*_listed(whole, seen, view), json_out=json_out)
            return
        found = weighed_question(whole, seen, question, treatment=treatment, hours=hours)
        if form == "csv":
            click.echo(table_csv(found), nl=False)
            return
        answer, words = _one(store, whole, found, asked or ("changes" if then else ""), then, view)
    emit(answer, "\n".join([*_banner(found, view), words]), json_out=json_out)
    ctx.exit(1 if found.caution else 0)


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
