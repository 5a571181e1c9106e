"""Every rule passes the complete record, fails when one thing is broken, and cannot tell when one thing is missing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from baulk.closing import LIMIT_MEANINGS, PROFILE_RULES, RULES, UNANSWERED, Outcome, Severity, check_unit, rule_table
from baulk.record import Site, SiteRecord, Unit, build
from tests.closing.breaking import record_with
from tests.closing.cases import CASES, Case

SOUND = {found.rule.id: found for found in check_unit(record_with(), "unit").findings}
STOP_LIST = [
    f"B{number:02d}" for number in (1, 3, 6, 8, 12, 13, 15, 18, 19, 26, 27, 28, 35, 36, 37, 39, 47, 53, 55, 60, 61, 66, 67, 70)
]


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_passes_the_complete_record(rule: str) -> None:
    """The complete record passes every rule, with at least one record asked."""
    found = SOUND[rule]
    assert found.outcome == "pass", found.says
    assert found.passing > 0
    assert found.records == ()
    assert found.mend == ""
    asked = {1: "Passes.", 2: f"Both {found.rule.asks} pass."}
    assert found.says == asked.get(found.passing, f"All {found.passing} {found.rule.asks} pass.")


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.outcome.replace(' ', '-')}")
def test_breaking_one_thing_changes_that_rule_alone(case: Case) -> None:
    """One change of the record changes the outcome of its rule, and of no rule but those named beside it."""
    result = check_unit(record_with(case.change), "unit")
    found = result.finding(case.rule)
    assert found is not None
    assert found.outcome == case.outcome, found.says
    assert case.says.casefold() in found.says.casefold()
    assert found.mend == found.rule.mend
    changed = {other.rule.id for other in result.findings if other.outcome != SOUND[other.rule.id].outcome}
    assert changed == {case.rule, *case.also.split()}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.outcome.replace(' ', '-')}")
def test_every_failure_names_its_records(case: Case) -> None:
    """Each record to blame is named by its id, with a sentence of its own; the counts add up to the records asked."""
    found = check_unit(record_with(case.change), "unit").finding(case.rule)
    assert found is not None
    assert found.records
    assert all(detail.records and detail.says for detail in found.details)
    assert sum(found.count(outcome) for outcome in Outcome) == found.passing + len(found.details)


@pytest.mark.parametrize("outcome", ["fail", "cannot tell"])
def test_every_rule_has_a_case_of_each_outcome(outcome: str) -> None:
    """No rule goes without a record that fails it and one of which nobody can tell."""
    assert {case.rule for case in CASES if case.outcome == outcome} == set(RULES)


def test_the_stop_list_is_the_one_of_the_checklist() -> None:
    """The rules that block are the checklist's minimum stop-list."""
    assert [rule.id for rule in RULES.values() if rule.blocks] == STOP_LIST


def test_every_rule_of_the_checklist_is_asked_or_listed_as_unanswered() -> None:
    """B01 to B70: each is a rule, or is listed with why the record cannot answer it."""
    assert sorted([*RULES, *UNANSWERED]) == [f"B{number:02d}" for number in range(1, 71)]
    assert len(RULES) >= 45


@pytest.mark.parametrize("rule", [*RULES.values(), *PROFILE_RULES.values()], ids=lambda rule: rule.id)
def test_every_rule_says_what_why_how_to_mend_and_its_source(rule) -> None:
    """The data of a rule are complete sentences, and its source is named or said to be wanting."""
    assert re.fullmatch(r"[BP]\d\d", rule.id)
    assert rule.what.endswith(".")
    assert rule.why.endswith(".")
    assert rule.mend.endswith(".")
    assert rule.severity in Severity
    assert re.search(r"published|common practice, no source|from memory|our judgement|read|CFR", rule.source)


def test_an_empty_unit_passes_nothing() -> None:
    """A unit of which only the number is known passes no rule: missing data is never a pass."""
    bare = SiteRecord.of([build(Site, {"id": "s"}), build(Unit, {"id": "u", "number": "9"})])
    result = check_unit(bare, "u")
    assert not [found.rule.id for found in result.findings if found.outcome == "pass"]
    assert not result.ready


def test_the_document_holds_the_table_of_the_data() -> None:
    """docs/closing.md shows every rule, every unanswered one and every limit as the data has them."""
    text = (Path(__file__).parents[2] / "docs" / "closing.md").read_text(encoding="utf-8")
    assert rule_table() in text
    for number, (what, why) in UNANSWERED.items():
        assert f"| {number} | {what} | {why} |" in text
    for key, (meaning, source) in LIMIT_MEANINGS.items():
        assert f"| `{key}` | " in text
        assert f"| {meaning} | {source} |" in text
