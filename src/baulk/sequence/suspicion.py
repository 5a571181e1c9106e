"""A relation that seems to be missed or wrong: what shows it, and how to settle it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Mend", "Suspicion"]


@dataclass(frozen=True, slots=True)
class Mend:
    """What a person would write when the ground bears the suspicion out; never written without one.

    Parameters
    ----------
    record : str or None
        Id of the record to change; None to enter a new relation.
    field : str
        Its field; for a new relation ``how``.
    value : str or float
        What to write.
    """

    record: str | None
    field: str
    value: str | float


@dataclass(frozen=True, slots=True)
class Suspicion:
    """One thing in the record that does not fit the relations.

    Parameters
    ----------
    what : str
        Its kind: one of `baulk.sequence.missed.KINDS_OF_SUSPICION`, or what else beside the record speaks of it.
    later : str
        Id of the context that seems to be the later one, or of the only context it is about.
    earlier : str or None
        Id of the other context; None when it is about one only.
    evidence : str
        One sentence: what was seen, with the numbers of the records.
    settle : str
        One sentence: how to find out.
    records : tuple of str
        Ids of the records that show it.
    mend : Mend or None
        The change that would answer it, where one can be named.
    """

    what: str
    later: str
    earlier: str | None
    evidence: str
    settle: str
    records: tuple[str, ...]
    mend: Mend | None = None
