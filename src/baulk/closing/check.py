"""The closing check: every rule asked of a unit, waivers applied, and whether the unit may be filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from baulk.closing.facts import SiteFacts, UnitFacts
from baulk.closing.profiles import HOUSE, Profile, profile_named
from baulk.closing.rule import Detail, Outcome, Rule, Severity, Verdict
from baulk.closing.waivers import Waivers, set_aside
from baulk.errors import UnknownRecord
from baulk.record import SiteRecord, Unit, Waiver
from baulk.sequence.order import Order

__all__ = ["ClosingResult", "Finding", "SiteCheck", "check_site", "check_unit"]

_SEVERITIES = list(Severity)
_OPEN = (Outcome.FAIL, Outcome.CANNOT_TELL)
_FAIL, _CANNOT_TELL, _WAIVED, _PASS = Outcome.FAIL, Outcome.CANNOT_TELL, Outcome.WAIVED, Outcome.PASS
_ONE = {_FAIL: "Fails", _CANNOT_TELL: "Nobody can tell", _WAIVED: "Waived", _PASS: "Passes"}
_ALL_DO = {_FAIL: "fail", _WAIVED: "are waived", _PASS: "pass"}
_SOME = {
    _FAIL: ("{} fails", "{} fail"),
    _CANNOT_TELL: ("nobody can tell of {}", "nobody can tell of {}"),
    _WAIVED: ("{} is waived", "{} are waived"),
}


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule found in one unit.

    Parameters
    ----------
    rule : Rule
    outcome : Outcome
        Over all records: fail before cannot tell before waived before pass.
    details : tuple of Detail
        Each record that fails, of which nobody can tell, or that is waived.
    passing : int
        How many records pass.
    says : str
        The outcome in words with numbers. It quotes no free words of the record but the reasons of what was not done.
    waivers : tuple of Waiver
        The waivers that set something aside; they are printed.
    """

    rule: Rule
    outcome: Outcome
    details: tuple[Detail, ...]
    passing: int
    says: str
    waivers: tuple[Waiver, ...] = ()

    @property
    def records(self) -> tuple[str, ...]:
        """Ids of the records that fail or of which nobody can tell."""
        blamed = (record for detail in self.details if detail.outcome in _OPEN for record in detail.records)
        return tuple(dict.fromkeys(record for record in blamed if record))

    @property
    def mend(self) -> str:
        """The step that mends it; empty when there is nothing to mend."""
        return self.rule.mend if self.outcome in _OPEN else ""

    @property
    def waiver_words(self) -> tuple[str, ...]:
        """Each waiver in a sentence, for those who may read names and free words: who, when and why."""
        return tuple(
            f"Waived by {waiver.who}{f' on {waiver.day}' if waiver.day else ', no date given'}: {(waiver.why or '').rstrip('.')}."
            for waiver in self.waivers
        )

    @property
    def blocks(self) -> bool:
        """Whether it stands in the way of filling the unit in."""
        return self.rule.blocks and self.outcome in _OPEN

    def count(self, outcome: Outcome) -> int:
        """Return how many records have this outcome."""
        return self.passing if outcome == Outcome.PASS else sum(detail.outcome == outcome for detail in self.details)


