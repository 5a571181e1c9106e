"""What can only be done while the unit is open: the day's list."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.closing.check import ClosingResult, check_unit
from baulk.closing.rule import Outcome, Severity
from baulk.record import Context, FollowUp, SiteRecord, by_natural_number

__all__ = ["OpenTask", "only_while_open"]


@dataclass(frozen=True, slots=True)
class OpenTask:
    """One thing that is lost once the unit is filled in.

    Parameters
    ----------
    source : str
        Number of the follow-up, or of the rule.
    asks : str
        What is not known or not done.
    do : str
        What would settle it.
    records : tuple of str
        Ids of the records it is about.
    blocks : bool
        Whether it stands in the way of filling in.
    restricted : bool
        Whether it may name human remains and is left out of public outputs.
    """

    source: str
    asks: str
    do: str
    records: tuple[str, ...]
    blocks: bool = False
    restricted: bool = False


def only_while_open(record: SiteRecord, unit_id: str, closing: ClosingResult | None = None) -> tuple[OpenTask, ...]:
    """Return what is lost for good at backfill: open follow-ups first, then rules, those of the stop-list before others.

    Parameters
    ----------
    record : SiteRecord
    unit_id : str
        Id of the unit.
    closing : ClosingResult, optional
        The closing check of the unit, when it is worked out already.

    Returns
    -------
    tuple of OpenTask
        Follow-ups that do not say what happens at backfill are in the list: nobody can tell that they can wait.

    Raises
    ------
    UnknownRecord
        When the record has no such unit.
    """
    result = check_unit(record, unit_id) if closing is None else closing
    contexts = {context.id for context in record.pointing_at(Context, "units", unit_id)}
    asked = [
        follow_up
        for follow_up in record.all(FollowUp)
        if follow_up.state in (None, "open")
        and follow_up.lost in (None, Severity.LOST)
        and (follow_up.unit == unit_id or (follow_up.unit is None and contexts & set(follow_up.contexts or ())))
    ]
    tasks = [
        OpenTask(
            f.number or f.id, f.asks or "no question entered", f.settled_by or "nobody says what would settle it", f.contexts or ()
        )
        for f in sorted(asked, key=by_natural_number)
    ]
    found = [
        finding
        for finding in result.findings
        if finding.rule.severity is Severity.LOST and finding.outcome in (Outcome.FAIL, Outcome.CANNOT_TELL)
    ]
    found.sort(key=lambda finding: (not finding.blocks, finding.outcome is not Outcome.FAIL, finding.rule.id))
    return (
        *tasks,
        *(
            OpenTask(finding.rule.id, finding.says, finding.mend, finding.records, finding.blocks, finding.rule.restricted)
            for finding in found
        ),
    )
