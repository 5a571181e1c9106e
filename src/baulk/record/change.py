"""The unit of truth: one change, with who, when and what it replaced."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import msgspec

from baulk.errors import InputError

__all__ = ["Change", "Stamp", "absent", "creation", "rewrite", "undoing"]


class Change(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One change of one record.

    A creation has an empty `field` and a mapping of first values; every other change writes one field.
    `after` names the changes of the same field that the writer had in view, so that two writes without sight of each other can be
    told from one that corrects another. `entered` keeps the words as typed when the value was reduced from them
    (``7 ft 0 7/8 in``), `why` the reason for an amendment.
    """

    id: str
    time: str
    device: str
    person: str
    kind: str
    record: str
    field: str = ""
    value: Any = None
    replaced: Any = None
    after: tuple[str, ...] = ()
    entered: str | None = None
    why: str | None = None

    @property
    def creates(self) -> bool:
        """Tell whether this change creates its record."""
        return not self.field


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who writes, where and when: handed in, since the record reads no clock."""

    id: str
    time: str
    device: str
    person: str


def absent(words: str) -> dict[str, str]:
    """Return the value that says a field is absent on purpose."""
    return {"absent": words}


def creation(stamp: Stamp, kind: str, record: str, values: Mapping[str, Any], *, entered: str | None = None) -> Change:
    """Return the change that creates a record with its first values."""
    return Change(
        id=stamp.id, time=stamp.time, device=stamp.device, person=stamp.person, kind=kind, record=record,
        value=dict(values), entered=entered,
    )  # fmt: skip


def rewrite(
    stamp: Stamp, kind: str, record: str, field: str, value: Any, *,
    replaced: Any = None, after: tuple[str, ...] = (), entered: str | None = None, why: str | None = None,
) -> Change:  # fmt: skip
    """Return the change that writes one field; `after` names what the writer had in view.

    Raises
    ------
    InputError
        When the field has no name.
    """
    if not field:
        raise InputError(f"A change of {kind} {record} names no field: say which field is rewritten.")
    return Change(
        id=stamp.id, time=stamp.time, device=stamp.device, person=stamp.person, kind=kind, record=record, field=field,
        value=value, replaced=replaced, after=after, entered=entered, why=why,
    )  # fmt: skip


def undoing(stamp: Stamp, change: Change, heads: tuple[str, ...]) -> Change:
    """Return the further change that takes `change` back.

    Parameters
    ----------
    stamp : Stamp
        Who undoes it and when.
    change : Change
        What is taken back; a creation is taken back by making the record void, its number is kept.
    heads : tuple of str
        The changes now in view in that field.

    Raises
    ------
    InputError
        When the field has been changed again since: only what is in view can be undone.
    """
    if change.creates:
        return rewrite(stamp, change.kind, change.record, "void", "undone", after=heads, why=f"undo of {change.id}")
    if heads != (change.id,):
        raise InputError(
            f"The change of {change.field} by {change.person} cannot be undone: the field has been changed again since. "
            "Undo the later change first."
        )
    return rewrite(
        stamp, change.kind, change.record, change.field, change.replaced,
        replaced=change.value, after=heads, why=f"undo of {change.id}",
    )  # fmt: skip