@dataclass(frozen=True, slots=True)
class ClosingResult:
    """The closing check of one unit.

    Parameters
    ----------
    unit : str
        Id of the unit.
    profile : str
        Name of the jurisdiction profile that was followed.
    findings : tuple of Finding
        One for each rule asked, in order of number.
    refused_waivers : tuple of (Waiver, str)
        Waivers that do not count, each with why.
    notes : tuple of str
        What a reader must know beside the findings.
    """

    unit: str
    profile: str
    findings: tuple[Finding, ...]
    refused_waivers: tuple[tuple[Waiver, str], ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def in_the_way(self) -> tuple[Finding, ...]:
        """Rules of the stop-list that fail or that nobody can tell, lost for good first."""
        return tuple(sorted((found for found in self.findings if found.blocks), key=_by_severity))

    @property
    def ready(self) -> bool:
        """Whether nothing stands in the way of filling the unit in."""
        return not self.in_the_way

    @property
    def waived(self) -> tuple[Finding, ...]:
        """Findings of which something was set aside by a waiver."""
        return tuple(found for found in self.findings if found.waivers)

    @property
    def counts(self) -> Mapping[Outcome, int]:
        """How many rules have each outcome."""
        return {outcome: sum(found.outcome is outcome for found in self.findings) for outcome in Outcome}

    def finding(self, rule: str) -> Finding | None:
        """Return what one rule found; None when the profile does not ask it."""
        return next((found for found in self.findings if found.rule.id == rule), None)


def _by_severity(found: Finding) -> tuple[int, int, str]:
    return (_SEVERITIES.index(found.rule.severity), found.outcome is not Outcome.FAIL, found.rule.id)


def check_unit(record: SiteRecord, unit_id: str, order: Order | None = None, *, profile: Profile | None = None) -> ClosingResult:
    """Ask every rule of one unit.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    unit_id : str
        Id of the unit.
    order : Order, optional
        The order of the record, when it is worked out already.
    profile : Profile, optional
        The jurisdiction profile; the one that the site names when left out.

    Returns
    -------
    ClosingResult

    Raises
    ------
    UnknownRecord
        When the record has no such unit.
    """
    return SiteCheck.of(record, order, profile=profile).unit(unit_id)


def check_site(record: SiteRecord, order: Order | None = None, *, profile: Profile | None = None) -> tuple[ClosingResult, ...]:
    """Ask every rule of every unit, in order of unit number; what they share is found out once.

    Parameters and Raises are those of `check_unit`; a site without units gives an empty result.
    """
    check = SiteCheck.of(record, order, profile=profile)
    return tuple(check.unit(unit.id) for unit in record.all(Unit))


@dataclass(frozen=True, slots=True)
class SiteCheck:
    """The closing check of a site: what all units share is found out once, then each unit is asked for by itself.

    Parameters
    ----------
    facts : SiteFacts
    profile : Profile
    waivers : Waivers
    notes : tuple of str
        What a reader of every result must know.
    """

    facts: SiteFacts
    profile: Profile
    waivers: Waivers
    notes: tuple[str, ...] = ()

    @classmethod
    def of(cls, record: SiteRecord, order: Order | None = None, *, profile: Profile | None = None) -> SiteCheck:
        """Return the check of a record; the parameters are those of `check_unit`."""
        notes: tuple[str, ...] = ()
        if profile is None:
            try:
                profile = profile_named(record.site.profile)
            except UnknownRecord as refusal:
                profile = HOUSE
                notes = (f"{refusal} The house rules were followed.",)
        waivers = Waivers.of(record, tuple(profile.rules))
        return cls(SiteFacts(record, profile.limits, given_order=order), profile, waivers, notes)

    def unit(self, unit_id: str) -> ClosingResult:
        """Ask every rule of one unit.

        Raises
        ------
        UnknownRecord
            When the record has no such unit.
        """
        record = self.facts.record
        unit = record.get(Unit, unit_id)
        if unit is None or unit.void is not None:
            raise UnknownRecord("unit", unit_id, [known.number or known.id for known in record.all(Unit)])
        facts = UnitFacts(self.facts, unit)
        findings = tuple(self._finding(rule, facts) for rule in self.profile.rules.values())
        return ClosingResult(unit.id, self.profile.name, findings, self.waivers.refused_for(unit.id), self.notes)

    def _finding(self, rule: Rule, facts: UnitFacts) -> Finding:
        verdict, used = set_aside(self._verdict(rule, facts), self.waivers.for_rule(facts.unit.id, rule.id))
        return Finding(rule, verdict.outcome, verdict.details, verdict.passing, _in_words(rule, verdict), used)

    def _verdict(self, rule: Rule, facts: UnitFacts) -> Verdict:
        if not rule.whole_site:
            return rule.test(facts)
        if rule.id not in self.facts.verdicts:
            self.facts.verdicts[rule.id] = rule.test(facts)
        return self.facts.verdicts[rule.id]


def _in_words(rule: Rule, verdict: Verdict) -> str:
    total = verdict.passing + len(verdict.details)
    if not total:
        return f"Not applicable: no {rule.asks} to ask."
    counts = {outcome: sum(detail.outcome is outcome for detail in verdict.details) for outcome in (*_OPEN, Outcome.WAIVED)}
    head = _of_how_many(rule.asks, total, {outcome: count for outcome, count in counts.items() if count})
    open_ones = [detail for outcome in _OPEN for detail in verdict.details if detail.outcome is outcome]
    held = list(dict.fromkeys(detail.says.rstrip(".") for detail in open_ones))
    listed = "; ".join(held[:3]) + (f"; and {len(held) - 3} more" if len(held) > 3 else "")
    return f"{head}: {listed}{'' if listed.endswith(('?', '!')) else '.'}" if held else f"{head}."


def _of_how_many(asks: str, total: int, counts: Mapping[Outcome, int]) -> str:
    """Return how many of those asked fail, cannot be told and are waived, as a sentence without its stop."""
    (only, *others) = counts or (Outcome.PASS,)
    if total == 1:
        return _ONE[only]
    if not others and counts.get(only, total) == total:
        whole = "Both" if total == 2 else f"All {total}"
        return f"Nobody can tell of the {total} {asks}" if only is _CANNOT_TELL else f"{whole} {asks} {_ALL_DO[only]}"
    parts = [_SOME[outcome][count > 1].format(count) for outcome, count in counts.items()]
    return f"Of {total} {asks}, {' and '.join(part for part in (', '.join(parts[:-1]), parts[-1]) if part)}"
