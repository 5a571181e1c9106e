"""Each route answers with the record as it stands, in the shape that the page is typed for."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from baulk.record import Context, Find, Photo, SiteRecord, Station, Unit, build
from baulk.server import Study, StudySource, create_app
from baulk.server.describe import description
from baulk.server.study import FileFinder
from baulk.store import FileShelf
from baulk.work import study as work_study
from tests.server.test_server_guard import refused
from tests.server.tiny_site import PICTURE, tiny_record

ROOT = Path(__file__).parents[2]


def got(client: TestClient, path: str) -> Any:
    """Return the JSON of a path that must be answered."""
    answer = client.get(f"/api/{path}")
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_the_work_gives_what_the_server_asks_for(shelf: FileShelf) -> None:
    """The study of the work is a study in the sense of the server, and so is its source and shelf (checked by mypy too)."""
    study: Study = work_study.Study(tiny_record(), shelf)
    source: StudySource = lambda: study  # noqa: E731 - the annotation is the point
    finder: FileFinder | None = study.files
    assert source() is study
    assert finder is shelf


def test_a_site_without_a_place_has_no_plan_and_says_what_to_enter(tmp_path: Path) -> None:
    """Of a site where nothing has a place the page is named no plan; who asks for it is told what is wanting."""
    bare = tiny_record()
    empty = SiteRecord.of([bare.site])
    client = TestClient(
        create_app(lambda: work_study.Study(empty, FileShelf(tmp_path)), static=tmp_path), base_url="http://localhost"
    )
    assert got(client, "site")["drawing"] == ""
    refused(client.get("/api/drawings/site.svg"), 404, "nothing_to_draw", "neither a unit with corners", "Enter a unit's corners")
    placed = SiteRecord.of([bare.site, Station(id="st", number="A", easting=100.0, northing=200.0)])
    client = TestClient(
        create_app(lambda: work_study.Study(placed, FileShelf(tmp_path)), static=tmp_path), base_url="http://localhost"
    )
    assert got(client, "site")["drawing"] == "site"
    assert client.get("/api/drawings/site.svg").status_code == 200


def test_site_tells_its_quantity_counts_and_differences(client: TestClient) -> None:
    """The site is told with its revision, what its lengths are in, and how many differences stand open."""
    site = got(client, "site")
    assert site["revision"] == 42
    assert (site["length_unit"], site["metres"], site["invented"]) == ("m", 1.0, True)
    assert site["differences"] == 1
    counts = {count["kind"]: count["total"] for count in site["counts"]}
    assert counts["context"] == 5  # the void one is not counted
    assert counts["find"] == 1  # the one from the possible burial is not told of


def test_an_empty_site_is_answered_too(tmp_path: Path) -> None:
    """A file without a single record gives empty lists and not an error."""
    study = work_study.Study(SiteRecord.of([]))
    client = TestClient(create_app(lambda: study, static=tmp_path), base_url="http://localhost")
    assert got(client, "site")["record"] is None
    assert got(client, "units") == []
    assert got(client, "order")["contexts"] == []
    assert got(client, "registers/context")["total"] == 0


def test_unit_lists_its_contexts_latest_first(client: TestClient) -> None:
    """No context of a unit stands above one that is later; the void one is left out."""
    unit = got(client, "unit/1")
    labels = [line["link"]["label"] for line in unit["contexts"]]
    assert sorted(labels) == ["101", "105", "106", "110", "114"]
    assert labels.index("101") < labels.index("105") < labels.index("106") < labels.index("110")
    assert [plan["drawing"] for plan in unit["plans"]] == ["plan-1"]
    assert [(wall["what"], wall["drawing"]) for wall in unit["walls"]] == [("east", "wall-1")]
    assert unit["cautions"]
    assert "competent person" in unit["defer"]


def test_unit_by_id_is_the_unit_by_number(client: TestClient) -> None:
    """A unit is found by its number and by its id alike."""
    assert got(client, "unit/unit-1") == got(client, "unit/1")


def test_a_line_carries_soil_colour_and_highest_level(client: TestClient) -> None:
    """A context in a list has the sRGB of its Munsell colour and the highest level on its top."""
    line = next(line for line in got(client, "order")["contexts"] if line["link"]["label"] == "105")
    assert line["link"]["colour"].startswith("#")
    assert line["top"] == 29.41


def test_record_page_tells_relations_once_and_what_points_at_it(client: TestClient) -> None:
    """Two sheets that say the same are one relation; levels, finds and outlines are attached by kind."""
    page = got(client, "record/c-106")
    told = [(line["side"], line["how"], line["other"]["label"], len(line["records"])) for line in page["relations"]]
    assert told == [("later", "fills", "105", 1), ("earlier", "cuts", "110", 2)]
    attached = {group["kind"]: group["total"] for group in got(client, "record/c-105")["attached"]}
    assert attached == {"level": 1, "outline": 1, "wall_outline": 1, "find": 1}


def test_blank_absent_and_differing_are_three_things(client: TestClient) -> None:
    """A blank field is missing, one absent on purpose has its words, one that two people changed is named."""
    record = got(client, "record/c-105")["record"]
    assert "interpretation" not in record["values"]
    assert "interpretation" not in record["absences"]
    assert record["absences"] == {"boundary": "not visible"}
    assert record["differing"] == ["description"]
    assert [link["label"] for link in record["links"]["fill_of"]] == ["106"]


def test_register_goes_page_by_page_and_finds_words(client: TestClient) -> None:
    """A page starts where it is asked to; void records keep their place; the search reads words and numbers in any case."""
    page = got(client, "registers/context?offset=4&limit=2")
    assert (page["total"], [record["link"]["label"] for record in page["records"]]) == (6, ["114", "120"])
    assert page["records"][1]["values"]["void"] == "given twice"
    assert [record["link"]["label"] for record in got(client, "registers/context?find=GLASS")["records"]] == ["105"]
    assert got(client, "registers/context?find=zebra")["total"] == 0


def test_every_kind_shown_has_a_register(client: TestClient) -> None:
    """Each kind of the field reference can be asked for as a register, also when it is empty."""
    for kind in got(client, "fields"):
        assert got(client, f"registers/{kind['kind']}")["kind"] == kind["kind"]


def test_every_field_says_what_it_is(client: TestClient) -> None:
    """The field reference has a label, a help and a need for each field of each kind."""
    for kind in got(client, "fields"):
        assert kind["fields"], kind["kind"]
        for field in kind["fields"]:
            assert field["label"] and field["help"] and field["need"] in {"mandatory", "expected", "optional"}


def test_closing_gives_one_answer_a_rule(client: TestClient) -> None:
    """The counts are those of the findings, no rule answers twice, and what fails names its records."""
    closing = got(client, "closing/1")
    assert closing["ready"] is False
    assert sum(closing["counts"].values()) == len(closing["findings"])
    assert len({finding["rule"] for finding in closing["findings"]}) == len(closing["findings"])
    assert any(finding["records"] for finding in closing["findings"] if finding["outcome"] == "fail")
    assert all(finding["mend"] for finding in closing["findings"] if finding["outcome"] == "fail" and not finding["withheld"])


@pytest.mark.parametrize("name", ["site", "order", "plan-1", "wall-1"])
def test_each_drawing_is_svg_without_style_or_script(client: TestClient, name: str) -> None:
    """A drawing is answered as SVG that the page's content policy lets it show."""
    answer = client.get(f"/api/drawings/{name}.svg")
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert answer.text.startswith("<svg")
    for forbidden in ("<script", "<style", " style=", "href=", " onclick", "<foreignObject"):
        assert forbidden not in answer.text


