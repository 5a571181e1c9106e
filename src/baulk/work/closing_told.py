"""The closing check as one viewer may have it: the same rule of withholding as on the page, for words and tables."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.closing import Caution, ClosingResult, Detail, Finding, Outcome
from baulk.closing.rule import Rule
from baulk.drawing.withheld import neighbours_that_show
from baulk.record import SiteRecord, View, Waiver, record_for, speaks_of_remains, withheld_from
from baulk.record.telling import telling_words

__all__ = ["ToldClosing", "ToldFinding", "told_closing"]

_OPEN = (Outcome.FAIL, Outcome.CANNOT_TELL)
_SAID = 3
_WITHHELD = "This answer concerns records that are withheld."
_ASK = "Ask with --restricted if you may know of burials."
_WHY = "withheld"
_IN_GENERAL = Caution(
    "human remains",
    "Wherever human remains are possible: stop work, cover, secure, notify, and leave in place.",
    "published state statutes and federal guidance",
)


@dataclass(frozen=True, slots=True)
class ToldFinding:
    """What one rule found, as far as a viewer may know.

    Parameters
    ----------
    rule : Rule
    outcome : Outcome
    blocks : bool
        Whether it stands in the way of filling the unit in.
    says, mend : str
    details : tuple of Detail
        Without those that touch a withheld record.
    waivers : tuple of str
        Each waiver in a sentence; one whose reason would tell says only that it is withheld.
    withheld : bool
        True when something is left out.
    """

    rule: Rule
    outcome: Outcome
    blocks: bool
    says: str
    mend: str
    details: tuple[Detail, ...]
    waivers: tuple[str, ...]
    withheld: bool

    @property
    def records(self) -> tuple[str, ...]:
        """Ids of the records that fail or of which nobody can tell."""
        return tuple(dict.fromkeys(one for detail in self.details if detail.outcome in _OPEN for one in detail.records if one))


@dataclass(frozen=True, slots=True)
class ToldClosing:
    """A closing result as one viewer may have it."""

    record: SiteRecord
    findings: tuple[ToldFinding, ...]
    in_the_way: tuple[ToldFinding, ...]
    refused_waivers: tuple[tuple[Waiver, str], ...]
    cautions: tuple[Caution, ...]


def told_closing(record: SiteRecord, result: ClosingResult, cautions: tuple[Caution, ...], view: View) -> ToldClosing:
    """Return a closing result without what a viewer may not know.

    Parameters
    ----------
    record : SiteRecord
        The whole record, from which the result was worked out.
    result : ClosingResult
    cautions : tuple of Caution
        Those of the unit; for the crew what is said of possible remains is said in general, whether there are any or not.
    view : View
    """
    if view is View.RESTRICTED:
        seen = record
        findings = {found.rule.id: _whole(found) for found in result.findings}
        kept = cautions
    else:
        seen = record_for(record, view, also=neighbours_that_show(record))
        findings = {found.rule.id: _partly(record, seen, found, view) for found in result.findings}
        kept = (_IN_GENERAL, *(caution for caution in cautions if not caution.restricted))
    in_the_way = tuple(findings[found.rule.id] for found in result.in_the_way)
    refused = tuple((waiver, why) for waiver, why in result.refused_waivers if not _tells(record, why) or view is View.RESTRICTED)
    return ToldClosing(seen, tuple(findings.values()), in_the_way, refused, kept)


def _whole(found: Finding) -> ToldFinding:
    return ToldFinding(
        found.rule, found.outcome, found.blocks, found.says, found.mend, found.details, found.waiver_words, withheld=False
    )


def _partly(record: SiteRecord, seen: SiteRecord, found: Finding, view: View) -> ToldFinding:
    barred = found.rule.restricted
    bare = withheld_from(record, view).bare

    def touches_withheld(detail: Detail) -> bool:
        return any(one in bare or (one in record.by_id and one not in seen.by_id) for one in detail.records)

    kept = () if barred else tuple(detail for detail in found.details if not touches_withheld(detail))
    less = barred or len(kept) < len(found.details)
    waivers = tuple(
        _waived(waiver.rule, words, tells=barred or _tells(record, words))
        for waiver, words in zip(found.waivers, found.waiver_words, strict=True)
    )
    says = _others(kept) if less else found.says
    return ToldFinding(found.rule, found.outcome, found.blocks, says, "" if barred else found.mend, kept, waivers, withheld=less)


def _waived(rule: str | None, words: str, *, tells: bool) -> str:
    return f"A waiver of {rule} is {_WHY}. {_ASK}" if tells else words


def _tells(record: SiteRecord, words: str) -> bool:
    pattern = telling_words(record)
    return speaks_of_remains(words) or (pattern is not None and pattern.search(words) is not None)


def _others(kept: tuple[Detail, ...]) -> str:
    said = "; ".join(list(dict.fromkeys(detail.says.rstrip(".") for detail in kept))[:_SAID])
    return f"{_WITHHELD} {_ASK}" + (f" Of the others: {said}." if said else "")
