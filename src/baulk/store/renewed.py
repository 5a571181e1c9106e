"""The whole record of a site file, read anew only as far as it was touched since it was last read."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Mapping, Set

from baulk.record import KINDS, Entity, SiteRecord
from baulk.store.log import touched_after
from baulk.store.rebuild import is_up_to_date
from baulk.store.rows import read_differences, read_entities

__all__ = ["latest_record"]

_MOST = 50_000
"""Changes up to which a record is renewed: beyond it reading all is no slower."""


def latest_record(connection: sqlite3.Connection, revision: int, kept: SiteRecord | None) -> SiteRecord:
    """Return the record at the file's revision.

    Parameters
    ----------
    connection : sqlite3.Connection
        Inside a transaction, so that it shows one revision.
    revision : int
        The file's revision.
    kept : SiteRecord, optional
        The record as it was last read from this file.
    """
    differences = read_differences(connection)
    if kept is not None and 0 < kept.revision < revision and is_up_to_date(connection):
        touched = touched_after(connection, kept.revision, _MOST)
        if touched is not None:
            return kept.renewed(_as_they_stand(connection, kept, touched), differences, revision)
    entities = [entity for kind in KINDS.values() for entity in read_entities(connection, kind)]
    return SiteRecord.of(entities, differences, revision)


def _as_they_stand(connection: sqlite3.Connection, kept: SiteRecord, touched: Mapping[str, Set[str]]) -> dict[str, Entity | None]:
    """Return records as their tables hold them, None for one that no table holds; an id may have been written as of two kinds."""
    ids_of: defaultdict[str, set[str]] = defaultdict(set)
    for identity, kinds in touched.items():
        before = kept.by_id.get(identity)
        for kind in (*kinds, *([before.KIND] if before is not None else ())):
            ids_of[kind].add(identity)
    found: dict[str, Entity | None] = dict.fromkeys(touched)
    for kind, ids in ids_of.items():
        if kind in KINDS:
            found.update((entity.id, entity) for entity in read_entities(connection, KINDS[kind], sorted(ids)))
    return found
