"""Volumes of the contexts with their errors, buckets and find density beside them, and what filling in takes."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.quantities import LengthUnit
from baulk.report.shown import NOT_RECORDED, counted, sentence
from baulk.report.tree import Chapter, Heading, KeyValues, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope
from baulk.report.volumes_given import BackfillFacts, VolumeFacts, VolumeLine

__all__ = ["volumes_chapter"]

_CANNOT_TELL = "cannot tell"
_HEAD = ("Context", "Kind", "Volume", "Error (95 %)", "Mean thickness", "Dug", "Buckets", "Finds a cubic metre")


def volumes_chapter(scope: UnitScope, given: VolumeFacts | None) -> Chapter:
    """Return the chapter on volumes; of a context that the reader may not know of nothing is printed.

    Parameters
    ----------
    scope : UnitScope
        The unit as the reader may see it.
    given : VolumeFacts or None
        None when the volumes were not worked out; the chapter says so.
    """
    if given is None:
        return Chapter("Volumes", (Paragraph("The volumes were not worked out for this report."),))
    lines = [line for line in given.lines if line.context in scope.ids]
    told = [line for line in lines if line.cubic_metres is not None]
    if not told:
        parts: list[Node] = [Paragraph("No context of the unit has a volume: cannot tell.", lead="Volumes.")]
    else:
        parts = [_hole(scope, given), _table(scope, told)]
    parts += _missing(scope, [line for line in lines if line.cubic_metres is None])
    parts += [Paragraph(scope.shown.masked(sentence(note))) for note in given.notes]
    parts += _backfill(given.backfill)
    return Chapter("Volumes", tuple(parts))


def _hole(scope: UnitScope, given: VolumeFacts) -> Paragraph:
    metric = _is_metric(scope)
    cubic, sign = (1.0, "m³") if metric else (scope.record.metres**3, "ft³")
    places = 2 if metric else 1
    hole, error = (f"{value / cubic:.{places}f} {sign}" for value in (given.hole, given.hole_error))
    words = f"{hole} as it lay in the ground, standard error {error}; of cuts the fills are counted, not the room."
    return Paragraph(words, lead="Dug in all.")


def _is_metric(scope: UnitScope) -> bool:
    return scope.record.length_unit is LengthUnit.METRE


def _volume(scope: UnitScope, cubic_metres: float) -> str:
    if _is_metric(scope):
        return f"{1000 * cubic_metres:.0f} l"
    return f"{cubic_metres / scope.record.metres**3:.1f} ft³"


def _table(scope: UnitScope, lines: list[VolumeLine]) -> Table:
    shown = scope.shown
    kinds = {context.id: shown.field(context, "kind") for context in scope.contexts}
    rows = tuple(
        (
            shown.label(line.context),
            f"{kinds[line.context]} (room)" if line.room else kinds[line.context],
            _volume(scope, line.cubic_metres or 0.0),
            f"± {_volume(scope, line.half_width or 0.0)}",
            _thickness(scope, line.thickness),
            f"{line.dug:g} %",
            line.buckets or NOT_RECORDED,
            line.finds or _CANNOT_TELL,
        )
        for line in lines
    )
    beyond = [line for line in lines if (line.extrapolated or 0.0) > 0.5]
    note = "Volumes are those of the whole context as it lies in the ground; buckets and finds are those of the part dug."
    if beyond:
        note += f" More than half outside the outermost levels: {shown.labels(line.context for line in beyond)}."
    weights = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 2.0, 1.0)
    return Table(f"Volumes by context ({len(rows)})", _HEAD, rows, weights=weights, numbers=(2, 3, 4, 5), note=note)


def _thickness(scope: UnitScope, metres: float | None) -> str:
    if metres is None:
        return _CANNOT_TELL
    return f"{1000 * metres:.0f} mm" if _is_metric(scope) else f"{metres / scope.record.metres:.2f} ft"


def _missing(scope: UnitScope, lines: list[VolumeLine]) -> Iterator[Node]:
    """Yield the contexts whose volume cannot be told, with what is missing."""
    if not lines:
        return
    yield Heading(f"Volume: {_CANNOT_TELL} ({counted(len(lines), 'context')})")
    yield Listing(tuple(f"{scope.shown.label(line.context)}: {scope.shown.masked(sentence(line.why_not))}" for line in lines))


def _backfill(given: BackfillFacts | None) -> Iterator[Node]:
    yield Heading("What filling in takes")
    if given is None:
        yield Paragraph("Nothing has a volume, so how much filling in takes cannot be told.")
        return
    yield Paragraph(given.says)
    (low, high), (least, most) = given.loose, given.compacted
    yield KeyValues((
        ("Soil of the spoil", given.soil),
        ("Loose, for one cubic metre in the ground", f"{low:.2f} to {high:.2f} m³"),
        ("Tamped, for one cubic metre in the ground", f"{least:.2f} to {most:.2f} m³"),
        ("Source of the factors", given.source),
    ))  # fmt: skip
