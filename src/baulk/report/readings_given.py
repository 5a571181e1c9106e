"""What the report is given of weighed questions: plain figures and words, worked out elsewhere for its reader."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["LookFacts", "PieceFacts", "QuestionFacts", "ReadingFacts"]


@dataclass(frozen=True, slots=True)
class ReadingFacts:
    """One reading: mark and name, share before and after the evidence with its range, and why that prior."""

    mark: str
    name: str
    prior: float
    prior_reason: str
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """One piece of evidence.

    Parameters
    ----------
    mark, told : str
        Its mark, and what was seen or looked for in vain.
    cause : str
        Its common cause; empty for none.
    records : tuple of str
        Ids of the contexts it rests on.
    cells : tuple of (str, str, float, str)
        For each reading its mark, how expected, decibans of the piece alone, and why.
    source : str
        Where the expectations come from.
    """

    mark: str
    told: str
    cause: str
    records: tuple[str, ...]
    cells: tuple[tuple[str, str, float, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class LookFacts:
    """A test not made: what to do, its hours, whether it is lost at backfill, expected bits an hour, and where from."""

    does: str
    hours: float
    lost: bool
    bits: float
    source: str


@dataclass(frozen=True, slots=True)
class QuestionFacts:
    """One weighed question.

    Parameters
    ----------
    question : str
        Id.
    number, asks : str
        Its number and words.
    about : tuple of str
        Ids of its contexts.
    readings : tuple of ReadingFacts
        Likeliest first.
    pieces : tuple of PieceFacts
        What counts.
    groups : tuple of str
        Each group in a sentence: its pieces, and whether the lead holds without it.
    set_aside : tuple of str
        What stands in the table without counting, with the reason.
    says : str
        The answer in plain words.
    treatment : str
        How common causes are counted, in a sentence.
    others : tuple of str
        Who leads under other treatments and priors.
    overturning : tuple of str
        What would have to fall, rival by rival.
    looks : tuple of LookFacts
        Tests not made, in their order.
    conclusion : str
        What the director concluded; empty for none.
    caution : str
        Stop, cover, notify; empty where it is not called for.
    care : str
        What is said of a reading for remains; empty where there is none.
    notes : tuple of str
        What could not be used.
    why_not : str
        Why it could not be weighed; empty when it was.
    """

    question: str
    number: str
    asks: str
    about: tuple[str, ...]
    readings: tuple[ReadingFacts, ...] = ()
    pieces: tuple[PieceFacts, ...] = ()
    groups: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    says: str = ""
    treatment: str = ""
    others: tuple[str, ...] = ()
    overturning: tuple[str, ...] = ()
    looks: tuple[LookFacts, ...] = ()
    conclusion: str = ""
    caution: str = ""
    care: str = ""
    notes: tuple[str, ...] = ()
    why_not: str = ""
