"""The pen: stamps changes. The one place that reads the clock and draws random bits for the record."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterable, Mapping
from typing import Any, Protocol

from baulk.errors import InputError, UnknownRecord
from baulk.record import Change, FoldedRecord, HybridTime, Stamp, creation, id_at, rewrite, undoing
from baulk.store import Histories

__all__ = ["A_DAY", "Folds", "Pen"]

A_DAY = 86_400_000
"""Milliseconds by which a clock may run ahead before it is noted, and beyond which its times move no other pen."""


class Folds(Protocol):
    """What the pen needs of a store: the record as it stands, with the changes in view."""

    def folded(self, record_id: str) -> FoldedRecord | None:
        """Return one record as all its changes leave it, or None when there is none of that id."""


def _now() -> int:
    return time.time_ns() // 1_000_000


class Pen:
    """Writes changes for one person on one device.

    Parameters
    ----------
    person, device : str
        Whose hand and which device.
    clock : callable
        Returns the Unix time in milliseconds.
    bits : callable
        Returns that many random bits.

    Examples
    --------
    >>> pen = Pen("AK", "tablet 1", clock=lambda: 5, bits=lambda count: 0)
    >>> pen.create("context", {"number": "101"}).time
    '0000000000005.000000'
    """

    def __init__(
        self, person: str, device: str, *, clock: Callable[[], int] = _now, bits: Callable[[int], int] = secrets.randbits
    ) -> None:
        if not person.strip():
            raise InputError("Nobody is named as the writer: give your initials, so that every change says whose it is.")
        self.person, self.device = person.strip(), device.strip() or "unnamed device"
        self._clock, self._bits = clock, bits
        self._time = HybridTime(0)

    def saw(self, changes: Iterable[Change]) -> None:
        """Take note of changes from elsewhere, so that what is written next counts as later than they."""
        for change in changes:
            self._time = self._time.seen(HybridTime.parse(change.time))

    def saw_time(self, text: str | None) -> None:
        """Take note of the latest time in a store; None for an empty one."""
        if text:
            self._time = self._time.seen(HybridTime.parse(text))

    def catch_up(self, store: object) -> None:
        """Take note of the latest time in a store, so that what is written next counts as later than all that is there.

        What lies more than a day ahead of this clock is left out: one device whose clock is years off must not drag every later
        change of every other device with it. Until the day comes, its write stays the one in view in its field; a writer who sees
        it and corrects it takes its place all the same, since a correction names what it corrects.
        """
        if isinstance(store, Histories):
            self.saw_time(store.latest_time(not_after=str(HybridTime(self._clock() + A_DAY))))

    def new_id(self) -> str:
        """Return a fresh id."""
        return id_at(self._clock(), self._bits(74))

    def stamp(self) -> Stamp:
        """Return the stamp of the next change."""
        self._time = self._time.next(self._clock())
        return Stamp(self.new_id(), str(self._time), self.device, self.person)

    def create(self, kind: str, values: Mapping[str, Any], *, record: str | None = None, entered: str | None = None) -> Change:
        """Return the change that creates a record; blanks are left out."""
        held = {field: value for field, value in values.items() if value is not None and field != "id"}
        return creation(self.stamp(), kind, record or self.new_id(), held, entered=entered)

    def write(
        self, store: Folds, record: str, field: str, value: Any, *, entered: str | None = None, why: str | None = None
    ) -> Change:
        """Return the change that writes one field of a record that the store holds.

        Raises
        ------
        UnknownRecord
            When the store has no such record.
        """
        folded = self._folded(store, record)
        before = folded.values.get(field)
        if field in folded.absences:
            before = {"absent": folded.absences[field]}
        return rewrite(
            self.stamp(), folded.kind, record, field, value,
            replaced=before, after=folded.heads.get(field, ()), entered=entered, why=why,
        )  # fmt: skip

    def undo(self, store: Folds, change: Change) -> Change:
        """Return the further change that takes `change` back."""
        folded = self._folded(store, change.record)
        return undoing(self.stamp(), change, folded.heads.get("void" if change.creates else change.field, ()))

    def _folded(self, store: Folds, record: str) -> FoldedRecord:
        folded = store.folded(record)
        if folded is None:
            raise UnknownRecord("record", record, [])
        return folded
