"""The record as each viewer has it, brought along from revision to revision as long as what is withheld stays the same."""

from __future__ import annotations

from collections.abc import Collection
from threading import RLock

from baulk.drawing.withheld import bring_neighbours_along, neighbours_that_show
from baulk.record import SiteRecord, View, record_for, withheld_from
from baulk.record.as_seen import record_for_renewed
from baulk.record.still_withheld import bring_withheld_along

__all__ = ["SeenRecords"]


class SeenRecords:
    """One record as each viewer has it, worked out when first asked; any thread may ask.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    """

    def __init__(self, record: SiteRecord) -> None:
        self.record = record
        self._lock = RLock()
        self._seen: dict[View, SiteRecord] = {View.RESTRICTED: record}
        self._before: tuple[SiteRecord, dict[View, SiteRecord], frozenset[str]] | None = None

    def by(self, view: View) -> SiteRecord:
        """Return the record as a viewer may have it."""
        with self._lock:
            if view not in self._seen:
                self._seen[view] = self._brought_along(view) or record_for(self.record, view, also=self._neighbours())
            return self._seen[view]

    def hidden_from(self, view: View) -> frozenset[str]:
        """Return the ids of all records that a viewer does not see, and of some that there are none of."""
        return frozenset() if view is View.RESTRICTED else frozenset({*withheld_from(self.record, view).why, *self._neighbours()})

    def _neighbours(self) -> frozenset[str]:
        return neighbours_that_show(self.record)

    def _brought_along(self, view: View) -> SiteRecord | None:
        """Return the record as a viewer may have it from what they had of the one before, when what is withheld is the same."""
        if self._before is None:
            return None
        before, seen, touched = self._before
        if view not in seen or not bring_withheld_along(before, self.record, touched, view):
            return None
        bring_neighbours_along(before, self.record, touched)
        also = self._neighbours()
        if also != neighbours_that_show(before):
            return None
        return record_for_renewed(seen[view], self.record, touched, view, also=also)

    def renewed(self, record: SiteRecord, touched: Collection[str]) -> SeenRecords:
        """Return the same for a record that was renewed; `touched` are the ids of all records in which it differs."""
        now = SeenRecords(record)
        with self._lock:
            if len(self._seen) > 1 or self._before is None:
                now._before = (self.record, dict(self._seen), frozenset(touched))
            else:  # nobody looked since: what they had before is still the latest that is known
                before, seen, earlier = self._before
                now._before = (before, seen, earlier | frozenset(touched))
        return now
