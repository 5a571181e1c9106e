"""`baulk date`: when each context was formed, what set the bounds, and what the aids say."""

from __future__ import annotations

import re
from math import isfinite
from pathlib import Path
from typing import Any

import click

from baulk.cli.date_csv import contexts_csv
from baulk.cli.date_draw import draw_aids, draw_dates
from baulk.cli.date_model import ModelAsked, answer_of_model, model_options, wants_model
from baulk.cli.options import as_json, emit, path_name, restricted_option, site_argument
from baulk.dating.aid import DateAid
from baulk.dating.calibration import calibrate, years_of_limit
from baulk.dating.contradictions import Contradiction, WayOut
from baulk.dating.pipes import pipe_dates
from baulk.dating.radiocarbon_age import read_age
from baulk.dating.remembered_types import REMEMBERED_TYPES
from baulk.dating.termini import Side
from baulk.dating.types import TypeTable, read_types
from baulk.errors import FileError
from baulk.record import view_of
from baulk.store import open_site
from baulk.work.date_evidence import NO_TABLE
from baulk.work.dates import ContextBounds, SiteDates, site_dates
from baulk.work.dating_oddities import against_in_words
from baulk.work.kept_dates import KeptDates, kept_beside
from baulk.work.order import site_order

__all__ = ["date"]

SHOWN = 25
"""Contradictions, and lines of what is left out, that are written out in words."""


class _Bores(click.ParamType[dict[float, float]]):
    """Stems by bore in sixty-fourths of an inch, as in 5:12,6:3."""

    name = "BORE:STEMS"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> dict[float, float]:
        """Return the stems of each bore."""
        if not re.fullmatch(r"\s*\d+(\.\d+)?\s*:\s*\d+\s*(,\s*\d+(\.\d+)?\s*:\s*\d+\s*)*", str(value)):
            self.fail(
                f"“{value}” is no count of stems. Write bore and stems, bores in sixty-fourths of an inch: 5:12,6:3", param, ctx
            )
        return {float(bore): float(stems) for bore, stems in (pair.split(":") for pair in str(value).split(","))}


@click.command()
@site_argument
@click.option(
    "--why", default=None, metavar="CONTEXT", help="One context: path, finds, what weakens it, and all aids side by side."
)
@click.option("--types", "table", type=path_name, default=None, help="Your table of types, for finds without years of their own.")
@click.option("--from-memory", is_flag=True, help="Also use types whose years are from memory; without --types the project's own.")
@click.option("--age", multiple=True, help="With --why: a radiocarbon age to stand beside it, as 230±30 or <200.")
@click.option("--bores", type=_Bores(), default=None, help="With --why: stems by bore in sixty-fourths, as 5:12,6:3.")
@model_options
@click.option(
    "--draw", type=path_name, default=None, metavar="FILE.svg", help="Also write the drawing; with --why that of the aids."
)
@click.option("--form", type=click.Choice(["words", "csv"]), default="words", help="The contexts as CSV, one row each.")
@restricted_option
@as_json
@click.pass_context
def date(
    ctx: click.Context, /, site: Path, why: str | None, table: Path | None, from_memory: bool, age: tuple[str, ...],
    bores: dict[float, float] | None, draw: Path | None, form: str, restricted: bool, json_out: bool,
    **asked: Any,
) -> None:  # fmt: skip
    """Say when each context was formed, and what set that. Ends with 1 when a context would have to be later than it can be.

    With --model and what is asked of it, the chronology: how likely each year is, by the order and all evidence together. Several
    questions may be asked at once; --why comes first.
    """
    if (age or bores) and not why:
        raise click.UsageError("--age and --bores stand beside a context: name it with --why.")
    with open_site(site, read_only=True) as store:
        record = store.record()
    view, types, model = view_of(restricted=restricted), _table(table, from_memory), ModelAsked(**asked)
    if wants_model(model):
        answer, words = answer_of_model(record, model, view, types, draw, KeptDates(kept_beside(site)))
        if why:
            one, said = _one(site_dates(record, site_order(record), view=view, types=types), why, age, bores)
            answer, words = {"why": one, **answer}, f"{said}\n{words}"
        emit(answer, contexts_csv(answer) if form == "csv" else words, json_out=json_out)
        return
    found = site_dates(record, site_order(record), view=view, types=types)
    if draw is not None:
        draw_aids(found, why, draw, view) if why else draw_dates(found, None, draw, view)
    if why:
        emit(*_one(found, why, age, bores), json_out=json_out)
        return
    answer = _answer(found)
    emit(answer, contexts_csv(answer) if form == "csv" else _words(found), json_out=json_out)
    ctx.exit(1 if found.contradictions else 0)


