"""The report as the page is given it and as a file: the crew gets the public version only."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from baulk.record import View
from baulk.server import create_app
from baulk.work.study import Study
from tests.work.test_work_solids import burial, site


def client(tmp_path: Path, view: View = View.CREW) -> TestClient:
    """A client of two layers with a pit and a possible grave."""
    study = Study(site(*burial()))
    return TestClient(create_app(lambda: study, view=view, static=tmp_path / "none"), base_url="http://127.0.0.1:4321")


def test_the_public_report_comes_chapter_by_chapter(tmp_path: Path) -> None:
    """Chapters are numbered from 1, every table has a number of its own, and what is withheld is listed, not told."""
    answer = client(tmp_path).get("/api/report/1").json()
    assert answer["public"] is True
    assert answer["whole"] is False
    main = [chapter["number"] for chapter in answer["chapters"] if not chapter["appendix"]]
    assert main == [str(number) for number in range(1, len(main) + 1)]
    assert len(main) > 5
    parts = [part for chapter in answer["chapters"] for part in chapter["parts"]]
    tables = [part["number"] for part in parts if part["kind"] == "table"]
    assert tables == [str(number) for number in range(1, len(tables) + 1)]
    assert all(len(row) == len(part["head"]) for part in parts if part["kind"] == "table" for row in part["rows"])


def test_the_whole_report_is_refused_to_the_crew(tmp_path: Path) -> None:
    """The crew's page cannot ask for the report that tells of burials, neither to read nor as a file."""
    for address in ("/api/report/1?public=false", "/api/report/1/file.pdf?public=false", "/api/report/1/file.html?public=false"):
        answer = client(tmp_path).get(address)
        assert answer.status_code == 403
        assert answer.json()["code"] == "restricted"
        assert "The full report tells of burials and exact places, and this workbench withholds them." in answer.json()["message"]
    whole = client(tmp_path, View.RESTRICTED).get("/api/report/1?public=false").json()
    assert whole["whole"] is True
    assert whole["public"] is False


@pytest.mark.parametrize(("form", "start"), [("pdf", b"%PDF-"), ("html", b"<!DOCTYPE html>")])
def test_the_report_is_offered_for_saving(tmp_path: Path, form: str, start: bytes) -> None:
    """A file of either form is sent as one to keep, named by its unit and version."""
    answer = client(tmp_path).get(f"/api/report/1/file.{form}")
    assert answer.content.startswith(start)
    assert answer.headers["content-disposition"] == f'attachment; filename="unit-1-report-public.{form}"'


def test_an_unknown_unit_or_form_is_answered_in_words(tmp_path: Path) -> None:
    """A unit that is not there is 404 and named; a form that is not made is refused."""
    unknown = client(tmp_path).get("/api/report/99")
    assert unknown.status_code == 404
    assert "There is no" in unknown.json()["message"]
    assert client(tmp_path).get("/api/report/1/file.docx").status_code == 422
