"""The order of the contexts: diagram and table, and everything about it that is doubtful."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baulk.record import Relation
from baulk.report.contexts import latest_first
from baulk.report.given import SequenceFacts
from baulk.report.shown import NOT_RECORDED, Shown, counted
from baulk.report.tree import Chapter, Figure, Heading, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["order_of_contexts", "relation_register"]


def order_of_contexts(scope: UnitScope, sequence: SequenceFacts | None, figures: Sequence[Figure]) -> Chapter:
    """Return the order: its diagram, its table, and what is doubtful in it."""
    if sequence is None:
        return Chapter("Sequence", (Paragraph("The order was not computed for this report."), *figures))
    parts: list[Node] = [
        Paragraph(
            "The order rests on the recorded relations alone. A step is a place in the order, 1 the earliest; a context with an "
            "earliest and a latest step may stand anywhere between them. Steps are not dates, and not phases."
        ),
        *figures,
        _table(scope, sequence),
        Heading("What is doubtful in the order"),
        *_doubts(scope, sequence),
    ]
    return Chapter("Sequence", tuple(parts))


def _table(scope: UnitScope, sequence: SequenceFacts) -> Table:
    shown = scope.shown
    rows = []
    for context in latest_first(scope, sequence):
        steps = sequence.steps.get(context.id)
        earliest, latest = (str(steps[0]), str(steps[1])) if steps else ("cannot tell", "cannot tell")
        dated = "–".join(shown.field(context, name) for name in ("spot_begin", "spot_end") if shown.has(context, name))
        rows.append((shown.label(context.id), shown.field(context, "kind"), context.title or "", earliest, latest,
                     shown.field(context, "phase"), dated or NOT_RECORDED))  # fmt: skip
    head = ("Context", "Kind", "Short name", "Earliest step", "Latest step", "Phase", "Provisional date")
    return Table("Contexts in order, latest first", head, tuple(rows), weights=(0, 0, 3, 0, 0, 0, 0), numbers=(3, 4, 5))


def _doubts(scope: UnitScope, sequence: SequenceFacts) -> Iterator[Node]:
    shown = scope.shown
    yield from _listed(
        "Loops",
        [_loop(shown, loop) for loop in sequence.loops if scope.ids.intersection(loop)],
        "No context is recorded as earlier than itself.",
    )
    own = [relation for relation in scope.relations if relation.certainty != "firm"]
    yield from _listed(
        "Relations not recorded as firm",
        [f"{_words(shown, relation)}: {_doubt(relation)}" for relation in own],
        "Every relation is recorded as firm.",
    )
    yield from _one_sided(scope, frozenset(sequence.one_sided))
    yield from _listed(
        "Implied by others and left out of the diagram",
        list(_implied(scope, sequence)),
        "No relation is implied by others.",
    )
    yield from _listed(
        "Contexts without any relation",
        [shown.label(context) for context in sequence.floating if context in scope.ids],
        "Every context has at least one relation.",
    )
    set_aside = set(sequence.set_aside)
    unused = [_words(shown, relation) for relation in scope.relations if relation.id in set_aside]
    if unused:
        yield from _listed("Relations that could not be used", unused, "")
    if sequence.contradictions:
        yield from _listed("Phases against the order", [shown.masked(words) for words in sequence.contradictions], "")


def _one_sided(scope: UnitScope, one_sided: frozenset[str]) -> Iterator[Node]:
    blank = sum(relation.sheet is None for relation in scope.relations)
    found = [_words(scope.shown, relation) for relation in scope.relations if relation.id in one_sided]
    if found or not blank:
        yield from _listed("Entered on one sheet only", found, "No relation is known to be entered on one sheet only.")
    if blank:
        says = (
            f"Cannot tell for {blank} of {counted(len(scope.relations), 'relation')}: on which sheets they were entered is blank."
        )
        yield Paragraph(says, lead="Sheets not recorded.")


def _listed(lead: str, items: list[str], none: str) -> Iterator[Node]:
    if not items:
        yield Paragraph(none, lead=f"{lead}.")
        return
    yield Paragraph(f"{len(items)}:", lead=f"{lead}.")
    yield Listing(tuple(items))


def _loop(shown: Shown, loop: Sequence[str]) -> str:
    numbers = [shown.label(context) for context in loop]
    return (
        f"{' is later than '.join([*numbers, numbers[0]])}: a context cannot be later than itself, so at least one of these "
        f"{counted(len(numbers), 'relation')} is wrong"
    )


def _words(shown: Shown, relation: Relation) -> str:
    return f"{shown.label(relation.later)} {relation.how or 'later than'} {shown.label(relation.earlier)}"


def _doubt(relation: Relation) -> str:
    words = [relation.certainty or "certainty not recorded"]
    words += [f"seen {relation.where_seen}"] if relation.where_seen and relation.where_seen != "inferred" else []
    words += ["inferred"] if relation.where_seen == "inferred" else []
    words += [relation.basis] if relation.basis else []
    words += [f"tried: {relation.settled_by}"] if relation.settled_by else []
    return "; ".join(words)


def _implied(scope: UnitScope, sequence: SequenceFacts) -> Iterator[str]:
    paths = {implied.relation: implied.path for implied in sequence.implied}
    for relation in scope.relations:
        if relation.id in paths:
            path = " > ".join(scope.shown.label(context) for context in paths[relation.id])
            yield f"{_words(scope.shown, relation)} (follows from {path})"


def relation_register(scope: UnitScope) -> Chapter:
    """Return the table of relations, which is what the diagram can be drawn from again."""
    shown = scope.shown
    fields = ("later", "how", "earlier", "certainty", "where_seen", "sheet", "basis")
    table = Table(
        f"Relations ({len(scope.relations)})",
        ("Later", "How", "Earlier", "Certainty", "Where seen", "Entered on", "Basis"),
        tuple(tuple(shown.field(relation, name) for name in fields) for relation in scope.relations),
        weights=(0, 0, 0, 0, 0, 0, 1),
        note="Later lies above, cuts, fills or abuts earlier.",
    )
    return Chapter("Relations", (table,), appendix=True)