def _table(path: Path | None, from_memory: bool) -> TypeTable:
    """Return the table of types asked for."""
    if path is None:
        return read_types(REMEMBERED_TYPES).with_memory() if from_memory else NO_TABLE
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise FileError(f"The table of types {path} cannot be read. It is a CSV file in UTF-8: see that it is there.") from error
    found = read_types(text, source=path.name)
    return found.with_memory() if from_memory else found


def _one(
    found: SiteDates, number: str, ages: tuple[str, ...], bores: dict[float, float] | None
) -> tuple[dict[str, Any], str]:  # fmt: skip
    more, limits = _beside(ages, bores)
    says = [*found.why(number), *limits]
    aids = found.aids(number, more=more)
    bounds = found.of(found.context(number).id)
    answer = _bounds(bounds) | {
        "says": says, "aids": [_aid(aid) for aid in aids], "types": found.types.title, "notes": list(found.notes),
    }  # fmt: skip
    return answer, "\n".join([*says, *(f"  {aid.words}" for aid in aids), *found.notes])


def _beside(ages: tuple[str, ...], bores: dict[float, float] | None) -> tuple[list[DateAid], list[str]]:
    more: list[DateAid] = []
    limits: list[str] = []
    for text in ages:
        given = read_age(text)
        if given.age is not None and given.error is not None:
            more.append(calibrate(given.age, given.error).aid)
        elif given.younger_than is not None:
            limits.append(f"  {given.words} {years_of_limit(given.younger_than)}")
        else:
            limits.append(f"  {given.words}")
    if bores:
        more += pipe_dates(list(bores), list(bores.values()))
    return more, limits


def _answer(found: SiteDates) -> dict[str, Any]:
    return {
        "contexts": [_bounds(one) for one in found.all],
        "contradictions": [_contradiction(found, one) for one in found.contradictions[:SHOWN]],
        "contradictions_in_all": len(found.contradictions),
        "oddities": [
            {"says": one.says, "contexts": [found.order.label(identity) for identity in one.contexts]} for one in found.oddities
        ],
        "left_out": list(found.left_out),
        "types": found.types.title,
        "notes": list(found.notes),
    }


def _bounds(one: ContextBounds) -> dict[str, Any]:
    return {
        "context": one.number, "tpq": one.tpq, "tpq_set_by": one.tpq_by, "tpq_path": list(one.tpq_path), "taq": one.taq,
        "taq_set_by": one.taq_by, "taq_path": list(one.taq_path), "contradicted": one.contradicted,
    }  # fmt: skip


def _contradiction(found: SiteDates, one: Contradiction) -> dict[str, Any]:
    names = found.bounds.order.relations
    return {
        "says": found.says(one),
        "chain": [names.name(group) for group in one.chain],
        "contexts": [names.name(group) for group in one.contexts],
        "ways_out": [_way_out(found, way) for way in found.ways_out(one)],
    }


def _way_out(found: SiteDates, way: WayOut) -> dict[str, Any]:
    names = found.bounds.order.relations
    changes = [
        {
            "context": names.name(shift.group), "bound": "tpq" if shift.side is Side.POST else "taq", "before": _year(shift.before),
            "after": _year(shift.after),
        }
        for shift in way.shifts
    ]  # fmt: skip
    return {"kind": way.kind, "says": way.says, "settles": way.settles, "changes": changes, "still_contradicted": way.left}


def _year(year: float) -> int | None:
    return int(year) if isfinite(year) else None


def _aid(aid: DateAid) -> dict[str, Any]:
    return {
        "name": aid.name, "begin": aid.begin, "end": aid.end, "middle": aid.middle, "holds_for": aid.valid,
        "limits": list(aid.limits),
        "source": aid.source, "mark": aid.mark, "in_validity": aid.in_validity, "left_out": list(aid.left_out), "says": aid.words,
    }  # fmt: skip


def _words(found: SiteDates) -> str:
    lines = [one.words for one in found.all]
    for one in found.contradictions[:SHOWN]:
        lines += [found.says(one), *(f"  {way.says}" for way in found.ways_out(one))]
    if len(found.contradictions) > SHOWN:
        lines.append(f"… and {len(found.contradictions) - SHOWN} more contradictions; settle these first.")
    if found.oddities:
        lines += [f"radiocarbon to look at ({len(found.oddities)}):", *(f"  {one.says}" for one in found.oddities[:SHOWN])]
        more = len(found.oddities) - SHOWN
        lines += [f"  … and {more} more; --json lists them all"] if more > 0 else []
        lines += [f"  {one}" for one in against_in_words([one.says for one in found.oddities])]
    if found.left_out:
        lines += [f"sets no bound ({len(found.left_out)}):", *(f"  {one}" for one in found.left_out[:SHOWN])]
        lines += [f"  … and {len(found.left_out) - SHOWN} more; --json lists them all"] if len(found.left_out) > SHOWN else []
    return "\n".join([*lines, *found.notes])
