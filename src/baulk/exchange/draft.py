"""A record as it would be created: made from one row, not yet written anywhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = ["Draft", "Drafted"]


@dataclass(frozen=True, slots=True)
class Draft:
    """One record to be created.

    Parameters
    ----------
    kind : str
        Name of the kind.
    id : str
        The record's id.
    number : str or None
        The number a person knows it by.
    values : dict
        First values as plain JSON; an absence on purpose is ``{"absent": words}``.
    entered : str or None
        Words that values were reduced from, as in “level: 7 ft 0 7/8 in”.
    source : str
        File that it comes from.
    line : int
        Line on which its row begins.
    """

    kind: str
    id: str
    number: str | None
    values: dict[str, Any]
    entered: str | None
    source: str
    line: int


@dataclass(frozen=True, slots=True)
class Drafted:
    """What the rows of one or more tables came to.

    Parameters
    ----------
    drafts : tuple of Draft
        New records, in the order of the rows.
    notes : tuple of str
        What was left out or taken with a doubt, in words.
    completed : tuple of Draft
        Earlier drafts of the same take with fields added; each stands in place of the one with its id.
    """

    drafts: tuple[Draft, ...]
    notes: tuple[str, ...]
    completed: tuple[Draft, ...] = ()