def test_drawings_carry_the_ids_that_the_page_chooses_by(client: TestClient) -> None:
    """A context drawn in plan, on a wall and in the order carries one and the same id."""
    for name in ("plan-1", "wall-1", "order"):
        assert 'data-record="c-105"' in client.get(f"/api/drawings/{name}.svg").text


def test_a_kept_picture_is_sent_in_a_sandbox(client: TestClient) -> None:
    """A picture that a photo names is sent with its own type, and can run nothing."""
    answer = client.get(f"/api/files/{sha256(PICTURE).hexdigest()}")
    assert (answer.status_code, answer.content) == (200, PICTURE)
    assert answer.headers["content-type"] == "image/png"
    assert "sandbox" in answer.headers["content-security-policy"]


def test_a_file_of_an_unknown_sort_is_offered_for_saving(shelf: FileShelf, tmp_path: Path) -> None:
    """What is neither picture nor PDF is never shown inside the browser."""
    page = b"<html><script>alert(1)</script></html>"
    photo = build(Photo, {"id": "p-9", "number": "P9", "file": shelf.keep(page)})
    study = work_study.Study(tiny_record([photo]), shelf)
    client = TestClient(create_app(lambda: study, static=tmp_path), base_url="http://localhost")
    answer = client.get(f"/api/files/{sha256(page).hexdigest()}")
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["content-disposition"].startswith("attachment")


def test_a_new_study_is_seen_at_the_next_request(tmp_path: Path) -> None:
    """The source is asked at each request, so a change written elsewhere shows without a restart."""
    studies = [work_study.Study(SiteRecord.of([], revision=1)), work_study.Study(SiteRecord.of([], revision=2))]
    client = TestClient(create_app(lambda: studies.pop(0), static=tmp_path), base_url="http://localhost")
    assert [got(client, "site")["revision"], got(client, "site")["revision"]] == [1, 2]


def test_a_register_of_many_is_answered_a_page_at_a_time(tmp_path: Path) -> None:
    """Of 5,000 finds a request gets no more than it may ask for."""
    ground = [build(Unit, {"id": "u", "number": "1"}), build(Context, {"id": "c", "number": "1", "units": ["u"]})]
    finds = [build(Find, {"id": f"f{row}", "number": str(row), "context": "c"}) for row in range(5000)]
    study = work_study.Study(SiteRecord.of([*ground, *finds]))
    client = TestClient(create_app(lambda: study, static=tmp_path), base_url="http://localhost")
    page = got(client, "registers/find?offset=4990&limit=500")
    assert (page["total"], [record["link"]["label"] for record in page["records"]][:2]) == (5000, ["4990", "4991"])
    group = next(group for group in got(client, "record/c")["attached"] if group["kind"] == "find")
    assert (group["total"], len(group["records"])) == (5000, 200)


def test_the_description_that_the_page_is_typed_by_is_current() -> None:
    """`web/openapi.json` is what the routes say.

    Else run ``python -m baulk.server.describe web/openapi.json`` and ``python hatch_build.py api``.
    """
    assert (ROOT / "web" / "openapi.json").read_text(encoding="utf-8") == description()
