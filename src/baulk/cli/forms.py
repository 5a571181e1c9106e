"""`baulk forms`: blank sheets to print, with numbers of their own."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, by, emit, path_name, pen_of, site_argument
from baulk.record import CONTEXT_KINDS
from baulk.report.paper_forms import PaperForms, forms_pdf
from baulk.store import open_site
from baulk.store.on_disk import whole_file
from baulk.store.refusals import in_trade_words
from baulk.work.paper import paper_forms
from baulk.work.pen import Pen

__all__ = ["forms"]

_USUAL = (("deposit", 4), ("fill", 2), ("cut", 3), ("structure", 1))


@click.command()
@site_argument
@click.option("--unit", required=True, help="Number of the unit.")
@click.option("--out", type=path_name, required=True, help="The PDF to write.")
@click.option(
    "--context", "contexts", multiple=True, default=_USUAL, type=(click.Choice(CONTEXT_KINDS), click.IntRange(0, 200)),
    help="A kind of context and how many sheets of it, as in: --context cut 3. May be given again.",
)  # fmt: skip
@by
@as_json
def forms(site: Path, unit: str, out: Path, contexts: tuple[tuple[str, int], ...], person: str, json_out: bool) -> None:
    """Print blank sheets for UNIT: contexts, relations, levels, finds, samples, photos.

    The numbers on them are handed out by this command and kept in the site, so that no tablet uses them too.
    """
    pen = pen_of(person)
    with open_site(site) as store:

        def caught_up() -> Pen:
            pen.catch_up(store)
            return pen

        made = paper_forms(store, caught_up, unit, pen.person, dict(contexts))
    content = forms_pdf(made)
    with in_trade_words(out, "written"), whole_file(out) as unfinished:
        unfinished.write_bytes(content)
    answer = {"pdf": str(out), "for": made.person, "contexts": [sheet.number for sheet in made.sheets], **_first_numbers(made)}
    numbers = f"{made.sheets[0].number} to {made.sheets[-1].number}" if made.sheets else "none"
    emit(answer, f"Wrote {out}: contexts {numbers}, for {made.person}.", json_out=json_out)


def _first_numbers(made: PaperForms) -> dict[str, list[str]]:
    return {
        register.title.lower(): [number for number in register.numbers if number]
        for register in made.registers
        if any(register.numbers)
    }
