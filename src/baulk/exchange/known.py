"""Which numbers are known: those of the record, of drafts already made, and of the table being read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from baulk.errors import did_you_mean, shorten
from baulk.exchange.cells import CellFault
from baulk.exchange.draft import Draft
from baulk.record import KINDS, Entity, SiteRecord

__all__ = ["BY_ID", "KnownNumbers", "name_of"]

BY_ID = "id:"
"""What stands before an id in a cell when the record it points to has no number of its own."""

_HINTS = 20


def name_of(kind: type[Entity], values: Mapping[str, Any], label: Mapping[str, str]) -> str | None:
    """Return what a cell calls a record: its number, or RUN/LINE for a staff reading; None when it has no name.

    Parameters
    ----------
    kind : type of Entity
        Its kind.
    values : mapping
        Its values by field.
    label : mapping
        Names of the records it may point to, by id.
    """
    if kind.KIND == "sight":
        run, place = values.get("run"), values.get("place")
        return f"{label[run]}/{place}" if isinstance(run, str) and run in label and isinstance(place, int) else None
    number = values.get("number")
    return number if isinstance(number, str) and number else None


class KnownNumbers:
    """Ids by name, kind by kind; a name that a void record shares is that of the other; one that two others share names neither.

    Parameters
    ----------
    record : SiteRecord
        What the site holds.
    earlier : iterable of Draft
        Drafts made before this table, in the same take.
    """

    def __init__(self, record: SiteRecord, earlier: Iterable[Draft] = ()) -> None:
        self._record = record
        self._earlier: dict[str, list[Draft]] = {}
        for draft in earlier:
            self._earlier.setdefault(draft.kind, []).append(draft)
        self._tables: dict[str, dict[str, str]] = {}
        self._ids: dict[str, set[str]] = {}
        self._shared: dict[str, set[str]] = {}
        self._hints = 0

    def held(self, kind: str) -> Mapping[str, str]:
        """Return the ids of a kind's records and earlier drafts by their names."""
        if kind not in self._tables:
            self._tables[kind] = self._table(KINDS[kind])
        return self._tables[kind]

    def earlier(self, kind: str) -> list[Draft]:
        """Return the drafts of a kind made before this table."""
        return self._earlier.get(kind, [])

    def entities(self, kind: str) -> tuple[Entity, ...]:
        """Return the records of a kind that the site holds."""
        return self._record.entities.get(kind, ())

    def ids(self, kind: str) -> set[str]:
        """Return every id of a kind, named or not."""
        if kind not in self._ids:
            self._ids[kind] = {entity.id for entity in self._record.entities.get(kind, ())}
            self._ids[kind].update(draft.id for draft in self.earlier(kind))
        return self._ids[kind]

    def add(self, kind: str, names: Mapping[str, str], ids: Iterable[str]) -> None:
        """Add the rows of the table being read."""
        self.held(kind)
        self._tables[kind].update(names)
        self.ids(kind).update(ids)

    def resolve(self, kind: str, name: str) -> str:
        """Return the id of the record that a cell names.

        Raises
        ------
        CellFault
            No record of the kind has that name, or two that count have it.
        """
        found = self.held(kind).get(name)
        if name in self._shared[kind]:
            raise CellFault(f"Number {shorten(name, 40)} is given twice: give one of them another number first.")
        if found is not None:
            return found
        if name.startswith(BY_ID) and name[len(BY_ID) :].strip() in self.ids(kind):
            return name[len(BY_ID) :].strip()
        title = KINDS[kind].TITLE
        self._hints += 1
        near = did_you_mean(name, list(self.held(kind))) if self._hints <= _HINTS else ""
        raise CellFault(f"There is no {title} “{shorten(name, 40)}” in the record or among the rows taken.{near}", orphan=True)

    def _table(self, kind: type[Entity]) -> dict[str, str]:
        label = {identity: name for name, identity in self.held("level_run").items()} if kind.KIND == "sight" else {}
        table: dict[str, str] = {}
        entities = self._record.entities.get(kind.KIND, ())
        shared = self._shared.setdefault(kind.KIND, set())
        counting: set[str] = set()
        for entity in sorted(entities, key=lambda found: found.void is None):
            name = name_of(kind, entity.__dict__, label)
            if name is not None:
                table[name] = entity.id
                if entity.void is None:
                    (shared if name in counting else counting).add(name)
        for draft in self.earlier(kind.KIND):
            name = name_of(kind, draft.values, label)
            if name is not None:
                table[name] = draft.id
        return table
