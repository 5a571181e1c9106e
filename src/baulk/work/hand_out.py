"""Handing out numbers: in blocks, so that no two recorders ever write under the same one."""

from __future__ import annotations

from collections.abc import Callable

from baulk.errors import Overtaken
from baulk.record import Entity, NumberBlock
from baulk.record.numbers import next_block
from baulk.store import Store
from baulk.work.pen import Pen

__all__ = ["hand_out"]

_TRIES = 20


def hand_out(store: Store, pen_of: Callable[[], Pen], kind: type[Entity], size: int, person: str) -> NumberBlock:
    """Hand out the next block of a kind's numbers; two that ask at once, here or in two programs, never get the same.

    Parameters
    ----------
    store : Store
        Where the block is kept; it is asked to keep it only while nobody else has written.
    pen_of : callable
        Gives a pen that writes later than all that is held.
    kind : type of Entity
        Whose numbers are handed out.
    size : int
        How many.
    person : str
        Whose block it is.

    Raises
    ------
    InputError
        When the kind has no numbers, or the size is out of reason.
    Overtaken
        When others write so fast that no try succeeds.
    StoreError
        When the site file cannot be written.
    """
    for left in reversed(range(_TRIES)):
        record = store.record()
        first, last = next_block(record, kind, size)
        change = pen_of().create(NumberBlock.KIND, {"series": kind.KIND, "first": first, "last": last, "person": person})
        try:
            store.append([change], at=record.revision)
        except Overtaken:
            if not left:
                raise
            continue
        return NumberBlock(id=change.record, series=kind.KIND, first=first, last=last, person=person)
    raise AssertionError("the loop returns or raises")
