"""Finds and samples, and the registers of finds, samples, photos and drawings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from baulk.record import Drawing, Entity, Find, Photo, Sample, facts_of
from baulk.report.shown import counted
from baulk.report.tree import Chapter, Heading, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["drawing_register", "find_register", "finds_and_samples", "photo_register", "sample_register"]

_FIND_FIELDS = (
    "number",
    "context",
    "material",
    "object",
    "type",
    "count",
    "mass",
    "recovery",
    "status",
    "begin",
    "end",
    "date_source",
)
_PLACE_FIELDS = ("number", "context", "object", "easting", "northing", "level")
_SAMPLE_FIELDS = ("number", "context", "type", "purpose", "litres", "containers", "level", "contamination")
_PHOTO_FIELDS = ("number", "day", "subject", "facing", "contexts", "stage", "kind", "scale", "north", "photographer")
_DRAWING_FIELDS = ("number", "kind", "scale", "contexts", "stage", "drawn_by", "drawn_on")


def finds_and_samples(scope: UnitScope) -> Chapter:
    """Return counts and mass by context and material, what dates them, and the samples with their purpose."""
    finds, samples = scope.of_contexts(Find, "context"), scope.of_contexts(Sample, "context")
    parts: list[Node] = [Heading("Finds")]
    parts.extend(_finds(scope, finds) if finds else [Paragraph("No finds are recorded for this unit.")])
    parts.append(Heading("Samples"))
    if samples:
        fields = ("number", "context", "type", "purpose", "litres")
        parts.append(_register(scope, f"Samples and what they are for ({len(samples)})", samples, fields, (0, 0, 0, 1, 0)))
    else:
        parts.append(Paragraph("No samples are recorded for this unit."))
    return Chapter("Finds and samples", tuple(parts))


def _finds(scope: UnitScope, finds: Sequence[Find]) -> Iterator[Node]:
    left = [find for find in finds if find.status in ("left in place", "not collected", "deselected")]
    yield Paragraph(
        f"{counted(len(finds), 'find or bag', 'finds or bags')}. Left in place, not collected or deselected: {len(left)}"
        + (f" ({scope.shown.labels(find.id for find in left)})." if left else ".")
    )
    groups: dict[tuple[str, str], list[Find]] = defaultdict(list)
    for find in finds:
        groups[find.context or "", scope.shown.field(find, "material")].append(find)
    order = {context.id: place for place, context in enumerate(scope.contexts)}
    keys = sorted(groups, key=lambda key: (order.get(key[0], 0), key[1]))
    rows = [_group(scope, context, material, groups[context, material]) for context, material in keys]
    yield Table(
        "Finds by context and material",
        ("Context", "Material", "Finds or bags", "Pieces", "Mass, g", "Objects", "Made between"),
        tuple(rows), weights=(0, 0, 0, 0, 0, 2, 0), numbers=(2, 3, 4),
        note="A + after a sum: at least one find of the group has no figure. A range of making is not the date of the deposit.",
    )  # fmt: skip


def _group(scope: UnitScope, context: str, material: str, finds: Sequence[Find]) -> tuple[str, ...]:
    begins, ends = [find.begin for find in finds if find.begin is not None], [find.end for find in finds if find.end is not None]
    made = f"{min(begins) if begins else '?'}–{max(ends) if ends else '?'}" if begins or ends else "cannot tell"
    objects = "; ".join(dict.fromkeys(find.object for find in finds if find.object))
    pieces, mass = _sum([find.count for find in finds]), _sum([find.mass for find in finds])
    return (scope.shown.label(context), material, str(len(finds)), pieces, mass, objects, made)


def _sum(values: Sequence[float | None]) -> str:
    """Return a sum, with a + when a figure is missing, or that nobody can tell when all are."""
    given = [value for value in values if value is not None]
    if not given:
        return "cannot tell"
    return f"{sum(given):g}" + ("+" if len(given) < len(values) else "")


def _register(
    scope: UnitScope, caption: str, records: Sequence[Entity], fields: Sequence[str], weights: tuple[float, ...]
) -> Table:
    head = tuple(facts_of(type(records[0]), name).label for name in fields) if records else tuple(fields)
    rows = tuple(tuple(scope.shown.field(record, name) for name in fields) for record in records)
    return Table(caption, head, rows, weights=weights)


def _appendix(
    title: str, scope: UnitScope, records: Sequence[Entity], fields: Sequence[str], weights: tuple[float, ...]
) -> Chapter:
    if not records:
        return Chapter(title, (Paragraph("None recorded for this unit."),), appendix=True)
    return Chapter(title, (_register(scope, f"{title} ({len(records)})", records, fields, weights),), appendix=True)


def find_register(scope: UnitScope) -> Chapter:
    """Return the register of finds; in the full version with the places of registered finds."""
    finds = scope.of_contexts(Find, "context")
    chapter = _appendix("Finds register", scope, finds, _FIND_FIELDS, (0, 0, 0, 2, 2, 0, 0, 0, 0, 0, 0, 2))
    placed = [find for find in finds if find.positions()]
    if not placed or scope.shown.public:
        return chapter
    table = _register(scope, f"Places of registered finds ({len(placed)})", placed, _PLACE_FIELDS, (0, 0, 1, 0, 0, 0))
    return Chapter(chapter.title, (*chapter.parts, table), appendix=True)


def sample_register(scope: UnitScope) -> Chapter:
    """Return the register of samples."""
    return _appendix("Sample register", scope, scope.of_contexts(Sample, "context"), _SAMPLE_FIELDS, (0, 0, 0, 3, 0, 0, 0, 2))


def photo_register(scope: UnitScope) -> Chapter:
    """Return the register of photos; pictures themselves are in the archive."""
    return _appendix("Photo register", scope, scope.seen_in(Photo), _PHOTO_FIELDS, (0, 0, 3, 0, 2, 0, 0, 0, 0, 0))


def drawing_register(scope: UnitScope) -> Chapter:
    """Return the register of drawings."""
    return _appendix("Drawing register", scope, scope.seen_in(Drawing), _DRAWING_FIELDS, (0, 0, 0, 2, 0, 0, 0))
