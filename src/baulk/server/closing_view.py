"""The closing check of a unit, rule by rule."""

from __future__ import annotations

from collections import Counter

from pydantic import BaseModel, Field

from baulk.errors import UnknownRecord
from baulk.record import Unit
from baulk.server.record_view import RecordLink, Shown
from baulk.server.study import FindingFacts

__all__ = ["ClosingView", "FindingLine", "closing_view"]

_WITHHELD = "This answer concerns records that are withheld on these pages."


class FindingLine(BaseModel):
    """What one rule answers."""

    rule: str = Field(description="The rule's stable number.")
    what: str
    why: str
    severity: str
    source: str
    outcome: str
    says: str
    mend: str
    records: list[RecordLink]
    withheld: bool = Field(description="True when it concerns records that are not shown here; its words are left out too.")


class ClosingView(BaseModel):
    """The closing check of one unit."""

    unit: RecordLink
    ready: bool
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
    return ClosingView(unit=link, ready=result.ready, counts=dict(Counter(line.outcome for line in lines)), findings=lines)


def _finding_line(shown: Shown, finding: FindingFacts) -> FindingLine:
    links = shown.links(finding.records)
    rule = finding.rule
    withheld = len(links) < len(finding.records)
    return FindingLine(
        rule=rule.id,
        what=rule.what,
        why=rule.why,
        severity=str(rule.severity),
        source=rule.source,
        outcome=str(finding.outcome),
        says=_WITHHELD if withheld else finding.says,
        mend="" if withheld else finding.mend,
        records=links,
        withheld=withheld,
    )
