"""The site office: one site file while it is served.

Writers come one after the other; readers get the study of the latest revision.
"""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Any, Self

from baulk.closing import Profile
from baulk.errors import BaulkError, BusySiteFile, Overtaken, StoreError
from baulk.record import KINDS, Change, NumberBlock, SiteRecord, Unit, View, fields_of, kind_named, withheld_from
from baulk.store import ArrivingFiles, FileShelf, GeoPackageStore, open_site
from baulk.store.keys import keys_beside
from baulk.work.hand_out import hand_out
from baulk.work.pen import Pen
from baulk.work.pull import Asked, Pulled, pull, wanted_by
from baulk.work.push import Kept, push
from baulk.work.scope import moved_with
from baulk.work.study import Study
from baulk.work.withdrawn import Withdrawals

__all__ = ["SiteOffice"]

_DEVICE = "site office"
_ANSWERS_KEPT = 8


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
        self._lock, self._refreshing, self._pulling = RLock(), RLock(), RLock()
        self._wanted: OrderedDict[tuple[object, ...], tuple[list[str], frozenset[str]]] = OrderedDict()
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
        self._withdrawals = Withdrawals(keys_beside(self.path) / "withdrawn.json")
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

    def warm(self) -> None:
        """Work out what the first request would wait for: the record as everyone has it, and who points to whom in it."""
        with suppress(BaulkError):  # the request that needs it meets the same fault, and tells
            study = self.study()
            for record in (study.record, study.seen_by(View.CREW)):
                record.get(Unit, "")
                for kind in KINDS.values():
                    for name, said in fields_of(kind):
                        if said.refers:
                            record.pointing_at(kind, name, "")
            for unit in study.record.all(Unit)[:1]:
                study.latest_first_in(unit.id)  # what puts contexts in order is compiled code, and is loaded at its first use

    def _histories(self, records: Sequence[str]) -> Mapping[str, Sequence[Change]]:
        return self.store().histories(records)

    def push(self, changes: Sequence[Any]) -> Kept:
        """Keep changes as a device sent them, see `baulk.work.push.push`."""
        with self._lock:
            return push(self._writing(), changes, self.now())

    def pull(self, asked: Asked) -> Pulled:
        """Return what was touched since a device last asked, see `baulk.work.pull.pull`.

        Raises
        ------
        Overtaken
            When the device has seen a later revision than the file holds.
        """
        study, store = self.study(), self.store()
        whole, shown, hidden = study.record, study.seen_by(asked.view), study.hidden_from(asked.view)
        if asked.after > whole.revision:
            raise Overtaken(
                f"This device has seen revision {asked.after} of the site, and the site file here stands at {whole.revision}: an "
                "earlier copy was put in its place. Nothing on the device is lost; bring the later copy back, or merge it into "
                "this one."
            )
        with self._pulling:
            if asked.view is not View.RESTRICTED:
                self._withdrawals.follow(whole, hidden, withheld_from(whole, asked.view).bare, store)
            key = (whole.revision, asked.after, asked.units, asked.view, asked.device if asked.after else "")
            if key not in self._wanted:
                self._wanted[key] = self._wanted_by(asked, whole, shown, hidden)
                while len(self._wanted) > _ANSWERS_KEPT:
                    self._wanted.popitem(last=False)
            wanted, gone = self._wanted[key]
        return pull(store, whole, shown, hidden, wanted, gone, asked)

    def _wanted_by(
        self, asked: Asked, whole: SiteRecord, shown: SiteRecord, hidden: frozenset[str]
    ) -> tuple[list[str], frozenset[str]]:
        """Return the ids of the records to tell of, and those of them that the device must drop."""
        if not asked.after:
            return wanted_by(whole, shown, None, (), asked.units), frozenset()
        store = self.store()
        changes = list(store.changes(asked.after))
        touched = {change.record for change in changes} | moved_with(whole, changes)
        gone: set[str] = set()
        if asked.view is not View.RESTRICTED:
            gone, anew = self._withdrawals.since(asked.after, store)
            touched |= anew
            gone |= {change.record for change in changes if change.device == asked.device and change.record in hidden}
        gone -= shown.by_id.keys()
        return wanted_by(whole, shown, touched, gone, asked.units), frozenset(gone)

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
        with self._lock:
            return hand_out(self._writing(), lambda: self.pen(person), kind, size, person)

    def pen(self, person: str) -> Pen:
        """Return a pen of this office, which writes later than all that is held, but for what lies more than a day ahead."""
        pen = Pen(person, _DEVICE, clock=self.now)
        pen.catch_up(self.store())
        return pen

    def _writing(self) -> GeoPackageStore:
        store = self.store()
        if self.why_not:
            raise StoreError(f"This site can only be read here, so nothing was kept; it stays on the device. {self.why_not}")
        return store
