"""The chapter on readings prints what was weighed, and its public version nothing of what is withheld."""

from __future__ import annotations

import io
import re
from typing import Any

import pypdf
import pytest

from baulk.record import Unit, View
from baulk.report import to_html, to_pdf
from baulk.report.tree import Caution, Figure, Paragraph, Report, Table
from baulk.work.study import Study
from tests.report.test_outline import chapter_text
from tests.work.question_site import question_record

UNIT = ("unit", {"id": "u1", "number": "1", "corners": ((0, 0), (2, 0), (2, 2), (0, 2))})
OF_UNIT = {"c9": {"units": ("u1",)}}
GRAVE = (
    ("context", {"id": "c14", "number": "114", "kind": "cut", "title": "Oblong cut", "units": ("u1",), "cut_function": "grave"}),
    ("question", {"id": "q2", "number": "2", "asks": "What is the oblong cut?", "about": ("c14",)}),
    ("reading", {"id": "rg", "question": "q2", "number": "2A", "name": "Resting place", "prior": 0.5, "remains": True}),
    ("reading", {"id": "rb", "question": "q2", "number": "2B", "name": "Tree pit", "prior": 0.4}),
    ("evidence", {"id": "e9", "question": "q2", "number": "2.1", "saw": "Lies east and west"}),
    ("evidence", {"id": "e8", "question": "q", "number": "1.8", "saw": "The oblong thing cuts them", "records": ("c14",)}),
)


WITHHELD = ("Resting place", "oblong", "2A", "Tree pit", "Lies east and west", "114")


def report(*, public: bool = False, changed: dict[str, dict[str, Any] | None] | None = None, more: tuple[Any, ...] = ()) -> Report:
    """Return the report of the unit in which the question stands."""
    record = question_record({**OF_UNIT, **(changed or {})}, (UNIT, *more))
    return Study(record).report(record.numbered(Unit, "1").id, public=public)


def parts(made: Report) -> tuple[Any, ...]:
    """Return the nodes of the chapter."""
    return next(chapter for chapter in made.chapters if chapter.title == "Readings").parts


def test_the_chapter_holds_answer_table_groups_and_tests() -> None:
    """Shares with ranges, every cell in words with its decibans, groups, tests lost at backfill, sources and the sheet."""
    made = report()
    tables = [node for node in parts(made) if isinstance(node, Table)]
    answers, evidence, tests = tables
    assert answers.rows[0][0] == "1A Path"
    share = 0.5 * 0.9 / (0.5 * 0.9 + 0.4 * 0.1 + 0.1 * 0.5)
    assert answers.rows[0][1:3] == ("50 %", f"{100 * share:.0f} %")
    assert "1A usually (+" in evidence.rows[0][2] and "1B seldom (−" in evidence.rows[0][2]
    assert evidence.rows[0][1] == "bond" and evidence.rows[0][3] == "109"
    assert tests.rows[0][:3] == ("Lift one sett", "1", "lost")
    assert [node.caption for node in parts(made) if isinstance(node, Figure)] == ["Question 1: weights of evidence"]
    text = chapter_text(made, "Readings")
    assert "1.1 under 1B: walls are bonded" in text and "1.3 A nail: may be modern" in text
    assert "“bond” (1.1, 1.2)" in text and "in full: “Path” leads with" in text


def test_without_questions_the_chapter_says_so() -> None:
    """A unit of which nothing is asked says so; a question that cannot be weighed says why."""
    nothing = {"q": {"void": "asked twice"}}
    assert "No question is recorded that was weighed for this unit." in chapter_text(report(changed=nothing), "Readings")
    bare = {one: None for one in ("rp", "rw", "rn", "e1", "e2", "e3", "x1", "x2", "t1", "t2")}
    assert "has no reading to weigh" in chapter_text(report(changed=bare), "Readings")


def test_questions_of_other_units_stay_out() -> None:
    """A question about another unit's context is not printed."""
    other = report(changed={"c9": {"units": ()}})
    assert "No question is recorded that was weighed for this unit." in chapter_text(other, "Readings")
    assert "weights of evidence" not in chapter_text(other, "Plan and walls")


def test_the_agencys_copy_prints_the_caution_first() -> None:
    """A reading for remains stands in the agency's copy with the caution before its answer."""
    made = report(more=GRAVE)
    nodes = parts(made)
    caution = next(place for place, node in enumerate(nodes) if isinstance(node, Caution))
    answer = next(place for place, node in enumerate(nodes) if isinstance(node, Paragraph) and "Resting place" in node.text)
    assert caution < answer and "stop work" in nodes[caution].text
    assert "2A Resting place" in chapter_text(made, "Readings")


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_nothing_of_a_reading_for_remains_is_in_the_public_version(form: str) -> None:
    """Neither the question, its readings and evidence, nor evidence elsewhere that rests on the cut, nor their numbers leak."""
    made = report(public=True, more=GRAVE)
    pages = pypdf.PdfReader(io.BytesIO(to_pdf(made))).pages if form == "pdf" else ()
    text = "\n".join(page.extract_text() for page in pages) if pages else re.sub(r"<[^>]+>", " ", to_html(made))
    assert [word for word in WITHHELD if re.search(rf"\b{word}\b", text)] == []
    assert "What are the setts?" in text


def test_the_check_of_leaks_can_fail() -> None:
    """Control: the agency's copy holds all of these words."""
    text = re.sub(r"<[^>]+>", " ", to_html(report(more=GRAVE)))
    assert all(re.search(rf"\b{word}\b", text) for word in WITHHELD)


def test_the_public_sheet_and_table_leave_the_withheld_evidence_out() -> None:
    """The public answer is that of the record without the withheld piece, whose words are nowhere."""
    changed = {"e8": {"expected": {"rp": "hardly ever", "rw": "nearly always"}}}
    study = Study(question_record({**OF_UNIT, **changed}, (UNIT, *GRAVE)))
    public, whole = (study.weighed("1", view).argument.weighed for view in (View.PUBLIC, View.RESTRICTED))
    assert public.posterior[public.question.place("rp")] > whole.posterior[whole.question.place("rp")] + 0.3
    answers = next(node for node in parts(study.report("u1", public=True)) if isinstance(node, Table))
    assert answers.rows[0][0] == "1A Path"
    assert "oblong" not in study.svg("readings-1", View.PUBLIC)
