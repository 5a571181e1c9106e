"""Dates kept through the revisions of a site: a change that dates nothing leaves them as they are, any other makes them stale."""

from __future__ import annotations

import os
from collections import OrderedDict
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from threading import RLock
from typing import Any
from zipfile import BadZipFile

import numpy as np

from baulk.dating.kept_arrays import arrays_of, dates_from
from baulk.dating.posterior import Dates
from baulk.work.chronology import SiteChronology

__all__ = ["KeptDates", "KeptEntry", "kept_beside"]

_KEPT = 12
"""Chronologies kept once they are worked out; the one asked for longest ago is given up first: each holds some thousand draws."""
_FILES = 40
"""Chronologies kept in files; the one worked out longest ago is deleted first."""
_FORM = 1
"""Counts up when what is kept, or how it is worked out, changes: files of another form are not read."""


@dataclass(frozen=True, slots=True)
class KeptEntry:
    """Dates, and the revision of the record that they were worked out of."""

    dates: Dates
    revision: int


class KeptDates:
    """Dates by all that they rest on: events, order, evidence, phases, window, suppositions, seed. Any thread may ask it.

    Parameters
    ----------
    folder : Path, optional
        Where they are kept in files too, so that the next command finds them; a folder that cannot be written keeps nothing.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._entries: OrderedDict[str, KeptEntry] = OrderedDict()
        self._lock = RLock()

    @property
    def last(self) -> int | None:
        """The revision of the record that dates were last worked out of; None before the first."""
        with self._lock:
            return next(reversed(self._entries.values())).revision if self._entries else None

    def get(self, site: SiteChronology) -> KeptEntry | None:
        """Return the dates of a chronology, worked out of this record or of an earlier one that says the same."""
        with self._lock:
            mark = _rests_on(site)
            if mark not in self._entries:
                read = self._read(mark, site)
                if read is None:
                    return None
                self._entries[mark] = read
            return self._entries[mark]

    def put(self, site: SiteChronology, dates: Dates) -> None:
        """Keep the dates of a chronology."""
        with self._lock:
            mark = _rests_on(site)
            self._entries[mark] = KeptEntry(dates, site.record.revision)
            while len(self._entries) > _KEPT:
                self._entries.popitem(last=False)
            with suppress(OSError):
                self._write(mark, self._entries[mark])

    def _read(self, mark: str, site: SiteChronology) -> KeptEntry | None:
        if self._folder is None:
            return None
        try:
            with (self._folder / f"{mark}.npz").open("rb") as file, np.load(file, allow_pickle=False) as held:
                dates = dates_from(site.chronology, site.settings.suppositions, site.settings.seed, held)
                return None if dates is None else KeptEntry(dates, int(held["revision"]))
        except (OSError, KeyError, ValueError, IndexError, EOFError, BadZipFile):
            return None  # not there, or broken off: it is worked out anew

    def _write(self, mark: str, entry: KeptEntry) -> None:
        if self._folder is None:
            return
        self._folder.mkdir(exist_ok=True)
        half = self._folder / f"{mark}.{os.getpid()}.half"
        held: dict[str, Any] = {"revision": np.array(entry.revision), **arrays_of(entry.dates)}
        with half.open("wb") as file:
            np.savez_compressed(file, **held)
        half.replace(self._folder / f"{mark}.npz")
        kept = sorted(self._folder.glob("*.npz"), key=lambda path: path.stat().st_mtime)
        for path in kept[:-_FILES]:
            path.unlink(missing_ok=True)


def kept_beside(site: Path) -> Path:
    """Return the folder beside a site file in which its dates are kept: it may be deleted at any time."""
    return site.with_suffix(".dates")


def _rests_on(site: SiteChronology) -> str:
    """Return a digest of all that the dates of a chronology rest on."""
    made, how = site.chronology, site.settings
    parts = (
        _FORM, made.events, made.later.tobytes(), made.earlier.tobytes(), made.evidence, made.window, made.phases, made.links,
        how.suppositions, how.seed, how.sampling,
    )  # fmt: skip
    return sha256(repr(parts).encode()).hexdigest()
