"""A store that keeps its changes in memory: for trials, tests and a site that is only looked at."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from baulk.record import Change, Difference, FoldedRecord, SiteRecord, kind_named
from baulk.store.bulk import collector_paused
from baulk.store.column import columns_named, plain_value
from baulk.store.intake import new_views, plain_changes, refuse_overtaken, same_change
from baulk.store.opening import site_in_memory
from baulk.store.view import LeftOut, View, fold_of

__all__ = ["MemoryStore"]


class MemoryStore:
    """A store in memory; only `backup` makes its changes survive."""

    def __init__(self) -> None:
        self._log: dict[str, Change] = {}
        self._arrived: dict[str, int] = {}
        self._histories: dict[str, list[Change]] = {}
        self._views: dict[str, View] = {}
        self._lock = threading.RLock()
        self._kept, self._touched = SiteRecord(), set[str]()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def append(self, changes: Sequence[Change], *, merging: bool = False, at: int | None = None) -> int:
        """Keep changes and return the new revision, see `baulk.store.protocol.Store.append`."""
        with collector_paused(), self._lock:
            plain = plain_changes(changes)
            refuse_overtaken(at, len(self._log))
            for identity in plain.keys() & self._log.keys():
                same_change(self._log[identity], plain[identity])
            new = [change for identity, change in plain.items() if identity not in self._log]
            views = {view.record: view for view in new_views(new, self._histories, merging=merging)}
            self._views |= views
            for change in new:
                self._log[change.id] = change
                self._arrived[change.id] = len(self._log)
                self._touched.add(change.record)
                self._histories.setdefault(change.record, []).append(change)
            return len(self._log)

    def changes(self, after: int = 0) -> Iterator[Change]:
        """Yield the changes that arrived after revision `after`, in order of arrival."""
        with self._lock:
            held = list(self._log.values())[after:]
        yield from held

    def revision(self) -> int:
        """Return how many changes are held."""
        return len(self._log)

    def record(self) -> SiteRecord:
        """Return the whole record as it stands."""
        with self._lock:
            if self._kept.revision != len(self._log):
                touched = {identity: self._views[identity].entity for identity in self._touched}
                self._kept = self._kept.renewed(touched, self._differences(), len(self._log))
                self._touched.clear()
            return self._kept

    def _differences(self) -> list[Difference]:
        found = (difference for view in self._views.values() for difference in view.differences)
        return sorted(found, key=lambda one: (one.kind, one.record, one.field))

    def columns(self, kind: str, fields: Sequence[str]) -> dict[str, list[Any]]:
        """Return whole columns of the records of a kind that are not void, in order of id."""
        of_kind = kind_named(kind)
        columns = columns_named(of_kind, tuple(fields))
        with self._lock:
            shown = [view.entity for view in self._views.values() if isinstance(view.entity, of_kind) and view.entity.void is None]
        shown.sort(key=lambda entity: entity.id)
        return {column.name: [plain_value(getattr(entity, column.name)) for entity in shown] for column in columns}

    def folded(self, record_id: str) -> FoldedRecord | None:
        """Return one record with what is in view field by field; None if unknown."""
        with self._lock:
            history = list(self._histories.get(record_id, ()))
        return fold_of(history) if history else None

    def histories(self, records: Iterable[str], *, until: int | None = None) -> dict[str, list[Change]]:
        """Return all changes of some records up to a revision, by record."""
        with self._lock:
            last = len(self._log) if until is None else until
            held = {record: [one for one in self._histories.get(record, ()) if self._arrived[one.id] <= last] for record in records}
        return {record: changes for record, changes in held.items() if changes}

    def latest_time(self, *, not_after: str) -> str | None:
        """Return the latest time of a change up to `not_after`."""
        with self._lock:
            return max((change.time for change in self._log.values() if change.time <= not_after), default=None)

    def left_out(self) -> tuple[LeftOut, ...]:
        """Return what the log holds and the record leaves out of view, each with the reason."""
        with self._lock:
            return tuple(sorted(left for view in self._views.values() for left in view.left_out))

    def backup(self, target: Path) -> None:
        """Write a whole, verified site file to `target`."""
        with site_in_memory() as site:
            site.append(list(self.changes()), merging=True)
            site.backup(target)

    def close(self) -> None:
        """Do nothing: there is no file to let go of."""
