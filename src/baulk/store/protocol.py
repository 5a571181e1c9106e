"""What every store of a site's changes can do.

Pitfalls for whoever writes another store:

- `append` returns only when the changes would survive a power cut; an acknowledgement that lies is worse than none.
- `append` takes all of a batch or nothing, and a change already held is passed over, so a sender may send again.
- Changes arrive in any order, and a change may name changes in `after` that have not arrived; the record must not depend on it.
- By default a value that breaks its field's rule is refused. A merge of another copy (``merging=True``) is never refused for its
  values: a change that is not understood stays in the log and only its field is left out of view.
- A revision counts changes in order of arrival at this store; it means nothing in another copy.
- `changes` is read page by page: a reader that stops half-way must not keep a writer waiting.
- `columns` and `record` show one revision each, even while others write.
- Values come back as plain JSON: lists, never tuples; yes/no as `bool`, never 0 and 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Protocol, runtime_checkable

from baulk.record import Change, FoldedRecord, SiteRecord

__all__ = ["Store"]


@runtime_checkable
class Store(Protocol):
    """A log of changes and the record that it folds to."""

    def append(self, changes: Sequence[Change], *, merging: bool = False, at: int | None = None) -> int:
        """Keep changes for good and return the new revision.

        Parameters
        ----------
        changes : sequence of Change
            In any order; those already held are passed over.
        merging : bool
            True for changes of another copy, which are kept even when a value breaks the rule of its field.
        at : int, optional
            The revision that the changes were made from: they are kept only when nothing has arrived since.

        Raises
        ------
        FieldError
            When a value breaks the rule of its field and `merging` is false; nothing of the batch is kept.
        InputError
            When a change cannot be kept at all: it lacks an id, is not plain JSON, or another change has its id.
        Overtaken
            When something has arrived since revision `at`; nothing of the batch is kept.
        StoreError
            When the site file cannot be written; nothing of the batch is kept.
        """

    def changes(self, after: int = 0) -> Iterator[Change]:
        """Yield the changes that arrived after revision `after`, in order of arrival."""

    def revision(self) -> int:
        """Return how many changes are held."""

    def record(self) -> SiteRecord:
        """Return the whole record as it stands."""

    def columns(self, kind: str, fields: Sequence[str]) -> dict[str, list[Any]]:
        """Return whole columns of the records of a kind that are not void, in order of id.

        Raises
        ------
        UnknownRecord
            When there is no such kind.
        InputError
            When the kind has no such field.
        """

    def folded(self, record_id: str) -> FoldedRecord | None:
        """Return one record with what is in view field by field, as the writer of its next change needs it; None if unknown."""

    def backup(self, target: Path) -> None:
        """Write a whole, verified site file to `target`, also while the store is in use.

        Raises
        ------
        StoreError
            When `target` cannot be written or holds something that would be lost.
        """

    def close(self) -> None:
        """Let go of the file; closing twice does no harm."""
