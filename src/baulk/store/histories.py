"""What a store that devices keep in step with can do besides: the changes behind single records, and the latest time."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, runtime_checkable

from baulk.record import Change

__all__ = ["Histories"]


@runtime_checkable
class Histories(Protocol):
    """The changes behind single records; each answer costs what it returns, whatever the size of the site."""

    def histories(self, records: Iterable[str], *, until: int | None = None) -> dict[str, list[Change]]:
        """Return all changes of some records, by record; one that is not known is missing.

        Parameters
        ----------
        records : iterable of str
            Ids of records.
        until : int, optional
            Leave out what arrived after this revision.
        """

    def latest_time(self, *, not_after: str) -> str | None:
        """Return the latest time of a change up to `not_after`, None when there is none.

        A pen starts from it. The limit keeps one device whose clock runs years ahead from dragging every later change with it.
        """
