"""A small invented site, complete enough for every route and place, and a study over it whose drawings are plain boxes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from baulk.record import (
    Burial,
    Context,
    Difference,
    Entity,
    Find,
    FollowUp,
    Level,
    Notice,
    Outline,
    Photo,
    Relation,
    Site,
    SiteRecord,
    Unit,
    Wall,
    WallOutline,
    build,
)
from baulk.record.fold import Write

SECRET = "wrapped in a shroud of sailcloth"
"""Words that stand in restricted records only."""

PICTURE = "a" * 64
SECRET_PICTURE = "b" * 64
DOTTED = "not visible"


@dataclass(frozen=True)
class Rule:
    """A rule of the closing check."""

    id: str
    what: str
    why: str = "It is lost when the soil goes back."
    severity: str = "lost for good"
    source: str = "common practice, no source"


@dataclass(frozen=True)
class Finding:
    """An answer of the closing check."""

    rule: Rule
    outcome: str
    records: tuple[str, ...]
    says: str
    mend: str = ""


@dataclass(frozen=True)
class Closing:
    """A closing check."""

    findings: tuple[Finding, ...]
    ready: bool = False


@dataclass(frozen=True)
class OneNotice:
    """A notice of the order."""

    what: str
    says: str
    records: tuple[str, ...]


@dataclass(frozen=True)
class Order:
    """An order."""

    latest_first: tuple[str, ...]
    notices: tuple[OneNotice, ...] = ()


@dataclass(frozen=True)
class Shelf:
    """A folder of files named by their hash."""

    folder: Path

    def path(self, sha: str) -> Path:
        """Return where the file lies."""
        return self.folder / sha


@dataclass(frozen=True)
class TinyStudy:
    """A study whose drawings are boxes that carry the ids of the contexts."""

    record: SiteRecord
    files: Shelf | None = None
    order: Order = field(default_factory=lambda: tiny_order())  # noqa: PLW0108  defined below

    def closing(self, unit_id: str) -> Closing:
        """Return three answers."""
        return Closing(
            (
                Finding(
                    Rule("W1", "Every wall that shows layers is drawn."),
                    "fail",
                    (unit_id,),
                    "The north wall is not drawn.",
                    "Draw it.",
                ),
                Finding(
                    Rule("B1", "Notices are answered.", severity="good practice"), "cannot tell", ("burial-1",), SECRET, SECRET
                ),
                Finding(Rule("C1", "Every context has a level.", severity="recoverable"), "pass", (), "All six have one."),
            )
        )

    def svg(self, name: str) -> str:
        """Return a drawing of one box a context."""
        shown = [context for context in self.record.all(Context) if context.id not in HIDDEN]
        boxes = "".join(
            f'<g data-record="{context.id}"><title>context {context.number}</title>'
            f'<path d="M10 {10 + 12 * row}h60v10h-60z" fill="#9C7A56" stroke="#1F1C18" stroke-width="0.4"/>'
            f'<text x="14" y="{17 + 12 * row}" font-size="5" fill="#1F1C18">{context.number}</text></g>'
            for row, context in enumerate(shown)
        )
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="100mm" viewBox="0 0 80 100" role="img"'
            f' aria-labelledby="{name}-title"><title id="{name}-title">{name}</title>'
            f'<rect class="baulk-paper" width="100%" height="100%" fill="#FFFFFF"/>{boxes}</svg>'
        )


HIDDEN = ("c-114",)


def tiny_order() -> Order:
    """Return the order of the six contexts, with one notice."""
    return Order(
        tuple(f"c-{number}" for number in (101, 105, 114, 106, 110, 120)),
        (OneNotice("one-sided", "106 over 110 stands on the sheet of 106 only. Look at the sheet of 110.", ("c-106", "c-110")),),
    )


def tiny_record(more: Sequence[Entity] = ()) -> SiteRecord:
    """Return the record of the small site: one unit, six contexts, one of which belongs to a possible burial."""
    entities = [*_ground(), *_registers(), *_restricted(), *more]
    writes = tuple(Write(f"change-{each}", "", each, each, words) for each, words in (("TB", "brown"), ("AK", "grey")))
    return SiteRecord.of(entities, [Difference("context", "c-105", "description", writes)], revision=42)


def _ground() -> list[Entity]:
    unit_corners = [[112, 204], [114, 204], [114, 206], [112, 206]]
    made: list[Entity] = [
        build(Site, {"id": "site-1", "code": "OTW26", "name": "Otter Weir (invented)", "invented": True, "length_unit": "m"}),
        build(
            Unit, {"id": "unit-1", "number": "1", "corners": unit_corners, "opened": "2026-05-11", "reason": "A culvert fell in."}
        ),
        build(Wall, {"id": "wall-1", "number": "1", "unit": "unit-1", "face": "east", "ends": [[114, 206], [114, 204]]}),
    ]
    said: list[dict[str, Any]] = [
        {"number": "101", "kind": "deposit", "title": "Turf and cinders", "colour_moist": "10YR 2/1", "thickness_max": 0.12},
        {
            "number": "105",
            "kind": "fill",
            "title": "Pit fill",
            "description": "Grey ash with glass waste.",
            "colour_moist": "2.5Y 5/1",
            "fill_of": "c-106",
            "recorded_by": "TB",
            "absences": {"boundary": DOTTED},
        },
        {"number": "106", "kind": "cut", "title": "Pit", "plan_shape": "circular", "depth": 0.45},
        {"number": "110", "kind": "structure", "title": "Setts on edge", "material": "stone"},
        {"number": "114", "kind": "cut", "title": SECRET, "description": SECRET},
        {"number": "120", "kind": "deposit", "title": "River gravel", "natural": True, "void": "given twice"},
    ]
    made += [build(Context, {"id": f"c-{one['number']}", "units": ["unit-1"], **one}) for one in said]
    pairs = [
        ("101", "105", "overlies"),
        ("105", "106", "fills"),
        ("106", "110", "cuts"),
        ("106", "110", "cuts"),
        ("101", "114", "overlies"),
    ]
    made += [
        build(Relation, {"id": f"r-{row}", "later": f"c-{above}", "earlier": f"c-{below}", "how": how, "certainty": "firm"})
        for row, (above, below, how) in enumerate(pairs)
    ]
    return made


def _registers() -> list[Entity]:
    ring = [[112, 204], [113, 204], [113, 205]]
    return [
        build(Level, {"id": "l-1", "context": "c-105", "easting": 112.5, "northing": 204.5, "level": 29.41}),
        build(Outline, {"id": "o-1", "context": "c-105", "ring": ring}),
        build(WallOutline, {"id": "w-1", "wall": "wall-1", "context": "c-105", "ring": ring}),
        build(Find, {"id": "f-1", "number": "12", "context": "c-105", "material": "glass", "object": "Bottle neck", "count": 3}),
        build(
            Photo,
            {"id": "p-1", "number": "P1", "file": PICTURE, "subject": "Pit half dug", "contexts": ["c-106"], "unit": "unit-1"},
        ),
        build(
            FollowUp,
            {"id": "q-1", "number": "Q1", "unit": "unit-1", "contexts": ["c-110"], "asks": "Round what do the setts swing?"},
        ),
    ]


def _restricted() -> list[Entity]:
    return [
        build(Burial, {"id": "burial-1", "number": "G1", "contexts": ["c-114"], "evidence": SECRET}),
        build(Notice, {"id": "notice-1", "burial": "burial-1", "to": SECRET}),
        build(Level, {"id": "l-secret", "context": "c-114", "level": 28.765, "notes": SECRET}),
        build(Find, {"id": "f-secret", "number": "13", "context": "c-114", "object": SECRET}),
        build(Photo, {"id": "p-secret", "number": "P2", "file": SECRET_PICTURE, "subject": SECRET, "sensitive": True}),
    ]
