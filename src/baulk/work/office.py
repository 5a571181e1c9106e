"""The site office: one site file while it is served.

Writers come one after the other; readers get the study of the latest revision.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Any, Self

from baulk.closing import Profile
from baulk.errors import BusySiteFile, Overtaken, StoreError
from baulk.record import Change, HybridTime, NumberBlock, kind_named
from baulk.record.numbers import next_block
from baulk.store import ArrivingFiles, FileShelf, GeoPackageStore, open_site
from baulk.work.pen import Pen
from baulk.work.pull import Asked, Pulled, pull
from baulk.work.push import A_DAY, Kept, push
from baulk.work.study import Study

__all__ = ["SiteOffice"]

_DEVICE = "site office"
_TRIES = 20


def _now() -> int:
    return time.time_ns() // 1_000_000


class SiteOffice:
    """One site file while it is served.

    Parameters
    ----------
    path : Path
        The site file.
    profile : Profile, optional
        The jurisdiction profile; the one the site names when None.
    clock : callable
        Returns the Unix time in milliseconds.

    Notes
    -----
    A file that may not be written is served for reading; `why_not` says why then. A file that was put in the place of the one that
    was opened, such as a backup put back, is noticed before the next use and opened in its stead: what is written never goes into a
    file that nobody will see again.
    """

    def __init__(self, path: Path, *, profile: Profile | None = None, clock: Callable[[], int] = _now) -> None:
        self.path, self.files, self.now = path, FileShelf.beside(path), clock
        self.arriving = ArrivingFiles(self.files)
        self.why_not = ""
        self._profile = profile
        self._lock, self._refreshing = RLock(), RLock()
        self._study: Study | None = None
        self._opened = self._open()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    @property
    def writable(self) -> bool:
        """Tell whether changes can be kept."""
        return not self.why_not

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._store.close()

    def _open(self) -> tuple[int, int]:
        self.why_not = ""
        try:
            self._store = open_site(self.path)
        except BusySiteFile:
            raise
        except StoreError as refusal:
            self._store = open_site(self.path, read_only=True)
            self.why_not = str(refusal)
        self._study = None
        return self._mark()

    def _mark(self) -> tuple[int, int]:
        found = self.path.stat()
        return found.st_dev, found.st_ino

    def store(self) -> GeoPackageStore:
        """Return the store of the file that stands under the name now."""
        with self._lock:
            mark: tuple[int, int] | None = None
            with suppress(OSError):
                mark = self._mark()
            if mark != self._opened:
                self._store.close()
                self._opened = self._open()
            return self._store

    def study(self) -> Study:
        """Return the study of the latest revision."""
        with self._refreshing:
            store = self.store()
            held = self._study
            if held is None:
                held = self._study = Study(store.record(), self.files, self._profile, self._histories)
            elif held.record.revision != store.revision():
                record = store.record()  # first: what arrives from here on is touched too many, never too few
                touched = {change.record for change in store.changes(held.record.revision)}
                held = self._study = held.renewed(record, touched)
            return held

    def _histories(self, records: Sequence[str]) -> Mapping[str, Sequence[Change]]:
        return self.store().histories(records)

    def push(self, changes: Sequence[Any]) -> Kept:
        """Keep changes as a device sent them, see `baulk.work.push.push`."""
        with self._lock:
            return push(self._writing(), changes, self.now())

    def pull(self, asked: Asked) -> Pulled:
        """Return what was touched since a device last asked, see `baulk.work.pull.pull`."""
        study, store = self.study(), self.store()
        if asked.after > study.record.revision:
            raise Overtaken(
                f"This device has seen revision {asked.after} of the site, and the site file here stands at "
                f"{study.record.revision}: an earlier copy was put in its place. Nothing on the device is lost; bring the later "
                "copy back, or merge it into this one."
            )
        touched = {change.record for change in store.changes(asked.after)} if asked.after else None
        return pull(store, study.record, study.seen_by(asked.view), touched, (), asked)

    def hand_out(self, series: str, size: int, person: str) -> NumberBlock:
        """Hand out the next block of a series; two that ask at once, here or in two programs, never get the same numbers.

        Raises
        ------
        InputError
            When the series has no numbers, or the size is out of reason.
        StoreError
            When the site file cannot be written.
        """
        kind = kind_named(series)
        for left in reversed(range(_TRIES)):
            with self._lock:
                store, record = self._writing(), self.study().record
                first, last = next_block(record, kind, size)
                values = {"series": kind.KIND, "first": first, "last": last, "person": person}
                change = self.pen(person).create(NumberBlock.KIND, values)
                try:
                    store.append([change], at=record.revision)
                except Overtaken:
                    if not left:
                        raise
                    continue
                return NumberBlock(id=change.record, **values)
        raise AssertionError("the loop returns or raises")

    def pen(self, person: str) -> Pen:
        """Return a pen of this office, which writes later than all that is held, but for what lies more than a day ahead."""
        pen = Pen(person, _DEVICE, clock=self.now)
        pen.saw_time(self.store().latest_time(not_after=str(HybridTime(self.now() + A_DAY))))
        return pen

    def _writing(self) -> GeoPackageStore:
        store = self.store()
        if self.why_not:
            raise StoreError(f"This site can only be read here, so nothing was kept; it stays on the device. {self.why_not}")
        return store
