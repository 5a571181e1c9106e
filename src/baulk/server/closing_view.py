"""The closing check of a unit, rule by rule."""

from __future__ import annotations

from collections import Counter

from pydantic import BaseModel, Field

from baulk.closing import Detail, Finding, Outcome
from baulk.errors import UnknownRecord
from baulk.record import Unit, View
from baulk.server.record_view import RecordLink, Shown

__all__ = ["ClosingView", "FindingLine", "closing_view"]

_OPEN = (Outcome.FAIL, Outcome.CANNOT_TELL)
_SAID = 3
_WITHHELD = "This answer concerns records that are withheld on these pages."


class FindingLine(BaseModel):
    """What one rule answers."""

    rule: str = Field(description="The rule's stable number.")
    what: str
    why: str
    severity: str
    source: str
    outcome: str
    blocks: bool = Field(description="True when it stands in the way of filling the unit in.")
    says: str
    mend: str
    records: list[RecordLink]
    withheld: bool = Field(description="True when it concerns records that are not shown here; its words are left out too.")


class ClosingView(BaseModel):
    """The closing check of one unit."""

    unit: RecordLink
    ready: bool
    profile: str = Field(description="Name of the jurisdiction profile that was followed.")
    notes: list[str]
    counts: dict[str, int] = Field(description="How many rules gave each outcome.")
    findings: list[FindingLine]


def closing_view(shown: Shown, unit_id: str) -> ClosingView:
    """Return the closing check of a unit, by its id or its number.

    Raises
    ------
    UnknownRecord
        When the site has no such unit.
    """
    record = shown.record
    unit = record.get(Unit, unit_id) or record.numbered(Unit, unit_id)
    link = shown.link(unit.id)
    if link is None:
        raise UnknownRecord("unit", unit_id, ())
    result = shown.study.closing(unit.id)
    lines = [_finding_line(shown, finding) for finding in result.findings]
    return ClosingView(
        unit=link,
        ready=result.ready,
        profile=result.profile,
        notes=list(result.notes),
        counts=dict(Counter(line.outcome for line in lines)),
        findings=lines,
    )


def _finding_line(shown: Shown, finding: Finding) -> FindingLine:
    rule = finding.rule
    barred = rule.restricted and shown.viewer is not View.RESTRICTED
    kept = [] if barred else [detail for detail in finding.details if not _touches_withheld(shown, detail)]
    withheld = barred or len(kept) < len(finding.details)
    records = dict.fromkeys(record for detail in kept if detail.outcome in _OPEN for record in detail.records)
    return FindingLine(
        rule=rule.id,
        what=rule.what,
        why=rule.why,
        severity=rule.severity.value,
        source=rule.source,
        outcome=finding.outcome.value,
        blocks=finding.blocks,
        says=_partly(kept) if withheld else finding.says,
        mend="" if barred else finding.mend,
        records=shown.links(records),
        withheld=withheld,
    )


def _touches_withheld(shown: Shown, detail: Detail) -> bool:
    return any(shown.leaves_out(record) or shown.is_bare(record) for record in detail.records)


def _partly(kept: list[Detail]) -> str:
    said = "; ".join(list(dict.fromkeys(detail.says for detail in kept))[:_SAID])
    return f"{_WITHHELD} Of the others: {said}." if said else _WITHHELD
