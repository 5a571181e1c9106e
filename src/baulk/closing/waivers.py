"""Waivers: a rule set aside for some records, with who decided, when and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from baulk.closing.rule import Outcome, Verdict
from baulk.record import SiteRecord, Waiver

__all__ = ["Waivers", "set_aside"]


@dataclass(frozen=True, slots=True)
class Waivers:
    """The waivers of a record, grouped once.

    Parameters
    ----------
    by_rule : mapping
        Waivers that count, by unit id ("" for the whole site) and rule number.
    refused : tuple of (Waiver, str)
        Waivers that do not count, each with why.
    """

    by_rule: Mapping[tuple[str, str], tuple[Waiver, ...]]
    refused: tuple[tuple[Waiver, str], ...]

    @classmethod
    def of(cls, record: SiteRecord, known: Sequence[str]) -> Waivers:
        """Group the waivers of a record; one without a name, a reason or a known rule does not count."""
        held: dict[tuple[str, str], list[Waiver]] = {}
        refused: list[tuple[Waiver, str]] = []
        for waiver in record.all(Waiver):
            rule = (waiver.rule or "").strip().upper()
            why = _refusal(waiver, rule, known)
            if why:
                refused.append((waiver, why))
            else:
                held.setdefault((waiver.unit or "", rule), []).append(waiver)
        return cls({key: tuple(found) for key, found in held.items()}, tuple(refused))

    def for_rule(self, unit: str, rule: str) -> tuple[Waiver, ...]:
        """Return the waivers that count for a rule in a unit."""
        return self.by_rule.get((unit, rule), ()) + self.by_rule.get(("", rule), ())

    def refused_for(self, unit: str) -> tuple[tuple[Waiver, str], ...]:
        """Return the waivers of a unit, and of the site, that do not count."""
        return tuple((waiver, why) for waiver, why in self.refused if waiver.unit in (None, unit))


def _refusal(waiver: Waiver, rule: str, known: Sequence[str]) -> str:
    wanting = [word for word, held in (("name", waiver.who), ("reason", waiver.why)) if not held]
    if wanting:
        return (
            f"The waiver of {rule or 'no rule'} has no {' and no '.join(wanting)}, so it does not count: enter who decided and why."
        )
    if rule not in known:
        return f"The waiver names rule “{waiver.rule or ''}”, which the closing check does not have: give a number such as B35."
    return ""


def set_aside(verdict: Verdict, waivers: Sequence[Waiver]) -> tuple[Verdict, tuple[Waiver, ...]]:
    """Return the verdict with what the waivers cover set aside, and the waivers that covered something.

    A waiver without records covers all. One with records covers a detail when it names every record of that detail.
    """
    used: dict[str, Waiver] = {}
    details = []
    for detail in verdict.details:
        covering = next((waiver for waiver in waivers if not waiver.records or set(detail.records) <= set(waiver.records)), None)
        if covering is not None:
            used[covering.id] = covering
        details.append(detail if covering is None else replace(detail, outcome=Outcome.WAIVED))
    return replace(verdict, details=tuple(details)), tuple(used.values())
