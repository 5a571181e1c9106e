"""Every rule of the closing check in one table, and what of the checklist the record cannot answer yet."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from baulk.closing import (
    contacts,
    description,
    filling_in,
    finds,
    heights,
    people,
    photos,
    plans,
    position,
    profile_rules,
    sections,
    sequence_rules,
    structures,
)
from baulk.closing.rule import Rule

__all__ = ["PROFILE_RULES", "RULES", "UNANSWERED", "rule_table"]

_MODULES = (
    position,
    heights,
    sequence_rules,
    contacts,
    structures,
    description,
    plans,
    sections,
    photos,
    finds,
    people,
    filling_in,
)

RULES: Mapping[str, Rule] = MappingProxyType(
    {rule.id: rule for rule in sorted((rule for module in _MODULES for rule in module.RULES), key=lambda rule: rule.id)}
)
"""The house rules by number."""

PROFILE_RULES: Mapping[str, Rule] = MappingProxyType({rule.id: rule for rule in profile_rules.RULES})
"""Rules that a jurisdiction profile may add, by number."""

UNANSWERED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "B42": (
            "Every standing structure in the unit has an elevation of each visible face.",
            "Which faces can be seen is kept in free words, so the elevations cannot be counted against them.",
        ),
        "B51": (
            "Where a model is made from photos, its targets have co-ordinates and its cover was checked before filling in.",
            "The record has no kind for a photo model and its targets yet.",
        ),
        "B65": (
            "Changes from the research design are listed with who approved them.",
            "Decisions stand in the diary in free words; approvals are not kept apart.",
        ),
    }
)
"""Rules of the checklist that the record cannot answer yet: what, and why. They are never passed."""


def rule_table() -> str:
    """Return the table of rules as Markdown, as it stands in the documentation."""
    lines = ["| rule | what must hold | why | at backfill | stop-list | source |", "|---|---|---|---|---|---|"]
    for rule in (*RULES.values(), *PROFILE_RULES.values()):
        stop = "yes" if rule.blocks else ""
        lines.append(f"| {rule.id} | {rule.what} | {rule.why} | {rule.severity} | {stop} | {rule.source} |")
    return "\n".join(lines)
