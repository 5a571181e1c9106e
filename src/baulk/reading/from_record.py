"""The rules by which the record itself speaks to a question, and what they read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from baulk.reading import cut_rules, measure_rules, soil_rules, structure_rules
from baulk.reading.finding import Finding
from baulk.reading.subject import Subject, subject_of
from baulk.record import SiteRecord

__all__ = ["MEASURES", "RULES", "evidence_from_record", "rule_words"]

Rule = Callable[[Subject], Finding]

RULES: Mapping[str, Rule] = MappingProxyType(
    {name: getattr(module, name) for module in (structure_rules, cut_rules, soil_rules, measure_rules) for name in module.__all__}
)
"""Every rule by its name."""

MEASURES = frozenset(measure_rules.__all__)
"""Rules that measure instead of saying yes or no."""


def rule_words(name: str) -> str:
    """Return what a rule reads, in a sentence."""
    return (RULES[name].__doc__ or "").strip()


def evidence_from_record(record: SiteRecord, about: Iterable[str], rules: Iterable[str] = ()) -> tuple[Finding, ...]:
    """Return what the record says on a question.

    Parameters
    ----------
    record : SiteRecord
        The site.
    about : iterable of str
        Ids of the contexts that the question is about; fills of the cuts among them are found by themselves.
    rules : iterable of str
        Names of the rules to apply; all when empty.

    Returns
    -------
    tuple of Finding
        One for each rule, each with the records it rests on. What the record cannot tell yet comes with what to do.
    """
    subject = subject_of(record, about)
    return tuple(RULES[name](subject) for name in (tuple(rules) or RULES))
