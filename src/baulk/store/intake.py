"""What a change must be to be kept: plain, whole, and (unless it comes from another copy) true to the rules of its fields."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

from baulk.errors import InputError, Overtaken, shorten
from baulk.record import Change, HybridTime
from baulk.store.view import View, faults_of_write, view_of

__all__ = ["new_views", "plain_changes", "refuse_overtaken", "same_change"]

_ENCODER = msgspec.json.Encoder()
_DECODER = msgspec.json.Decoder(Change)
_NEEDED = ("id", "time", "device", "kind", "record")


def plain_changes(changes: Iterable[Change]) -> dict[str, Change]:
    """Return the changes by id as plain JSON leaves them: lists for tuples, text for dates, each id once.

    Raises
    ------
    InputError
        When a change cannot be written as JSON, lacks what every change has, has a time that is none, or two different changes
        have one id.
    """
    plain: dict[str, Change] = {}
    for change in changes:
        tidy = _plain(change)
        held = plain.setdefault(tidy.id, tidy)
        if held is not tidy:
            same_change(held, tidy)
    return plain


def _plain(change: Change) -> Change:
    try:
        tidy = _DECODER.decode(_ENCODER.encode(change))
    except (TypeError, ValueError, OverflowError, RecursionError, msgspec.MsgspecError) as refusal:
        raise InputError(
            f"A change of {shorten(change.kind)} {shorten(change.record)}, field “{shorten(change.field)}”, cannot be "
            f"kept: its value "
            f"{shorten(change.value)} is not plain text, number, yes/no or a list of these ({shorten(refusal)}). "
            "Nothing of the batch was kept; give the value in a plain form."
        ) from None
    if not (tidy.id and tidy.time and tidy.device and tidy.kind and tidy.record):
        blank = [name for name in _NEEDED if not getattr(tidy, name)]
        raise InputError(
            f"A change of {shorten(tidy.kind or 'a record')} has no {' and no '.join(blank)}. Every change says what it changes, "
            "when and on which device; nothing of the batch was kept. Write the change again."
        )
    if tidy.creates and not isinstance(tidy.value, dict):
        raise InputError(
            f"The change {tidy.id} that creates {shorten(tidy.kind)} {shorten(tidy.record)} holds "
            f"“{shorten(tidy.value)}” instead of "
            "first values by field. Nothing of the batch was kept; write the change again."
        )
    HybridTime.parse(tidy.time)
    return tidy


def same_change(held: Change, given: Change) -> None:
    """Make sure that a change given again is the one that is held.

    Raises
    ------
    InputError
        When they differ: an id is given once in the world.
    """
    if held != given:
        raise InputError(
            f"The change {shorten(given.id)} by {shorten(given.person or 'nobody named')} is already held with other "
            f"content. An id is "
            "given to one change only, so one of the two copies has been altered; nothing of the batch was kept. "
            "Compare the copies."
        )


def refuse_overtaken(at: int | None, revision: int) -> None:
    """Make sure that nothing has arrived since the revision that a batch was made from, when it names one.

    Raises
    ------
    Overtaken
        When something has.
    """
    if at is not None and at != revision:
        raise Overtaken(
            f"The changes were made from revision {at} and the site stands at {revision}: somebody else wrote in between. "
            "Nothing was kept; look at the record as it stands and try again."
        )


def new_views(new: Sequence[Change], earlier: Mapping[str, Sequence[Change]], *, merging: bool) -> Iterator[View]:
    """Yield every record that new changes touch as they leave it.

    Parameters
    ----------
    new : sequence of Change
        Plain and not yet held.
    earlier : mapping of record id to changes
        What is held of the same records.
    merging : bool
        True keeps what is not understood; false refuses it.

    Raises
    ------
    FieldError, InputError
        For the first change that breaks a rule, unless `merging`.
    """
    written: dict[str, list[Change]] = defaultdict(list)
    for change in new:
        written[change.record].append(change)
    for record, added in written.items():
        history = (*earlier.get(record, ()), *added)
        view = view_of(history)
        if not merging:
            _refuse_faults(view, added, history)
        yield view


def _refuse_faults(view: View, added: Sequence[Change], history: Sequence[Change]) -> None:
    if not any(change.creates for change in history):
        change = added[0]
        raise InputError(
            f"A change of {shorten(change.kind)} {shorten(change.record)} writes “{shorten(change.field)}”, but the "
            f"site holds no such "
            "record. Create it first, or merge the copy in which it was created; nothing of the batch was kept."
        )
    if view.faults:
        fields = {name for change in added for name in (change.value if change.creates else (change.field,))}
        creates = any(change.creates for change in added)
        for name, fault in view.faults.items():
            if creates or name in fields:
                raise fault
    if len(history) > 1:
        for change in added:
            for fault in faults_of_write(change, view):
                raise fault
