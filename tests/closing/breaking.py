"""Ways to break one thing of the complete record."""

from __future__ import annotations

from collections.abc import Callable

from baulk.record import Entity, SiteRecord, build
from tests.closing.complete import entities

Change = Callable[[dict[str, Entity]], None]


def together(*changes: Change) -> Change:
    """Return several changes as one."""

    def change(held: dict[str, Entity]) -> None:
        for one in changes:
            one(held)

    return change


def record_with(*changes: Change) -> SiteRecord:
    """Return the complete record with things changed."""
    held = entities()
    for change in changes:
        change(held)
    return SiteRecord.of(held.values())


def sets(identity: str, **fields: object) -> Change:
    """Return a change that gives fields of one record other values."""

    def change(held: dict[str, Entity]) -> None:
        old = held[identity]
        held[identity] = build(type(old), {**old.model_dump(), **fields})

    return change


def sets_all(kind: type[Entity], **fields: object) -> Change:
    """Return a change that gives fields of every record of a kind other values."""

    def change(held: dict[str, Entity]) -> None:
        for identity, old in list(held.items()):
            if isinstance(old, kind):
                held[identity] = build(kind, {**old.model_dump(), **fields})

    return change


def leaves_out(*identities: str) -> Change:
    """Return a change that takes records out."""

    def change(held: dict[str, Entity]) -> None:
        for identity in identities:
            del held[identity]

    return change


def adds(of: type[Entity], /, **fields: object) -> Change:
    """Return a change that puts one more record in."""

    def change(held: dict[str, Entity]) -> None:
        held[str(fields["id"])] = build(of, fields)

    return change
