"""What the record itself says on a question: sightings read by rule, each with the records it rests on."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Finding", "cannot_tell"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule reads from the record.

    Parameters
    ----------
    rule : str
        Name of the rule; patterns name it too.
    seen : bool or None
        Whether the sighting is there; None when the record cannot tell yet.
    says : str
        What the record says, in a sentence; where it cannot tell, why not.
    records : tuple of str
        Ids of the records it rests on.
    value : float or None
        The measure, of a rule that measures.
    test : str
        What to do so that the record can tell; empty when it tells.
    """

    rule: str
    seen: bool | None
    says: str
    records: tuple[str, ...] = ()
    value: float | None = None
    test: str = ""


def cannot_tell(rule: str, says: str, test: str, records: tuple[str, ...] = ()) -> Finding:
    """Return the finding that the record cannot tell yet, with what to do."""
    return Finding(rule, None, says, records, None, test)
