"""What was found, context by context, latest first: description apart from interpretation, reasons, alternatives, doubt."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.record import Context, Find, Need, Photo, Relation, Sample, fields_of
from baulk.report.cover import context_name
from baulk.report.given import SequenceFacts
from baulk.report.shown import NOT_RECORDED, Shown, measure, sentence
from baulk.report.tree import Chapter, Heading, KeyValues, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["context_register", "latest_first", "relation_words", "results"]

_TOLD_APART = frozenset({
    "id", "number", "units", "title", "description", "interpretation", "reasons", "alternatives", "confidence", "kind",
    "key_context", "phase", "phase_note", "spot_begin", "spot_end", "spot_by", "void", "term_list", "absences", "fill_of",
    "recorded_by", "recorded_on", "checked_by", "checked_on", "notes", "conditions",
})  # fmt: skip

_PASSIVE = {
    "overlies": "lies under", "cuts": "is cut by", "fills": "is filled by", "abuts": "is abutted by", "same as": "is the same as",
    "bonded with": "is bonded with",
}  # fmt: skip


def latest_first(scope: UnitScope, sequence: SequenceFacts | None) -> tuple[Context, ...]:
    """Return the unit's contexts, latest first by the order; those without a place in it come last, by number."""
    steps = sequence.steps if sequence else {}
    placed = [context for context in scope.contexts if context.id in steps]
    placed.sort(key=lambda context: (-steps[context.id][1], -steps[context.id][0]))
    return (*placed, *(context for context in scope.contexts if context.id not in steps))


def relation_words(shown: Shown, relation: Relation, context: Context) -> str:
    """Return one relation as seen from one of its contexts, with its certainty."""
    how = relation.how or "lies later than (how not recorded)"
    surely = relation.certainty or "certainty not recorded"
    if relation.later == context.id:
        return f"{how} {shown.label(relation.earlier)} ({surely})"
    return f"{_PASSIVE.get(how, 'lies earlier than')} {shown.label(relation.later)} ({surely})"


def results(scope: UnitScope, sequence: SequenceFacts | None) -> Chapter:
    """Return the contexts, latest first."""
    if not scope.contexts:
        return Chapter("Results: the contexts", (Paragraph("No contexts are recorded for this unit."),))
    parts: list[Node] = [
        Paragraph(
            "Contexts follow from the latest to the earliest. What was seen stands apart from what it may mean; words of certainty "
            "are those of the record, and what is not recorded is said to be so."
        )
    ]
    for context in latest_first(scope, sequence):
        parts.extend(_entry(scope, context))
    return Chapter("Results: the contexts", tuple(parts))


def _entry(scope: UnitScope, context: Context) -> Iterator[Node]:
    shown = scope.shown
    yield Heading(f"{context_name(context)} ({shown.field(context, 'kind')})", level=3)
    yield Paragraph(sentence(shown.field(context, "description")), lead="Description.")
    facts = tuple(_facts(shown, context))
    if facts:
        yield KeyValues(facts, dense=True)
    yield Paragraph(sentence(_relations(scope, context)), lead="Relations.")
    yield Paragraph(sentence(shown.field(context, "interpretation")), lead="Interpretation.")
    yield Paragraph(sentence(shown.field(context, "reasons")), lead="Reasons.")
    yield Paragraph(sentence(shown.field(context, "alternatives")), lead="Alternatives.")
    yield Paragraph(sentence(_surety(shown, context)), lead="Confidence.")
    blanks = _blanks(context)
    if blanks:
        yield Paragraph(f"{'; '.join(blanks)}.", lead="Not recorded.")


def _facts(shown: Shown, context: Context) -> Iterator[tuple[str, str]]:
    """Yield label and words of each descriptive field that has a value or a reason for having none."""
    for name, said in fields_of(Context):
        if name not in _TOLD_APART and context.applies(name) and shown.has(context, name):
            yield said.label, shown.field(context, name)
    yield from _registers(shown, context)


def _registers(shown: Shown, context: Context) -> Iterator[tuple[str, str]]:
    for word, kind, field in (("Finds", Find, "context"), ("Samples", Sample, "context"), ("Photos", Photo, "contexts")):
        found = shown.record.pointing_at(kind, field, context.id)
        if found:
            yield word, shown.labels(entity.id for entity in found)


def _relations(scope: UnitScope, context: Context) -> str:
    words = [relation_words(scope.shown, relation, context) for relation in scope.relations_of(context)]
    if context.fill_of:
        words.insert(0, f"fill of {scope.shown.label(context.fill_of)}")
    return "; ".join(dict.fromkeys(words)) or f"{NOT_RECORDED}: nothing says what lies above or below"


def _surety(shown: Shown, context: Context) -> str:
    words = shown.field(context, "confidence")
    if dated := _spot_date(shown, context):
        words += f"; provisional date {dated}" + (f", by {context.spot_by}" if context.spot_by else "")
    if context.phase is not None:
        words += f"; phase {context.phase}" + (f" ({context.phase_note})" if context.phase_note else "")
    return words


def _spot_date(shown: Shown, context: Context) -> str:
    """Return the provisional date in words; empty when it has none."""
    begin, end = (shown.field(context, name) if shown.has(context, name) else "" for name in ("spot_begin", "spot_end"))
    if begin and end:
        return begin if begin == end else f"{begin} to {end}"
    return f"from {begin}" if begin else f"until {end}" if end else ""


def _blanks(context: Context) -> tuple[str, ...]:
    return tuple(
        said.label.lower()
        for name, said in fields_of(Context)
        if said.need is not Need.OPTIONAL and name not in _TOLD_APART and context.applies(name) and context.is_blank(name)
    )


def context_register(scope: UnitScope) -> Chapter:
    """Return the context register, void numbers included."""
    shown = scope.shown
    rows: list[tuple[str, ...]] = []
    for context in scope.record.all(Context, void=True):
        if context.void is not None and scope.unit.id in (context.units or ()):
            rows.append((context.number or NOT_RECORDED, "void", f"Void: {context.void}", "", "", "", ""))
        elif context.id in scope.ids:
            rows.append(
                (
                    *(shown.field(context, name) for name in ("number", "kind", "title", "interpretation", "confidence")),
                    shown.field(context, "colour_moist") if context.applies("colour_moist") else "",
                    _thickness(context) if context.applies("thickness_max") else "",
                )
            )
    head = ("Context", "Kind", "Short name", "Interpretation", "Confidence", "Colour, moist", f"Thickness, {shown.unit_sign}")
    table = Table(f"Context register ({len(rows)})", head, tuple(rows), weights=(0, 0, 2, 3, 0, 0, 0), numbers=(6,))
    return Chapter("Context register", (table,), appendix=True)


def _thickness(context: Context) -> str:
    held = [measure(value) for value in (context.thickness_min, context.thickness_max) if value is not None]
    return "–".join(dict.fromkeys(held)) or NOT_RECORDED
