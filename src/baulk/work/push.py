"""Take changes in from a device: like a merge, every one that is a change at all is kept, and what looks wrong is noted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import msgspec

from baulk.errors import InputError, shorten
from baulk.record import Change, HybridTime
from baulk.store import Histories, Store
from baulk.store.view import faults_of_write, view_of
from baulk.work.pen import A_DAY

__all__ = ["ChangeNote", "Kept", "push"]

_LONGEST_ID = 100


@dataclass(frozen=True, slots=True)
class ChangeNote:
    """What is to be said of one change: why it was refused, or what a person should look at."""

    change: str
    message: str


@dataclass(frozen=True, slots=True)
class Kept:
    """What became of changes that a device sent.

    Parameters
    ----------
    revision : int
        The revision after them.
    kept : tuple of str
        Ids of the changes that are in the log now, those that were there before included.
    notes, refused : tuple of ChangeNote
        Notes on kept changes; and those that are no change, with the reason.
    """

    revision: int
    kept: tuple[str, ...]
    notes: tuple[ChangeNote, ...] = ()
    refused: tuple[ChangeNote, ...] = ()


class _SiteStore(Store, Histories, Protocol):
    """A store that also tells the changes behind single records."""


def push(store: _SiteStore, given: Sequence[Any], now: int) -> Kept:
    """Keep changes as a device sent them.

    Parameters
    ----------
    store : Store with Histories
        Where they are kept; when this returns they would survive a power cut.
    given : sequence
        Each a change as plain JSON.
    now : int
        This machine's clock, Unix time in milliseconds.

    Raises
    ------
    StoreError
        When the site file cannot be written; nothing is kept then.
    """
    changes: list[Change] = []
    refused: list[ChangeNote] = []
    for each in given:
        found = _change_from(each)
        if isinstance(found, Change):
            changes.append(found)
        else:
            refused.append(found)
    kept: list[Change] = []
    revision = store.revision()
    for batch, fault in _append(store, changes):
        if fault is None:
            kept += batch
            revision = store.revision()
        else:
            refused += [ChangeNote(change.id, str(fault)) for change in batch]
    unique = {change.id: change for change in kept}
    return Kept(revision, tuple(unique), tuple(_notes(store, unique.values(), now)), tuple(refused))


def _change_from(given: Any) -> Change | ChangeNote:
    identity = given.get("id") if isinstance(given, dict) else None
    name = identity if isinstance(identity, str) else ""
    if len(name) > _LONGEST_ID or not name.isprintable():
        name = shorten(name)
        return ChangeNote(name, f"The change “{name}” cannot be kept: its id is too long or holds marks that no id has.")
    try:
        return msgspec.convert(given, Change)
    except (msgspec.MsgspecError, RecursionError) as fault:
        return ChangeNote(name, f"What was sent as change “{name or 'without an id'}” is none and was not kept: {shorten(fault)}.")


def _append(store: Store, changes: list[Change]) -> Iterator[tuple[list[Change], InputError | None]]:
    """Keep a batch, or its halves when something in it cannot be kept, so that one bad change costs no other its place."""
    if not changes:
        return
    try:
        store.append(changes, merging=True)
    except InputError as fault:
        if len(changes) == 1:
            yield changes, fault
            return
        half = len(changes) // 2
        yield from _append(store, changes[:half])
        yield from _append(store, changes[half:])
        return
    yield changes, None


def _notes(store: Histories, changes: Iterable[Change], now: int) -> Iterator[ChangeNote]:
    held = list(changes)
    views = {record: view_of(history) for record, history in store.histories(sorted({one.record for one in held})).items()}
    for change in held:
        ahead = HybridTime.parse(change.time).drift(now)
        if ahead > A_DAY:
            yield ChangeNote(
                change.id,
                f"The clock of {shorten(change.device)} ran {ahead / A_DAY:,.0f} days ahead when this was written. It was kept and "
                "counts as the latest until someone writes the field again: set that device's clock.",
            )
        for fault in faults_of_write(change, views[change.record]):
            yield ChangeNote(change.id, f"Kept in the log, left out of view: {fault}")
