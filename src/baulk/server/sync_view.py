"""What a device that records and the site server say to each other, as JSON."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from baulk.store import Arrived
from baulk.work.pull import HeldRecord, Pulled
from baulk.work.push import Kept

__all__ = [
    "BlockAsked", "BlockGiven", "ChangesKept", "ChangesSent", "FileHeld", "Folded", "Head", "Hello", "JoinAsked", "Joined",
    "NoteLine", "RecordsPage",
]  # fmt: skip


class JoinAsked(BaseModel):
    """A device that wants to join."""

    code: str = Field(max_length=100, description="The joining code on the server's screen.")
    person: str = Field(max_length=200, description="Initials of who records.")
    device: str = Field(max_length=200, description="A name for the device.")


class Joined(BaseModel):
    """The token of a device that joined."""

    token: str
    person: str
    device: str
    expires: int = Field(description="Unix time in milliseconds.")


class Hello(BaseModel):
    """The site server as it stands."""

    site: str = Field(description="Id of the site's record; empty while none is made.")
    code: str
    name: str
    revision: int
    now: int = Field(description="The server's clock, Unix time in milliseconds: a device sets its own changes' times by it.")
    app: str = Field(description="Version of Baulk on the server.")
    person: str
    device: str
    view: str = Field(description="crew or restricted.")
    length_unit: str
    metres: float
    writable: bool
    notice: str = Field(description="Why nothing can be kept, when that is so.")


class Head(BaseModel):
    """A write that stands in a field."""

    change: str
    time: str
    device: str
    person: str
    value: Any = Field(description='Plain value; null is blank; {"absent": words} is absent on purpose.')
    entered: str = Field(
        default="", description="The words it was reduced from, as they were typed; left out where there are none."
    )


class Folded(BaseModel):
    """One record as the server folds it."""

    id: str
    kind: str
    fields: dict[str, list[Head]] = Field(
        description="Field by field what stands, latest first; several that differ are a difference."
    )
    replaced: dict[str, list[str]] = Field(description="Field by field the ids of changes that later ones took the place of.")
    gone: bool = Field(description="True when the device must drop it: it is withheld now.")
    withheld: bool = Field(description="True when it is given only as far as the order needs it.")


class RecordsPage(BaseModel):
    """Records touched since a revision."""

    revision: int = Field(description="Where the device stands once it has every page.")
    records: list[Folded]
    next: str | None = Field(description="Ask again with page= this; null on the last page.")

    @classmethod
    def of(cls, pulled: Pulled) -> RecordsPage:
        """Return the answer as JSON."""
        return cls(revision=pulled.revision, records=[_folded(one) for one in pulled.records], next=pulled.next)


def _folded(one: HeldRecord) -> Folded:
    return Folded.model_construct(
        id=one.id,
        kind=one.kind,
        fields={
            name: [
                Head.model_construct(
                    change=head.change,
                    time=head.time,
                    device=head.device,
                    person=head.person,
                    value=head.value,
                    entered=head.entered,
                )
                for head in heads
            ]
            for name, heads in one.fields.items()
        },
        replaced={name: list(ids) for name, ids in one.replaced.items()},
        gone=one.gone,
        withheld=one.withheld,
    )


class ChangesSent(BaseModel):
    """Changes that a device sends."""

    changes: list[Any] = Field(max_length=10_000, description="Each a change as the record's log holds it.")


class NoteLine(BaseModel):
    """What is to be said of one change."""

    change: str
    message: str


class ChangesKept(BaseModel):
    """What became of the changes; those under `kept` are on the server's disk."""

    revision: int
    kept: list[str]
    notes: list[NoteLine]
    refused: list[NoteLine]

    @classmethod
    def of(cls, kept: Kept) -> ChangesKept:
        """Return the answer as JSON."""
        notes = [NoteLine(change=one.change, message=one.message) for one in kept.notes]
        refused = [NoteLine(change=one.change, message=one.message) for one in kept.refused]
        return cls(revision=kept.revision, kept=list(kept.kept), notes=notes, refused=refused)


class BlockAsked(BaseModel):
    """Which numbers a recorder needs."""

    series: str = Field(max_length=100, description="Kind of record the numbers are for.")
    size: int


class BlockGiven(BaseModel):
    """A block of numbers, as a record of the site."""

    id: str
    series: str
    first: int
    last: int
    person: str


class FileHeld(BaseModel):
    """How much of a file is here."""

    model_config = ConfigDict(frozen=True)

    held: int = Field(description="Bytes that are here: send on from there.")
    whole: bool = Field(description="True when it is whole and on the shelf.")

    @classmethod
    def of(cls, arrived: Arrived) -> FileHeld:
        """Return the answer as JSON."""
        return cls(held=arrived.held, whole=arrived.whole)
