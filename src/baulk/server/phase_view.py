"""The phase table: each context with the phase it was put in, and the phases that the order leaves open to it."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.sequence.phase_table import PhaseLine
from baulk.server.record_view import RecordLink, Shown

__all__ = ["PhasePage", "PhaseRow", "phase_page"]


class PhaseRow(BaseModel):
    """One context of the phase table; phases count from 1, the earliest."""

    link: RecordLink
    given: int | None = Field(description="The phase it was put in; null when in none yet.")
    earliest: int | None
    latest: int | None = Field(description="Below `earliest` where there is a conflict.")
    earliest_from: RecordLink | None = Field(description="The context whose phase sets the bound; null when none does.")
    latest_from: RecordLink | None
    conflict: str = Field(description="What the phase given contradicts, with the path; empty when nothing.")
    against: RecordLink | None
    withheld: bool = Field(description="True when its phase is not shown here.")


class PhasePage(BaseModel):
    """Part of the phase table, latest context first."""

    total: int = Field(description="Rows there are to be paged through.")
    contexts: int
    phased: int = Field(description="Contexts that are put in a phase.")
    conflicts: int
    offset: int
    rows: list[PhaseRow]


def phase_page(shown: Shown, *, offset: int, limit: int, conflicts: bool) -> PhasePage:
    """Return a page of the phase table, of all contexts or of those in conflict only; withheld phases have no bearing on it."""
    order = shown.order
    lines = {order.known.contexts[line.context]: line for line in order.phase_table}
    latest_first = [lines[identity] for identity in order.latest_first]
    in_conflict = [line for line in latest_first if line.conflict]
    wanted = in_conflict if conflicts else latest_first
    return PhasePage(
        total=len(wanted),
        contexts=len(latest_first),
        phased=sum(line.given is not None for line in latest_first),
        conflicts=len(in_conflict),
        offset=offset,
        rows=[row for line in wanted[offset : offset + limit] if (row := _row(shown, line)) is not None],
    )


def _row(shown: Shown, line: PhaseLine) -> PhaseRow | None:
    def link(context: int | None) -> RecordLink | None:
        return None if context is None else shown.link(shown.order.known.contexts[context])

    own = link(line.context)
    if own is None:
        return None
    return PhaseRow(
        link=own,
        given=line.given,
        earliest=line.earliest,
        latest=line.latest,
        earliest_from=link(line.earliest_from),
        latest_from=link(line.latest_from),
        conflict=line.conflict,
        against=link(line.against),
        withheld=shown.is_bare(own.id),
    )
