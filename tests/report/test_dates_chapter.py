"""The dating argument: bounds, prior beside posterior, every setting, what was left out; nothing withheld in the public version."""

from __future__ import annotations

import re

import pytest

from baulk.errors import BaulkError
from baulk.record import Context, DatingResult, Document, Find, Relation, SiteRecord, Unit, View
from baulk.report import Report
from baulk.report.tree import Figure
from baulk.work.study import Study
from tests.report.test_outline import chapter_text

TITLE = "Dating argument"


def _site() -> SiteRecord:
    """Return a unit whose brown layer has a coin and sherds, under white ware and over a withheld cut with a dated nail."""
    unit = Unit(id="u", number="1", corners=((0, 0), (2, 0), (2, 2), (0, 2)))
    deposit = {"kind": "deposit", "units": ("u",), "reliability": "good", "contamination": "none seen"}
    return SiteRecord.of([
        unit, Context(id="a", number="201", recorded_on="2026-05-01", **deposit), Context(id="b", number="202", **deposit),
        Context(id="g", number="203", kind="cut", units=("u",), cut_function="grave"),
        Context(id="n", number="204", **deposit), Context(id="k", number="205", kind="cut", units=("u",)),
        Relation(id="r1", later="a", earlier="b", how="overlies"), Relation(id="r2", later="b", earlier="g", how="overlies"),
        Relation(id="r3", later="g", earlier="n", how="cuts"), Relation(id="r4", later="k", earlier="n", how="cuts"),
        Find(id="f1", number="1", context="a", material="ceramic", type="whiteware", count=9, begin=1820, end=1900),
        Find(id="f2", number="2", context="b", material="ceramic", type="creamware", count=14, begin=1762, end=1820),
        Find(id="f3", number="3", context="b", material="copper alloy", object="halfpenny", count=1, begin=1799),
        Find(id="f4", number="4", context="g", material="iron", object="Xnail", count=1, begin=1633),
        Find(id="f5", number="5", context="n", material="stone", object="flint", count=1),
        Document(id="d", number="1", title="Photograph", begin=1888, end=1888, there_by_then=True, contexts=("a",),
                 certainty="firm"),
        DatingResult(id="q", number="1", context="n", method="radiocarbon", laboratory_code="INV-9", age=205, error=25,
                     own_age="young"),
    ])  # fmt: skip


@pytest.fixture(scope="module")
def study() -> Study:
    """Return the study with the chronology worked out for both versions of the report, with and without absence for one."""
    study = Study(_site())
    for view in (View.RESTRICTED, View.PUBLIC):
        study.dating.dated(view)
    study.dating.dated(View.RESTRICTED, study.dating.settings.without_absence())
    return study


def _report(study: Study, *, public: bool) -> Report:
    return study.report("u", public=public)


def test_bounds_stand_with_what_set_them(study: Study) -> None:
    """Each context has both bounds with find or document and the way they came; a context without a bound says none."""
    text = chapter_text(_report(study, public=False), TITLE)
    assert "202 | 1799: find 3, halfpenny | 1888: document 1, Photograph (202 > 201)" in text
    assert "204 | none | 1888: document 1, Photograph (204 > 203 > 202 > 201)" in text
    assert "find 5, flint: no first year of making is recorded" in text
    assert "No find contradicts a firm date above it." in text


def test_the_prior_stands_beside_the_posterior(study: Study) -> None:
    """The table of ranges has a column before the evidence and two after it, and marks what the order alone dates."""
    text = chapter_text(_report(study, public=False), TITLE)
    assert "Context | Before (95 %) | After (95 %) | After (68 %)" in text
    row = next(line for line in text.splitlines() if line.startswith("202 | 1") and line.count(" | ") == 3)
    before, after = row.split(" | ")[1:3]
    assert before != after
    assert "* nothing of its own dates it" in text


def test_every_input_and_setting_is_printed(study: Study) -> None:
    """Evidence, suppositions, window, seed, curve with its version and source, and how the chains agree."""
    text = chapter_text(_report(study, public=False), TITLE)
    dated = study.dating.dated(View.RESTRICTED)
    for part in (
        *dated.settings_in_words, "IntCal20 (2020; Reimer et al. 2020", "Seed 1.", dated.dates.diagnosis.words,
        "202 | find 3, halfpenny", "202 | none of 14 sherds is whiteware, made from 1820", "204 | result 1, radiocarbon INV-9",
        "mean ceramic date", "no table of types",
    ):  # fmt: skip
        assert part in text
    assert "What the absence of later finds does (1)" in text
    assert "older soil moved, so absence is never proof" in text


def test_the_public_version_is_worked_out_from_the_public_record(study: Study) -> None:
    """Neither the withheld cut nor its nail is in it, as text or as drawing, and the way over the cut is gone too."""
    report = _report(study, public=True)
    text = chapter_text(report, TITLE)
    assert "202 | 1799: find 3, halfpenny | 1888" in text
    for mark in ("Xnail", "203", "1633"):
        assert mark not in text
    drawn = "".join(part.svg for chapter in report.chapters for part in chapter.parts if isinstance(part, Figure))
    words = re.findall(r">([^<]+)<", drawn)
    assert any("find 3, halfpenny" in word for word in words)
    assert not [word for word in words if re.search(r"Xnail|\b203\b|\b1633\b", word)]
    assert "Xnail" in chapter_text(_report(study, public=False), TITLE)


def test_without_a_chronology_the_chapter_says_so() -> None:
    """Bounds are printed all the same."""
    text = chapter_text(_report(Study(_site()), public=False), TITLE)
    assert "The chronology was not worked out for this report" in text
    assert "1799: find 3, halfpenny" in text


def test_a_refusal_is_printed_in_its_own_words() -> None:
    """Documents that exclude each other through the order give no dates, and the chapter says why."""
    wrong = Document(id="e", number="2", title="Lease", begin=1950, end=1960, not_there_yet=True, there_by_then=True,
                     contexts=("b",), certainty="firm")  # fmt: skip
    study = Study(SiteRecord.of([*_site().by_id.values(), wrong]))
    with pytest.raises(BaulkError) as refusal:
        study.dating.dated(View.RESTRICTED)
    state = study.dating.state(View.RESTRICTED)
    assert state.says == str(refusal.value)
    assert "document 2, Lease" in state.says
    text = chapter_text(_report(study, public=False), TITLE)
    assert state.says in text
    assert "Contradictions and their ways out" in text
