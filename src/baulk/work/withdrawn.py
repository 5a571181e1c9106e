"""What the crew could see and can no more, or can again, by the revision at which it changed, so that a device drops it.

A record can become withheld by a change of another one, as when a context is read as a grave and everything in it goes with it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from contextlib import suppress
from pathlib import Path

import msgspec

from baulk.record import KINDS, SiteRecord, fields_of
from baulk.store import Histories
from baulk.store.keys import put_secret

__all__ = ["Withdrawals"]


class _Noted(msgspec.Struct):
    """What is kept over a restart: the sets at a revision, and for each record that changed sides the revision and which side."""

    revision: int
    since: int
    hidden: list[str]
    bare: list[str]
    moved: dict[str, tuple[int, bool]]


class Withdrawals:
    """Follows what is hidden from the crew, revision by revision.

    Parameters
    ----------
    note : Path
        The file in which it is kept over a restart; it holds ids and nothing else.

    Notes
    -----
    While the server runs a record that was hidden from its beginning is never told of, not even its id. A device whose last visit
    lies before everything that is noted is told of all that is hidden now and was there at its last visit.
    """

    def __init__(self, note: Path) -> None:
        self._note = note
        self._held: _Noted | None = None
        with suppress(OSError, msgspec.MsgspecError):
            self._held = msgspec.json.decode(note.read_bytes(), type=_Noted)
        self._restarted = True

    def follow(self, record: SiteRecord, hidden: Collection[str], bare: Collection[str], store: Histories) -> None:
        """Take note of what is hidden at a revision.

        Parameters
        ----------
        record : SiteRecord
            The whole record.
        hidden, bare : collection of str
            Ids of what the crew does not see, and of what it sees bare.
        store : Histories
            Tells what was there at the revision before.
        """
        before, self._restarted, restarted = self._held, False, self._restarted
        if before is not None and before.revision == record.revision:
            return
        now = _Noted(record.revision, record.revision, sorted(hidden), sorted(bare), {})
        if before is not None and before.revision < record.revision:
            now.since, now.moved = before.since, dict(before.moved)
            self._note_moves(before, now, record, store, restarted=restarted)
        self._held = now
        with suppress(OSError):  # a folder that cannot be written: devices that come after a restart are told more than they need
            put_secret(self._note, msgspec.json.encode(now))

    def _note_moves(self, before: _Noted, now: _Noted, record: SiteRecord, store: Histories, *, restarted: bool) -> None:
        new = set(now.hidden) - set(before.hidden)
        known = new if restarted else store.histories(sorted(new), until=before.revision).keys()
        back = set(before.hidden) - set(now.hidden)
        turned = set(now.bare) ^ set(before.bare)
        now.moved |= dict.fromkeys(known, (now.revision, True))
        touched = {*back, *turned, *_pointing_to(record, {*new, *back})}
        now.moved |= dict.fromkeys(touched - set(now.hidden), (now.revision, False))

    def since(self, revision: int, store: Histories) -> tuple[set[str], set[str]]:
        """Return the ids of what a device must drop and of what it must be told anew, when it was last here at a revision."""
        if self._held is None:
            return set(), set()
        moved = {each: gone for each, (at, gone) in self._held.moved.items() if at > revision}
        gone = {each for each in moved if moved[each]}
        if revision < self._held.since:
            gone |= store.histories(self._held.hidden, until=revision).keys()
        return gone, moved.keys() - gone


def _pointing_to(record: SiteRecord, ids: Iterable[str]) -> set[str]:
    kinds = {each: entity.KIND for each in ids if (entity := record.by_id.get(each)) is not None}
    return {
        entity.id
        for kind in KINDS.values()
        for name, said in fields_of(kind)
        for each, of_kind in kinds.items()
        if said.refers == of_kind
        for entity in record.pointing_at(kind, name, each)
    }
