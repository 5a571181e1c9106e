"""The dating argument: bounds with what set them, the chronology with all that it rests on, what was left out and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baulk.report.dates_given import ChronologyFacts, DateRow, DatingFacts
from baulk.report.shown import counted
from baulk.report.tree import Chapter, Figure, Heading, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["dating_chapter"]

_TITLE = "Dating argument"
_RULES = (
    "A context is not earlier than the latest of the first years of making of the finds in it and below it, and not later than a "
    "firm date in it or above it. The last year in which a thing was made is no bound, and a bound from above of the first kind "
    "gives none below."
)
_NOT_ASKED = "The chronology was not worked out for this report, so how likely each year is within the bounds is not told."


def dating_chapter(scope: UnitScope, given: DatingFacts | None, figures: Sequence[Figure]) -> Chapter:
    """Return the dating argument.

    Parameters
    ----------
    scope : UnitScope
        The unit as the reader may see it.
    given : DatingFacts or None
        None when dates were not worked out; the chapter says so.
    figures : sequence of Figure
        The drawing of the dates.
    """
    if given is None:
        return Chapter(_TITLE, (Paragraph("Dates were not worked out for this report."), *figures))
    rows = [row for row in given.rows if row.context in scope.ids]
    parts: list[Node] = [Paragraph(_RULES), *figures, _bounds(scope, rows)]
    parts += _contradictions(scope, given)
    parts += _listed(scope, "Radiocarbon ages to look at", given.oddities)
    parts += _chronology(scope, given, rows)
    parts += _aids(scope, given)
    parts += _listed(scope, "Finds and documents that set no bound", given.left_out)
    parts += [Paragraph(f"{scope.shown.masked(given.types)}.", lead="Table of types.")]
    parts += [Paragraph(scope.shown.masked(note)) for note in given.notes]
    return Chapter(_TITLE, tuple(parts))


def _bounds(scope: UnitScope, rows: Sequence[DateRow]) -> Table:
    masked = scope.shown.masked
    cells = tuple((scope.shown.label(row.context), masked(row.tpq) or "none", masked(row.taq) or "none") for row in rows)
    return Table("Bounds, latest context first", ("Context", "Not earlier than", "Not later than"), cells, weights=(0, 1, 1))


def _contradictions(scope: UnitScope, given: DatingFacts) -> Iterator[Node]:
    if not given.contradictions:
        yield Paragraph("No find contradicts a firm date above it.", lead="Contradictions.")
        return
    yield Heading("Contradictions and their ways out")
    for says, ways in given.contradictions:
        yield Paragraph(scope.shown.masked(says))
        yield Listing(tuple(scope.shown.masked(way) for way in ways))


def _chronology(scope: UnitScope, given: DatingFacts, rows: Sequence[DateRow]) -> Iterator[Node]:
    yield Heading("Chronology")
    found = given.chronology
    if found is None:
        yield Paragraph(scope.shown.masked(given.refused) or _NOT_ASKED)
        return
    yield Paragraph(
        "One event stands for each deposit, cut or structure, and the order binds them. The range before is that of order and span "
        "alone, so that what the evidence adds can be seen beside it. A range may have several pieces, and no mean is given."
    )
    yield _ranges(scope, rows)
    yield Table(
        "The site and its phases" if len(found.phases) > 1 else "The whole of the site",
        ("Phase", "Begins (95 %)", "Ends (95 %)", "Lasts (95 %)"),
        tuple((one.name, one.begins, one.ends, one.lasts) for one in found.phases),
        weights=(0, 1, 1, 1),
    )
    yield from _rests_on(scope, found)


def _ranges(scope: UnitScope, rows: Sequence[DateRow]) -> Table:
    told = [row for row in rows if row.outer]
    cells = tuple(
        (f"{scope.shown.label(row.context)}{' *' if row.by_order_alone else ''}", row.prior, row.outer, row.inner) for row in told
    )
    head = ("Context", "Before (95 %)", "After (95 %)", "After (68 %)")
    note = "* nothing of its own dates it: the order alone does." if any(row.by_order_alone for row in told) else ""
    return Table("Dates by the chronology, latest context first", head, cells, weights=(0, 1, 1, 1), note=note)


def _rests_on(scope: UnitScope, found: ChronologyFacts) -> Iterator[Node]:
    masked = scope.shown.masked
    yield from _listed(scope, "What the absence of later finds does", found.absence)
    yield from _listed(scope, "What looks out of place", found.out_of_place)
    yield Heading("What the chronology rests on")
    cells = tuple((event, masked(what)) for event, what in found.evidence)
    yield Table(f"Evidence put in ({counted(len(cells), 'piece')})", ("Event", "Evidence"), cells, weights=(0, 1))
    yield Paragraph("Suppositions and settings:")
    yield Listing(tuple(masked(one) for one in found.settings))
    yield Paragraph("; ".join(found.curves) or "none used", lead="Radiocarbon curve.")
    yield Paragraph(masked(found.chains), lead="Agreement of the chains.")
    yield from (Paragraph(masked(note)) for note in found.notes)
    yield from _listed(scope, "Not in the chronology", found.left_out)


def _aids(scope: UnitScope, given: DatingFacts) -> Iterator[Node]:
    told = [(context, says) for context, says in given.aids if context in scope.ids]
    if told:
        yield Heading("Aids to dating")
        cells = tuple((scope.shown.label(context), scope.shown.masked(says)) for context, says in told)
        yield Table("What the aids say, each with its limits", ("Context", "Aid"), cells, weights=(0, 1))


def _listed(scope: UnitScope, title: str, lines: Sequence[str]) -> Iterator[Node]:
    if lines:
        yield Heading(f"{title} ({len(lines)})")
        yield Listing(tuple(scope.shown.masked(line) for line in lines))
