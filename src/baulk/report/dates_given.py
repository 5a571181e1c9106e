"""What the report is given of dates: the bounds, the chronology if it was worked out, and all that they rest on."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ChronologyFacts", "DateRow", "DatingFacts", "PhaseRow"]


@dataclass(frozen=True, slots=True)
class DateRow:
    """The date of one context.

    Parameters
    ----------
    context : str
        Id.
    tpq, taq : str
        Each bound in words with what set it and over which contexts; empty when there is none.
    prior, outer, inner : str
        By the chronology, in words: by order and span alone, the range at 95 and at 68 per cent; empty where none was worked out.
    by_order_alone : bool
        Whether nothing of its own dates it.
    """

    context: str
    tpq: str
    taq: str
    prior: str = ""
    outer: str = ""
    inner: str = ""
    by_order_alone: bool = False


@dataclass(frozen=True, slots=True)
class PhaseRow:
    """When a phase began and ended and how long it was, in words."""

    name: str
    begins: str
    ends: str
    lasts: str


@dataclass(frozen=True, slots=True)
class ChronologyFacts:
    """A chronology that was worked out.

    Parameters
    ----------
    settings : tuple of str
        Every setting in a sentence, the seed among them.
    evidence : tuple of (str, str)
        Event and what was put in for it.
    left_out : tuple of str
        What of the record is not in it, and why.
    curves : tuple of str
        Name, version and source of each radiocarbon curve used.
    phases : tuple of PhaseRow
        The whole site first.
    out_of_place : tuple of str
        Finds that look intrusive or residual.
    absence : tuple of str
        What the absence of later finds does, where both chronologies were worked out.
    chains : str
        How the chains agree.
    notes : tuple of str
        What is to be known of it.
    """

    settings: tuple[str, ...]
    evidence: tuple[tuple[str, str], ...]
    left_out: tuple[str, ...]
    curves: tuple[str, ...]
    phases: tuple[PhaseRow, ...]
    out_of_place: tuple[str, ...]
    absence: tuple[str, ...]
    chains: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DatingFacts:
    """The dates of a site.

    Parameters
    ----------
    rows : tuple of DateRow
        Latest first.
    contradictions : tuple of (str, tuple of str)
        Each with its ways out.
    left_out : tuple of str
        Finds and documents that set no bound, and why.
    aids : tuple of (str, str)
        Context and what an aid says of it.
    types : str
        The table of types used.
    notes : tuple of str
        What is to be known of the bounds.
    chronology : ChronologyFacts or None
        None when it was not worked out.
    oddities : tuple of str
        Radiocarbon ages against the order or against each other.
    refused : str
        Why it could not be told; empty when it could or was not asked for.
    """

    rows: tuple[DateRow, ...]
    contradictions: tuple[tuple[str, tuple[str, ...]], ...]
    left_out: tuple[str, ...]
    aids: tuple[tuple[str, str], ...]
    types: str
    notes: tuple[str, ...]
    chronology: ChronologyFacts | None = None
    refused: str = ""
    oddities: tuple[str, ...] = ()
