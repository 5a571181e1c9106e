"""Dates kept through the revisions of a site: a change that dates nothing leaves them as they are, any other makes them stale."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from threading import RLock

from baulk.dating.posterior import Dates
from baulk.work.chronology import SiteChronology

__all__ = ["KeptDates", "KeptEntry"]

_KEPT = 12
"""Chronologies kept once they are worked out; the one asked for longest ago is given up first: each holds some thousand draws."""


@dataclass(frozen=True, slots=True)
class KeptEntry:
    """Dates, and the revision of the record that they were worked out of."""

    dates: Dates
    revision: int


class KeptDates:
    """Dates by all that they rest on: events, order, evidence, phases, window, suppositions, seed. Any thread may ask it."""

    def __init__(self) -> None:
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
            return self._entries.get(_rests_on(site))

    def put(self, site: SiteChronology, dates: Dates) -> None:
        """Keep the dates of a chronology."""
        with self._lock:
            self._entries[_rests_on(site)] = KeptEntry(dates, site.record.revision)
            while len(self._entries) > _KEPT:
                self._entries.popitem(last=False)


def _rests_on(site: SiteChronology) -> str:
    """Return a digest of all that the dates of a chronology rest on."""
    made, how = site.chronology, site.settings
    parts = (
        made.events, made.later.tobytes(), made.earlier.tobytes(), made.evidence, made.window, made.phases, made.links,
        how.suppositions, how.seed, how.sampling,
    )  # fmt: skip
    return sha256(repr(parts).encode()).hexdigest()
