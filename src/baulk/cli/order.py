"""`baulk order`: the order of the contexts, and what to look at."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, site_argument
from baulk.cli.order_answers import SIGN, doubt_answer, doubt_words, likely_answer, likely_words, missed_answer, missed_words
from baulk.store import open_site
from baulk.work.order import SiteOrder, order_in

__all__ = ["order"]


@click.command()
@site_argument
@click.option("--why", nargs=2, metavar="LATER EARLIER", default=None, help="Why the first is later than the second.")
@click.option("--redundant", is_flag=True, help="List the redundant relations with the path that implies each.")
@click.option("--doubt", is_flag=True, help="For every loop the smallest set of relations to look at again.")
@click.option("--missed", is_flag=True, help="Relations that seem missed or wrong: outlines, levels, walls, cuts and fills.")
@click.option("--likely", nargs=2, metavar="A B", default=None, help="How often A is earlier than B over all allowed orders.")
@as_json
@click.pass_context
def order(
    ctx: click.Context,
    site: Path,
    why: tuple[str, str] | None,
    redundant: bool,
    doubt: bool,
    missed: bool,
    likely: tuple[str, str] | None,
    json_out: bool,
) -> None:
    """Work out the order. Ends with 1 when it holds a loop or a contradiction; with --missed when something seems missed."""
    if sum((bool(why), doubt, missed, bool(likely))) > 1:
        raise click.UsageError("Ask for one of --why, --doubt, --missed and --likely at a time.")
    with open_site(site, read_only=True) as store:
        found = order_in(store)
        if doubt:
            emit(doubt_answer(found), doubt_words(found), json_out=json_out)
            ctx.exit(0 if found.sound else 1)
        if missed:
            emit(missed_answer(found), missed_words(found), json_out=json_out)
            ctx.exit(1 if found.missed else 0)
        if likely:
            pair = found.likely(*likely)
            emit(likely_answer(*likely, pair), likely_words(*likely, pair), json_out=json_out)
            return
        if why:
            words = found.why(*why)
            emit({"later": why[0], "earlier": why[1], "why": words.splitlines()}, _signed(words), json_out=json_out)
            return
        implied = _implied(found) if redundant or json_out else []
        emit(_answer(found, implied), _words(found, implied), json_out=json_out)
    ctx.exit(0 if found.sound else 1)


def _signed(words: str) -> str:
    """Return words on a chain with the sign explained above them; words without a chain as they are."""
    return f"{SIGN}\n{words}" if " > " in words else words


def _implied(found: SiteOrder) -> list[list[str]]:
    """Return for each redundant relation the path that implies it, from the later context to the earlier."""
    relations = found.order.relations
    paths: list[list[str]] = []
    for one in found.order.redundant.tolist():
        chain = found.order.implied_by(one)
        paths.append(
            [relations.name(int(relations.later[chain[0]])), *(relations.name(int(relations.earlier[step])) for step in chain)]
        )
    return paths


def _answer(found: SiteOrder, implied: list[list[str]]) -> dict[str, object]:
    return {
        "sound": found.sound,
        "contexts": len(found.known.contexts),
        "relations": len(found.known.rows),
        "needed": None if found.order.reduction is None else int(found.order.reduction.kept.sum()),
        "redundant": [{"later": path[0], "earlier": path[-1], "implied_by": path} for path in implied],
        "latest_first": [found.label(identity) for identity in found.latest_first],
        "notices": [
            {"what": notice.what, "says": notice.says, "contexts": [found.label(identity) for identity in notice.records]}
            for notice in found.notices
        ],
    }


def _words(found: SiteOrder, implied: list[list[str]]) -> str:
    counts = f"{len(found.known.contexts)} contexts, {len(found.known.rows)} relations"
    if found.order.reduction is None:
        lines = [f"{counts}: there is no order yet."]
    else:
        kept = int(found.order.reduction.kept.sum())
        rows = int(found.order.ranks.from_top.max(initial=-1)) + 1
        lines = [f"{counts}: an order in {rows} steps; {kept} relations needed, {len(found.order.redundant)} redundant."]
    by_kind: dict[str, list[str]] = {}
    for notice in found.notices:
        by_kind.setdefault(notice.what, []).append(notice.says)
    if implied or not found.sound:
        lines.append(SIGN)
    for what, says in by_kind.items():
        lines += [f"{what} ({len(says)}):", *(f"  {one}" for one in says[:25])]
        lines += [f"  … and {len(says) - 25} more; --json lists them all"] if len(says) > 25 else []
    if implied:
        lines += ["redundant:", *(f"  {path[0]} > {path[-1]}  by {' > '.join(path)}" for path in implied)]
    return "\n".join(lines)
