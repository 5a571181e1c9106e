"""What a person should know of rows that were taken: blanks, values far from the others, and loops that they close."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from baulk.exchange import Draft
from baulk.record import KINDS, Contact, Context, Entity, Level, Need, Relation, SiteRecord, Unit, fields_of
from baulk.sequence.from_record import (
    CONTACT_COLUMNS,
    CONTEXT_COLUMNS,
    RELATION_COLUMNS,
    ContextRelations,
    relations_from_columns,
)
from baulk.sequence.loops import cycle_in_words, loops_of
from baulk.sequence.merging import contradiction_in_words, merge_same

__all__ = ["FAR_LEVEL", "MOST_RELATIONS", "notes_on"]

MOST_RELATIONS = 200_000
"""Relations up to which loops are looked for while a table is taken in; `baulk order` looks at any number."""

FAR_LEVEL = 10.0
"""Metres from the middle of all levels beyond which one is named; a house setting, common practice, no source."""

_SPREADS, _LEAST = 5.0, 2.0
"""A level is also named beyond five times the spread of all, if that is 2 m or more: house settings."""
_ENOUGH = 5
_SHOWN = 10


def notes_on(record: SiteRecord, made: Sequence[Draft]) -> tuple[str, ...]:
    """Return notes on drafts held beside what the site holds; nothing is refused.

    Parameters
    ----------
    record : SiteRecord
        What the site holds.
    made : sequence of Draft
        What is being taken.

    Returns
    -------
    tuple of str
        Mandatory fields left blank, counted kind by kind; levels and positions far from the others, by line; loops in words.
    """
    return (*_blanks(made), *_far_levels(record, made), *_far_positions(record, made), *_loops(record, made))


def _blanks(made: Sequence[Draft]) -> Iterator[str]:
    by_kind: dict[str, list[Draft]] = {}
    for draft in made:
        by_kind.setdefault(draft.kind, []).append(draft)
    for kind, found in by_kind.items():
        said = KINDS[kind]
        wanted = [(name, facts) for name, facts in fields_of(said) if facts.need is Need.MANDATORY and _counts(said, name)]
        counts: Counter[str] = Counter()
        for draft in found:
            own = draft.values.get("kind")
            counts.update(
                facts.label
                for name, facts in wanted
                if name not in draft.values and (not facts.applies or not isinstance(own, str) or own in facts.applies)
            )
        if counts:
            by_count: dict[int, list[str]] = {}
            for label, count in counts.most_common():
                by_count.setdefault(count, []).append(f"“{label.lower()}”")
            each = "; ".join(f"{count} {'has' if count == 1 else 'have'} no {', '.join(by_count[count])}" for count in by_count)
            yield f"{said.TITLE}, {len(found)} in all: {each}."


def _counts(kind: type[Entity], name: str) -> bool:
    """Tell whether a blank of a field is counted: who recorded it and when stand on the sheet of a numbered record only."""
    return kind.model_fields[name].default is None and (kind.NUMBERED or name not in Entity.model_fields)


def _far_levels(record: SiteRecord, made: Sequence[Draft]) -> Iterator[str]:
    new = [
        (draft, value) for draft in made if draft.kind == "level" and isinstance(value := draft.values.get("level"), float | int)
    ]
    held = [one.level for one in record.all(Level) if one.level is not None]
    if not new or len(held) + len(new) < _ENOUGH:
        return
    every = np.array([*held, *(value for _, value in new)], float) * record.metres
    middle = float(np.median(every))
    spread = 1.4826 * float(np.median(np.abs(every - middle)))
    limit = min(FAR_LEVEL, max(_SPREADS * spread, _LEAST))
    far = [(draft, value) for draft, value in new if abs(value * record.metres - middle) >= limit]
    unit = _sign(record)
    own = middle / record.metres
    for draft, value in far[:_SHOWN]:
        yield (
            f"{draft.source}, line {draft.line}: the level {value:g} {unit} lies {abs(value - own):.2f} {unit} from the middle of "
            f"all levels ({own:.2f} {unit}). See that no figure was misread; it was taken as it is."
        )
    yield from _more(len(far), "levels as far off")


def _far_positions(record: SiteRecord, made: Sequence[Draft]) -> Iterator[str]:
    corners = [spot for unit in record.all(Unit) for spot in unit.corners or ()]
    corners += [spot for draft in made if draft.kind == "unit" for spot in _spots(draft)]
    if not corners:
        return
    box = np.array(corners, float)
    low, high = box.min(axis=0), box.max(axis=0)
    (west, south), (east, north) = low.tolist(), high.tolist()
    reach = max(float((high - low).max()), 10.0 / record.metres)
    unit = _sign(record)
    far: list[str] = []
    for draft in made:
        if draft.kind not in _PLACED:
            continue
        for spot in _spots(draft):
            away = max(west - spot[0], spot[0] - east, south - spot[1], spot[1] - north)
            if away > reach:
                far.append(
                    f"{draft.source}, line {draft.line}: the position {spot[0]:g} {spot[1]:g} lies {away:.1f} {unit} outside every "
                    "unit. See that easting and northing are not exchanged and are on the site grid; it was taken as it is."
                )
                break
    yield from far[:_SHOWN]
    yield from _more(len(far), "positions as far outside")


_PLACED = ("level", "outline", "element", "find", "sample")
"""Kinds that lie in or beside a unit; stations and surveys may lie anywhere."""


def _spots(draft: Draft) -> list[Any]:
    """Return the positions of a draft: its ring or corners, or its easting and northing."""
    ring = draft.values.get("ring") or draft.values.get("corners")
    if isinstance(ring, list):
        return ring
    east, north = draft.values.get("easting"), draft.values.get("northing")
    return [(east, north)] if isinstance(east, float | int) and isinstance(north, float | int) else []


def _loops(record: SiteRecord, made: Sequence[Draft]) -> Iterator[str]:
    if not any(draft.kind == "relation" for draft in made):
        return
    count = len(record.all(Relation)) + sum(draft.kind == "relation" for draft in made)
    if count > MOST_RELATIONS:
        yield f"Loops were not looked for among {count:,} relations; baulk order looks for them."
        return
    known = _relations(record, made)
    merging = merge_same(known.relations)
    says = [contradiction_in_words(known.relations, clash) for clash in merging.contradictions]
    says += [
        f"The relations close a loop: {cycle_in_words(merging.relations, loop.shortest)} (A > B means that A is later than B). "
        "A layer cannot be earlier than itself."
        for loop in loops_of(merging.relations)
    ]
    yield from says[:_SHOWN]
    yield from _more(len(says), "loops or contradictions")


def _relations(record: SiteRecord, made: Sequence[Draft]) -> ContextRelations:
    def columns(kind: type[Entity], names: Sequence[str]) -> Mapping[str, list[Any]]:
        found = record.all(kind)
        drafts = [draft for draft in made if draft.kind == kind.KIND]
        return {name: [*(getattr(one, name) for one in found), *(_cell(kind, draft, name) for draft in drafts)] for name in names}

    return relations_from_columns(
        columns(Context, CONTEXT_COLUMNS), columns(Relation, RELATION_COLUMNS), columns(Contact, CONTACT_COLUMNS)
    )


def _cell(kind: type[Entity], draft: Draft, name: str) -> Any:
    if name == "id":
        return draft.id
    said = kind.model_fields[name]
    value = draft.values.get(name, None if said.is_required() else said.default)
    return None if isinstance(value, Mapping) else value


def _more(count: int, what: str) -> Iterator[str]:
    if count > _SHOWN:
        yield f"… and {count - _SHOWN} more {what}."


def _sign(record: SiteRecord) -> str:
    return "m" if str(record.length_unit) == "m" else "ft"
