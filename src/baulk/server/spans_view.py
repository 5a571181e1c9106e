"""How likely a context is of some years, and how two spans stand to each other, as the page reads them."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.server.chronology_view import context_link
from baulk.server.record_view import RecordLink, Shown
from baulk.work.chronology_answers import within_told
from baulk.work.chronology_spans import spans_told

__all__ = ["SpansView", "StandingLine", "WithinView", "spans_view", "within_view"]


class WithinView(BaseModel):
    """How likely a context is of some years."""

    link: RecordLink | None
    chance: float
    standard_error: float
    before: float = Field(description="The chance by order and span alone.")
    says: str


class StandingLine(BaseModel):
    """One way in which two spans can stand to each other."""

    name: str
    chance: float
    standard_error: float
    says: str


class SpansView(BaseModel):
    """How two spans stand to each other, the likeliest way first."""

    ways: list[StandingLine]
    says: str
    links: list[list[RecordLink]] = Field(description="The contexts of each span.")


def within_view(shown: Shown, named: str, begin: int, end: int) -> WithinView:
    """Return how likely a context is of the years from one to another; the chronology is worked out first if need be.

    Raises
    ------
    UnknownRecord, InputError
        When it is not on record or not in the chronology, or the years run backwards.
    """
    dated = shown.study.dating.dated(shown.viewer)
    told = within_told(dated, named, begin, end)
    return WithinView(
        link=context_link(shown, dated, told.event), chance=told.chance.value, standard_error=told.chance.standard_error,
        before=told.before, says=told.says,
    )  # fmt: skip


def spans_view(shown: Shown, one: str, other: str) -> SpansView:
    """Return how two phases, or two lots of contexts, stand to each other in time; worked out first if need be.

    Raises
    ------
    UnknownRecord, InputError
        When a context is not on record or not in the chronology, or the two have one in common.
    """
    dated = shown.study.dating.dated(shown.viewer)
    told = spans_told(dated, one, other)
    return SpansView(
        ways=[
            StandingLine(name=way.name, chance=way.chance.value, standard_error=way.chance.standard_error, says=way.says)
            for way in told.ways
        ],
        says=told.says,
        links=[[link for name in events if (link := context_link(shown, dated, name)) is not None] for events in told.events],
    )
