"""The site file: one GeoPackage that holds the log of changes and the record that it folds to."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from baulk.errors import FieldError, StoreError
from baulk.record import Change, FoldedRecord, SiteRecord, kind_named
from baulk.store.backup import back_up
from baulk.store.bulk import collector_paused
from baulk.store.column import columns_named
from baulk.store.intake import new_views, plain_changes, refuse_overtaken, same_change
from baulk.store.log import changes_of, held_among, last_revision, latest_time, page_after, write_changes
from baulk.store.rebuild import is_up_to_date
from baulk.store.refusals import damaged, in_trade_words
from baulk.store.renewed import latest_record
from baulk.store.rows import read_columns, read_left_out, write_views
from baulk.store.schema import closed_to_writes, open_to_writes
from baulk.store.standard_tables import mark_changed
from baulk.store.view import LeftOut, fold_of

__all__ = ["GeoPackageStore"]

_PAGE = 5000


class GeoPackageStore:
    """A site file, opened by `baulk.store.open_site`.

    One writer and several readers may have the file open, in one process or in several; threads may share one store.
    """

    def __init__(self, connection: sqlite3.Connection, path: Path, *, read_only: bool) -> None:
        self.path, self.read_only = path, read_only
        self._connection = connection
        self._lock = threading.RLock()
        self._kept: SiteRecord | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def append(self, changes: Sequence[Change], *, merging: bool = False, at: int | None = None) -> int:
        """Keep changes for good and return the new revision, see `baulk.store.protocol.Store.append`."""
        if self.read_only:
            raise StoreError(
                f"{self.path.name} was opened for reading only, so nothing was written. Open it for writing and try again."
            )
        with collector_paused():
            return self._append_all(changes, merging=merging, at=at)

    def _append_all(self, changes: Sequence[Change], *, merging: bool, at: int | None) -> int:
        plain = plain_changes(changes)
        with self._lock, in_trade_words(self.path, "written"), self._transaction("IMMEDIATE"):
            refuse_overtaken(at, last_revision(self._connection))
            self._append(plain, merging=merging)
            return last_revision(self._connection)

    def _append(self, plain: dict[str, Change], *, merging: bool) -> None:
        if not is_up_to_date(self._connection):
            raise StoreError(
                f"{self.path.name} was changed by another version of Baulk while it was open here, so nothing was "
                f"written. Open it again."
            )
        held = held_among(self._connection, plain)
        for identity, change in held.items():
            same_change(change, plain[identity])
        new = [change for identity, change in plain.items() if identity not in held]
        if not new:
            return
        earlier = changes_of(self._connection, {change.record: None for change in new})
        write_changes(self._connection, new)
        open_to_writes(self._connection)
        touched = write_views(self._connection, new_views(new, earlier, merging=merging), known=frozenset(earlier))
        closed_to_writes(self._connection)
        mark_changed(self._connection, touched | {"change"})

    def changes(self, after: int = 0) -> Iterator[Change]:
        """Yield the changes that arrived after revision `after`, in order of arrival."""
        while page := self._page(after):
            after = page[-1][0]
            for _, change in page:
                yield change

    def _page(self, after: int) -> list[tuple[int, Change]]:
        with self._reading():
            return page_after(self._connection, after, _PAGE)

    def revision(self) -> int:
        """Return how many changes are held."""
        with self._reading():
            return last_revision(self._connection)

    def record(self) -> SiteRecord:
        """Return the whole record as it stands."""
        with collector_paused(), self._reading():
            revision = last_revision(self._connection)
            if self._kept is None or self._kept.revision != revision:
                self._kept = latest_record(self._connection, revision, self._kept)
            return self._kept

    def columns(self, kind: str, fields: Sequence[str]) -> dict[str, list[Any]]:
        """Return whole columns of the records of a kind that are not void, in order of id."""
        of_kind = kind_named(kind)
        columns = columns_named(of_kind, tuple(fields))
        with self._reading():
            return read_columns(self._connection, of_kind, columns)

    def folded(self, record_id: str) -> FoldedRecord | None:
        """Return one record with what is in view field by field; None if unknown."""
        with self._reading():
            history = changes_of(self._connection, [record_id]).get(record_id)
        return fold_of(history) if history else None

    def histories(self, records: Iterable[str], *, until: int | None = None) -> dict[str, list[Change]]:
        """Return all changes of some records up to a revision, by record."""
        with self._reading():
            return changes_of(self._connection, records, until)

    def latest_time(self, *, not_after: str) -> str | None:
        """Return the latest time of a change up to `not_after`."""
        with self._reading():
            return latest_time(self._connection, not_after)

    def left_out(self) -> tuple[LeftOut, ...]:
        """Return what the log holds and the record leaves out of view, each with the reason."""
        with self._reading():
            return read_left_out(self._connection)

    def backup(self, target: Path) -> None:
        """Write a whole, verified site file to `target`, also while the store is in use."""
        with self._lock, in_trade_words(self.path, "copied"):
            back_up(self._connection, target)

    def close(self) -> None:
        """Let go of the file; closing twice does no harm."""
        with self._lock:
            self._connection.close()

    @contextmanager
    def _reading(self) -> Iterator[None]:
        with self._lock, in_trade_words(self.path, "read"), self._transaction("DEFERRED"):
            try:
                yield
            except FieldError as fault:  # every value was checked before it was written
                raise damaged(self.path, str(fault)) from fault

    @contextmanager
    def _transaction(self, manner: str) -> Iterator[None]:
        self._connection.execute(f"BEGIN {manner}")
        try:
            yield
            self._connection.execute("COMMIT")
        except BaseException:
            with suppress(sqlite3.Error):  # a disk that fails may have rolled back already; the first error is the one to show
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
            raise
