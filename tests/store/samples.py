"""Changes for the tests of stores; every word and measure here is invented."""

from __future__ import annotations

import random
from typing import Any

from baulk.record import Change, SiteRecord, Stamp, absent, creation, rewrite

HAND = ("tablet", "AB")
OTHER = ("laptop", "CD")
RING = [[100.0, 200.0], [102.0, 200.0], [102.0, 202.0], [100.0, 202.0]]


def record_id(number: int) -> str:
    """Return an id for a record."""
    return f"0193a000-0000-7000-8000-{number:012d}"


def stamp(moment: int, by: tuple[str, str] = HAND) -> Stamp:
    """Return who writes at a moment, with an id made of both."""
    return Stamp(f"0193b000-0000-7000-8000-{by[0]}-{moment:06d}", f"{1_770_000_000_000 + moment:013d}.000000", *by)


def made(moment: int, kind: str, record: str, /, **fields: Any) -> Change:
    """Return the change that creates a record."""
    return creation(stamp(moment), kind, record, fields)


def written(
    moment: int, record: str, field: str, value: Any, *, by: tuple[str, str] = HAND, kind: str = "context", **more: Any
) -> Change:
    """Return the change that writes one field."""
    return rewrite(stamp(moment, by), kind, record, field, value, **more)


UNIT, DUMP, CUT, SPOT = (record_id(number) for number in (1, 2, 3, 4))


def small_site() -> list[Change]:
    """Return the changes of a site with one unit, two contexts, a relation, a level, an outline, a find with a photo."""
    return [
        made(1, "site", record_id(90), code="OW", name="Otter Weir", length_unit="m"),
        made(2, "unit", UNIT, number="1", corners=RING, opened="2026-05-04", mesh=6, closed=absent("not done: still open")),
        made(3, "context", DUMP, number="1002", kind="deposit", units=[UNIT], colour_moist="10yr4/3", phase=2, natural=False),
        made(4, "context", CUT, number="1001", kind="cut", units=[UNIT], title="pit", orientation=45),
        made(5, "relation", record_id(5), later=CUT, earlier=DUMP, how="cuts"),
        made(6, "level", SPOT, context=DUMP, easting=101.5, northing=200.25, level=12.34),
        made(7, "outline", record_id(7), context=DUMP, ring=RING, edges=["seen", "seen", "uncertain", "limit of excavation"]),
        made(8, "photo", record_id(8), number="1", file="ab" * 32),
        written(9, CUT, "void", "a root, not a pit", after=(stamp(4).id,)),
        written(10, DUMP, "title", "dump of slag"),
        written(11, DUMP, "checked_by", absent("Not done:  rain"), by=OTHER),
    ]


def shuffled(changes: list[Change], seed: int) -> list[Change]:
    """Return the changes in another order."""
    mixed = list(changes)
    random.Random(seed).shuffle(mixed)
    return mixed


def assert_same_record(ours: SiteRecord, theirs: SiteRecord, *, revision: bool = True) -> None:
    """Two records hold the same, and each keeps what every record keeps: ids unique, each in its own kind, in order of number."""
    for record in (ours, theirs):
        ids = [entity.id for found in record.entities.values() for entity in found]
        assert len(ids) == len(set(ids)), "an id is used twice"
        for kind, found in record.entities.items():
            assert all(kind == entity.KIND for entity in found)
            assert all(entity.absences.keys() <= type(entity).model_fields.keys() for entity in found)
    assert {kind: found for kind, found in ours.entities.items() if found} == {
        kind: found for kind, found in theirs.entities.items() if found
    }
    assert ours.differences == theirs.differences
    if revision:
        assert ours.revision == theirs.revision
